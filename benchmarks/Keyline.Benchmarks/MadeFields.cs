using System.Text.Json;
using Keyline.Elevation;
using Keyline.Formats;
using NetTopologySuite.Geometries;

namespace Keyline.Benchmarks;

/// <summary>Fields of a hectare on made ground, one in a hundred of them broken in some way: what <c>keyline batch</c> is timed on.</summary>
internal static class MadeFields
{
    private const int Apart = 160;
    private const double Side = 100;

    /// <summary>Writes dem.tif and fields.geojson into a folder.</summary>
    /// <returns>The exit code of a program.</returns>
    public static int Write(int count, string folder)
    {
        Directory.CreateDirectory(folder);
        int across = (int)Math.Ceiling(Math.Sqrt(count));
        GroundCrs crs = GroundCrs.FromEpsg(32610);
        ElevationGrid made = MadeGround.Valleys((across * Apart) + Apart, holes: false);
        GridFrame place = new(made.Frame.Rows, made.Frame.Columns, made.Frame.CellSize, 500_000, 4_200_000);
        using (FileStream dem = File.Create(Path.Combine(folder, "dem.tif")))
        {
            GeoTiffWriter.Write(dem, ElevationGrid.Copy(place, made.Heights), crs);
        }

        using FileStream stream = File.Create(Path.Combine(folder, "fields.geojson"));
        using Utf8JsonWriter json = new(stream);
        json.WriteStartObject();
        json.WriteString("type", "FeatureCollection");
        json.WriteStartArray("features");
        for (int i = 0; i < count; i++)
        {
            double x = place.West + Apart + (i % across * Apart), y = place.North - Apart - (i / across * Apart);
            WriteField(json, i, i % 100 == 99 ? i / 100 % 3 : -1, crs, new Coordinate(x, y));
        }

        json.WriteEndArray();
        json.WriteEndObject();
        return 0;
    }

    // Broken: off the elevation, an outline that crosses itself, an option that cannot be followed.
    private static void WriteField(Utf8JsonWriter json, int number, int broken, GroundCrs crs, Coordinate corner)
    {
        double off = broken == 0 ? 1_000_000 : 0;
        (double X, double Y)[] ring = broken == 1
            ? [(0, 0), (Side, -Side), (Side, 0), (0, -Side), (0, 0)]
            : [(0, 0), (0, -Side), (Side, -Side), (Side, 0), (0, 0)];
        json.WriteStartObject();
        json.WriteString("type", "Feature");
        json.WriteStartObject("properties");
        json.WriteString("id", FormattableString.Invariant($"f{number:D5}"));
        if (broken == 2)
        {
            json.WriteString("plan_spacing", "none");
        }

        json.WriteEndObject();
        json.WriteStartObject("geometry");
        json.WriteString("type", "Polygon");
        json.WriteStartArray("coordinates");
        json.WriteStartArray();
        foreach ((double x, double y) in ring)
        {
            (double lon, double lat) = crs.ToLonLat(corner.X + x, corner.Y + y - off);
            json.WriteStartArray();
            json.WriteNumberValue(Math.Round(lon, 7));
            json.WriteNumberValue(Math.Round(lat, 7));
            json.WriteEndArray();
        }

        json.WriteEndArray();
        json.WriteEndArray();
        json.WriteEndObject();
        json.WriteEndObject();
    }
}
