using System.Xml;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Tracks in the XML formats, read in one pass.</summary>
/// <remarks>Source: GPX 1.1 schema (2004); OGC 07-147r2, KML 2.2; ISO 11783-10:2015.</remarks>
internal static class XmlTracks
{
    /// <summary>Tracks and routes of a GPX file.</summary>
    public static List<PlaceTrack> Gpx(XmlReader xml, string name)
    {
        List<PlaceTrack> tracks = [];
        List<List<CoordinateZ>> parts = [];
        string track = "";
        while (xml.Read())
        {
            if (xml.NodeType == XmlNodeType.Element)
            {
                switch (xml.LocalName)
                {
                    case "trk" or "rte":
                        (track, parts) = ("", xml.LocalName == "rte" ? [[]] : []);
                        break;
                    case "trkseg":
                        parts.Add([]);
                        break;
                    case "name" when xml.Depth == 2:
                        using (XmlReader inner = xml.ReadSubtree())
                        {
                            inner.MoveToContent();
                            track = inner.ReadElementContentAsString();
                        }

                        break;
                    case "trkpt" or "rtept" when parts.Count > 0:
                        parts[^1].Add(GpxPoint(xml, name));
                        break;
                }
            }
            else if (xml.NodeType == XmlNodeType.EndElement && xml.LocalName is "trk" or "rte" && xml.Depth == 1)
            {
                TrackReader.Join(tracks, track, parts);
                parts = [];
            }
        }

        return tracks;
    }

    /// <summary>Line strings of a KML file.</summary>
    public static List<PlaceTrack> Kml(XmlReader xml, string name)
    {
        List<PlaceTrack> tracks = [];
        List<List<CoordinateZ>> parts = [];
        string placemark = "";
        int depth = -1;
        bool inLine = false;
        while (xml.Read())
        {
            if (xml.NodeType == XmlNodeType.Element)
            {
                switch (xml.LocalName)
                {
                    case "Placemark":
                        (placemark, parts, depth) = ("", [], xml.Depth);
                        break;
                    case "LineString":
                        inLine = true;
                        break;
                    case "name" when xml.Depth == depth + 1:
                        using (XmlReader inner = xml.ReadSubtree())
                        {
                            inner.MoveToContent();
                            placemark = inner.ReadElementContentAsString();
                        }

                        break;
                    case "coordinates" when inLine:
                        using (XmlReader inner = xml.ReadSubtree())
                        {
                            inner.MoveToContent();
                            parts.Add(KmlPoints(inner.ReadElementContentAsString(), name));
                        }

                        break;
                }
            }
            else if (xml.NodeType == XmlNodeType.EndElement)
            {
                inLine &= xml.LocalName != "LineString";
                if (xml.LocalName == "Placemark")
                {
                    TrackReader.Join(tracks, placemark, parts);
                    (parts, depth) = ([], -1);
                }
            }
        }

        return tracks;
    }

    /// <summary>Guidance patterns of ISO 11783-10 task data.</summary>
    public static List<PlaceTrack> TaskData(XmlReader xml, string name)
    {
        List<PlaceTrack> tracks = [];
        List<CoordinateZ>? points = null;
        string pattern = "";
        while (xml.Read())
        {
            if (xml.NodeType == XmlNodeType.Element)
            {
                if (xml.LocalName == "GPN")
                {
                    (pattern, points) = (xml.GetAttribute("B") ?? xml.GetAttribute("A") ?? "", []);
                }
                else if (xml.LocalName == "PNT" && points is not null)
                {
                    points.Add(TrackReader.Place(TrackReader.Number(xml.GetAttribute("D"), name, "a longitude"), TrackReader.Number(xml.GetAttribute("C"), name, "a latitude"), double.NaN, name));
                }
            }
            else if (xml.NodeType == XmlNodeType.EndElement && xml.LocalName == "GPN" && points is not null)
            {
                TrackReader.Join(tracks, pattern, [points]);
                points = null;
            }
        }

        return tracks;
    }

    private static CoordinateZ GpxPoint(XmlReader xml, string name)
    {
        double lat = TrackReader.Number(xml.GetAttribute("lat"), name, "a latitude"), lon = TrackReader.Number(xml.GetAttribute("lon"), name, "a longitude"), height = double.NaN;
        if (!xml.IsEmptyElement)
        {
            using XmlReader inner = xml.ReadSubtree();
            while (inner.Read())
            {
                if (inner.NodeType == XmlNodeType.Element && inner.LocalName == "ele" && inner.Depth == 1)
                {
                    height = TrackReader.Number(inner.ReadElementContentAsString(), name, "a height");
                }
            }
        }

        return TrackReader.Place(lon, lat, height, name);
    }

    private static List<CoordinateZ> KmlPoints(string text, string name)
    {
        List<CoordinateZ> points = [];
        foreach (string tuple in text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries))
        {
            string[] numbers = tuple.Split(',');
            if (numbers.Length < 2)
            {
                throw new GroundDataException($"{name}: \"{tuple}\" stands where a longitude and latitude should; export it again.");
            }

            points.Add(TrackReader.Place(
                TrackReader.Number(numbers[0], name, "a longitude"), TrackReader.Number(numbers[1], name, "a latitude"), numbers.Length > 2 ? TrackReader.Number(numbers[2], name, "a height") : double.NaN, name));
        }

        return points;
    }
}
