using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Fieldwork;
using Keyline.Formats;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary>The files of keyline soil.</summary>
internal sealed class SoilFiles(OutputFolder folder, SoilResult result, ProgressLine progress, PageVoice voice, CancellationToken stop)
{
    private const int FormatVersion = 1;
    private const string PageName = "soil.html";
    private const string TextName = "soil.txt";
    public const string ListName = "soil.json";
    public const string ZonesName = "zones.geojson";
    private const string AvoidName = "avoid.geojson";
    private const string CoresName = "cores.geojson";

    private static readonly string[] Quantities = ["pan_top_cm", "pan_bottom_cm", "strength_kpa", "infiltration_mm_h", "cover_pct", "rock_depth_cm", "clay_pct", "eca_ms_m"];

    /// <summary>Everything a run may write.</summary>
    public static IReadOnlyCollection<string> Names { get; } = [PageName, TextName, ListName, ZonesName, AvoidName, CoresName, .. Quantities.SelectMany(q => (string[])[Map(q), Variance(q), Picture(q)])];

    /// <summary>What a run wrote.</summary>
    public static IReadOnlyList<string> Written(SoilResult result) =>
    [
        PageName, TextName, ListName, ZonesName, AvoidName, .. result.Cores.Count > 0 ? [CoresName] : (string[])[],
        .. result.Maps.Where(m => m.Map.Fits.Count > 0).SelectMany(m => m.Map.Map is null ? (string[])[Picture(m.Series.Quantity)] : [Map(m.Series.Quantity), Variance(m.Series.Quantity), Picture(m.Series.Quantity)]),
    ];

    public void Write()
    {
        PlanProvenance provenance = new(Product.Version, result.Inputs, result.Notes);
        void Shapes(string name, IEnumerable<JsonFeature> features)
        {
            using Stream stream = folder.Create(name);
            FeatureCollectionJson.Write(stream, features, null, result.Crs, provenance, FormatVersion, stop, GeoJsonShapes.DrivenDecimals, caution: true);
        }

        Shapes(ZonesName, result.Zones.Select(Zone));
        Shapes(AvoidName, result.Zones.Where(z => z.IsLeftOut).Select(Avoided));
        if (result.Cores.Count > 0)
        {
            Shapes(CoresName, result.Cores.Select((c, i) => JsonFeature.Named("core", FormattableString.Invariant($"core-{i + 1}"), new Point(c), json => json.WriteNumber("number", i + 1))));
        }

        foreach ((ReadingSeries series, PointMap map) in result.Maps)
        {
            if (map.Map is { } made)
            {
                RasterFolder rasters = new(folder, new RasterOrigin(series.Name, result.Inputs, result.Crs, made.Values.Frame, result.Notes), progress, stop);
                rasters.Write(Map(series.Quantity), series.Name, series.Unit, made.Values);
                rasters.Write(Variance(series.Quantity), "variance of " + series.Name, $"({series.Unit})2", made.Variance);
            }

            if (map.Fits.Count > 0)
            {
                Text(Picture(series.Quantity), text => text.Write(VariogramPicture.Draw(map)));
            }
        }

        Text(TextName, text => SoilText.Write(UnitText.Metric(text), result));
        using (Stream stream = folder.Create(ListName))
        {
            using Utf8JsonWriter json = new(stream, JsonText.Readable);
            json.WriteStartObject();
            json.WriteString("version", Product.Version);
            SoilText.WriteJson(json, result);
            json.WriteEndObject();
        }

        voice.Write(folder, PageName, page => SoilPage.Write(page, new SoilPageContent
        {
            FieldName = result.Name,
            Field = result.Field,
            Zones = result.Zones,
            Readings = result.Readings,
            Maps = [.. result.Maps.Select(m => m.Map)],
            Cores = result.Cores,
            Rules = result.Rules,
            Notice = result.Notice,
            Notes = result.Notes,
            Cautions = [Cautions.SoilMoisture.Text, Cautions.Rollover.Text, Cautions.Outlets.Text, Cautions.LocalCodes.Text],
            ToLonLat = at => result.Crs.ToLonLat(at.X, at.Y),
            MadeWith = Product.Name,
        }));
    }

    private static JsonFeature Zone(SoilZone zone) => JsonFeature.Named("soil-zone", Id(zone), zone.Shape, json => SoilText.WriteZone(json, zone));

    // In the form that keyline plan --avoid takes; the name is what its map shows.
    private static JsonFeature Avoided(SoilZone zone) => JsonFeature.Named("soil", Id(zone), zone.Shape, json =>
    {
        json.WriteString("name", $"zone {zone.Number}, {zone.Verdict.Words}: {Short(zone.Verdict.Reasons[0].Sentence)}");
        json.WriteNumber("setback_m", 0);
        json.WriteBoolean("wet", zone.Verdict.Reasons.Any(r => r.Rule is "drainage" || (r.Rule == "salt" && r.Says == RipVerdict.DoNotRip)));
        json.WriteString("verdict", zone.Verdict.Word);
    });

    private static string Short(string sentence) => sentence.Length <= 120 ? sentence : sentence[..sentence.LastIndexOf(' ', 117)] + " ...";

    private static string Id(SoilZone zone) => FormattableString.Invariant($"zone-{zone.Number}");

    private static string Map(string quantity) => $"maps/{quantity}.tif";

    private static string Variance(string quantity) => $"maps/{quantity}-variance.tif";

    private static string Picture(string quantity) => $"maps/{quantity}-variogram.svg";

    private void Text(string name, Action<TextWriter> write)
    {
        using StreamWriter text = new(folder.Create(name)) { NewLine = "\n" };
        write(text);
    }
}
