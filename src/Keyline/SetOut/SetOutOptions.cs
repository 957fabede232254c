namespace Keyline.SetOut;

/// <summary>Where stakes go along a line, and what the level can reach.</summary>
/// <remarks>Units: metres. Source: defaults are common practice, no source.</remarks>
public sealed record SetOutOptions
{
    /// <summary>Distance between stakes, metres, 1 or more.</summary>
    public double Interval { get; init; } = 20;

    /// <summary>A stake stands wherever straight falls between stakes would miss the ground's height along the line by more, metres, above 0.</summary>
    public double HeightStep { get; init; } = 0.05;

    /// <summary>A stake stands wherever straight ways between stakes would cut a bend by more, metres, above 0.</summary>
    public double BendStep { get; init; } = 1;

    /// <summary>Heights are calmed along the line by a bell curve with this standard deviation, metres, 0 or more: elevation data
    /// carries centimetres of noise, which would be set out as a ragged fall.</summary>
    public double Calming { get; init; } = 8;

    /// <summary>Length of the rod, metres, above 0.5.</summary>
    public double Rod { get; init; } = 4;

    /// <summary>Farthest sight from the level, metres, above 0. Curvature and refraction lift the line of sight by 0.0675 m a
    /// kilometre squared: 1.5 mm at 150 m, which is let be.</summary>
    /// <remarks>The figure is computed here: (1 - k) / 2R with R = 6371 km and a coefficient of refraction k of 0.14, which is common practice, no
    /// source.</remarks>
    public double Sight { get; init; } = 150;

    /// <summary>Checks the values.</summary>
    /// <exception cref="ArgumentException">One of them cannot be followed; the message says which.</exception>
    public void Validate()
    {
        string? fault =
            !(Interval >= LeastInterval && double.IsFinite(Interval)) ? FormattableString.Invariant($"The distance between stakes must be a finite number of metres from {LeastInterval:0} m on.")
            : !(HeightStep > 0) ? "The height at which a stake is added must be above 0 m."
            : !(BendStep > 0) ? "The bend at which a stake is added must be above 0 m."
            : !(Calming >= 0 && Calming <= MostCalming) ? FormattableString.Invariant($"Heights are calmed over 0 to {MostCalming:0} m.")
            : !(Rod > LeastRod && double.IsFinite(Rod)) ? FormattableString.Invariant($"The rod must be longer than {LeastRod:0.0} m.")
            : !(Sight > 0 && double.IsFinite(Sight)) ? "The farthest sight must be a finite number of metres above 0."
            : null;
        if (fault is not null)
        {
            throw new ArgumentException(fault);
        }
    }

    private const double LeastInterval = 1;
    private const double LeastRod = 0.5;
    private const double MostCalming = 100;
}

/// <summary>A mark of known height with the rod read on it: together, how high the laser's plane is.</summary>
/// <param name="Name">What it is called on the sheet.</param>
/// <param name="Height">Its height, metres, in the system of the plan's heights.</param>
/// <param name="Reading">The reading of the rod on it, metres: how high the laser's plane is above it.</param>
public sealed record LevelMark(string Name, double Height, double Reading)
{
    /// <summary>Height of the laser's plane, metres.</summary>
    public double Plane => Height + Reading;
}
