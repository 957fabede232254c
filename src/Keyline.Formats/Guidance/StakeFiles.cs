using Keyline.SetOut;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Writes stakes for setting out: as a table to fill in, as GeoJSON, and as waypoints for a hand-held receiver.</summary>
/// <remarks>
/// <para>Units: WGS 84 degrees, metres (the table in feet where asked for), percent, as the names say. Falls are positive toward the next stake.</para>
/// <para>Missing: an unknown height, reading or grade is an empty cell, or left out.</para>
/// <para>Promises: the table's columns <c>height_m</c>, <c>rod_m</c> and <c>moved_left_m</c> are left to be filled in, and
/// <see cref="LevelReadings"/> reads it back; a stake that a set-up begins with has a row there too. The same stakes give the
/// same bytes.</para>
/// <para>Source: RFC 4180 (2005), RFC 7946 (2016), GPX 1.1 schema (2004).</para>
/// </remarks>
public static class StakeFiles
{
    /// <summary>The table's header row.</summary>
    public const string Header = "stake,line,distance_m,why,keep_clear_of,latitude,longitude,easting_m,northing_m,planned_height_m,fall_to_next_pct,setup,expected_rod_m,more_than_on_mark_m,mark,height_m,rod_m,moved_left_m";

    private const int FormatVersion = 1;
    private const double Foot = 0.3048;

    private static ReadOnlySpan<byte> Within => "\n    "u8;

    /// <summary>Writes the table.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="lines">The staked lines.</param>
    /// <param name="crs">The projected system of their metres.</param>
    /// <param name="mark">The benchmark, or null.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static void WriteTable(Stream stream, IReadOnlyList<StakedLine> lines, GroundCrs crs, LevelMark? mark) => WriteTable(stream, lines, crs, mark, inFeet: false);

    /// <summary>Writes the table in metres or in feet.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="lines">The staked lines.</param>
    /// <param name="crs">The projected system of their metres.</param>
    /// <param name="mark">The benchmark, or null.</param>
    /// <param name="inFeet">Whether distances, heights and readings are in feet of 0.3048 m, in columns named so
    /// (<c>rod_ft</c>); eastings and northings stay those of the system.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static void WriteTable(Stream stream, IReadOnlyList<StakedLine> lines, GroundCrs crs, LevelMark? mark, bool inFeet)
    {
        double unit = inFeet ? Foot : 1;
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(lines);
        ArgumentNullException.ThrowIfNull(crs);
        Utf8Text text = new();
        text.Add(inFeet ? Header.Replace("_m,", "_ft,", StringComparison.Ordinal).Replace("moved_left_m", "moved_left_ft", StringComparison.Ordinal).Replace("easting_ft,northing_ft", "easting_m,northing_m", StringComparison.Ordinal) : Header).Add("\r\n"u8);
        foreach (StakedLine line in lines)
        {
            foreach (LevelSetUp setUp in line.SetUps)
            {
                string name = SetUpName(line, setUp);
                Stake? begin = line.Stakes.FirstOrDefault(s => s.Name == setUp.Mark);
                if (begin is not null && begin.SetUp != setUp.Number)
                {
                    Row(text, line, begin, setUp, name, crs, "read again", unit);
                }
                else if (begin is null && mark is not null)
                {
                    text.AddCell(mark.Name).Add(","u8).AddCell(line.Id).Add(",,benchmark,,,,,,,,"u8).AddCell(name).Add(","u8).Add(mark.Reading / unit, 3).Add(",0.000,"u8).AddCell(mark.Name).Add(","u8).Add(mark.Height / unit, 3).Add(",,\r\n"u8);
                }

                foreach (Stake stake in line.Stakes.Where(s => s.SetUp == setUp.Number))
                {
                    Row(text, line, stake, setUp, name, crs, WordsOf(stake.Reasons), unit);
                }
            }
        }

        stream.Write(text.Written);
    }

