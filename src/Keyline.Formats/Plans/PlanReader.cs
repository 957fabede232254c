using System.Text.Json;
using Keyline.Check;
using Keyline.Field;
using Keyline.Guidance;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>A guide as a plan's file holds it.</summary>
/// <param name="Id">Its short name.</param>
/// <param name="Line">The guide, projected metres, Z the ground height where the file has it.</param>
/// <param name="IsPinned">Whether it was given, and not chosen.</param>
/// <param name="IsKeyline">Whether it runs through a keypoint.</param>
public sealed record WrittenGuide(string Id, LineString Line, bool IsPinned, bool IsKeyline);

/// <summary>What a plan's file holds of use on the ground: its lines and guides, its field, and how they are spaced.</summary>
/// <remarks>Units: metres of <see cref="Crs"/>.</remarks>
public sealed class WrittenPlan
{
    internal WrittenPlan(string file, GroundCrs crs, IReadOnlyList<PlannedPath> lines) => (File, Crs, Lines) = (file, crs, lines);

    /// <summary>Name of the file.</summary>
    public string File { get; }

    /// <summary>The projected system of its metres.</summary>
    public GroundCrs Crs { get; }

    /// <summary>The rip lines in driving order; every line of a file that is no plan of ours.</summary>
    public IReadOnlyList<PlannedPath> Lines { get; }

    /// <summary>The guides; empty for a file that is no plan of ours.</summary>
    public IReadOnlyList<WrittenGuide> Guides { get; internal init; } = [];

    /// <summary>The field with what is avoided in it; null where the file has no outline.</summary>
    public FieldArea? Field { get; internal init; }

    /// <summary>Land left out as too steep; null where the file has none.</summary>
    public Geometry? Steep { get; internal init; }

    /// <summary>Distance between neighbouring passes, metres; NaN where the file does not say.</summary>
    public double Spacing { get; internal init; } = double.NaN;

    /// <summary>Tightest turn along a line, metres; 0 where the file does not say.</summary>
    public double MinimumRadius { get; internal init; }

    /// <summary>Width left unworked inside the outline, metres; 0 where the file does not say.</summary>
    public double Headland { get; internal init; }

    /// <summary>The shanks, where the file says.</summary>
    public ShankSet? Shanks { get; internal init; }

    /// <summary>What the plan was made with, as far as the file says; null for a file without a spacing, or with options that no plan is made with.</summary>
    public LayoutOptions? Options { get; internal init; }

    /// <summary>What was assumed in reading it, one sentence each.</summary>
    public IReadOnlyList<string> Notes { get; internal init; } = [];
}

/// <summary>Reads a plan back from its GeoJSON, or lines of any origin from theirs.</summary>
/// <remarks>
/// <para>Units: WGS 84 degrees in, metres out. Heights are kept.</para>
/// <para>Promises: lines cut at the 180th meridian are joined again. A file without the member <c>keyline</c> is taken as lines
/// in their order, worked in the WGS 84 UTM zone they lie in. What cannot be used is refused with one sentence.</para>
/// <para>Source: RFC 7946 (2016); the fields are described in docs/formats.md.</para>
/// </remarks>
public static class PlanReader
{
    // A thousand hectares of lines 3 m apart are about 100 MB.
    private const long MostBytes = 1_000_000_000;
    private const double SameMeridian = 1e-9;

    /// <summary>Reads a plan from a file, in the projected system it was made in.</summary>
    /// <param name="path">The file, as <c>plan.geojson</c>.</param>
    /// <exception cref="GroundDataException">It is absent, is not GeoJSON in longitude and latitude, or holds no line.</exception>
    public static WrittenPlan Read(string path) => Read(path, (GroundCrs?)null);

    /// <summary>Reads a plan from a file, in a projected system that is wanted.</summary>
    /// <param name="path">The file, as <c>plan.geojson</c>.</param>
    /// <param name="on">The projected system; null for the plan's own.</param>
    /// <exception cref="GroundDataException">It is absent, is not GeoJSON in longitude and latitude, or holds no line.</exception>
    public static WrittenPlan Read(string path, GroundCrs? on) => From(GeoJsonFeatures.ReadFile(path, "plan", out JsonElement root, MostBytes), root, Path.GetFileName(path), on);

