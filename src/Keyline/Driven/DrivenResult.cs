using NetTopologySuite.Geometries;

namespace Keyline.Driven;

/// <summary>One run of the implement along a planned line.</summary>
public sealed record DrivenPass
{
    /// <summary>Id of the planned line.</summary>
    public required string LineId { get; init; }

    /// <summary>Which pass of the track, from 1, in the order driven.</summary>
    public required int Number { get; init; }

    /// <summary>Whether it was driven against the planned direction.</summary>
    public required bool IsReversed { get; init; }

    /// <summary>Where along the planned line it begins, metres from the line's start; below <see cref="To"/> whichever way it was driven.</summary>
    public required double From { get; init; }

    /// <summary>Where along the planned line it ends, metres.</summary>
    public required double To { get; init; }

    /// <summary>Cross-track error, mean, metres, positive where the implement went to the right of the line as it was driven.</summary>
    public required double MeanError { get; init; }

    /// <summary>Cross-track error, root mean square, metres.</summary>
    public required double RootMeanSquareError { get; init; }

    /// <summary>Size of the cross-track error that 95 % of the length keep within, metres.</summary>
    public required double Error95 { get; init; }

    /// <summary>Greatest size of the cross-track error, metres.</summary>
    public required double GreatestError { get; init; }

    /// <summary>Mean size of the grade driven, percent; NaN where heights are not known or the pass is shorter than a grade's base.</summary>
    public required double MeanGrade { get; init; }

    /// <summary>Steepest grade driven, percent; NaN likewise.</summary>
    public required double MaximumGrade { get; init; }

    /// <summary>Steepest grade of the planned line along the same stretch by the plan's own heights, percent; NaN where it has none.</summary>
    public required double PlannedMaximumGrade { get; init; }

    /// <summary>The way of the implement, in the order driven, projected metres.</summary>
    public required LineString Path { get; init; }

    /// <summary>How much of the planned line it covers, metres.</summary>
    public double Length => To - From;
}

/// <summary>What became of one planned line.</summary>
/// <param name="Id">Its id.</param>
/// <param name="Sequence">Its place in the planned driving order.</param>
/// <param name="Length">Its planned length, metres.</param>
/// <param name="Driven">How much of it was driven, metres.</param>
/// <param name="Repeated">How much of it was driven more than once, metres.</param>
/// <param name="Passes">How many passes were driven along it.</param>
/// <param name="MeanError">Cross-track error over its passes, mean, metres, positive to the right as driven; NaN where there is none.</param>
/// <param name="RootMeanSquareError">The same, root mean square.</param>
/// <param name="GreatestError">Greatest size of the error, metres; NaN where there is none.</param>
/// <param name="MaximumGrade">Steepest grade driven, percent, or NaN.</param>
/// <param name="MedianSpacing">Median distance to the passes along neighbouring lines, metres, or NaN.</param>
public sealed record DrivenLine(
    string Id, int Sequence, double Length, double Driven, double Repeated, int Passes, double MeanError, double RootMeanSquareError, double GreatestError, double MaximumGrade, double MedianSpacing);

/// <summary>What is to be told of a stretch of a planned line.</summary>
public enum DrivenStretchKind
{
    /// <summary>Planned and not driven.</summary>
    Skipped,

    /// <summary>Driven more than once.</summary>
    Repeated,

    /// <summary>Driven farther off the line than allowed.</summary>
    OffLine,

    /// <summary>Driven steeper than allowed, where the plan is not as steep.</summary>
    TooSteep,

    /// <summary>Driven steeper than allowed where the plan's own heights are as steep: a matter of the plan, not of the driving.</summary>
    SteepAsPlanned,

    /// <summary>A whole line after the last one driven, in the planned order: its turn is still to come.</summary>
    NotReached,
}

/// <summary>A stretch of a planned line that something is to be told of.</summary>
/// <param name="Kind">What.</param>
/// <param name="LineId">Id of the planned line.</param>
/// <param name="From">Where along the line it begins, metres from its start.</param>
/// <param name="To">Where it ends, metres.</param>
/// <param name="Worst">The greatest error in metres where it was driven off the line, the steepest grade in percent where too
/// steep, how often it was driven where repeated, else 0.</param>
/// <param name="Path">The stretch of the planned line, projected metres.</param>
/// <param name="Sentence">The same for a person.</param>
public sealed record DrivenStretch(DrivenStretchKind Kind, string LineId, double From, double To, double Worst, LineString Path, string Sentence);

/// <summary>A displacement that most of the cross-track errors have in common.</summary>
/// <param name="East">How far east of the plan the track lies, metres; 0 where it is a displacement to the right.</param>
/// <param name="North">How far north, metres.</param>
/// <param name="Right">How far to the right of the direction of travel, metres; 0 where it is a displacement on the map.</param>
/// <param name="Remaining">Root mean square of the errors without it, metres.</param>
/// <remarks>A displacement on the map comes of another datum or correction service; one to the right of travel, whichever way
/// it goes, comes of an antenna or implement off the centre line, or of side draft.</remarks>
public readonly record struct SteadyShift(double East, double North, double Right, double Remaining);

