namespace Keyline.Water;

/// <summary>What a pass of the implement leaves behind: the loosened soil below, and the furrow and ridge on top.</summary>
/// <remarks>Metres, degrees, shares. Fresh; <see cref="Aged"/> gives what is left of it.</remarks>
public sealed record Rip
{
    /// <summary>Default share of the loosened soil that is air to be filled. Common practice, no source: 0.1 to 0.2 fresh, 0.03 settled.</summary>
    public const double DefaultAirShare = 0.10;

    /// <summary>Default conductivity of the loosened strip over that of the soil beside it: 1.5 to 3 in loams (Pikul and
    /// others 1996, the publication from memory, and others); more on sealed or frozen ground.</summary>
    public const double DefaultConductivityRatio = 2.0;

    /// <value>Depth of the tip, metres; 0 leaves the ground as it was. Default 0.4.</value>
    public double Depth { get; init; } = 0.4;

    /// <value>Width of the tip, metres. Default 0.06.</value>
    public double TipWidth { get; init; } = 0.06;

    /// <value>Angle from upright at which the soil breaks up from the tip, degrees. Default 45.</value>
    public double BreakAngle { get; init; } = 45;

    /// <value>Share of the loosened soil that is air to be filled. Default 0.10.</value>
    public double AirShare { get; init; } = DefaultAirShare;

    /// <value>Conductivity of the loosened strip over that of the soil beside it, 1 or more. Default 2.</value>
    public double ConductivityRatio { get; init; } = DefaultConductivityRatio;

    /// <value>Depth of the furrow left at the surface, metres. Default 0.05.</value>
    public double FurrowDepth { get; init; } = 0.05;

    /// <value>Run over rise of the furrow's sides. Default 2.</value>
    public double FurrowSide { get; init; } = 2;

    /// <value>Height of the ridge on its downhill side, metres. Default 0.02.</value>
    public double RidgeHeight { get; init; } = 0.02;

    /// <value>Manning's n of the furrow. Default 0.03, bare soil.</value>
    public double Roughness { get; init; } = 0.03;

    /// <summary>Cross-section that was loosened, square metres: b D + D² tan(angle).</summary>
    public double LoosenedArea => (TipWidth * Depth) + (Depth * Depth * Math.Tan(BreakAngle * Math.PI / 180));

    /// <summary>What the air of the loosened soil holds, square metres, that is cubic metres a metre.</summary>
    public double SlotStorage => AirShare * LoosenedArea;

    /// <summary>Width of the loosened soil at the surface, metres.</summary>
    public double LoosenedWidth => TipWidth + (2 * Depth * Math.Tan(BreakAngle * Math.PI / 180));

    /// <summary>Length of the loosened soil's edge across the line, metres: floor and both sides.</summary>
    public double LoosenedEdge => TipWidth + (2 * Depth / Math.Cos(BreakAngle * Math.PI / 180));

    /// <value>Share of the fresh rip's openness that is left, 0 to 1. Default 1.</value>
    public double Openness { get; init; } = 1;

    /// <summary>What is left of the rip after some time.</summary>
    /// <param name="years">Years since it was made, 0 or more.</param>
    /// <param name="halfLife">Years in which half of what it adds is gone: 0.5 to 2 grazed and wet, 2 to 5 dry, 0.1 to 0.3 on soil that slakes.</param>
    public Rip Aged(double years, double halfLife)
    {
        double left = Math.Pow(0.5, years / halfLife);
        return this with
        {
            Openness = Openness * left,
            AirShare = AirShare * left,
            ConductivityRatio = 1 + ((ConductivityRatio - 1) * left),
            FurrowDepth = FurrowDepth * left,
            RidgeHeight = RidgeHeight * left,
        };
    }

    /// <summary>Checks every value.</summary>
    /// <exception cref="GroundDataException">A value no rip has.</exception>
    public void Validate()
    {
        (string Name, double Value, double Least, double Most)[] values =
        [
            ("depth", Depth, 0, 2), ("tip width", TipWidth, 0, 1), ("break angle", BreakAngle, 0, 75), ("air share", AirShare, 0, 0.6), ("conductivity ratio", ConductivityRatio, 1, 1000),
            ("furrow depth", FurrowDepth, 0, 0.5), ("furrow side", FurrowSide, 0.1, 20), ("ridge height", RidgeHeight, 0, 1), ("roughness", Roughness, 0.005, 1), ("openness", Openness, 0, 1),
        ];
        foreach ((string name, double value, double least, double most) in values)
        {
            if (!(value >= least && value <= most))
            {
                throw new GroundDataException(FormattableString.Invariant($"The rip's {name} is {value:0.###}: it must lie between {least:0.###} and {most:0.###} (metres, degrees, shares)."));
            }
        }
    }
}