    /// <summary>Reads a plan from a stream.</summary>
    /// <param name="stream">GeoJSON text in UTF-8.</param>
    /// <param name="name">Name for messages.</param>
    /// <exception cref="GroundDataException">It is not GeoJSON in longitude and latitude, or holds no line.</exception>
    public static WrittenPlan Read(Stream stream, string name)
    {
        ArgumentNullException.ThrowIfNull(stream);
        return From(GeoJsonFeatures.Read(stream, name, out JsonElement root, MostBytes), root, name, null);
    }

    private static WrittenPlan From(IReadOnlyList<GeoJsonFeature> features, JsonElement ours, string name, GroundCrs? on)
    {
        List<string> notes = [];
        GroundCrs crs = on ?? Crs(features, ours, name, notes);
        PlanDoubts.Check(features, crs, on is null && notes.Count == 0, name);
        bool ofPlan = features.Any(f => f.Text("kind") == "rip-line");
        List<PlannedPath> lines = [];
        List<WrittenGuide> guides = [];
        List<AvoidedArea> avoided = [];
        List<Geometry> outlets = [];
        Geometry? boundary = null, steep = null;
        Coordinate? gate = null;
        string fieldName = "";
        foreach (GeoJsonFeature feature in features)
        {
            switch (feature.Text("kind"))
            {
                case "boundary":
                    boundary = FieldReader.ToGround(Whole(feature.Shape), crs, name);
                    fieldName = FieldReader.Printable(feature.Text("name") ?? "");
                    break;
                case "avoid" when !feature.Shape.IsEmpty:
                    double setback = feature.NumberOf("setback_m") ?? 0;
                    avoided.Add(new AvoidedArea(FieldReader.ToGround(feature.Shape, crs, name), setback is >= 0 and <= 10_000 ? setback : throw new GroundDataException(FormattableString.Invariant($"{name}: feature {feature.Number} has the setback {setback:0.###}; write it as metres from 0 to 10000.")), FieldReader.Printable(feature.Text("name") ?? ""), feature.Flag("wet"))
                    {
                        Kind = FieldReader.Printable(feature.Text("what") ?? ""),
                        HandDig = feature.NumberOf("hand_dig_m") is double zone && zone is > 0 and <= 100 ? zone : 0,
                    });
                    break;
                case "outlet" when !feature.Shape.IsEmpty:
                    outlets.AddRange(FieldReader.Parts(FieldReader.ToGround(feature.Shape, crs, name)));
                    break;
                case "steep-land":
                    steep = FieldReader.ToGround(Whole(feature.Shape), crs, name);
                    break;
                case "gate" when feature.Shape is Point { IsEmpty: false }:
                    gate = FieldReader.ToGround(feature.Shape, crs, name).Coordinate;
                    break;
                case "guide-line":
                    guides.AddRange(Pieces(feature, name).Select(p => new WrittenGuide(p.Id, Line(p.Line, crs, name), feature.Flag("pinned"), feature.Flag("keyline"))));
                    break;
                case "rip-line":
                    AddLines(feature, Note(feature));
                    break;
                default:
                    if (!ofPlan)
                    {
                        AddLines(feature, "");
                    }

                    break;
            }
        }

        Number(lines, notes);
        return lines.Count == 0
            ? throw new GroundDataException($"{name}: it holds no line; give a plan.geojson, or GeoJSON with LineString or MultiLineString features.")
            : new WrittenPlan(name, crs, lines)
            {
                Guides = guides,
                Field = boundary is null ? null : new FieldArea(boundary, avoided, fieldName) { Gate = gate, Outlets = outlets.Count == 0 ? null : outlets[0].Factory.CreateGeometryCollection([.. outlets]) },
                Steep = steep,
                Spacing = Option(ours, "spacing_m", name, 1000) ?? double.NaN,
                MinimumRadius = Option(ours, "min_radius_m", name, 1000) ?? 0,
                Headland = Option(ours, "headland_m", name, 1000) ?? 0,
                Shanks = Option(ours, "shanks", name, 100) is double count && count >= 1 && Option(ours, "shank_spacing_m", name, 100) is double spacing ? new ShankSet((int)count, spacing) : null,
                Options = OptionsOf(ours, name),
                Notes = notes,
            };

        void AddLines(GeoJsonFeature feature, string note)
        {
            foreach ((string id, LineString line) in Pieces(feature, name))
            {
                int sequence = feature.NumberOf("sequence") is double s && s is >= 1 and <= int.MaxValue ? (int)s : lines.Count + 1;
                lines.Add(new PlannedPath(id, sequence, Line(line, crs, name), note));
            }
        }
    }

