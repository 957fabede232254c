namespace Keyline.Field;

/// <summary>Where on a tractor its rated power is measured.</summary>
public enum PowerMeasure
{
    /// <summary>At the engine's flywheel.</summary>
    Engine,

    /// <summary>At the power take-off.</summary>
    PowerTakeOff,

    /// <summary>At the drawbar, on the ground it works on.</summary>
    Drawbar,
}

/// <summary>What drives a tractor over the ground.</summary>
public enum DriveClass
{
    /// <summary>Two driven wheels.</summary>
    TwoWheel,

    /// <summary>Driven front wheels smaller than the rear ones.</summary>
    FrontAssist,

    /// <summary>Four driven wheels of one size.</summary>
    FourWheel,

    /// <summary>Tracks.</summary>
    Track,
}

/// <summary>A tractor, as far as planning needs to know it.</summary>
/// <remarks>Units: kilowatts, kilograms, metres. Missing: NaN where a value may be unknown. Lengths are from the middle of the
/// rear axle, which a tractor turns about; of an articulated or tracked machine, from its middle.
/// Default lengths and the range of powers are common practice, no source.</remarks>
public sealed record Tractor
{
    /// <summary>Least power that is a tractor's, kilowatts.</summary>
    public const double LeastPower = 8;

    /// <summary>Most power that is one tractor's, kilowatts.</summary>
    public const double MostPower = 600;

    /// <value>Rated power, kilowatts.</value>
    public required double Power { get; init; }

    /// <value>Where that power is measured. Default: at the engine.</value>
    public PowerMeasure PowerMeasure { get; init; } = PowerMeasure.Engine;

    /// <value>What drives it. Default: front assist.</value>
    public DriveClass Drive { get; init; } = DriveClass.FrontAssist;

    /// <value>Mass as ballasted for the work, kilograms; NaN where it is not known.</value>
    public double Mass { get; init; } = double.NaN;

    /// <value>Width over all, metres. Default 2.5.</value>
    public double Width { get; init; } = 2.5;

    /// <value>From the rear axle forward to the nose, front weights included, metres. Default 4.</value>
    public double FrontLength { get; init; } = 4.0;

    /// <value>From the rear axle back to the hitch, metres. Default 1.</value>
    public double HitchLength { get; init; } = 1.0;

    internal string? Fault() =>
        !(Power >= LeastPower && Power <= MostPower) ? FormattableString.Invariant($"A power of {Power:0.##} kW is no farm tractor's: give {LeastPower:0} to {MostPower:0} kW.")
        : !double.IsNaN(Mass) && !(Mass >= 300 && Mass <= 60_000) ? FormattableString.Invariant($"A mass of {Mass:0} kg is no tractor's: give it as ballasted, 300 to 60000 kg, or leave it out.")
        : !(Width >= 0.8 && Width <= 6) ? FormattableString.Invariant($"A tractor {Width:0.##} m wide cannot be planned for: give 0.8 to 6 m over the wheels.")
        : !(FrontLength >= 0.5 && FrontLength <= 10) ? FormattableString.Invariant($"A tractor reaching {FrontLength:0.##} m ahead of its rear axle cannot be planned for: give 0.5 to 10 m.")
        : !(HitchLength >= 0 && HitchLength <= 4) ? FormattableString.Invariant($"A hitch {HitchLength:0.##} m behind the rear axle cannot be planned for: give 0 to 4 m.")
        : null;
}
