namespace Keyline.Report;

/// <summary>What was driven, held against the plan.</summary>
/// <remarks>Units: metres, square metres, percent; shares from 0 to 1.</remarks>
public sealed record ReportedDriven
{
    /// <value>Length planned.</value>
    public double Planned { get; init; }

    /// <value>Length of it that was driven.</value>
    public double Driven { get; init; }

    /// <value>Driven more than once.</value>
    public double Repeated { get; init; }

    /// <value>Lines driven whole.</value>
    public int Whole { get; init; }

    /// <value>Lines driven in part.</value>
    public int InPart { get; init; }

    /// <value>Lines left out among those driven.</value>
    public int Left { get; init; }

    /// <value>Lines whose turn is still to come.</value>
    public int NotReached { get; init; }

    /// <value>Error across the line that is allowed.</value>
    public double Allowed { get; init; } = double.NaN;

    /// <value>Share of the driven length within it.</value>
    public double WithinAllowed { get; init; } = double.NaN;

    /// <value>Error that 95 % of the driven length keeps within.</value>
    public double Error95 { get; init; } = double.NaN;

    /// <value>The greatest.</value>
    public double GreatestError { get; init; } = double.NaN;

    /// <value>Distance between neighbouring passes, the median.</value>
    public double Spacing { get; init; } = double.NaN;

    /// <value>Error of that distance that 95 % of the length keeps within.</value>
    public double SpacingError95 { get; init; } = double.NaN;

    /// <value>Grade that 95 % of the length keeps below, percent.</value>
    public double Grade95 { get; init; } = double.NaN;

    /// <value>Ground in strips wider than planned.</value>
    public double Gaps { get; init; } = double.NaN;

    /// <value>Ground in strips narrower than planned.</value>
    public double Overlaps { get; init; } = double.NaN;

    /// <value>Stretches to look at.</value>
    public IReadOnlyList<ReportedStretch> Stretches { get; init; } = [];
}

/// <summary>A stretch that was not driven as planned.</summary>
/// <param name="Kind">skipped, repeated, off-line, too-steep or steep-as-planned.</param>
/// <param name="Line">The line.</param>
/// <param name="Length">Its length, metres.</param>
/// <param name="Worst">Metres off the line, or percent of grade; NaN for the other kinds.</param>
public sealed record ReportedStretch(string Kind, string Line, double Length, double Worst);