    // Displays, tables and the reading back tell lines by their names.
    private static void Number(List<PlannedPath> lines, List<string> notes)
    {
        HashSet<string> taken = [.. lines.Select(l => l.Id)];
        if (taken.Count == lines.Count)
        {
            return;
        }

        Dictionary<string, int> seen = [];
        string? first = null;
        for (int i = 0; i < lines.Count; i++)
        {
            string id = lines[i].Id;
            int number = seen[id] = seen.GetValueOrDefault(id) + 1;
            if (number == 1)
            {
                continue;
            }

            string named = FormattableString.Invariant($"{id}.{number}");
            while (!taken.Add(named))
            {
                named = FormattableString.Invariant($"{id}.{++number}");
            }

            seen[id] = number;
            first ??= id;
            lines[i] = lines[i] with { Id = named };
        }

        notes.Add($"Several lines are named {first}; from the second on they got a number, as {first}.2.");
    }

    private static GroundCrs Crs(IReadOnlyList<GeoJsonFeature> features, JsonElement ours, string name, List<string> notes)
    {
        if (ours.ValueKind == JsonValueKind.Object && ours.TryGetProperty("crs", out JsonElement crs) && crs.ValueKind == JsonValueKind.Object
            && crs.TryGetProperty("epsg", out JsonElement epsg) && epsg.ValueKind == JsonValueKind.Number && epsg.TryGetInt32(out int code))
        {
            return GroundCrs.FromEpsg(code) is { IsGeographic: false } projected
                ? projected
                : throw new GroundDataException(FormattableString.Invariant($"{name}: it says that its metres are of EPSG:{code}, which is in degrees; make the plan again."));
        }

        Coordinate? first = features.Select(f => f.Shape.Coordinate).FirstOrDefault(c => c is not null);
        if (first is null || !(first.Y is >= -80 and <= 84))
        {
            throw new GroundDataException($"{name}: it holds no line between 80 degrees south and 84 degrees north.");
        }

        GroundCrs local = GroundCrs.UtmAt(first.X, first.Y);
        notes.Add($"The file names no projected system with an EPSG code; lengths were taken in {local.Name}.");
        return local;
    }

    private static double? Option(JsonElement ours, string option, string name, double most) => Option(ours, option) is not double value || value == 0 ? null
        : value > 0 && value <= most ? value
        : throw new GroundDataException(FormattableString.Invariant($"{name}: its {option} is {value:G6}, which cannot be (0 to {most:0}); make the plan again."));

    private static double? Option(JsonElement ours, string option) =>
        ours.ValueKind == JsonValueKind.Object && ours.TryGetProperty("options", out JsonElement all) && all.ValueKind == JsonValueKind.Object
        && all.TryGetProperty(option, out JsonElement value) && value.ValueKind == JsonValueKind.Number && value.TryGetDouble(out double v) ? v : null;

