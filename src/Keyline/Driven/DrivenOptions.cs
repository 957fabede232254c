using Keyline.Guidance;

namespace Keyline.Driven;

/// <summary>How a driven track is held against planned lines.</summary>
/// <remarks>Units: metres, degrees, percent. Source: defaults are common practice, no source.</remarks>
public sealed record DrivenOptions
{
    /// <summary>Cross-track error allowed where neither it nor a spacing is given, metres: a tenth of 3 m.</summary>
    public const double DefaultTolerance = 0.3;

    /// <summary>Reach where neither it nor a spacing is given, metres.</summary>
    public const double DefaultReach = 3.0;

    private const double ToleranceOfSpacing = 0.1;
    private const double WidestOffset = 20;
    private const double MostReach = 100;

    /// <summary>Distance between neighbouring planned passes, metres; NaN where it is not known, and then spacings are not measured.</summary>
    public double Spacing { get; init; } = double.NaN;

    /// <summary>Cross-track error allowed, metres, above 0; NaN for a tenth of the spacing.</summary>
    public double Tolerance { get; init; } = double.NaN;

    /// <summary>A track farther than this from every planned line is on none of them, metres; NaN for one spacing.</summary>
    public double Reach { get; init; } = double.NaN;

    /// <summary>A track that makes a wider angle with a planned line than this is not on it, degrees, above 0 and below 90.</summary>
    public double WidestAngle { get; init; } = 30;

    /// <summary>Shorter stretches are not told of, and a shorter run along a line is no pass, metres, above 0.</summary>
    public double LeastStretch { get; init; } = 5;

    /// <summary>Fixes farther apart than this are a break in the log, metres, above 0.</summary>
    public double GreatestGap { get; init; } = LineThinning.DefaultGreatestGap;

    /// <summary>How far the middle of the implement is mounted to the right of the antenna's track, metres; below 0 to the left.</summary>
    public double ImplementOffset { get; init; }

    /// <summary>Steepest grade along a pass, percent, above 0; infinite for no limit.</summary>
    public double MaximumGrade { get; init; } = double.PositiveInfinity;

    /// <summary>Whether a displacement that most errors have in common is taken off the track before it is judged.</summary>
    public bool TakesOffShift { get; init; }

    /// <summary>The cross-track error allowed once defaults are filled in, metres.</summary>
    public double AllowedError => !double.IsNaN(Tolerance) ? Tolerance : Spacing > 0 ? ToleranceOfSpacing * Spacing : DefaultTolerance;

    /// <summary>The reach once defaults are filled in, metres.</summary>
    public double UsedReach => !double.IsNaN(Reach) ? Reach : Spacing > 0 ? Math.Min(Spacing, MostReach) : DefaultReach;

    /// <summary>Checks the values against each other.</summary>
    /// <exception cref="ArgumentException">One of them cannot be followed; the message says which.</exception>
    public void Validate()
    {
        string? fault =
            !double.IsNaN(Spacing) && !(Spacing > 0 && double.IsFinite(Spacing)) ? "The spacing must be a finite number of metres above 0, or NaN."
            : !(AllowedError > 0 && double.IsFinite(AllowedError)) ? "The cross-track error allowed must be a finite number of metres above 0."
            : !(UsedReach > 0 && UsedReach <= MostReach) ? FormattableString.Invariant($"The reach must be above 0 m and at most {MostReach:F0} m.")
            : !(WidestAngle is > 0 and < 90) ? "The widest angle must be above 0 and below 90 degrees."
            : !(LeastStretch > 0 && double.IsFinite(LeastStretch)) ? "The least stretch must be a finite number of metres above 0."
            : !(GreatestGap > 0) ? "The greatest gap must be above 0 m."
            : !(Math.Abs(ImplementOffset) <= WidestOffset) ? FormattableString.Invariant($"An implement is mounted within {WidestOffset:F0} m of the tractor's centre.")
            : !(MaximumGrade > 0) ? "The steepest grade must be above 0 %."
            : null;
        if (fault is not null)
        {
            throw new ArgumentException(fault);
        }
    }
}
