using Keyline.Planar;

namespace Keyline.Layout.Even;

/// <summary>What the even pattern is asked to balance: spacing held, drift and line ends.</summary>
/// <remarks>Lengths are metres, grades percent. One place holds the defaults, so that what drift is worth is one dial.</remarks>
internal sealed record EvenSettings
{
    /// <summary>Default share of the spacing by which nine tenths of the length may miss it.</summary>
    public const double DefaultTolerance = 0.10;

    /// <summary>Default worth of the windows against line ends.</summary>
    public const double DefaultDriftWorth = 1.0;

    /// <summary>Default least fall wished for toward the ridge, percent.</summary>
    public const double DefaultLeastFall = 0.4;

    /// <summary>Metres between neighbouring lines, measured level across them.</summary>
    public required double Spacing { get; init; }

    /// <summary>Share (0 to 1) of the spacing by which a line may miss its distance from the next for nine tenths of its length.</summary>
    public double Tolerance { get; init; } = DefaultTolerance;

    /// <summary>What it costs to leave the wished direction by 6 % of fall over one line of 5 m, in line ends; more buys drift
    /// with line ends.</summary>
    public double DriftWorth { get; init; } = DefaultDriftWorth;

    /// <summary>Least fall toward the ridge where the land has a say, percent; 0 asks for none.</summary>
    public double LeastFall { get; init; } = DefaultLeastFall;

    /// <summary>Steepest grade along a line at a place, percent, by slope of the land and place.</summary>
    public required Func<double, XY, double> GradeLimit { get; init; }

    /// <summary>Least radius of a turn, metres.</summary>
    public required double MinimumRadius { get; init; }

    /// <summary>Lines shorter than this are left out, metres.</summary>
    public required double MinimumLength { get; init; }

    /// <summary>Share of the spacing that the solver lets lines miss. It is less than the promise, for rounding and the phase take their part.</summary>
    internal double SolverTolerance => 0.6 * Tolerance;
}
