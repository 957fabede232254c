using System.Globalization;
using System.Text.Json;
using Keyline.Console.Views;
using Keyline.Formats;
using Keyline.Water;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary>What a storm found wrong with a plan's lines, in sentences and as shapes.</summary>
internal sealed class WaterFaults(IReadOnlyList<WaterFinding> findings, IReadOnlyList<WatchedPlace> places)
{
    public const string FileName = "findings.geojson";
    private const int FormatVersion = 1;
    private const int MostTold = 10;
    private const double Far = 250;

    private static readonly GeometryFactory Factory = new();

    public IReadOnlyList<WaterFinding> All { get; } = findings;

    /// <summary>Lines that water would cut.</summary>
    public int Lines => All.Where(f => f.BreaksLimit).Select(f => f.LineId).Distinct().Count();

    /// <summary>Those with most water on the steepest grade, and where the others stand.</summary>
    public IEnumerable<string> Said()
    {
        WaterFinding[] fast = [.. All.Where(f => f.BreaksLimit).OrderByDescending(f => f.Flow * f.Grade)];
        foreach (WaterFinding f in fast.Take(MostTold))
        {
            yield return Sentence(f);
        }

        if (fast.Length > MostTold)
        {
            yield return string.Create(CultureInfo.InvariantCulture, $"So it is at {fast.Length - MostTold} more places: {FileName} has each with its place and what would help it.");
        }

        int spills = All.Count(f => !f.BreaksLimit);
        if (spills > 0)
        {
            yield return $"{Words.Count(spills, "line")} {(spills == 1 ? "spills" : "spill")} at a low place along the way: {FileName} has them too.";
        }
    }

    /// <summary>A finding in a sentence or two.</summary>
    public string Sentence(WaterFinding f)
    {
        if (f.Kind == WaterFindingKind.SpillsInOnePlace)
        {
            return string.Create(CultureInfo.InvariantCulture, $"Line {f.LineId} spills {f.Spilled:0.0} m3 at a low place {f.At:0} m from its start, where water comes from both sides: lead it to a stable outlet there, or end the line short of it on either side.");
        }

        string where = f.Kind == WaterFindingKind.EndRunsFast ? "go at its end" : string.Create(CultureInfo.InvariantCulture, $"run {f.At:0} m from its start");
        string fast = string.Create(CultureInfo.InvariantCulture, $"Line {f.LineId} lets {1000 * f.Flow:0.0} L/s {where} at {f.Speed:0.00} m/s and {f.Shear:0.0} Pa, more than fresh soil stands ({f.SpeedLimit:0.###} m/s, {f.ShearLimit:0.#} Pa): {Proposal(f)}.");
        (string name, double distance) = Nearest(f);
        return distance <= Far ? fast + string.Create(CultureInfo.InvariantCulture, $" The nearest outlet, {name}, is {distance:0} m away.") : fast;
    }

    /// <summary>Writes them as GeoJSON.</summary>
    public void Write(Stream stream, GroundCrs crs, PlanProvenance provenance, CancellationToken stop) => FeatureCollectionJson.Write(
        stream,
        All.Select((f, i) => new JsonFeature(
            FormattableString.Invariant($"finding-{i + 1}"),
            f.Stretch is { Length: > 0 } stretch ? stretch : Factory.CreatePoint(new Coordinate(f.X, f.Y)),
            json => Properties(json, f, crs))),
        null,
        crs,
        provenance,
        FormatVersion,
        stop,
        caution: true);

    private void Properties(Utf8JsonWriter json, WaterFinding f, GroundCrs crs)
    {
        (double lon, double lat) = crs.ToLonLat(f.X, f.Y);
        bool fast = f.BreaksLimit;
        json.WriteString("kind", JsonNamingPolicy.KebabCaseLower.ConvertName(f.Kind.ToString()));
        json.WriteString("line", f.LineId);
        json.WriteBoolean("breaks_limit", f.BreaksLimit);
        JsonText.Number(json, "longitude", lon, GeoJsonShapes.UsualDecimals);
        JsonText.Number(json, "latitude", lat, GeoJsonShapes.UsualDecimals);
        JsonText.Number(json, "value", fast ? f.Times : f.Spilled, 4);
        JsonText.Number(json, "limit", fast ? 1 : double.NaN, 4);
        JsonText.Number(json, "length_m", f.Stretch?.Length ?? double.NaN, 1);
        json.WriteString("sentence", Sentence(f));
        JsonText.Number(json, "from_start_m", f.At, 1);
        JsonText.Number(json, "flow_l_s", 1000 * f.Flow, 3);
        JsonText.Number(json, "speed_m_s", f.Speed, 3);
        JsonText.Number(json, "speed_limit_m_s", f.SpeedLimit, 3);
        JsonText.Number(json, "shear_pa", f.Shear, 2);
        JsonText.Number(json, "shear_limit_pa", f.ShearLimit, 2);
        JsonText.Number(json, "spilled_m3", f.Spilled, 3);
        JsonText.Number(json, "gathers_from_m", f.Run, 1);
        JsonText.Number(json, "grade_pct", 100 * f.Grade, 2);
        JsonText.Number(json, "less_fall_pct", 100 * f.LessFall, 2);
        JsonText.Number(json, "break_every_m", f.BreakEvery, 1);
        json.WriteBoolean("together", f.IsTogether);
        if (f.Breaks.Count > 0)
        {
            json.WriteStartArray("breaks");
            foreach (Coordinate place in f.Breaks)
            {
                (double breakLon, double breakLat) = crs.ToLonLat(place.X, place.Y);
                json.WriteStartArray();
                json.WriteNumberValue(Math.Round(breakLon, GeoJsonShapes.UsualDecimals));
                json.WriteNumberValue(Math.Round(breakLat, GeoJsonShapes.UsualDecimals));
                json.WriteEndArray();
            }

            json.WriteEndArray();
        }

        (string name, double distance) = Nearest(f);
        if (double.IsFinite(distance))
        {
            json.WriteString("nearest_outlet", name);
            JsonText.Number(json, "nearest_outlet_m", distance, 1);
        }
    }

    private static string Proposal(WaterFinding f)
    {
        string fall = string.Create(CultureInfo.InvariantCulture, $"let it fall no more than {100 * f.LessFall:0.0#} %");
        string parts = string.Create(CultureInfo.InvariantCulture, $"break it every {f.BreakEvery:0} m");
        return f.IsTogether ? $"{fall} and {parts}, or lead it to a stable outlet there" : (f.LessFall > 0, f.Pieces > 0) switch
        {
            (true, true) => $"{fall}, or {parts}, or lead it to a stable outlet there",
            (true, false) => $"{fall}, or lead it to a stable outlet there",
            (false, true) => $"{parts}, or lead it to a stable outlet there",
            _ => "less fall and breaks would not do: lead it to a stable outlet there",
        };
    }

    private (string Name, double Distance) Nearest(WaterFinding f)
    {
        Point at = Factory.CreatePoint(new Coordinate(f.X, f.Y));
        return places.Where(p => p.Kind == "outlet").Select(p => (p.Name, p.Shape.Distance(at))).DefaultIfEmpty(("", double.PositiveInfinity)).MinBy(p => p.Item2);
    }
}
