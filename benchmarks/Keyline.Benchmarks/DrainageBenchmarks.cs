using BenchmarkDotNet.Attributes;
using Keyline.Drainage;
using Keyline.Elevation;

namespace Keyline.Benchmarks;

/// <summary>Filling a square farm with cells of 2 m, against the flood with one queue.</summary>
[MemoryDiagnoser]
public class FillingBenchmarks
{
    private ElevationGrid _ground = null!;

    /// <summary>Cells along a side.</summary>
    [Params(512, 2048)]
    public int Side { get; set; }

    [GlobalSetup]
    public void Setup()
    {
        _ground = MadeGround.Make(Side);
        if (!DepressionFilling.Fill(_ground).Heights.SequenceEqual(PlainPriorityFlood.Fill(_ground).Heights))
        {
            throw new InvalidOperationException("The two ways of filling do not agree.");
        }
    }

    [Benchmark(Baseline = true)]
    public ElevationGrid OneQueue() => PlainPriorityFlood.Fill(_ground);

    [Benchmark]
    public ElevationGrid Fill() => DepressionFilling.Fill(_ground);
}

/// <summary>Routing and adding up flow on a filled square farm with cells of 2 m.</summary>
[MemoryDiagnoser]
public class FlowBenchmarks
{
    private ElevationGrid _filled = null!;
    private D8Directions _directions = null!;

    /// <summary>Cells along a side.</summary>
    [Params(512, 2048)]
    public int Side { get; set; }

    [GlobalSetup]
    public void Setup()
    {
        _filled = DepressionFilling.Fill(MadeGround.Make(Side));
        _directions = D8Directions.Route(_filled);
    }

    [Benchmark]
    public D8Directions Route() => D8Directions.Route(_filled);

    [Benchmark]
    public Grid<double> Accumulate() => FlowAccumulation.Compute(_directions);
}
