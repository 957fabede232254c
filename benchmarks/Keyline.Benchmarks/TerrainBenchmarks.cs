using BenchmarkDotNet.Attributes;
using Keyline.Elevation;
using Keyline.Terrain;

namespace Keyline.Benchmarks;

/// <summary>Slope, relief, contours and smoothing of a square farm with cells of 1 m.</summary>
[MemoryDiagnoser]
public class TerrainBenchmarks
{
    private ElevationGrid _ground = null!;
    private double[] _levels = [];

    /// <summary>Cells along a side.</summary>
    [Params(1000, 4000)]
    public int Side { get; set; }

    [GlobalSetup]
    public void Setup()
    {
        _ground = MadeGround.Valleys(Side);
        float low = float.MaxValue;
        float high = float.MinValue;
        foreach (float z in _ground.Heights)
        {
            low = Math.Min(low, z);
            high = Math.Max(high, z);
        }

        int first = (int)Math.Ceiling(low / 2);
        _levels = [.. Enumerable.Range(first, (int)(high / 2) - first + 1).Select(i => 2.0 * i)];
    }

    [Benchmark]
    public Grid<float> SlopeHorn() => Slope.Percent(_ground);

    [Benchmark]
    public Grid<float> SlopeZevenbergenThorne() => Slope.Percent(_ground, SlopeMethod.ZevenbergenThorne);

    [Benchmark]
    public Grid<float> Relief() => Hillshade.Compute(_ground);

    [Benchmark]
    public IReadOnlyList<ContourLine> ContoursEveryTwoMetres() => ContourLines.Trace(_ground, _levels);

    [Benchmark]
    public ElevationGrid SmoothTenMetresTwice() => GaussianSmoothing.ApplyTwice(_ground, 10);
}
