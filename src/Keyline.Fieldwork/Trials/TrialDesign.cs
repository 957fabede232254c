using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>A plot: neighbouring passes along a stretch, or a part of it where a second factor splits it.</summary>
/// <param name="Id">Its name, as "B1P2", or "B1P2a" for a part.</param>
/// <param name="Block">Number of the block, from 1.</param>
/// <param name="Treatment">Id of the treatment.</param>
/// <param name="Split">Level of the second factor; empty for none.</param>
/// <param name="Shape">Its ground, half a pass beyond the outer passes; projected metres.</param>
/// <param name="Lines">The plan's lines in it.</param>
/// <param name="Position">Mean position between valley (0) and ridge (1); NaN where it is not known.</param>
/// <param name="Slope">Mean slope, percent; NaN where it is not known.</param>
public sealed record TrialPlot(string Id, int Block, string Treatment, string Split, Polygon Shape, IReadOnlyList<string> Lines, double Position, double Slope)
{
    /// <summary>The whole plot: its own name without the letter of a part.</summary>
    public string Whole => Split.Length > 0 ? Id[..^1] : Id;
}

/// <summary>A block: plots side by side on like ground, one of each treatment.</summary>
/// <param name="Number">From 1.</param>
/// <param name="Shape">Its ground with the passes between plots.</param>
/// <param name="Zone">The zone it lies in; empty where there are none.</param>
/// <param name="PositionRange">Greatest difference of position among its plots.</param>
/// <param name="SlopeRange">Greatest difference of slope among its plots, percent.</param>
public sealed record TrialBlock(int Number, Polygon Shape, string Zone, double PositionRange, double SlopeRange);

/// <summary>Whether the field carries a trial.</summary>
public enum TrialKind
{
    /// <summary>Plots drawn by lot in two blocks or more.</summary>
    Randomised,

    /// <summary>Too little like ground: places to watch, from which no cause can be told.</summary>
    Monitored,
}

/// <summary>A trial laid out on a plan.</summary>
/// <remarks>Units: projected metres. Promises: plots do not overlap; each block of a randomised trial has every treatment once.</remarks>
public sealed class TrialDesign
{
    /// <summary>What it is.</summary>
    public required TrialKind Kind { get; init; }

    /// <summary>The field's name; may be empty.</summary>
    public string Field { get; init; } = "";

    /// <summary>What it was laid out with.</summary>
    public required TrialOptions Options { get; init; }

    /// <summary>Distance between passes, metres.</summary>
    public required double Spacing { get; init; }

    /// <summary>Length of its plots along the passes, metres.</summary>
    public required double Length { get; init; }

    /// <summary>Blocks that the power asks for.</summary>
    public required int BlocksWanted { get; init; }

    /// <summary>The blocks.</summary>
    public required IReadOnlyList<TrialBlock> Blocks { get; init; }

    /// <summary>The plots, or their parts.</summary>
    public required IReadOnlyList<TrialPlot> Plots { get; init; }

    /// <summary>Where to measure.</summary>
    public required IReadOnlyList<TrialPoint> Points { get; init; }

    /// <summary>What there is to say of it, one sentence each.</summary>
    public required IReadOnlyList<string> Notes { get; init; }

    /// <summary>Number of plots, parts of one counted once.</summary>
    public int WholePlots => Plots.Select(p => p.Whole).Distinct().Count();
}
