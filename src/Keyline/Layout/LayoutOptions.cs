using Keyline.Check;
using Keyline.Layout.Even;

namespace Keyline.Layout;

/// <summary>What a layout is made with: the limits its lines are held to, and what guides the choice among plans that hold
/// them. All lengths are metres, all grades percent.</summary>
public sealed record LayoutOptions
{
    /// <summary>Default share of the spacing that lines of the even pattern may miss.</summary>
    public const double DefaultSpacingTolerance = EvenSettings.DefaultTolerance;

    /// <summary>Default worth of the wished directions against line ends in the even pattern.</summary>
    public const double DefaultDriftWorth = EvenSettings.DefaultDriftWorth;

    /// <summary>Default least fall wished for in the even pattern, percent.</summary>
    public const double DefaultLeastFall = EvenSettings.DefaultLeastFall;

    /// <summary>Default fall from valley toward ridge, percent. Chosen by trial on thirteen fields (docs/decisions).</summary>
    public const double DefaultDesignFall = 0.8;

    /// <summary>The limits, as the check takes them.</summary>
    public LineLimits Limits { get; private init; } = new();

    /// <value>Metres between neighbouring lines, measured level across them.</value>
    public required double Spacing { get => Limits.Spacing; init => Limits = Limits with { Spacing = value }; }

    /// <value>Steepest grade along a line, percent. Default 2.</value>
    public double MaximumGrade { get => Limits.MaximumGrade; init => Limits = Limits with { MaximumGrade = value }; }

    /// <value>Least radius of a turn along a line, metres. Default 8.</value>
    public double MinimumRadius { get => Limits.MinimumRadius; init => Limits = Limits with { MinimumRadius = value }; }

    /// <value>Width left unworked inside the boundary, metres. Default 6.</value>
    public double Headland { get => Limits.Headland; init => Limits = Limits with { Headland = value }; }

    /// <value>Lines shorter than this are left out, metres. Default 30.</value>
    public double MinimumLength { get => Limits.MinimumLength; init => Limits = Limits with { MinimumLength = value }; }

    /// <value>Land steeper than this is left out, percent. Default 15.</value>
    public double MaximumSlope { get => Limits.MaximumSlope; init => Limits = Limits with { MaximumSlope = value }; }

    /// <value>The rule that the grade limit follows from place to place, or null: then <see cref="MaximumGrade"/> holds everywhere.</value>
    public RowGradeRule? RowGrade { get => Limits.RowGrade; init => Limits = Limits with { RowGrade = value }; }

    /// <value>Gentlest mean fall of a line that drifts, percent; a line flatter than this along its whole course is a finding.
    /// Default 0: none is asked for.</value>
    public double MinimumFall { get => Limits.MinimumFall; init => Limits = Limits with { MinimumFall = value }; }

    /// <value>Steepest side slope for the tractor, degrees; land steeper than this is left out too. Default 15, a setting of
    /// the user's machine and no standard.</value>
    public double MaximumSideSlope { get => Limits.MaximumSideSlope; init => Limits = Limits with { MaximumSideSlope = value }; }

    /// <value>Longest stretch of a line that may fall one way without an outlet, metres; infinite where none is asked for.</value>
    public double CriticalLength { get => Limits.CriticalLength; init => Limits = Limits with { CriticalLength = value }; }

    /// <value>Fall of a guide from valley toward ridge, percent; 0 makes guides true contours. Default 0.8.</value>
    public double DesignFall { get; init; } = DefaultDesignFall;

    /// <value>What each shortcoming costs when guides are chosen.</value>
    public LayoutPrices Prices { get; init; } = new();

    /// <value>The implement's shanks, or null for one: then a line is a rip. Its rips must fit between two passes.</value>
    public ShankSet? Shanks { get; init; }

    /// <value>How lines follow each other over the field. Default <see cref="LinePattern.Even"/>, for docs/layout-figures.md.</value>
    public LinePattern Pattern { get; init; } = LinePattern.Even;

    /// <value>Bearing of the lines of <see cref="LinePattern.Straight"/>, degrees clockwise from grid north, 0 to 360; NaN, the default, for the one
    /// that breaks the grade limit least.</value>
    public double Bearing { get; init; } = double.NaN;

    /// <value>Most levels and pinned lines that may be guides of the parallel pattern, or null for as many as pay. Guides through
    /// keypoints and pinned ones are kept even where they are more.</value>
    public int? MostGuides { get; init; }

    /// <value>Shortest mean length of a line that is put up with, metres: drift is given up for longer lines until they are that long.
    /// Default 0: none is asked for.</value>
    public double LeastMeanLength { get; init; }

    /// <value>Share (0 to 1) of the spacing by which a line of the even pattern may miss its neighbour, for nine tenths of its
    /// length: aimed at, not promised. Default 0.1.</value>
    public double SpacingTolerance { get; init; } = DefaultSpacingTolerance;

    /// <value>What the wished directions are worth against line ends in the even pattern: 2 pays two line ends for what 1 pays
    /// one for. Default 1.</value>
    public double DriftWorth { get; init; } = DefaultDriftWorth;

    /// <value>Least fall toward the ridge wished for in the even pattern where the land says which way that is, percent; 0 asks
    /// only that lines hold the grade limit. Default 0.4.</value>
    public double LeastFall { get; init; } = DefaultLeastFall;

    /// <summary>Checks every value.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A value that no layout can be made with; the message says which and why.</exception>
    public void Validate()
    {
        OptionRules.Above(Spacing, 0, nameof(Spacing), "m");
        Limits.Validate();
        OptionRules.AtLeast(DesignFall, 0, nameof(DesignFall), "%");
        Prices.Validate();
        OptionRules.Above(SpacingTolerance, 0, nameof(SpacingTolerance), "of the spacing");
        OptionRules.Below(SpacingTolerance, 0.5, nameof(SpacingTolerance), "of the spacing");
        OptionRules.Above(DriftWorth, 0, nameof(DriftWorth), "line ends");
        OptionRules.AtLeast(LeastFall, 0, nameof(LeastFall), "%");
        OptionRules.AtLeast(LeastMeanLength, 0, nameof(LeastMeanLength), "m");
        if (MostGuides is { } most)
        {
            OptionRules.AtLeast(most, 1, nameof(MostGuides), "guides");
            if (Pattern != LinePattern.Parallel)
            {
                throw new ArgumentOutOfRangeException(nameof(MostGuides), most, "The number of guides can be held only in the parallel pattern: no other chooses guides.");
            }
        }

        if (!double.IsNaN(Bearing))
        {
            OptionRules.AtLeast(Bearing, 0, nameof(Bearing), "degrees");
            OptionRules.Below(Bearing, 360, nameof(Bearing), "degrees");
        }

        if (Shanks?.Fault(Spacing) is { } fault)
        {
            throw new ArgumentOutOfRangeException(nameof(Shanks), Shanks, fault);
        }

        if (DesignFall > MaximumGrade)
        {
            throw new ArgumentOutOfRangeException(nameof(DesignFall), DesignFall, "The design fall must not be above the greatest grade.");
        }
    }
}
