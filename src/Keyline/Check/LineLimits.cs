namespace Keyline.Check;

/// <summary>What lines are held to, whoever drew them. All lengths are metres, all grades percent.</summary>
public sealed record LineLimits
{
    /// <summary>Default steepest grade along a line, percent. Common practice, no source; local standards rule.</summary>
    public const double DefaultMaximumGrade = 2.0;

    /// <summary>Default least turning radius, metres. Common practice, no source.</summary>
    public const double DefaultMinimumRadius = 8.0;

    /// <summary>Default width left along the boundary, metres. Common practice, no source.</summary>
    public const double DefaultHeadland = 6.0;

    /// <summary>Default least length of a line, metres. Common practice, no source.</summary>
    public const double DefaultMinimumLength = 30.0;

    /// <summary>Default steepest land worked, percent. Common practice, no source.</summary>
    public const double DefaultMaximumSlope = 15.0;

    /// <summary>Default steepest side slope, degrees. Common practice, no source; the machine's manual rules.</summary>
    public const double DefaultMaximumSideSlope = 15.0;

    /// <value>Metres between neighbouring lines, measured level across them; NaN where none is asked for, and then nothing is
    /// judged by it. Default NaN.</value>
    public double Spacing { get; init; } = double.NaN;

    /// <value>Steepest grade along a line, percent. Default 2.</value>
    public double MaximumGrade { get; init; } = DefaultMaximumGrade;

    /// <value>Least radius of a turn along a line, metres. Default 8.</value>
    public double MinimumRadius { get; init; } = DefaultMinimumRadius;

    /// <value>Width left unworked inside the boundary, metres. Default 6.</value>
    public double Headland { get; init; } = DefaultHeadland;

    /// <value>Shortest line, metres. Default 30.</value>
    public double MinimumLength { get; init; } = DefaultMinimumLength;

    /// <value>Land steeper than this is not worked, percent. Default 15.</value>
    public double MaximumSlope { get; init; } = DefaultMaximumSlope;

    /// <value>The rule that the grade limit follows from place to place, or null: then <see cref="MaximumGrade"/> holds everywhere.</value>
    public RowGradeRule? RowGrade { get; init; }

    /// <value>Gentlest mean fall of a line that drifts, percent; a line flatter than this along its whole course is a finding.
    /// Default 0: none is asked for.</value>
    public double MinimumFall { get; init; }

    /// <value>Steepest side slope for the tractor, degrees; land steeper than this is not worked either. Default 15, a setting of
    /// the user's machine and no standard.</value>
    public double MaximumSideSlope { get; init; } = DefaultMaximumSideSlope;

    /// <value>Longest stretch of a line that may fall one way without an outlet, metres; infinite where none is asked for.</value>
    public double CriticalLength { get; init; } = double.PositiveInfinity;

    /// <summary>The grade limit at a place.</summary>
    /// <param name="landSlope">Slope of the land, percent.</param>
    /// <param name="outletDistance">Distance to the nearest stable outlet, metres; infinite where there is none.</param>
    /// <returns>Percent.</returns>
    public double GradeLimitAt(double landSlope, double outletDistance) => RowGrade?.LimitAt(landSlope, outletDistance) ?? MaximumGrade;

    /// <summary>Steepest land worked, percent: the slope limit or the side slope limit, whichever is less.</summary>
    internal double SteepestLand => Math.Min(MaximumSlope, 100 * Math.Tan(MaximumSideSlope * Math.PI / 180));

    /// <summary>Checks every value.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A value that nothing can be measured against; the message says which and why.</exception>
    public void Validate()
    {
        if (!double.IsNaN(Spacing))
        {
            OptionRules.Above(Spacing, 0, nameof(Spacing), "m");
        }

        OptionRules.Above(MaximumGrade, 0, nameof(MaximumGrade), "%");
        OptionRules.AtLeast(MinimumRadius, 0, nameof(MinimumRadius), "m");
        OptionRules.AtLeast(Headland, 0, nameof(Headland), "m");
        OptionRules.AtLeast(MinimumLength, 0, nameof(MinimumLength), "m");
        OptionRules.Above(MaximumSlope, 0, nameof(MaximumSlope), "%");
        OptionRules.AtLeast(MinimumFall, 0, nameof(MinimumFall), "%");
        OptionRules.Above(MaximumSideSlope, 0, nameof(MaximumSideSlope), "degrees");
        OptionRules.Below(MaximumSideSlope, 90, nameof(MaximumSideSlope), "degrees");
        OptionRules.AboveOrNone(CriticalLength, 0, nameof(CriticalLength), "m");
        RowGrade?.Validate();
        if (MinimumFall > MaximumGrade)
        {
            throw new ArgumentOutOfRangeException(nameof(MinimumFall), MinimumFall, FormattableString.Invariant($"MinimumFall must not be above MaximumGrade, which is {MaximumGrade} %."));
        }
    }
}
