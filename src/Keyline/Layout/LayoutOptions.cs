namespace Keyline.Layout;

/// <summary>What the layout must hold to. All lengths are metres, all grades percent.</summary>
public sealed record LayoutOptions
{
    /// <summary>Default steepest grade along a line, percent.</summary>
    public const double DefaultMaximumGrade = 2.0;

    /// <summary>Default fall from valley toward ridge, percent.</summary>
    public const double DefaultDesignFall = 0.8;

    /// <summary>Default least turning radius, metres.</summary>
    public const double DefaultMinimumRadius = 8.0;

    /// <summary>Default width left along the boundary, metres.</summary>
    public const double DefaultHeadland = 6.0;

    /// <summary>Default least length of a line, metres.</summary>
    public const double DefaultMinimumLength = 30.0;

    /// <summary>Default steepest land worked, percent.</summary>
    public const double DefaultMaximumSlope = 15.0;

    /// <summary>Default steepest side slope, degrees.</summary>
    public const double DefaultMaximumSideSlope = 15.0;

    /// <value>Metres between neighbouring lines, measured level across them.</value>
    public required double Spacing { get; init; }

    /// <value>Steepest grade along a line, percent. Default 2.</value>
    public double MaximumGrade { get; init; } = DefaultMaximumGrade;

    /// <value>Fall of a guide from valley toward ridge, percent; 0 makes guides true contours. Default 0.8.</value>
    public double DesignFall { get; init; } = DefaultDesignFall;

    /// <value>Least radius of a turn along a line, metres. Default 8.</value>
    public double MinimumRadius { get; init; } = DefaultMinimumRadius;

    /// <value>Width left unworked inside the boundary, metres. Default 6.</value>
    public double Headland { get; init; } = DefaultHeadland;

    /// <value>Lines shorter than this are left out, metres. Default 30.</value>
    public double MinimumLength { get; init; } = DefaultMinimumLength;

    /// <value>Land steeper than this is left out, percent. Default 15.</value>
    public double MaximumSlope { get; init; } = DefaultMaximumSlope;

    /// <value>The rule that the grade limit follows from place to place, or null: then <see cref="MaximumGrade"/> holds everywhere.</value>
    public RowGradeRule? RowGrade { get; init; }

    /// <value>Gentlest mean fall of a line that drifts, percent; a line flatter than this along its whole course is a finding.
    /// Default 0: none is asked for.</value>
    public double MinimumFall { get; init; }

    /// <value>Steepest side slope for the tractor, degrees; land steeper than this is left out too. Default 15, a setting of
    /// the user's machine and no standard.</value>
    public double MaximumSideSlope { get; init; } = DefaultMaximumSideSlope;

    /// <value>Longest stretch of a line that may fall one way without an outlet, metres; infinite where none is asked for.</value>
    public double CriticalLength { get; init; } = double.PositiveInfinity;

    /// <value>What each shortcoming costs when guides are chosen.</value>
    public LayoutPrices Prices { get; init; } = new();

    /// <value>The implement's shanks, or null for one: then a line is a rip. Its rips must fit between two passes.</value>
    public ShankSet? Shanks { get; init; }

    /// <summary>The grade limit at a place.</summary>
    /// <param name="landSlope">Slope of the land, percent.</param>
    /// <param name="outletDistance">Distance to the nearest stable outlet, metres; infinite where there is none.</param>
    /// <returns>Percent.</returns>
    public double GradeLimitAt(double landSlope, double outletDistance) => RowGrade?.LimitAt(landSlope, outletDistance) ?? MaximumGrade;

    /// <summary>Steepest land worked, percent: the slope limit or the side slope limit, whichever is less.</summary>
    internal double SteepestLand => Math.Min(MaximumSlope, 100 * Math.Tan(MaximumSideSlope * Math.PI / 180));

    /// <summary>Checks every value.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A value that no layout can be made with; the message says which and why.</exception>
    public void Validate()
    {
        Above(Spacing, 0, nameof(Spacing), "m");
        Above(MaximumGrade, 0, nameof(MaximumGrade), "%");
        AtLeast(DesignFall, 0, nameof(DesignFall), "%");
        AtLeast(MinimumRadius, 0, nameof(MinimumRadius), "m");
        AtLeast(Headland, 0, nameof(Headland), "m");
        AtLeast(MinimumLength, 0, nameof(MinimumLength), "m");
        Above(MaximumSlope, 0, nameof(MaximumSlope), "%");
        AtLeast(MinimumFall, 0, nameof(MinimumFall), "%");
        Above(MaximumSideSlope, 0, nameof(MaximumSideSlope), "degrees");
        if (!(CriticalLength > 0))
        {
            throw new ArgumentOutOfRangeException(nameof(CriticalLength), CriticalLength, "CriticalLength must be above 0 m.");
        }

        if (!(MaximumSideSlope < 90))
        {
            throw new ArgumentOutOfRangeException(nameof(MaximumSideSlope), MaximumSideSlope, "MaximumSideSlope must be below 90 degrees.");
        }

        Prices.Validate();
        if (Shanks?.Fault(Spacing) is { } fault)
        {
            throw new ArgumentOutOfRangeException(nameof(Shanks), Shanks, fault);
        }

        if (DesignFall > MaximumGrade)
        {
            throw new ArgumentOutOfRangeException(nameof(DesignFall), DesignFall, "The design fall must not be above the greatest grade.");
        }
    }

    private static void Above(double value, double limit, string name, string unit)
    {
        if (!(value > limit) || !double.IsFinite(value))
        {
            throw new ArgumentOutOfRangeException(name, value, FormattableString.Invariant($"{name} must be above {limit} {unit}."));
        }
    }

    private static void AtLeast(double value, double limit, string name, string unit)
    {
        if (!(value >= limit) || !double.IsFinite(value))
        {
            throw new ArgumentOutOfRangeException(name, value, FormattableString.Invariant($"{name} must be {limit} {unit} or more."));
        }
    }
}
