using BenchmarkDotNet.Attributes;
using Keyline.Drainage;
using Keyline.Elevation;

namespace Keyline.Benchmarks;

/// <summary>Filling against the flood with one queue.</summary>
[MemoryDiagnoser]
public class FillingBenchmarks
{
    private ElevationGrid _ground = null!;

    /// <summary>Cells along a side.</summary>
    [Params(1000, 4000)]
    public int Side { get; set; }

    /// <summary>Which ground.</summary>
    [Params("valleys", "basins")]
    public string Ground { get; set; } = "valleys";

    [GlobalSetup]
    public void Setup()
    {
        _ground = Ground == "valleys" ? MadeGround.Valleys(Side) : MadeGround.Basins(Side);
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

/// <summary>Routing and adding up flow on filled ground, against a memory copy of the heights.</summary>
[MemoryDiagnoser]
public class FlowBenchmarks
{
    private ElevationGrid _ground = null!;
    private ElevationGrid _filled = null!;
    private D8Directions _directions = null!;

    /// <summary>Cells along a side.</summary>
    [Params(1000, 4000)]
    public int Side { get; set; }

    /// <summary>Which ground.</summary>
    [Params("valleys", "basins")]
    public string Ground { get; set; } = "valleys";

    [GlobalSetup]
    public void Setup()
    {
        _ground = Ground == "valleys" ? MadeGround.Valleys(Side) : MadeGround.Basins(Side);
        _filled = DepressionFilling.Fill(_ground);
        _directions = D8Directions.Route(_filled);
    }

    [Benchmark(Baseline = true)]
    public float[] Copy() => _ground.Heights.ToArray();

    [Benchmark]
    public D8Directions Route() => D8Directions.Route(_filled);

    [Benchmark]
    public Grid<double> Accumulate() => FlowAccumulation.Compute(_directions);

    [Benchmark]
    public Grid<double> Chain() => FlowAccumulation.Compute(D8Directions.Route(DepressionFilling.Fill(_ground)));
}
