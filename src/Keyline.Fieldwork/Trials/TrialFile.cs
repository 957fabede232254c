using System.Text.Encodings.Web;
using System.Text.Json;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>What the readings of a trial need to know of its design.</summary>
/// <param name="Kind">Whether treatments were drawn by lot.</param>
/// <param name="Field">The field's name.</param>
/// <param name="Treatments">The treatments, control first.</param>
/// <param name="Plots">Plots with their block, treatment and part.</param>
/// <param name="Points">Points by id: plot, kind, whether on a rip.</param>
/// <param name="Effect">Ratio the trial was to show.</param>
/// <param name="Seed">Seed of its lots.</param>
public sealed record TrialPlan(
    TrialKind Kind, string Field, IReadOnlyList<TrialTreatment> Treatments, IReadOnlyList<TrialPlanPlot> Plots, IReadOnlyDictionary<string, TrialPlanPoint> Points, double Effect, ulong Seed)
{
    /// <summary>The control's id.</summary>
    public string Control => Treatments[0].Id;

    /// <summary>The plan of a design.</summary>
    /// <param name="design">The design.</param>
    public static TrialPlan Of(TrialDesign design)
    {
        ArgumentNullException.ThrowIfNull(design);
        return new TrialPlan(
            design.Kind, design.Field, design.Options.Treatments, [.. design.Plots.Select(p => new TrialPlanPlot(p.Id, p.Block, p.Treatment, p.Split))],
            design.Points.ToDictionary(p => p.Id, p => new TrialPlanPoint(p.Plot, p.Kind, p.OnRip)), design.Options.Effect, design.Options.Seed);
    }
}

/// <summary>A plot as readings need it.</summary>
/// <param name="Id">Its name.</param>
/// <param name="Block">Its block.</param>
/// <param name="Treatment">Its treatment.</param>
/// <param name="Split">Level of the second factor; empty for none.</param>
public sealed record TrialPlanPlot(string Id, int Block, string Treatment, string Split);

/// <summary>A point as readings need it.</summary>
/// <param name="Plot">Its plot.</param>
/// <param name="Kind">Its kind.</param>
/// <param name="OnRip">Whether it lies on a rip.</param>
public sealed record TrialPlanPoint(string Plot, string Kind, bool OnRip);

