using System.Text.Json;
using Keyline.Layout;

namespace Keyline.Formats;

/// <summary>What plan.geojson and plan.json both hold.</summary>
internal static class PlanMembers
{
    /// <summary>A number rounded to some decimals; null where it is not finite.</summary>
    public static void Number(Utf8JsonWriter json, string name, double value, int decimals)
    {
        if (double.IsFinite(value))
        {
            json.WriteNumber(name, Math.Round(value, decimals) + 0.0);
        }
        else
        {
            json.WriteNull(name);
        }
    }

    /// <summary>Version, coordinate system, inputs and options.</summary>
    public static void WriteOrigin(Utf8JsonWriter json, LayoutOptions options, GroundCrs crs, PlanProvenance provenance)
    {
        WriteSources(json, crs, provenance);
        WriteOptions(json, options);
    }

    /// <summary>Version, coordinate system and inputs.</summary>
    public static void WriteSources(Utf8JsonWriter json, GroundCrs crs, PlanProvenance provenance)
    {
        json.WriteString("version", provenance.Version);
        json.WritePropertyName("crs");
        json.WriteStartObject();
        json.WriteString("name", crs.Name);
        if (crs.EpsgCode is { } code)
        {
            json.WriteNumber("epsg", code);
        }
        else
        {
            json.WriteNull("epsg");
        }

        json.WriteString("datum", crs.DatumName);
        json.WriteString("datum_note", crs.DatumNote);
        json.WriteEndObject();
        json.WritePropertyName("inputs");
        json.WriteStartArray();
        foreach (PlanInput input in provenance.Inputs)
        {
            json.WriteStartObject();
            json.WriteString("role", input.Role);
            json.WriteString("file", input.File);
            json.WriteString("sha256", input.Sha256);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void WriteOptions(Utf8JsonWriter json, LayoutOptions options)
    {
        json.WritePropertyName("options");
        json.WriteStartObject();
        Number(json, "spacing_m", options.Spacing, 6);
        Number(json, "max_grade_pct", options.MaximumGrade, 6);
        Number(json, "fall_pct", options.DesignFall, 6);
        Number(json, "min_radius_m", options.MinimumRadius, 6);
        Number(json, "headland_m", options.Headland, 6);
        Number(json, "min_length_m", options.MinimumLength, 6);
        Number(json, "max_slope_pct", options.MaximumSlope, 6);
        json.WriteString("row_grade_rule", options.RowGrade?.Name);
        Number(json, "min_fall_pct", options.MinimumFall, 6);
        Number(json, "max_side_slope_deg", options.MaximumSideSlope, 6);
        Number(json, "critical_length_m", options.CriticalLength, 6);
        Number(json, "shanks", options.Shanks?.Count ?? double.NaN, 0);
        Number(json, "shank_spacing_m", options.Shanks?.Spacing ?? double.NaN, 6);
        json.WriteEndObject();
    }
}
