using Keyline.Layout;

namespace Keyline.Guidance;

/// <summary>Whose way a line for guidance is.</summary>
public enum FollowedLine
{
    /// <summary>The tractor's centre: beside the planned line where the implement is mounted to one side.</summary>
    Tractor,

    /// <summary>The middle of the implement, which is the planned line.</summary>
    Implement,

    /// <summary>Every shank: one line a rip in the ground.</summary>
    Shanks,
}

/// <summary>What a display can hold, and how closely its lines must keep to the plan.</summary>
/// <remarks>Units: metres. Source: defaults are common practice, no source.</remarks>
public sealed record GuidanceOptions
{
    /// <summary>Overlap of the parts of a divided line when none is given, metres: a few seconds of driving.</summary>
    public const double DefaultOverlap = 20.0;

    /// <summary>Cross-track error allowed in leaving points out, metres, 0 or more.</summary>
    public double Tolerance { get; init; } = LineThinning.DefaultTolerance;

    /// <summary>Greatest distance between neighbouring points, metres; infinite for no limit.</summary>
    public double GreatestGap { get; init; } = LineThinning.DefaultGreatestGap;

    /// <summary>Most points in one line, 3 or more; longer lines are divided.</summary>
    public int MostPoints { get; init; } = int.MaxValue;

    /// <summary>How far the parts of a divided line overlap, metres, 0 or more; at least two points are shared.</summary>
    public double Overlap { get; init; } = DefaultOverlap;

    /// <summary>Straight way added before the first point, metres; cut where it would leave the field or enter what is kept clear of.</summary>
    public double LeadIn { get; init; }

    /// <summary>Straight way added after the last point, metres; cut likewise.</summary>
    public double LeadOut { get; init; }

    /// <summary>A line whose points all lie this close to the straight way between its ends counts as straight, metres, 0 or more.</summary>
    public double StraightTolerance { get; init; } = LineThinning.DefaultTolerance;

    /// <summary>How far the middle of the implement is mounted to the right of the tractor's centre, metres; below 0 to the left.</summary>
    public double ImplementOffset { get; init; }

    /// <summary>Whose way the lines are.</summary>
    public FollowedLine Follows { get; init; } = FollowedLine.Tractor;

    /// <summary>The shanks of the implement, needed where every shank's way is wanted.</summary>
    public ShankSet? Shanks { get; init; }

    /// <summary>What has to be read before anything is driven, short: it stands in every file that has room for words, and with every line; empty for nothing.</summary>
    public string Notice { get; init; } = "";

    /// <summary>Checks the values against each other.</summary>
    /// <exception cref="ArgumentException">One of them cannot be followed; the message says which.</exception>
    public void Validate()
    {
        string? fault =
            !(Tolerance >= 0) || !double.IsFinite(Tolerance) ? "The cross-track error must be a finite number of metres, 0 or more."
            : !(GreatestGap > 0) ? "The greatest gap must be above 0 m."
            : MostPoints < 3 ? "A line has three points or more, so no smaller limit can be kept."
            : !(Overlap >= 0) || !double.IsFinite(Overlap) ? "The overlap must be a finite number of metres, 0 or more."
            : !(LeadIn >= 0 && LeadIn <= LongestLead && LeadOut >= 0 && LeadOut <= LongestLead) ? FormattableString.Invariant($"A lead into or out of a line is from 0 to {LongestLead:F0} m long.")
            : !(StraightTolerance >= 0) || !double.IsFinite(StraightTolerance) ? "The tolerance of a straight line must be a finite number of metres, 0 or more."
            : !(Math.Abs(ImplementOffset) <= WidestOffset) ? FormattableString.Invariant($"An implement is mounted within {WidestOffset:F0} m of the tractor's centre.")
            : Follows == FollowedLine.Shanks && Shanks is null ? "The ways of the shanks need the number of shanks and the distance between them."
            : null;
        if (fault is not null)
        {
            throw new ArgumentException(fault);
        }
    }

    private const double LongestLead = 1000;
    private const double WidestOffset = 20;

    /// <summary>Whether the lines are the planned ones, neither shifted nor multiplied.</summary>
    public bool SideOffsetIsNone => SideOffsets is [0.0];

    /// <summary>How far to the right of the planned line each way lies, metres.</summary>
    internal IReadOnlyList<double> SideOffsets => Follows switch
    {
        FollowedLine.Tractor => [-ImplementOffset],
        FollowedLine.Implement => [0.0],
        _ => [.. Enumerable.Range(0, Shanks!.Count).Select(i => (i - ((Shanks.Count - 1) / 2.0)) * Shanks.Spacing)],
    };
}