/// <summary>Writes a design as <c>trial.json</c> and reads back what readings need of it.</summary>
/// <remarks>
/// <para>Units: as the names say; places in WGS 84 degrees to 7 decimals. Promises: the same design gives the same bytes.</para>
/// <para>Cost: that of the text. Source: ours, described in docs/trials.md.</para>
/// </remarks>
public static class TrialFile
{
    private const int Format = 1;
    private static readonly JsonWriterOptions Readable = new() { Indented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>Writes a design.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="design">The design.</param>
    /// <param name="toLonLat">Takes a place to longitude and latitude, degrees.</param>
    /// <param name="madeWith">Name and version of what made it.</param>
    public static void Write(Stream stream, TrialDesign design, Func<Coordinate, (double Longitude, double Latitude)> toLonLat, string madeWith)
    {
        ArgumentNullException.ThrowIfNull(design);
        ArgumentNullException.ThrowIfNull(toLonLat);
        TrialOptions o = design.Options;
        using Utf8JsonWriter json = new(stream, Readable);
        json.WriteStartObject();
        json.WriteNumber("format", Format);
        json.WriteString("made_with", madeWith);
        json.WriteString("kind", design.Kind == TrialKind.Randomised ? "randomised" : "monitored");
        json.WriteString("field", design.Field);
        json.WriteNumber("seed", o.Seed);
        List(json, "treatments", o.Treatments, t =>
        {
            json.WriteString("id", t.Id);
            json.WriteString("text", t.Text);
            json.WriteBoolean("control", t.IsControl);
        });
        json.WriteNumber("effect", o.Effect);
        json.WriteNumber("power", o.Power);
        json.WriteNumber("ring_variation", o.RingVariation);
        json.WriteNumber("plot_variation", o.PlotVariation);
        json.WriteNumber("blocks_wanted", design.BlocksWanted);
        json.WriteNumber("passes", o.Passes);
        json.WriteNumber("buffer_passes", o.Buffer);
        json.WriteNumber("spacing_m", Math.Round(design.Spacing, 3));
        json.WriteNumber("plot_length_m", Math.Round(design.Length, 1));
        Texts(json, "split", o.Split);
        Texts(json, "notes", design.Notes);
        List(json, "blocks", design.Blocks, b =>
        {
            json.WriteNumber("number", b.Number);
            json.WriteString("zone", b.Zone);
            Known(json, "position_range", b.PositionRange, 3);
            Known(json, "slope_range_pct", b.SlopeRange, 2);
        });
        List(json, "plots", design.Plots, p =>
        {
            json.WriteString("id", p.Id);
            json.WriteNumber("block", p.Block);
            json.WriteString("treatment", p.Treatment);
            json.WriteString("split", p.Split);
            Texts(json, "lines", p.Lines);
            json.WriteNumber("area_m2", Math.Round(p.Shape.Area, 1));
            Known(json, "position", p.Position, 3);
            Known(json, "slope_pct", p.Slope, 2);
        });
        List(json, "points", design.Points, p =>
        {
            (double longitude, double latitude) = toLonLat(new Coordinate(p.X, p.Y));
            json.WriteString("id", p.Id);
            json.WriteString("plot", p.Plot);
            json.WriteString("kind", p.Kind);
            json.WriteBoolean("on_rip", p.OnRip);
            json.WriteNumber("latitude", Math.Round(latitude, 7));
            json.WriteNumber("longitude", Math.Round(Math.IEEERemainder(longitude, 360), 7));
            Known(json, "bearing", p.Bearing, 0);
        });
        json.WriteEndObject();
        json.Flush();
        stream.Write("\n"u8);
    }

    /// <summary>Reads what readings need.</summary>
    /// <param name="stream">A <c>trial.json</c>.</param>
    /// <param name="name">Its name for messages.</param>
    /// <exception cref="GroundDataException">It is none.</exception>
    public static TrialPlan Read(Stream stream, string name)
    {
        try
        {
            using JsonDocument document = JsonDocument.Parse(stream, new JsonDocumentOptions { MaxDepth = 16 });
            JsonElement root = document.RootElement;
            if (root.GetProperty("format").GetInt32() != Format)
            {
                throw new GroundDataException($"{name}: it is of another format than {Format}: lay the trial out again, with its seed.");
            }

            TrialTreatment[] treatments = [.. root.GetProperty("treatments").EnumerateArray().Select(t => new TrialTreatment(Text(t, "id"), Text(t, "text"), t.GetProperty("control").GetBoolean()))];
            TrialPlanPlot[] plots = [.. root.GetProperty("plots").EnumerateArray().Select(p => new TrialPlanPlot(Text(p, "id"), p.GetProperty("block").GetInt32(), Text(p, "treatment"), Text(p, "split")))];
            Dictionary<string, TrialPlanPoint> points = [];
            foreach (JsonElement p in root.GetProperty("points").EnumerateArray())
            {
                points[Text(p, "id")] = new TrialPlanPoint(Text(p, "plot"), Text(p, "kind"), p.GetProperty("on_rip").GetBoolean());
            }

            if (plots.Length == 0 || plots.Any(p => p.Id.Length < 2) || !(root.GetProperty("effect").GetDouble() > 1) || plots.Any(p => treatments.All(t => t.Id != p.Treatment)) || plots.Select(p => p.Id).Distinct().Count() < plots.Length)
            {
                throw new GroundDataException($"{name}: it holds no plots, two of one name, one whose treatment it does not list, or no effect above 1: take the file that keyline trial wrote.");
            }

            return new TrialPlan(
                Text(root, "kind") == "randomised" ? TrialKind.Randomised : TrialKind.Monitored, Text(root, "field"), TrialTreatment.Checked(treatments), plots, points,
                root.GetProperty("effect").GetDouble(), root.GetProperty("seed").GetUInt64());
        }
        catch (Exception e) when (e is JsonException or KeyNotFoundException or InvalidOperationException or FormatException)
        {
            throw new GroundDataException($"{name}: it is not a trial.json that keyline trial wrote ({e.Message.TrimEnd('.')}); lay the trial out again, with its seed.", e);
        }
    }

    internal static void Known(Utf8JsonWriter json, string name, double value, int decimals)
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

    internal static void Texts(Utf8JsonWriter json, string name, IEnumerable<string> texts)
    {
        json.WriteStartArray(name);
        foreach (string text in texts)
        {
            json.WriteStringValue(text);
        }

        json.WriteEndArray();
    }

    internal static void List<T>(Utf8JsonWriter json, string name, IEnumerable<T> items, Action<T> members)
    {
        json.WriteStartArray(name);
        foreach (T item in items)
        {
            json.WriteStartObject();
            members(item);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static string Text(JsonElement from, string name) => from.GetProperty(name).GetString() ?? "";
}