    /// <summary>Writes the stakes and lines as GeoJSON.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="lines">The staked lines.</param>
    /// <param name="crs">The projected system of their metres.</param>
    /// <param name="provenance">What they were made from.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static void WriteGeoJson(Stream stream, IReadOnlyList<StakedLine> lines, GroundCrs crs, PlanProvenance provenance, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(lines);
        IEnumerable<JsonFeature> features = lines.SelectMany(line => line.Stakes
            .Select(stake => JsonFeature.Named("stake", stake.Name, new Point(stake.Place), json =>
            {
                LevelSetUp setUp = line.SetUpOf(stake);
                json.WriteString("line", line.Id);
                JsonText.Number(json, "distance_m", stake.Station, 2);
                json.WriteString("why", WordsOf(stake.Reasons));
                json.WriteString("keep_clear_of", stake.KeepClearOf);
                JsonText.Number(json, "planned_height_m", stake.Place.Z, 3);
                JsonText.Number(json, "fall_to_next_pct", stake.GradeToNext, 2);
                json.WriteString("setup", SetUpName(line, setUp));
                json.WriteString("mark", setUp.Mark);
                JsonText.Number(json, "expected_rod_m", setUp.ReadingOn(stake), 3);
                JsonText.Number(json, "more_than_on_mark_m", setUp.MoreThanOnMark(stake), 3);
            }))
            .Prepend(JsonFeature.Named("guide-line", line.Id, line.Line, json => JsonText.Number(json, "length_m", line.Line.Length, 2))));
        FeatureCollectionJson.Write(stream, features, null, crs, provenance, FormatVersion, cancellationToken, GeoJsonShapes.DrivenDecimals, caution: true);
    }

    /// <summary>Stakes as a table of a GeoPackage, with the attributes of their GeoJSON.</summary>
    /// <param name="lines">The staked lines.</param>
    /// <param name="crs">The projected system of their metres.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static FeatureTable Table(IReadOnlyList<StakedLine> lines, GroundCrs crs)
    {
        ArgumentNullException.ThrowIfNull(lines);
        PlanPlaces places = new(crs, null);
        return new FeatureTable(
            "stake",
            "Stakes along guides, as keyline setout sets them where nothing else is asked for.",
            [("id", "TEXT"), ("line", "TEXT"), ("distance_m", "REAL"), ("why", "TEXT"), ("keep_clear_of", "TEXT"), ("planned_height_m", "REAL"), ("fall_to_next_pct", "REAL")],
            [
                .. lines.SelectMany(line => line.Stakes.Select(stake => (places.Of(new Point(stake.Place)), (IReadOnlyList<object?>)
                [
                    stake.Name, line.Id, Math.Round(stake.Station, 2), WordsOf(stake.Reasons), stake.KeepClearOf, Rounded(stake.Place.Z, 3), Rounded(stake.GradeToNext, 2),
                ]))),
            ]);

        static double Rounded(double value, int decimals) => double.IsFinite(value) ? Math.Round(value, decimals) : double.NaN;
    }

    /// <summary>Writes guides fitted to levelled heights as GeoJSON, to be pinned in a new layout.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="guides">The guides with their ids.</param>
    /// <param name="crs">The projected system of their metres.</param>
    /// <param name="provenance">What they were made from.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static void WriteRefitted(Stream stream, IReadOnlyList<(string Id, RefittedGuide Guide)> guides, GroundCrs crs, PlanProvenance provenance, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(guides);
        IEnumerable<JsonFeature> features = guides.Select(g => JsonFeature.Named("guide-line", g.Id, g.Guide.Line, json =>
        {
            json.WriteBoolean("pinned", true);
            JsonText.Number(json, "length_m", g.Guide.Line.Length, 2);
            JsonText.Number(json, "moved_max_m", g.Guide.GreatestMove, 2);
            JsonText.Number(json, "height_rms_m", g.Guide.Remaining, 3);
            JsonText.Number(json, "held_m", g.Guide.Held, 1);
        }));
        FeatureCollectionJson.Write(stream, features, null, crs, provenance, FormatVersion, cancellationToken, GeoJsonShapes.DrivenDecimals, caution: true);
    }

    /// <summary>Writes the stakes as GPX waypoints.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="lines">The staked lines.</param>
    /// <param name="crs">The projected system of their metres.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static void WriteGpx(Stream stream, IReadOnlyList<StakedLine> lines, GroundCrs crs)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(lines);
        ArgumentNullException.ThrowIfNull(crs);
        Utf8Text text = GpxText.Begin("Keyline").Add("  <metadata>"u8);
        GpxText.Said(text, Within, "desc"u8, Cautions.InShort).Add("\n  </metadata>\n"u8);
        foreach (StakedLine line in lines)
        {
            foreach (Stake stake in line.Stakes)
            {
                CoordinateZ at = new PlanPlaces(crs, null).Of(stake.Place);
                GpxText.Point(text, "  "u8, "wpt"u8, at.X, at.Y, at.Z, 3, Within);
                GpxText.Said(text, Within, "name"u8, stake.Name);
                GpxText.Said(text, Within, "desc"u8, FormattableString.Invariant($"{stake.Station:0.0} m along {line.Id}: {WordsOf(stake.Reasons)}{(stake.KeepClearOf.Length > 0 ? $"; keep clear of {stake.KeepClearOf}" : "")}"));
                text.Add("\n  </wpt>\n"u8);
            }
        }

        stream.Write(text.Add("</gpx>"u8).Written);
    }

    /// <summary>Why a stake stands where it does, in words: "start", "interval", "grade", "bend", "end", joined by "and".</summary>
    /// <param name="reasons">The reasons.</param>
    public static string WordsOf(StakeReasons reasons) => string.Join(" and ", Enum.GetValues<StakeReasons>().Where(r => r != StakeReasons.None && reasons.HasFlag(r)).Select(r => r.ToString().ToLowerInvariant()));

    /// <summary>Name of a set-up, unlike that of any other line: "G16/2".</summary>
    /// <param name="line">The line.</param>
    /// <param name="setUp">The set-up.</param>
    public static string SetUpName(StakedLine line, LevelSetUp setUp)
    {
        ArgumentNullException.ThrowIfNull(line);
        ArgumentNullException.ThrowIfNull(setUp);
        return FormattableString.Invariant($"{line.Id}/{setUp.Number}");
    }

    private static void Row(Utf8Text text, StakedLine line, Stake stake, LevelSetUp setUp, string name, GroundCrs crs, string why, double unit)
    {
        CoordinateZ at = new PlanPlaces(crs, null).Of(stake.Place);
        text.AddCell(stake.Name).Add(","u8).AddCell(line.Id).Add(","u8).Add(stake.Station / unit, 2).Add(","u8).AddCell(why).Add(","u8).AddCell(stake.KeepClearOf).Add(","u8)
            .Add(at.Y, 9).Add(","u8).Add(LinePlaces.Wrapped(at.X, 9), 9).Add(","u8).Add(stake.Place.X, 3).Add(","u8).Add(stake.Place.Y, 3).Add(","u8);
        Known(stake.Place.Z / unit, 3);
        Known(stake.GradeToNext, 2);
        text.AddCell(name).Add(","u8);
        Known(setUp.ReadingOn(stake) / unit, 3);
        Known(setUp.MoreThanOnMark(stake) / unit, 3);
        text.AddCell(setUp.Mark).Add(",,,\r\n"u8);

        void Known(double value, int decimals)
        {
            _ = double.IsFinite(value) ? text.Add(value, decimals) : text;
            text.Add(","u8);
        }
    }
}
