namespace Keyline.Water;

/// <summary>Green and Ampt's numbers by texture class.</summary>
/// <param name="Porosity">Share of the volume.</param>
/// <param name="EffectivePorosity">Share of the volume that drains and fills.</param>
/// <param name="Suction">Suction at the wetting front, metres.</param>
/// <param name="Conductivity">Metres a second.</param>
public readonly record struct TextureNumbers(double Porosity, double EffectivePorosity, double Suction, double Conductivity);

/// <summary>Soils known by their texture class alone.</summary>
/// <remarks>
/// <para>Units: metres, seconds, shares. Means of many samples of cropped and rangeland soils; one field may be ten times off in conductivity: measure.</para>
/// <para>Cost: none. Source: Rawls, Brakensiek and Miller, Green-Ampt infiltration parameters from soils data, Journal of Hydraulic
/// Engineering 109(1), 1983, table 2, as reprinted in Chow, Maidment and Mays, Applied Hydrology, 1988, table 4.3.1; the effective
/// porosity of clay loam, 0.309 in the reprint, is 0.390.</para>
/// </remarks>
public static class TextureTable
{
    // Porosity, effective porosity, suction in cm, conductivity in cm/h.
    private static readonly double[][] Rows =
    [
        [0.437, 0.417, 4.95, 11.78], [0.437, 0.401, 6.13, 2.99], [0.453, 0.412, 11.01, 1.09], [0.463, 0.434, 8.89, 0.34], [0.501, 0.486, 16.68, 0.65],
        [0.398, 0.330, 21.85, 0.15], [0.464, 0.390, 20.88, 0.10], [0.471, 0.432, 27.30, 0.10], [0.430, 0.321, 23.90, 0.06], [0.479, 0.423, 29.22, 0.05], [0.475, 0.385, 31.63, 0.03],
    ];

    /// <summary>The numbers of a class.</summary>
    /// <param name="texture">The class.</param>
    public static TextureNumbers Of(SoilTexture texture)
    {
        double[] row = Rows[(int)texture];
        return new TextureNumbers(row[0], row[1], row[2] / 100, row[3] / 100 / 3600);
    }

    /// <summary>A soil of a class.</summary>
    /// <param name="texture">The class.</param>
    /// <param name="saturation">Share of the effective porosity that holds water as the storm begins, 0 to 1.</param>
    public static SoilColumn Soil(SoilTexture texture, double saturation)
    {
        if (!(saturation is >= 0 and <= 1))
        {
            throw new GroundDataException(FormattableString.Invariant($"The soil's starting moisture is {saturation:0.###} of what it can hold: it must lie between 0 and 1."));
        }

        TextureNumbers n = Of(texture);
        return SoilColumn.Uniform(Name(texture), n.Conductivity, n.Suction, n.EffectivePorosity * (1 - saturation));
    }

    /// <summary>The class in words, as "silt loam".</summary>
    /// <param name="texture">The class.</param>
    public static string Name(SoilTexture texture) => string.Concat(texture.ToString().Select((c, i) => i > 0 && char.IsUpper(c) ? $" {char.ToLowerInvariant(c)}" : char.ToLowerInvariant(c).ToString()));

    /// <summary>The class of a name, as "silt-loam" or "silt loam"; null where there is none.</summary>
    /// <param name="name">The name.</param>
    public static SoilTexture? Find(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        string wanted = name.Trim().Replace('-', ' ').Replace('_', ' ').ToLowerInvariant();
        foreach (SoilTexture texture in Enum.GetValues<SoilTexture>())
        {
            if (Name(texture) == wanted)
            {
                return texture;
            }
        }

        return null;
    }
}
