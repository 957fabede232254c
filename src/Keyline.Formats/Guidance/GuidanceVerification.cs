using Keyline.Guidance;
using Microsoft.Data.Sqlite;
using NetTopologySuite.Geometries;
using NetTopologySuite.IO;
using NetTopologySuite.Operation.Distance;
using NetTopologySuite.IO.Esri;

namespace Keyline.Formats;

/// <summary>What was found when a written form was read back.</summary>
/// <param name="Format">The form.</param>
/// <param name="Lines">Lines of the set found in it; what else it holds, as an avoided pipe, is not counted.</param>
/// <param name="Missing">Names of lines that were not found, or have another name.</param>
/// <param name="FromPrepared">Greatest distance of a point read back from the line that was to be written, metres: what the form's precision costs.</param>
/// <param name="FromPlanned">Greatest distance of a point of the planned lines from what was read back, metres: precision and thinning together; NaN where no planned lines were given.</param>
/// <param name="FarthestLine">Name of the line that strays most.</param>
public sealed record RoundTrip(GuidanceFormat Format, int Lines, IReadOnlyList<string> Missing, double FromPrepared, double FromPlanned, string FarthestLine);

/// <summary>Reads written guidance back and measures how far it departs from the plan.</summary>
/// <remarks>Units: metres. Cost: the written file in memory once more. Source: geometry.</remarks>
public static class GuidanceVerification
{
    /// <summary>Reads a form back.</summary>
    /// <param name="folder">The folder it was written to.</param>
    /// <param name="format">The form.</param>
    /// <param name="set">What was written.</param>
    /// <param name="crs">The projected system of its metres.</param>
    /// <param name="inPlane">Whether it was written in the plan's own projected system.</param>
    /// <param name="planned">The planned lines by name, where the lines follow them without a shift to one side; else null.</param>
    /// <exception cref="GroundDataException">It cannot be read back.</exception>
    public static RoundTrip ReadBack(string folder, GuidanceFormat format, GuidanceSet set, GroundCrs crs, bool inPlane = false, IReadOnlyList<PlannedPath>? planned = null)
    {
        ArgumentNullException.ThrowIfNull(set);
        ArgumentNullException.ThrowIfNull(crs);
        string file = Path.Combine(folder, GuidanceFiles.NamesOf(format)[0].Replace('/', Path.DirectorySeparatorChar));
        Dictionary<string, LineString> found = [];
        HashSet<string> wanted = [.. set.Lines.Select(l => l.Name)];
        int count = 0;
        foreach ((string name, LineString line) in Lines(file, format, crs, inPlane).Where(l => wanted.Contains(l.Name)))
        {
            count++;
            found.TryAdd(name, line);
        }

        List<string> missing = [];
        double prepared = 0, strayed = planned is null ? double.NaN : 0;
        string farthest = "";
        foreach (GuidanceLine line in set.Lines)
        {
            if (!found.TryGetValue(line.Name, out LineString? back))
            {
                missing.Add(line.Name);
                continue;
            }

            double most = Math.Max(Farthest(back, line.Path), line.IsStraight ? 0 : Farthest(line.Path, back));
            if (most > prepared)
            {
                (prepared, farthest) = (most, line.Name);
            }
        }

        ILookup<string, LineString> bySource = set.Lines.Where(l => found.ContainsKey(l.Name)).ToLookup(l => l.SourceId, l => found[l.Name]);

        // Lines of one name are measured against all that was written of that name, gathered once.
        foreach (IGrouping<string, PlannedPath> named in (planned ?? []).GroupBy(p => p.Id))
        {
            LineString[] parts = [.. bySource[named.Key].Distinct()];
            if (parts.Length == 0)
            {
                continue;
            }

            IndexedFacetDistance written = new(GeometryFactory.Default.CreateMultiLineString(parts));
            foreach (PlannedPath path in named)
            {
                double most = Farthest(path.Line, written);
                (strayed, farthest) = most > strayed ? (most, path.Id) : (strayed, farthest);
            }
        }

        return new RoundTrip(format, count, missing, prepared, strayed, farthest);
    }

    private static IEnumerable<(string Name, LineString Line)> Lines(string file, GuidanceFormat format, GroundCrs crs, bool inPlane) => format switch
    {
        GuidanceFormat.Shapefile => FromShapefile(file, crs, inPlane),
        GuidanceFormat.GeoPackage => FromGeoPackage(file, crs, inPlane),
        GuidanceFormat.GpxWaypoints => FromWaypoints(file, crs),
        _ => TrackReader.Read(file).Select(t => (t.Name, t.On(crs))),
    };

    private static IEnumerable<(string, LineString)> FromShapefile(string file, GroundCrs crs, bool inPlane)
    {
        foreach (NetTopologySuite.Features.Feature feature in Shapefile.ReadAllFeatures(file))
        {
            yield return ((string)feature.Attributes["name"], OnGround(feature.Geometry, crs, inPlane));
        }
    }

    private static IEnumerable<(string, LineString)> FromGeoPackage(string file, GroundCrs crs, bool inPlane)
    {
        using SqliteConnection connection = new(new SqliteConnectionStringBuilder { DataSource = file, Mode = SqliteOpenMode.ReadOnly, Pooling = false }.ToString());
        connection.Open();
        using SqliteCommand command = connection.CreateCommand();
        command.CommandText = "SELECT name, geom FROM lines ORDER BY fid";
        using SqliteDataReader rows = command.ExecuteReader();
        GeoPackageGeoReader reader = new();
        while (rows.Read())
        {
            yield return (rows.GetString(0), OnGround(reader.Read((byte[])rows[1]), crs, inPlane));
        }
    }

    private static IEnumerable<(string, LineString)> FromWaypoints(string file, GroundCrs crs)
    {
        System.Xml.Linq.XNamespace gpx = "http://www.topografix.com/GPX/1/1";
        var points = System.Xml.Linq.XDocument.Load(file).Root!.Elements(gpx + "wpt").Select(p => (
            Name: p.Element(gpx + "name")!.Value,
            At: TrackReader.Place(TrackReader.Number(p.Attribute("lon")?.Value, file, "a longitude"), TrackReader.Number(p.Attribute("lat")?.Value, file, "a latitude"), double.NaN, file)));
        return points.GroupBy(p => p.Name[..p.Name.LastIndexOf(' ')]).Select(g => (g.Key, new PlaceTrack(g.Key, [.. g.Select(p => p.At)]).On(crs)));
    }

    private static LineString OnGround(Geometry shape, GroundCrs crs, bool inPlane)
    {
        if (!inPlane)
        {
            List<PlaceTrack> joined = [];
            TrackReader.Join(joined, "", FieldReader.Parts(shape).Select(p => p.Coordinates.Select(c => new CoordinateZ(c.X, c.Y, c.Z)).ToList()));
            return joined[0].On(crs);
        }

        return GeometryFactory.Default.CreateLineString(Array.ConvertAll(shape.Coordinates, c => (Coordinate)new CoordinateZ(c.X * crs.MetresPerUnit, c.Y * crs.MetresPerUnit, c.Z)));
    }

    private static double Farthest(LineString points, Geometry from) => Farthest(points, new IndexedFacetDistance(from));

    private static double Farthest(LineString points, IndexedFacetDistance distance)
    {
        double most = 0;
        for (int i = 0; i < points.NumPoints; i++)
        {
            most = Math.Max(most, distance.Distance(points.Factory.CreatePoint(new Coordinate(points.CoordinateSequence.GetX(i), points.CoordinateSequence.GetY(i)))));
        }

        return most;
    }
}
