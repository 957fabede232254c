namespace Keyline.Fieldwork;

/// <summary>How likeness is lost with distance.</summary>
public enum VariogramKind
{
    /// <summary>At once: no point tells anything of the next.</summary>
    Nugget,

    /// <summary>Along a curve that is flat from its range on.</summary>
    Spherical,

    /// <summary>Along an exponential; 95 % of its sill at three times its range.</summary>
    Exponential,

    /// <summary>Along a bell; 95 % of its sill at 1.73 times its range.</summary>
    Gaussian,

    /// <summary>Evenly, with no end within the land measured.</summary>
    Linear,
}

/// <summary>A variogram: half the mean squared difference of two values, by their distance.</summary>
/// <remarks>
/// <para>Units: metres; the square of the value's unit. Promises: 0 at no distance, <see cref="Nugget"/> just beside it, never falls.</para>
/// <para>Cost: constant. Source: N. A. C. Cressie, Statistics for spatial data, 1993, section 2.3.1; names and ranges as in E. J. Pebesma,
/// "Multivariable geostatistics in S: the gstat package", Computers and Geosciences 30 (2004) 683-691.</para>
/// </remarks>
public sealed class VariogramModel
{
    /// <summary>Makes a model.</summary>
    /// <param name="kind">Its form.</param>
    /// <param name="nugget">What two values differ by however near they are, 0 or more.</param>
    /// <param name="sill">What distance adds to that, 0 or more; of <see cref="VariogramKind.Linear"/> what a metre adds.</param>
    /// <param name="range">Metres, above 0; not used by <see cref="VariogramKind.Nugget"/> and <see cref="VariogramKind.Linear"/>.</param>
    /// <exception cref="ArgumentOutOfRangeException">A number out of its bounds, or nothing that varies.</exception>
    public VariogramModel(VariogramKind kind, double nugget, double sill, double range)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(nugget);
        ArgumentOutOfRangeException.ThrowIfNegative(sill);
        if (!double.IsFinite(nugget) || !double.IsFinite(sill))
        {
            throw new ArgumentOutOfRangeException(nameof(sill), "Nugget and sill must be numbers.");
        }

        if (kind is not (VariogramKind.Nugget or VariogramKind.Linear) && !(range > 0 && double.IsFinite(range)))
        {
            throw new ArgumentOutOfRangeException(nameof(range), range, "A range must be above 0 m.");
        }

        (Kind, Nugget, Sill, Range) = (kind, nugget, kind == VariogramKind.Nugget ? 0 : sill, kind is VariogramKind.Nugget or VariogramKind.Linear ? 0 : range);
    }

    /// <summary>Its form.</summary>
    public VariogramKind Kind { get; }

    /// <summary>What two values differ by however near they are.</summary>
    public double Nugget { get; }

    /// <summary>What distance adds; of a linear one what a metre adds.</summary>
    public double Sill { get; }

    /// <summary>Metres, as the form has it; 0 where it has none.</summary>
    public double Range { get; }

    /// <summary>Where 95 % of the sill is reached (all of it for a spherical one), metres; 0 with a nugget only, infinite for a linear one.</summary>
    public double Reach => Kind switch
    {
        VariogramKind.Spherical => Range,
        VariogramKind.Exponential => 3 * Range,
        VariogramKind.Gaussian => Math.Sqrt(3) * Range,
        VariogramKind.Linear => double.PositiveInfinity,
        _ => 0,
    };

    /// <summary>Half the mean squared difference at a distance.</summary>
    /// <param name="distance">Metres, 0 or more.</param>
    public double At(double distance) => distance == 0 ? 0 : Nugget + (Sill * Share(Kind, Range, distance));

    /// <summary>Says it in a few words.</summary>
    public override string ToString() => Kind switch
    {
        VariogramKind.Nugget => $"nugget {Figures(Nugget)} only",
        VariogramKind.Linear => $"linear, nugget {Figures(Nugget)}, {Figures(Sill)} a metre",
        _ => $"{Kind.ToString().ToLowerInvariant()}, nugget {Figures(Nugget)}, sill {Figures(Sill)} more, range {Figures(Range)} m",
    };

    /// <summary>A number to four figures, in full where it is large.</summary>
    internal static string Figures(double value) => value.ToString(Math.Abs(value) >= 1000 ? "0" : "G4", System.Globalization.CultureInfo.InvariantCulture);

    /// <summary>The share of the sill at a distance above 0; of a linear one the distance itself.</summary>
    internal static double Share(VariogramKind kind, double range, double distance)
    {
        switch (kind)
        {
            case VariogramKind.Spherical:
                double h = distance / range;
                return h >= 1 ? 1 : h * (1.5 - (0.5 * h * h));
            case VariogramKind.Exponential:
                return 1 - Math.Exp(-distance / range);
            case VariogramKind.Gaussian:
                return 1 - Math.Exp(-(distance * distance) / (range * range));
            case VariogramKind.Linear:
                return distance;
            default:
                return 0;
        }
    }
}
