using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Positions in a table: our own waypoints, or a log with columns of latitude and longitude.</summary>
/// <remarks>Source: RFC 4180 (2005), also parted by semicolons or tabs.</remarks>
internal static class WaypointTable
{
    public static List<PlaceTrack> Read(Stream stream, string name)
    {
        SurveyTable table = SurveyTable.Read(stream, name, default);
        if (!table.Has("latitude") || !table.Has("longitude"))
        {
            throw new GroundDataException($"{name}: it has no columns named latitude and longitude (or lat and lon); name them so in the first row, or give GPX, KML, GeoJSON, NMEA 0183 or ISO 11783-10.");
        }

        double unit = table.Has("height") && !double.IsNaN(table.Unit("height")) ? table.Unit("height") : 1;
        List<PlaceTrack> tracks = [];
        List<CoordinateZ> open = [];
        string track = "";
        foreach (SurveyRow row in table.Rows)
        {
            if (table.Number(row, "longitude") is not double lon || table.Number(row, "latitude") is not double lat)
            {
                continue;
            }

            string line = table.Text(row, "line_id");
            if (line != track)
            {
                TrackReader.Join(tracks, track, [open]);
                (open, track) = ([], line);
            }

            open.Add(TrackReader.Place(lon, lat, table.Has("height") && table.Number(row, "height") is double h ? h * unit : double.NaN, name));
        }

        TrackReader.Join(tracks, track, [open]);
        return tracks;
    }
}
