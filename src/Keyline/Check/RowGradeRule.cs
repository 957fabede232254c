namespace Keyline.Check;

/// <summary>How steep a line may run, from the slope of the land it runs on and how far off a stable outlet is.</summary>
/// <remarks>
/// <para>Units: percent and metres.</para>
/// <para>Source: the rules named here are those of conservation practice standards of the US Natural Resources Conservation
/// Service, as cited at each. Editions and states differ, and the local standard rules.</para>
/// </remarks>
public sealed record RowGradeRule
{
    private const double OutletReach = 45.72;

    /// <summary>Steepest grade anywhere, percent.</summary>
    public required double Cap { get; init; }

    /// <summary>Share (0 to 1) of the land's slope that a line may have; infinite where the land's slope has no say.</summary>
    public double ShareOfSlope { get; init; } = double.PositiveInfinity;

    /// <summary>What the limit is raised to near an outlet, percent; NaN where it is not raised to a fixed grade.</summary>
    public double CapNearOutlet { get; init; } = double.NaN;

    /// <summary>What the limit is multiplied by near an outlet, 1 or more.</summary>
    public double FactorNearOutlet { get; init; } = 1;

    /// <summary>How far from a stable outlet that holds, metres: 45.72 (150 ft) in the standards named here.</summary>
    public double OutletDistance { get; init; } = OutletReach;

    /// <summary>Name, for reports and messages.</summary>
    public required string Name { get; init; }

    /// <summary>At most 2 % and half the land's slope, up to 3 % within 150 ft of a stable outlet.</summary>
    /// <remarks>Source: NRCS Conservation Practice Standard 330, Contour Farming, "Maximum Row Grade", national text of 1997 or later (it
    /// cites Agriculture Handbook 703 of 1997; the copy read bears no date of its own).</remarks>
    public static RowGradeRule ContourFarming { get; } = new() { Name = "contour-farming", Cap = 2, ShareOfSlope = 0.5, CapNearOutlet = 3 };

    /// <summary>At most 10 % and half the land's slope, a quarter more within 150 ft of a stable outlet.</summary>
    /// <remarks>Source: NRCS Conservation Practice Standard 331, Contour Orchard and Other Perennial Crops, "Row Grade", California, July 1996.</remarks>
    public static RowGradeRule ContourOrchard { get; } = new() { Name = "contour-orchard", Cap = 10, ShareOfSlope = 0.5, FactorNearOutlet = 1.25 };

    /// <summary>As <see cref="ContourOrchard"/> with a cap of 4 %.</summary>
    /// <remarks>Source: NRCS Conservation Practice Standard 331, "Row Grade", national text after 1996, for ground without cover (the copy read bears
    /// no date of its own).</remarks>
    public static RowGradeRule ContourOrchardBare { get; } = new() { Name = "contour-orchard-bare", Cap = 4, ShareOfSlope = 0.5, FactorNearOutlet = 1.25 };

    /// <summary>The rules named here.</summary>
    public static IReadOnlyList<RowGradeRule> Known { get; } = [ContourFarming, ContourOrchard, ContourOrchardBare];

    /// <summary>One limit everywhere.</summary>
    /// <param name="percent">The limit, percent, above 0.</param>
    public static RowGradeRule Fixed(double percent) => new() { Name = FormattableString.Invariant($"{percent:0.##} %"), Cap = percent };

    /// <summary>Checks every value.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A value that no limit can be; the message says which and why.</exception>
    public void Validate()
    {
        OptionRules.Above(Cap, 0, nameof(Cap), "%");
        OptionRules.AboveOrNone(ShareOfSlope, 0, nameof(ShareOfSlope), "of the slope");
        OptionRules.AtLeast(FactorNearOutlet, 1, nameof(FactorNearOutlet), "times");
        OptionRules.AtLeast(OutletDistance, 0, nameof(OutletDistance), "m");
        if (!double.IsNaN(CapNearOutlet))
        {
            OptionRules.AtLeast(CapNearOutlet, Cap, nameof(CapNearOutlet), "%");
        }

        if (string.IsNullOrWhiteSpace(Name))
        {
            throw new ArgumentOutOfRangeException(nameof(Name), Name, "A row grade rule must have a name.");
        }
    }

    /// <summary>The limit at a place.</summary>
    /// <param name="landSlope">Slope of the land, percent.</param>
    /// <param name="outletDistance">Distance to the nearest stable outlet, metres; infinite where there is none.</param>
    /// <returns>Steepest grade of a line there, percent.</returns>
    public double LimitAt(double landSlope, double outletDistance)
    {
        double limit = double.IsFinite(ShareOfSlope) ? Math.Min(Cap, ShareOfSlope * landSlope) : Cap;
        if (outletDistance > OutletDistance)
        {
            return limit;
        }

        // Near an outlet a fixed cap takes the place of the ordinary one; a factor stretches it.
        double near = double.IsNaN(CapNearOutlet) ? limit : Math.Max(limit, CapNearOutlet);
        return near * FactorNearOutlet;
    }
}