    // What is not in the file is as a plan has it when nothing is asked for.
    private static LayoutOptions? OptionsOf(JsonElement ours, string name)
    {
        if (Option(ours, "spacing_m", name, 1000) is not { } spacing)
        {
            return null;
        }

        LayoutOptions usual = new() { Spacing = spacing };
        double grade = Option(ours, "max_grade_pct") ?? usual.MaximumGrade;
        LayoutOptions options = usual with
        {
            MaximumGrade = grade,
            DesignFall = Math.Min(Option(ours, "fall_pct") ?? usual.DesignFall, grade),
            MinimumRadius = Option(ours, "min_radius_m") ?? usual.MinimumRadius,
            Headland = Option(ours, "headland_m") ?? usual.Headland,
            MinimumLength = Option(ours, "min_length_m") ?? usual.MinimumLength,
            MaximumSlope = Option(ours, "max_slope_pct") ?? usual.MaximumSlope,
            RowGrade = OptionText(ours, "row_grade_rule") is { } rule ? RowGradeRule.Known.FirstOrDefault(r => r.Name == rule) : null,
            MinimumFall = Option(ours, "min_fall_pct") ?? usual.MinimumFall,
            MaximumSideSlope = Option(ours, "max_side_slope_deg") ?? usual.MaximumSideSlope,
            CriticalLength = Option(ours, "critical_length_m") ?? usual.CriticalLength,
        };
        try
        {
            options.Validate();
            return options;
        }
        catch (ArgumentOutOfRangeException)
        {
            return null;
        }
    }

    private static string? OptionText(JsonElement ours, string option) =>
        ours.ValueKind == JsonValueKind.Object && ours.TryGetProperty("options", out JsonElement all) && all.ValueKind == JsonValueKind.Object
        && all.TryGetProperty(option, out JsonElement value) && value.ValueKind == JsonValueKind.String ? value.GetString() : null;

    // A line cut at the 180th meridian comes as parts that end and begin there; any other parts are lines of their own.
    private static IEnumerable<(string Id, LineString Line)> Pieces(GeoJsonFeature feature, string name)
    {
        List<List<Coordinate>> joined = [];
        foreach (LineString part in FieldReader.Parts(feature.Shape).OfType<LineString>().Where(l => l.Length > 0))
        {
            if (joined.Count > 0 && part.Coordinates is { } next && MeetAtMeridian(joined[^1][^1], next[0]))
            {
                joined[^1].AddRange(next.Skip(1));
            }
            else
            {
                joined.Add([.. part.Coordinates]);
            }
        }

        string id = PlanDoubts.Id(feature.Text("id") ?? feature.Text("name") ?? FormattableString.Invariant($"L{feature.Number:000}"), feature.Number, name);
        return joined.Select((points, i) => (joined.Count > 1 ? FormattableString.Invariant($"{id}.{i + 1}") : id, feature.Shape.Factory.CreateLineString([.. points])));
    }

    private static string Note(GeoJsonFeature feature) => PlannedPath.Describe(
        feature.NumberOf("offset_m") ?? double.NaN, feature.Text("side") == "upslope" ? GuideSide.Upslope : GuideSide.Downslope, feature.Text("guide") ?? "", feature.NumberOf("grade_max_pct") ?? double.NaN);

    private static bool MeetAtMeridian(Coordinate a, Coordinate b) =>
        Math.Abs(Math.Abs(a.X) - 180) < SameMeridian && Math.Abs(a.X + b.X) < SameMeridian && Math.Abs(a.Y - b.Y) < SameMeridian;

    // An outline cut at the 180th meridian is joined again on the turn of the globe its first part lies on.
    private static Geometry Whole(Geometry shape)
    {
        if (shape is not MultiPolygon many || many.EnvelopeInternal.Width < 180)
        {
            return shape;
        }

        Geometry turned = many.Copy();
        turned.Apply(new Eastward());
        turned.GeometryChanged();
        return NetTopologySuite.Operation.Union.UnaryUnionOp.Union(turned);
    }

    private static LineString Line(LineString line, GroundCrs crs, string name)
    {
        Coordinate[] from = line.Coordinates;
        Coordinate[] flat = FieldReader.ToGround(line, crs, name).Coordinates;
        for (int i = 0; i < flat.Length; i++)
        {
            flat[i] = new CoordinateZ(flat[i].X, flat[i].Y, from[i].Z);
        }

        return line.Factory.CreateLineString(flat);
    }

    private sealed class Eastward : ICoordinateSequenceFilter
    {
        public bool Done => false;

        public bool GeometryChanged => true;

        public void Filter(CoordinateSequence seq, int i) => seq.SetX(i, seq.GetX(i) < 0 ? seq.GetX(i) + 360 : seq.GetX(i));
    }
}
