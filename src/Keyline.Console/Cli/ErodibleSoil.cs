using Keyline.Formats;
using Keyline.Water;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Cli;

/// <summary>The most erodible soil that lines of a plan may cross, from zones among the options.</summary>
/// <param name="Soil">What it stands.</param>
/// <param name="Zone">The zone it was found in.</param>
/// <param name="Unknown">Zones whose texture nobody knows.</param>
internal sealed record ErodibleSoil(FreshSoil Soil, string Zone, int Unknown)
{
    // A line of this length is to stand at the design fall, metres, and no fall is set below the gentlest, percent: judgements.
    private const double WantedLength = 100;
    private const double GentlestFall = 0.2;
    private const double FallStep = 0.05;

    /// <summary>The soil; null where no zones are given.</summary>
    /// <exception cref="UsageException">Zones without an automatic length.</exception>
    /// <exception cref="GroundDataException">No zone in the field says its texture.</exception>
    public static ErodibleSoil? From(Arguments arguments)
    {
        if (arguments.File(OptionSpec.SoilZones, "file of soil zones") is not { } path)
        {
            return null;
        }

        if (!CriticalLength.IsAutomatic(arguments))
        {
            throw new UsageException($"{arguments[OptionSpec.SoilZones]!.Where} is for {OptionSpec.CriticalLength.Flag} auto: give that too, or leave it out.");
        }

        string name = Path.GetFileName(path);
        AttributedFile zones = FieldFiles.ReadAttributed(path, "soil zones");
        AttributedFile? fieldFile = arguments.File(OptionSpec.Field, "field file") is { } f ? FieldFiles.ReadAttributed(f, "field") : null;
        if (zones.Middle is not { } middle)
        {
            throw new GroundDataException($"{name}: it holds no zones with longitude and latitude: give the zones.geojson of keyline soil.");
        }

        GroundCrs crs = GroundCrs.UtmAt(middle.Longitude, Math.Clamp(middle.Latitude, -80, 84));
        Geometry[] field = [.. fieldFile?.On(crs).Select(s => s.Shape) ?? []];
        ErodibleSoil? worst = null;
        int unknown = 0;
        foreach ((Geometry shape, IReadOnlyDictionary<string, string> values, string where) in zones.On(crs))
        {
            bool isLeft = values.TryGetValue("left_out", out string? left) && left.Equals("true", StringComparison.OrdinalIgnoreCase);
            if (shape is not (Polygon or MultiPolygon) || isLeft || (field.Length > 0 && !field.Any(shape.Intersects)))
            {
                continue;
            }

            string word = values.TryGetValue("texture", out string? texture) ? texture.Trim() : "";
            if (word.Length == 0)
            {
                unknown++;
                continue;
            }

            FreshSoil soil = TextureTable.Find(word) is { } known ? FreshSoil.Of(known) : throw new GroundDataException($"{where}: texture is \"{word}\": it must be a texture class, as sandy loam.");
            string zone = values.TryGetValue("name", out string? called) && called.Length > 0 ? called : where;
            worst = worst is null || soil.Shear < worst.Soil.Shear ? new ErodibleSoil(soil, zone, 0) : worst;
        }

        return worst is null ? throw new GroundDataException($"{name}: no zone in the field says its texture: give polygons with an attribute texture, as sandy loam.") : worst with { Unknown = unknown };
    }

    /// <summary>The fall, percent: the usual one, or the steepest below it at which a line of 100 m stands.</summary>
    public double Fall(double usual, double spacing, double excess)
    {
        double fall = usual;
        while (fall - FallStep >= GentlestFall && Soil.Longest(fall / 100, spacing, excess) < WantedLength)
        {
            fall = Math.Round(fall - FallStep, 2);
        }

        return fall;
    }

    /// <summary>What a plan says of it.</summary>
    public string Said => $"Length and design fall are those of the most erodible soil that lines cross, {Soil.Name} ({Zone}), which loosened stands {FormattableString.Invariant($"{Soil.Speed:0.##} m/s and {Soil.Shear:0.#} Pa")} (Fortier and Scobey 1926, speed halved); on firmer zones lines may run longer."
        + (Unknown == 0 ? "" : FormattableString.Invariant($" Of {Unknown} {(Unknown == 1 ? "zone" : "zones")} the texture is not known."));
}
