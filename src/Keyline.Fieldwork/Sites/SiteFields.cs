using System.Text.Json;

namespace Keyline.Fieldwork;

/// <summary>Which attribute of a survey holds which fact, in what unit and by which codes.</summary>
/// <remarks>
/// <para>Units: a fact's name ends in the unit its attribute is in: <c>pan_depth_cm</c>, <c>clay_pct</c>, <c>ksat_um_s</c>. Never changes.</para>
/// <para>Source: the names of SSURGO are those of the tables of the United States' Soil Survey Geographic Database (muaggatt, component,
/// corestrictions, chorizon), as its table column descriptions have them; those of HWSD are those of the Harmonized World Soil Database 1.1
/// and 1.2 (FAO, IIASA, ISRIC, ISSCAS and JRC 2009, 2012), as the National Tibetan Plateau Data Center's page on its version 1.1 lists them; codes of texture and drainage as users of
/// version 1.2 have them in print. Version 2 has other names: give a map of your own. Both are joined to polygons by whoever prepares the file.</para>
/// </remarks>
public sealed class SiteFields
{
    private readonly List<(string Fact, string Attribute, Dictionary<string, string> Codes)> _fields;

    private SiteFields(string name, IEnumerable<(string, string, Dictionary<string, string>)> fields) => (Name, _fields) = (name, [.. fields]);

    /// <summary>What the map is called.</summary>
    public string Name { get; }

    /// <summary>The names of the maps that are ready.</summary>
    public static IReadOnlyList<string> ReadyNames { get; } = ["ssurgo", "hwsd"];

    /// <summary>The map where attributes carry the facts' own names.</summary>
    public static SiteFields Plain { get; } = new("plain", []);

    internal IReadOnlyList<(string Fact, string Attribute, Dictionary<string, string> Codes)> Fields => _fields;

    /// <summary>A map that is ready; null where there is none of the name.</summary>
    /// <param name="name">As in <see cref="ReadyNames"/>.</param>
    public static SiteFields? Ready(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        return name.Trim().ToLowerInvariant() switch
        {
            "ssurgo" => new SiteFields("ssurgo",
            [
                Plainly("name", "muname"), Plainly("texture", "texcl"), Plainly("sand_pct", "sandtotal_r"), Plainly("clay_pct", "claytotal_r"), Plainly("organic_matter_pct", "om_r"),
                Plainly("rock_depth_cm", "brockdepmin"), Plainly("drainage", "drclassdcd"), Plainly("drainage", "drainagecl"), Plainly("sar", "sar_r"), Plainly("salinity_ds_m", "ec_r"),
                Plainly("slope_pct", "slopegraddcp"), Plainly("slope_pct", "slope_r"), Plainly("ksat_um_s", "ksat_r"),
            ]),
            "hwsd" => new SiteFields("hwsd",
            [
                ("texture", "T_USDA_TEX_CLASS", new()
                {
                    ["1"] = "clay", ["2"] = "silty clay", ["3"] = "clay", ["4"] = "silty clay loam", ["5"] = "clay loam", ["6"] = "silt", ["7"] = "silt loam",
                    ["8"] = "sandy clay", ["9"] = "loam", ["10"] = "sandy clay loam", ["11"] = "sandy loam", ["12"] = "loamy sand", ["13"] = "sand",
                }),
                ("drainage", "DRAINAGE", new() { ["1"] = "very poor", ["2"] = "poor", ["3"] = "imperfect", ["4"] = "moderately well", ["5"] = "well", ["6"] = "somewhat excessive", ["7"] = "excessive" }),
                Plainly("sand_pct", "T_SAND"), Plainly("clay_pct", "T_CLAY"), Plainly("organic_carbon_pct", "T_OC"), Plainly("esp_pct", "T_ESP"), Plainly("salinity_ds_m", "T_ECE"),
            ]),
            _ => null,
        };
    }

    /// <summary>Reads a map from JSON: facts with the attribute that holds each, as text or as <c>{"from": "TEX", "codes": {"1": "clay"}}</c>.</summary>
    /// <param name="json">The text.</param>
    /// <param name="file">Name for messages.</param>
    /// <exception cref="GroundDataException">It is no such map, or names a fact that there is not.</exception>
    public static SiteFields Parse(string json, string file)
    {
        ArgumentNullException.ThrowIfNull(json);
        List<(string, string, Dictionary<string, string>)> fields = [];
        try
        {
            using JsonDocument document = JsonDocument.Parse(json, new JsonDocumentOptions { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true });
            foreach (JsonProperty member in document.RootElement.EnumerateObject())
            {
                if (UnitName.Read(member.Name, SiteQuantities.All) is not { } known)
                {
                    throw new GroundDataException($"{file}: \"{member.Name}\" is no fact about a site; the facts are {SiteQuantities.Names}.");
                }

                if (double.IsNaN(known.Factor))
                {
                    throw new GroundDataException($"{file}: \"{member.Name}\" does not say its unit; end it with one of {UnitName.Names(SiteQuantities.All[known.Quantity])}.");
                }

                fields.Add(member.Value.ValueKind == JsonValueKind.String
                    ? Plainly(member.Name, member.Value.GetString()!)
                    : (member.Name, member.Value.GetProperty("from").GetString()!, member.Value.TryGetProperty("codes", out JsonElement codes) ? codes.EnumerateObject().ToDictionary(c => c.Name, c => c.Value.GetString()!) : []));
            }
        }
        catch (Exception e) when (e is JsonException or InvalidOperationException or KeyNotFoundException or ArgumentException)
        {
            throw new GroundDataException($"{file}: it is no map of names: write {{\"pan_depth_cm\": \"PAN\", \"texture\": {{\"from\": \"TEX\", \"codes\": {{\"1\": \"clay\"}}}}}}.", e);
        }

        return fields.Count > 0 ? new SiteFields(file, fields) : throw new GroundDataException($"{file}: it names no attribute.");
    }

    private static (string, string, Dictionary<string, string>) Plainly(string fact, string attribute) => (fact, attribute, []);
}