/// <summary>A track held against planned lines, in figures.</summary>
public sealed record DrivenFigures
{
    /// <summary>Planned length, metres.</summary>
    public double Planned { get; init; }

    /// <summary>Planned length that was driven, metres.</summary>
    public double Driven { get; init; }

    /// <summary>Planned length that was driven more than once, metres.</summary>
    public double Repeated { get; init; }

    /// <summary>Length of the track along planned lines, metres.</summary>
    public double OnLines { get; init; }

    /// <summary>Length of the track elsewhere, metres: turns, ways there and back, and work that was not planned.</summary>
    public double Elsewhere { get; init; }

    /// <summary>Planned lines driven from end to end but for stretches too short to tell of.</summary>
    public int LinesWhole { get; init; }

    /// <summary>Planned lines driven in part.</summary>
    public int LinesInPart { get; init; }

    /// <summary>Planned lines not driven though a later one in the planned order was.</summary>
    public int LinesLeft { get; init; }

    /// <summary>Planned lines after the last one driven in the planned order: not yet reached.</summary>
    public int LinesNotReached { get; init; }

    /// <summary>Cross-track error, mean, metres, positive to the right as driven; NaN where nothing was on a line.</summary>
    public double MeanError { get; init; } = double.NaN;

    /// <summary>Cross-track error, root mean square, metres.</summary>
    public double RootMeanSquareError { get; init; } = double.NaN;

    /// <summary>Size of the error that 95 % of the length on lines keep within, metres.</summary>
    public double Error95 { get; init; } = double.NaN;

    /// <summary>Greatest size of the error, metres.</summary>
    public double GreatestError { get; init; } = double.NaN;

    /// <summary>Share of the length on lines within the error allowed, 0 to 1.</summary>
    public double WithinErrorShare { get; init; } = double.NaN;

    /// <summary>Median size of the grade driven, percent, or NaN.</summary>
    public double MedianGrade { get; init; } = double.NaN;

    /// <summary>Grade that 95 % of the length keep within, percent, or NaN.</summary>
    public double Grade95 { get; init; } = double.NaN;

    /// <summary>Steepest grade driven, percent, or NaN.</summary>
    public double MaximumGrade { get; init; } = double.NaN;

    /// <summary>Median distance between passes along neighbouring lines, metres, or NaN.</summary>
    public double MedianSpacing { get; init; } = double.NaN;

    /// <summary>Distance that 5 % of the length fall short of, metres, or NaN.</summary>
    public double Spacing05 { get; init; } = double.NaN;

    /// <summary>Distance that 5 % of the length exceed, metres, or NaN.</summary>
    public double Spacing95 { get; init; } = double.NaN;

    /// <summary>How much the distance between neighbouring passes differs from the planned one along 95 % of the length, metres, or NaN.</summary>
    public double SpacingError95 { get; init; } = double.NaN;

    /// <summary>Ground between neighbouring passes that lie closer than planned, as if worked twice, square metres, or NaN.</summary>
    public double OverlapArea { get; init; } = double.NaN;

    /// <summary>Ground left between neighbouring passes that lie farther apart than planned, square metres, or NaN.</summary>
    public double GapArea { get; init; } = double.NaN;
}

/// <summary>A track held against planned lines.</summary>
public sealed class DrivenResult
{
    internal DrivenResult(IReadOnlyList<DrivenLine> lines, IReadOnlyList<DrivenPass> passes, IReadOnlyList<DrivenStretch> stretches, DrivenFigures figures, SteadyShift? shift, IReadOnlyList<LineString> elsewhere) =>
        (Lines, Passes, Stretches, Figures, Shift, Elsewhere) = (lines, passes, stretches, figures, shift, elsewhere);

    /// <summary>The planned lines, in the order given.</summary>
    public IReadOnlyList<DrivenLine> Lines { get; }

    /// <summary>The passes, in the order driven.</summary>
    public IReadOnlyList<DrivenPass> Passes { get; }

    /// <summary>Stretches to tell of: skipped, driven more than once, off the line, too steep, steep as planned, not yet reached; of
    /// each in the order of the planned lines.</summary>
    public IReadOnlyList<DrivenStretch> Stretches { get; }

    /// <summary>Those that are not as planned: the stretches but for what is as steep as it was planned and what is not yet reached.</summary>
    public IEnumerable<DrivenStretch> NotAsPlanned => Stretches.Where(s => s.Kind is not (DrivenStretchKind.SteepAsPlanned or DrivenStretchKind.NotReached));

    /// <summary>Over all lines.</summary>
    public DrivenFigures Figures { get; }

    /// <summary>A displacement that most of the errors have in common, or null where none explains them.</summary>
    public SteadyShift? Shift { get; }

    /// <summary>The displacement that was taken off the track before it was judged, or null.</summary>
    public SteadyShift? TakenOff { get; internal init; }

    /// <summary>The rest of the track: turns, ways there and back, and work that was not planned.</summary>
    public IReadOnlyList<LineString> Elsewhere { get; }
}
