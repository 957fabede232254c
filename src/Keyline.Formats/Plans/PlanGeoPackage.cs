using System.Text.Json;
using Keyline.Check;
using Keyline.Terrain;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Writes everything of a plan as one GeoPackage: a table for each kind of feature of <c>plan.geojson</c>, with the same ids and
/// properties, and beside them its contours, its findings and what else is given.</summary>
/// <remarks>
/// <para>Units: WGS 84 degrees, heights in metres; attributes as their names say.</para>
/// <para>Promises: kinds are told apart by table, with underscores for dashes; a table that would be empty is left out, but for the findings.
/// True and false are 1 and 0. The same plan gives the same bytes.</para>
/// <para>Source: OGC 12-128r18, GeoPackage 1.3 (2021).</para>
/// </remarks>
public static class PlanGeoPackage
{
    /// <summary>Writes the file.</summary>
    /// <param name="path">The file; it must not exist yet.</param>
    /// <param name="plan">The plan.</param>
    /// <param name="crs">The projected system its metres are in.</param>
    /// <param name="provenance">What it was made from.</param>
    /// <param name="contours">Contours of the plan's ground; empty for none.</param>
    /// <param name="beside">Further tables, as stakes; empty for none.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A place of the plan has no longitude and latitude.</exception>
    /// <exception cref="IOException">The file is there already, or cannot be written.</exception>
    public static void Write(string path, KeylinePlan plan, GroundCrs crs, PlanProvenance provenance, IReadOnlyList<ContourLine> contours, IReadOnlyList<FeatureTable> beside, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(crs);
        ArgumentNullException.ThrowIfNull(contours);
        ArgumentNullException.ThrowIfNull(beside);

        // Read back from the very text that is plan.geojson, so that the two can never say different things.
        using MemoryStream text = new();
        PlanGeoJson.Write(text, plan, crs, provenance, cancellationToken);
        text.Position = 0;
        List<FeatureTable> tables = [.. GeoJsonFeatures.Read(text, "the plan", out _, long.MaxValue).GroupBy(f => f.Text("kind")!).Select(Table)];
        PlanPlaces places = new(crs, null);
        if (contours.Count > 0)
        {
            tables.Insert(0, new FeatureTable("contour", "Contours of the ground as it was smoothed to read its landform.", [("height_m", "REAL")], [.. contours.Select(c => (Antimeridian.Cut(places.Of(c.Line)), (IReadOnlyList<object?>)[Math.Round(c.Height, 3)]))]));
        }

        tables.Add(Findings(plan.Layout.Findings, places));
        tables.AddRange(beside);
        GeoPackageTables.Write(path, tables, cancellationToken);
    }

    private static FeatureTable Table(IGrouping<string, GeoJsonFeature> kind)
    {
        List<string> names = [];
        foreach (JsonProperty property in kind.SelectMany(f => f.Properties.EnumerateObject()).Where(p => p.Name != "kind"))
        {
            if (!names.Contains(property.Name))
            {
                names.Add(property.Name);
            }
        }

        string[] types = [.. names.Select(n => TypeOf(kind.Select(f => f.Properties.TryGetProperty(n, out JsonElement v) ? v.ValueKind : JsonValueKind.Undefined)))];
        return new FeatureTable(
            kind.Key.Replace('-', '_'),
            $"Features of kind {kind.Key} of the plan; the attributes are those of plan.geojson.",
            [.. names.Zip(types)],
            [.. kind.Select(f => (f.Shape, (IReadOnlyList<object?>)[.. names.Select((n, i) => Value(f.Properties, n, types[i]))]))]);
    }

    private static string TypeOf(IEnumerable<JsonValueKind> kinds)
    {
        JsonValueKind[] there = [.. kinds.Where(k => k is not (JsonValueKind.Undefined or JsonValueKind.Null)).Distinct()];
        return there.Length > 0 && there.All(k => k is JsonValueKind.True or JsonValueKind.False) ? "INTEGER"
            : there.All(k => k == JsonValueKind.Number) ? "REAL"
            : "TEXT";
    }

    private static object? Value(JsonElement properties, string name, string type) => !properties.TryGetProperty(name, out JsonElement value) ? null
        : value.ValueKind switch
        {
            JsonValueKind.Number when type == "REAL" => value.GetDouble(),
            JsonValueKind.True => 1,
            JsonValueKind.False => 0,
            JsonValueKind.String => value.GetString(),
            JsonValueKind.Null => null,
            _ => value.GetRawText(),
        };

    private static FeatureTable Findings(IReadOnlyList<LayoutFinding> findings, PlanPlaces places) => new(
        "finding",
        "What the check found, each at its worst place; see findings in plan.json.",
        [("kind", "TEXT"), ("line", "TEXT"), ("breaks_limit", "INTEGER"), ("value", "REAL"), ("limit_value", "REAL"), ("length_m", "REAL"), ("sentence", "TEXT")],
        [
            .. findings.Select(f => (places.Of(new Point(f.X, f.Y)), (IReadOnlyList<object?>)
            [
                FindingWords.Of(f.Kind), f.LineId, f.BreaksLimit ? 1 : 0, Finite(f.Value, 4), Finite(f.Limit, 4), Finite(f.Length, 1), f.Sentence,
            ])),
        ]);

    private static double Finite(double value, int decimals) => double.IsFinite(value) ? Math.Round(value, decimals) : double.NaN;
}
