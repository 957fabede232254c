using Keyline.Console.Cli;
using Keyline.Field;
using Keyline.Fieldwork;
using Keyline.Formats;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary>The files of a trial's design.</summary>
internal sealed class TrialFiles(OutputFolder folder, TrialDesign design, WrittenPlan plan, IReadOnlyList<PlanInput> inputs, PageVoice voice, CancellationToken stop)
{
    public const string TrialName = "trial.json";
    public const string ShapesName = "design.geojson";
    public const string AvoidName = "avoid.geojson";
    public const string WaypointsName = "points.gpx";
    public const string PageName = "trial.html";
    public const string RecordName = "record.json";
    public const string ReadingsName = "readings";
    private const int FormatVersion = 1;

    public static IReadOnlyList<string> Names { get; } = [TrialName, ShapesName, AvoidName, WaypointsName, PageName, RecordName, .. TrialForm.All.Select(FormName), .. TrialForm.All.Select(ExampleName)];

    public static string FormName(TrialForm form) => $"{ReadingsName}/{form.Id}.csv";

    private static string ExampleName(TrialForm form) => $"examples/{form.Id}.csv";

    /// <summary>Writes them.</summary>
    /// <returns>Their names.</returns>
    public List<string> Write(IReadOnlyList<WorkLine> lines, FieldArea field)
    {
        List<string> names = [TrialName, ShapesName, WaypointsName, PageName, RecordName];
        PlanProvenance provenance = new(Product.Version, inputs);
        Create(TrialName, s => TrialFile.Write(s, design, at => plan.Crs.ToLonLat(at.X, at.Y), Product.Name));
        Create(ShapesName, s => FeatureCollectionJson.Write(s, Features(), null, plan.Crs, provenance, FormatVersion, stop, caution: true));
        JsonFeature[] strips = [.. Strips()];
        if (strips.Length > 0)
        {
            names.Add(AvoidName);
            Create(AvoidName, s => FeatureCollectionJson.Write(s, strips, null, plan.Crs, provenance, FormatVersion, stop, GeoJsonShapes.DrivenDecimals, caution: true));
        }

        Create(WaypointsName, Waypoints);
        Create(RecordName, new FieldRecord(design.Field, []).Write);
        voice.Write(folder, PageName, s => TrialPage.Write(s, design, lines, field, [.. Cautions.All.Where(c => c.Id != "elevation-data").Select(c => c.Text)], Product.Name));
        foreach (TrialForm form in TrialForm.All.Where(f => f.Kind.Length == 0 || design.Points.Any(p => p.Kind == f.Kind)))
        {
            names.Add(FormName(form));
            Create(FormName(form), s => Form(s, form));
            names.Add(ExampleName(form));
            Create(ExampleName(form), s => Example(s, form));
        }

        return names;
    }

    private IEnumerable<JsonFeature> Features()
    {
        foreach (TrialBlock block in design.Blocks)
        {
            yield return JsonFeature.Named("block", FormattableString.Invariant($"B{block.Number}"), block.Shape, json =>
            {
                json.WriteString("zone", block.Zone);
                JsonText.Number(json, "position_range", block.PositionRange, 3);
                JsonText.Number(json, "slope_range_pct", block.SlopeRange, 2);
            });
        }

        foreach (TrialPlot plot in design.Plots)
        {
            yield return JsonFeature.Named("plot", plot.Id, plot.Shape, json =>
            {
                json.WriteNumber("block", plot.Block);
                json.WriteString("treatment", plot.Treatment);
                json.WriteString("split", plot.Split);
                JsonText.Texts(json, "lines", plot.Lines);
                JsonText.Number(json, "area_m2", plot.Shape.Area, 1);
            });
        }

        foreach (TrialPoint point in design.Points)
        {
            yield return JsonFeature.Named(point.Kind, point.Id, new Point(point.X, point.Y), json =>
            {
                json.WriteString("plot", point.Plot);
                json.WriteBoolean("on_rip", point.OnRip);
                JsonText.Number(json, "bearing", point.Bearing, 0);
            });
        }
    }

    // In the form that keyline plan --avoid and displays take: the ground of the control's plots, with no setback of its own.
    private IEnumerable<JsonFeature> Strips()
    {
        HashSet<string> control = [.. design.Options.Treatments.Where(t => t.IsControl).Select(t => t.Id)];
        return design.Plots.Where(p => control.Contains(p.Treatment)).Select(p => JsonFeature.Named("avoid", p.Id, p.Shape, json =>
        {
            json.WriteString("name", $"do not rip: {p.Id}");
            json.WriteNumber("setback_m", 0);
        }));
    }

    private void Waypoints(Stream stream)
    {
        Utf8Text text = GpxText.Begin("Keyline").Add("  <metadata>"u8);
        GpxText.Said(text, "\n    "u8, "desc"u8, Cautions.InShort).Add("\n  </metadata>\n"u8);
        foreach (TrialPoint point in design.Points)
        {
            CoordinateZ at = new PlanPlaces(plan.Crs, null).Of(new CoordinateZ(point.X, point.Y, double.NaN));
            GpxText.Point(text, "  "u8, "wpt"u8, at.X, at.Y, double.NaN, 2, "\n    "u8);
            GpxText.Said(text, "\n    "u8, "name"u8, point.Id);
            GpxText.Said(text, "\n    "u8, "desc"u8, $"{point.Kind}{(point.OnRip ? ", on the rip" : "")}{(double.IsNaN(point.Bearing) ? "" : FormattableString.Invariant($", look along {point.Bearing:0} degrees"))}");
            text.Add("\n  </wpt>\n"u8);
        }

        stream.Write(text.Add("</gpx>\n"u8).Written);
    }

    // A row, or several, for each point; values and dates are left to be filled in.
    private void Form(Stream stream, TrialForm form)
    {
        Utf8Text text = new();
        Row(form.Columns.Select(c => c.Name));
        foreach (TrialPoint point in design.Points.Where(p => p.Kind == form.Kind))
        {
            for (int k = 0; k < form.RowsAPoint; k++)
            {
                Row(form.Columns.Select(c => c.Name switch
                {
                    "plot" => point.Plot,
                    "point" => point.Id,
                    "depth_cm" when form.Id == "penetrometer" => FormattableString.Invariant($"{5 * (k + 1)}"),
                    "group" => ((string[])["plant", "litter", "bare"])[k % 3],
                    _ => "",
                }));
            }
        }

        stream.Write(text.Written);

        void Row(IEnumerable<string> cells)
        {
            bool first = true;
            foreach (string cell in cells)
            {
                _ = first ? text : text.Add(","u8);
                text.AddCell(cell);
                first = false;
            }

            text.Add("\r\n"u8);
        }
    }

    // How a table looks once it is filled in; monitor does not read it.
    private void Example(Stream stream, TrialForm form)
    {
        TrialPoint? point = design.Points.FirstOrDefault(p => p.Kind == form.Kind);
        stream.Write(System.Text.Encoding.UTF8.GetBytes(string.Concat(FormExample.Of(form, point?.Plot ?? "", point?.Id ?? "").Select(row => row + "\r\n"))));
    }

    private void Create(string name, Action<Stream> write)
    {
        stop.ThrowIfCancellationRequested();
        using Stream stream = folder.Create(name);
        write(stream);
    }
}
