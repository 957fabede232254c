using Keyline.Field;

namespace Keyline.Fieldwork;

/// <summary>The surface a tractor pulls on.</summary>
public enum SoilSurface
{
    /// <summary>Concrete.</summary>
    Concrete,

    /// <summary>Firm soil: grass, stubble.</summary>
    Firm,

    /// <summary>Tilled soil.</summary>
    Tilled,

    /// <summary>Soft or sandy soil.</summary>
    Soft,
}

/// <summary>What of an engine's power reaches the drawbar.</summary>
/// <remarks>
/// <para>Units: kilowatts; shares. Promises: typical values, no measurement of a machine. Cost: constant.</para>
/// <para>Source: ASABE D497, figure of power relationships for tractors (drawbar power as a share of the power at the power
/// take-off), as transcribed by the University of Arizona's extension; power take-off about 0.90 of the flywheel's net power, from
/// memory; slip that pulls best, extension practice.</para>
/// </remarks>
public static class TractivePower
{
    /// <summary>Power at the power take-off as a share of the engine's.</summary>
    public const double PowerTakeOffShare = 0.90;

    // Concrete, firm, tilled, soft.
    private static readonly double[][] Drawbar =
    [
        [0.87, 0.72, 0.67, 0.55],
        [0.87, 0.77, 0.73, 0.65],
        [0.88, 0.78, 0.75, 0.70],
        [0.88, 0.79, 0.80, 0.78],
    ];

    private static readonly (double Least, double Most)[] Slip = [(0.04, 0.08), (0.08, 0.10), (0.11, 0.13), (0.14, 0.16)];

    /// <summary>Drawbar power as a share of that at the power take-off.</summary>
    /// <param name="drive">What drives the tractor.</param>
    /// <param name="surface">What it stands on.</param>
    public static double DrawbarShare(DriveClass drive, SoilSurface surface) => Drawbar[(int)drive][(int)surface];

    /// <summary>The slip at which a wheeled tractor pulls best, share of the wheels' speed.</summary>
    /// <param name="surface">What it stands on.</param>
    public static (double Least, double Most) BestSlip(SoilSurface surface) => Slip[(int)surface];

    /// <summary>Power at the power take-off of a tractor, kilowatts.</summary>
    /// <param name="tractor">The tractor.</param>
    /// <param name="surface">What it stands on, of meaning where its power is given at the drawbar.</param>
    public static double AtPowerTakeOff(Tractor tractor, SoilSurface surface)
    {
        ArgumentNullException.ThrowIfNull(tractor);
        return tractor.PowerMeasure switch
        {
            PowerMeasure.Engine => tractor.Power * PowerTakeOffShare,
            PowerMeasure.PowerTakeOff => tractor.Power,
            _ => tractor.Power / DrawbarShare(tractor.Drive, surface),
        };
    }

    /// <summary>Power at the drawbar of a tractor, kilowatts.</summary>
    /// <param name="tractor">The tractor.</param>
    /// <param name="surface">What it stands on.</param>
    public static double AtDrawbar(Tractor tractor, SoilSurface surface) => AtPowerTakeOff(tractor, surface) * DrawbarShare(tractor.Drive, surface);
}
