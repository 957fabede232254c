using System.Text.Json;

namespace Keyline.Fieldwork;

/// <summary>Reads rules from JSON: any of the names that <see cref="RipRules.Settings"/> prints, with its own value.</summary>
/// <remarks>Units: in the names: <c>least_soil_cm</c>, <c>stop_strength_kpa</c>, <c>least_cover_pct</c>. Promises: a name that is none is refused, with those that
/// there are; what is not named keeps its default. Cost: none. Source: ours.</remarks>
public static class RipRulesFile
{
    private static readonly Dictionary<string, Func<RipRules, double, RipRules>> Numbers = new()
    {
        ["least_soil_cm"] = (r, v) => r with { LeastSoil = v / 100 },
        ["above_rock_cm"] = (r, v) => r with { AboveRock = v / 100 },
        ["stop_strength_kpa"] = (r, v) => r with { StopStrength = v * 1000 },
        ["slow_strength_kpa"] = (r, v) => r with { SlowStrength = v * 1000 },
        ["least_below_pan_cm"] = (r, v) => r with { LeastBelowPan = v / 100 },
        ["most_below_pan_cm"] = (r, v) => r with { MostBelowPan = v / 100 },
        ["sure_widths"] = (r, v) => r with { SureWidths = v },
        ["most_widths"] = (r, v) => r with { MostWidths = v },
        ["careful_sodium_pct"] = (r, v) => r with { CarefulSodium = v },
        ["most_sodium_pct"] = (r, v) => r with { MostSodium = v },
        ["dispersive_class"] = (r, v) => r with { DispersiveClass = (int)v },
        ["clay_to_test_pct"] = (r, v) => r with { ClayToTest = v / 100 },
        ["careful_salt_ds_m"] = (r, v) => r with { CarefulSalt = v },
        ["fast_intake_mm_h"] = (r, v) => r with { FastIntake = v / 3.6e6 },
        ["least_cover_pct"] = (r, v) => r with { LeastCover = v / 100 },
        ["bare_cover_pct"] = (r, v) => r with { BareCover = v / 100 },
        ["most_slope_pct"] = (r, v) => r with { MostSlope = v / 100 },
        ["careful_slope_pct"] = (r, v) => r with { CarefulSlope = v / 100 },
    };

    /// <summary>Reads.</summary>
    /// <param name="json">The text.</param>
    /// <param name="file">Name for messages.</param>
    /// <exception cref="GroundDataException">It is no file of rules, or one of them cannot be.</exception>
    public static RipRules Parse(string json, string file)
    {
        ArgumentNullException.ThrowIfNull(json);
        RipRules rules = new();
        try
        {
            using JsonDocument document = JsonDocument.Parse(json, new JsonDocumentOptions { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true });
            foreach (JsonProperty member in document.RootElement.EnumerateObject())
            {
                rules = member.Name switch
                {
                    "purpose" => rules with { Purpose = member.Value.GetString() switch { "water" => RipPurpose.Water, "roots" => RipPurpose.Roots, _ => throw new GroundDataException($"{file}: purpose must be \"water\" or \"roots\".") } },
                    "wettest_class" => rules with { WettestClass = SiteReader.FindDrainage(member.Value.GetString() ?? "") ?? throw new GroundDataException($"{file}: wettest_class must be a class of drainage, as \"somewhat poor\".") },
                    _ => Numbers.TryGetValue(member.Name, out Func<RipRules, double, RipRules>? set) ? set(rules, member.Value.GetDouble())
                        : throw new GroundDataException($"{file}: \"{member.Name}\" is no rule; the rules are purpose, wettest_class, {string.Join(", ", Numbers.Keys)}."),
                };
            }
        }
        catch (Exception e) when (e is JsonException or InvalidOperationException or FormatException)
        {
            throw new GroundDataException($"{file}: it is no file of rules: write numbers by name, as {{\"least_cover_pct\": 50, \"purpose\": \"roots\"}}.", e);
        }

        try
        {
            rules.Validate();
        }
        catch (ArgumentException e)
        {
            throw new GroundDataException($"{file}: {e.Message}", e);
        }

        return rules;
    }
}
