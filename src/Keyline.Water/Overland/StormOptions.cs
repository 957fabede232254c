namespace Keyline.Water;

/// <summary>How a storm is run.</summary>
public sealed record StormOptions
{
    /// <summary>Default roughness of the ground, Manning's n: short grass, after Engman, Journal of Irrigation and Drainage Engineering 112, 1986, lies at 0.10 to 0.20 and bare to sparse range at 0.02 to 0.13.</summary>
    public const double DefaultRoughness = 0.08;

    /// <summary>Default depth that stands in the roughness of the ground before any runs, metres. Common practice, no source.</summary>
    public const double DefaultSurfaceStorage = 0.001;

    /// <value>Manning's n of the ground. Default 0.08.</value>
    public double Roughness { get; init; } = DefaultRoughness;

    /// <value>Depth that stands before any runs, metres. Default 0.001.</value>
    public double SurfaceStorage { get; init; } = DefaultSurfaceStorage;

    /// <value>How long the water is followed after the rain, seconds. Default an hour.</value>
    public double Recession { get; init; } = 3600;

    /// <value>Longest step, seconds. Default 5.</value>
    public double LongestStep { get; init; } = 5;

    /// <value>Share of the distance a wave may run across a cell in a step. Default 0.7, after Bates, Horritt and Fewtrell 2010.</value>
    public double Courant { get; init; } = 0.7;

    /// <value>Share of a face's own flow in what it carries on; the rest is its neighbours'. Default 0.8, after de Almeida and others 2012.</value>
    public double Weighting { get; init; } = 0.8;

    /// <value>What the rips are like. Default: fresh, 0.4 m deep.</value>
    public Rip Rip { get; init; } = new();

    /// <value>Outlets that rips may end at. Default none.</value>
    public IReadOnlyList<WaterOutlet> Outlets { get; init; } = [];

    /// <value>How near an outlet a line must end to let its water go there, metres. Default 6.</value>
    public double OutletReach { get; init; } = 6;

    /// <summary>Bands of tiles that a thread goes down without waiting for others; another number gives the same bits.</summary>
    internal int BandsAtOnce { get; init; } = 8;

    internal bool UsesVectors { get; init; } = System.Numerics.Vector.IsHardwareAccelerated;

    /// <summary>Checks every value.</summary>
    /// <exception cref="GroundDataException">A value that no storm can be run with.</exception>
    public void Validate()
    {
        (string Name, double Value, double Least, double Most)[] values =
        [
            ("roughness", Roughness, 0.005, 2), ("surface storage", SurfaceStorage, 0, 1), ("recession", Recession, 0, 1e7), ("longest step", LongestStep, 0.001, 600),
            ("Courant number", Courant, 0.05, 1), ("weighting", Weighting, 0.5, 1), ("reach of outlets", OutletReach, 0, 1000),
        ];
        foreach ((string name, double value, double least, double most) in values)
        {
            if (!(value >= least && value <= most))
            {
                throw new GroundDataException(FormattableString.Invariant($"The {name} is {value:0.####}: it must lie between {least:0.####} and {most:0.####} (metres, seconds)."));
            }
        }

        Rip.Validate();
    }
}
