using System.Text.Json;
using Keyline.Layout;

namespace Keyline.Formats;

/// <summary>What plan.geojson and plan.json both hold.</summary>
internal static class PlanMembers
{
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
        WriteCrs(json, crs, crs.DatumNote);
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

    /// <summary>The coordinate system.</summary>
    /// <param name="json">Where to.</param>
    /// <param name="crs">The system.</param>
    /// <param name="note">On the step to WGS 84.</param>
    public static void WriteCrs(Utf8JsonWriter json, GroundCrs crs, string note) => JsonText.Section(json, "crs", () =>
    {
        json.WriteString("name", crs.Name);
        JsonText.Number(json, "epsg", crs.EpsgCode ?? double.NaN, 0);
        json.WriteString("datum", crs.DatumName);
        json.WriteString("datum_note", note);
    });

    private static void WriteOptions(Utf8JsonWriter json, LayoutOptions options)
    {
        json.WritePropertyName("options");
        json.WriteStartObject();
        JsonText.Number(json, "spacing_m", options.Spacing, 6);
        JsonText.Number(json, "max_grade_pct", options.MaximumGrade, 6);
        JsonText.Number(json, "fall_pct", options.DesignFall, 6);
        JsonText.Number(json, "min_radius_m", options.MinimumRadius, 6);
        JsonText.Number(json, "headland_m", options.Headland, 6);
        JsonText.Number(json, "min_length_m", options.MinimumLength, 6);
        JsonText.Number(json, "max_slope_pct", options.MaximumSlope, 6);
        json.WriteString("row_grade_rule", options.RowGrade?.Name);
        JsonText.Number(json, "min_fall_pct", options.MinimumFall, 6);
        JsonText.Number(json, "max_side_slope_deg", options.MaximumSideSlope, 6);
        JsonText.Number(json, "critical_length_m", options.CriticalLength, 6);
        JsonText.Number(json, "shanks", options.Shanks?.Count ?? double.NaN, 0);
        JsonText.Number(json, "shank_spacing_m", options.Shanks?.Spacing ?? double.NaN, 6);
        json.WriteEndObject();
    }
}
