using Keyline.Elevation;

namespace Keyline.Water;

/// <summary>What a line did in a storm.</summary>
/// <param name="Id">Its name.</param>
/// <param name="Length">Metres.</param>
/// <param name="Taken">Cubic metres that it took from the ground.</param>
/// <param name="Soaked">Cubic metres that went into the soil around it.</param>
/// <param name="Held">Cubic metres left in its loosened soil and furrow.</param>
/// <param name="Spilled">Cubic metres that it gave back along its way.</param>
/// <param name="SpilledAtEnds">Cubic metres of those that it gave back at its two ends.</param>
/// <param name="Led">The most water that passed any place of it, cubic metres.</param>
/// <param name="SpillX">East of the place about which it spilled most, metres; NaN where it did not.</param>
/// <param name="SpillY">North of it.</param>
/// <param name="EndFlow">Greatest flow into its fuller end, cubic metres a second.</param>
/// <param name="EndSpeed">Speed there, metres a second.</param>
/// <param name="EndShear">Shear there, pascals.</param>
/// <param name="Fastest">The greatest speed anywhere along it, metres a second.</param>
public sealed record LineWater(string Id, double Length, double Taken, double Soaked, double Held, double Spilled, double SpilledAtEnds, double Led, double SpillX, double SpillY, double EndFlow, double EndSpeed, double EndShear, double Fastest);

/// <summary>Where the rain of a storm went, cubic metres.</summary>
/// <param name="Rain">All of it.</param>
/// <param name="Soil">What the ground took in.</param>
/// <param name="Rips">What went from rips into the soil around, or stayed in their loosened soil and furrows.</param>
/// <param name="Standing">What still stands on the ground.</param>
/// <param name="Left">What ran off over the edge of the ground that is known.</param>
public sealed record WaterBalance(double Rain, double Soil, double Rips, double Standing, double Left)
{
    /// <value>What dams stored. Default none.</value>
    public double Dams { get; init; }

    /// <summary>What is not accounted for, as a share of the rain.</summary>
    public double Error => (Rain - Soil - Rips - Standing - Left - Dams) / Math.Max(Rain, double.Epsilon);
}

/// <summary>What a storm did.</summary>
public sealed class StormResult
{
    internal StormResult(Hyetograph storm, WaterBalance balance, Grid<float> takenIn, Grid<float> greatestDepth, Grid<float> standing, IReadOnlyList<GaugeReading> gauges, IReadOnlyList<LineWater> lines, long steps)
    {
        (Storm, Balance, TakenIn, GreatestDepth, Standing, Gauges, Lines, Steps) = (storm, balance, takenIn, greatestDepth, standing, gauges, lines, steps);
    }

    /// <summary>The storm.</summary>
    public Hyetograph Storm { get; }

    /// <summary>Where its rain went.</summary>
    public WaterBalance Balance { get; }

    /// <summary>Metres taken in by each cell, rips in it included; what dams store is none.</summary>
    public Grid<float> TakenIn { get; }

    /// <summary>The deepest that water stood on each cell, metres, looked at ten seconds apart.</summary>
    public Grid<float> GreatestDepth { get; }

    /// <summary>What still stands at the end, metres.</summary>
    public Grid<float> Standing { get; }

    /// <summary>What the gauges counted, in their order.</summary>
    public IReadOnlyList<GaugeReading> Gauges { get; }

    /// <summary>What the lines did, in their order.</summary>
    public IReadOnlyList<LineWater> Lines { get; }

    /// <summary>Each line place by place, about a cell apart, in the lines' order.</summary>
    public IReadOnlyList<IReadOnlyList<RipPlace>> Along { get; internal init; } = [];

    /// <summary>Ends of lines at outlets, and what they let go there.</summary>
    public IReadOnlyList<OutletDelivery> Deliveries { get; internal init; } = [];

    /// <summary>What dams stored.</summary>
    public IReadOnlyList<DamReading> Dams { get; internal init; } = [];

    /// <summary>How many steps it took.</summary>
    public long Steps { get; }
}

/// <summary>A storm on ground with or without rip lines.</summary>
/// <remarks>
/// <para>Units: metres, seconds. Missing: ground with no height is outside; water leaves toward it where the land falls to it.</para>
/// <para>Promises: rain = soil + rips + standing + left + dams to 1e-9; same input, same bits, whatever the number of cores; a lake stays still.
/// Does not move soil, and lets no water come back out of the ground.</para>
/// <para>Cost: linear in cells times steps; steps shorten with the root of the deepest water. About 60 bytes a cell.</para>
/// <para>Source: Bates, Horritt and Fewtrell, A simple inertial formulation of the shallow water equations, Journal of Hydrology 387, 2010;
/// de Almeida and others, Water Resources Research 48, 2012; Green and Ampt 1911. Rips as lines below the cell: ours, docs/water.md.</para>
/// </remarks>
public static class StormRun
{
    private const double DepthEvery = 10;

    /// <summary>Runs a storm.</summary>
    /// <param name="ground">Heights, metres; NaN is outside.</param>
    /// <param name="soils">The soil of each cell.</param>
    /// <param name="storm">The rain.</param>
    /// <param name="lines">The rip lines; null or empty for ground as it is.</param>
    /// <param name="gauges">What to count; null for nothing.</param>
    /// <param name="options">How; null for the defaults.</param>
    /// <param name="progress">Told of the share done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">The ground has no height at all, a line misses it, or an option is no good.</exception>
    public static StormResult Run(
        ElevationGrid ground, SoilMap soils, Hyetograph storm, IReadOnlyList<WaterLine>? lines = null, IReadOnlyList<WaterGauge>? gauges = null, StormOptions? options = null, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(soils);
        ArgumentNullException.ThrowIfNull(storm);
        options ??= new StormOptions();
        options.Validate();
        FlowField field = FlowField.Of(ground);
        if (field.Known == 0)
        {
            throw new GroundDataException("The ground has no known height: give elevation that covers the field.");
        }

        RipNodes? nodes = lines is null || lines.Count == 0 || options.Rip.Depth == 0 ? null : RipNodes.Of(lines, ground, soils, options, field);
        if (nodes is not null && nodes.Cell.All(c => c < 0))
        {
            throw new GroundDataException("The plan's lines do not lie on the ground given: check that both are of the same place and in the same coordinate system.");
        }

        GaugeCount[] counts = [.. (gauges ?? []).Select(g => new GaugeCount(g, field))];
        StormSteps steps = new(field, soils, nodes, counts, options);
        ParallelOptions parallel = WorkThreads.Options(cancellationToken);
        progress?.Report(new PlanProgress("storm", 0));
        double end = storm.Duration + options.Recession;
        double time = 0;
        double noted = 0;
        double told = 0;
        long count = 0;
        int at = 1;
        while (time < end)
        {
            cancellationToken.ThrowIfCancellationRequested();
            while (at < storm.Times.Count && storm.Times[at] <= time)
            {
                at++;
            }

            double minute = (Math.Floor(time / GaugeCount.Every) + 1) * GaugeCount.Every;
            time = steps.Go(time, Math.Min(minute, at < storm.Times.Count ? storm.Times[at] : end), storm.By, parallel);
            count++;
            if (time - noted >= DepthEvery || time >= end)
            {
                steps.NoteDeepest(parallel);
                noted = time;
            }

            if (time / end - told >= 0.01)
            {
                told = time / end;
                progress?.Report(new PlanProgress("storm", told));
            }
        }

        return StormReading.Of(storm, field, soils, nodes, steps.Left, [.. counts.Select(c => c.Reading(time))], count);
    }
}
