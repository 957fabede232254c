using Keyline.Guidance;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Writes lines for guidance as waypoints in a CSV table, in driving order.</summary>
/// <remarks>
/// <para>Units: WGS 84 latitude and longitude in degrees to 9 decimals (0.1 mm); easting and northing in metres of the plan's
/// projected system to 4 decimals; height and distance along the line in metres to 2 decimals.</para>
/// <para>Missing: an unknown height is an empty cell.</para>
/// <para>Promises: one header row; rows end in CR LF; no blank rows; decimal points whatever the machine's language; the
/// same lines give the same bytes.</para>
/// <para>Cost: about 0.5 microseconds a point and core. Source: RFC 4180 (2005).</para>
/// </remarks>
public static class CsvGuidance
{
    /// <summary>The header row.</summary>
    public const string Header = "line_id,sequence,point,latitude,longitude,easting_m,northing_m,elevation_m,distance_m,role";

    /// <summary>Writes the waypoints.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="set">The lines.</param>
    /// <param name="crs">The projected system their metres are in.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static void Write(Stream stream, GuidanceSet set, GroundCrs crs, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(set);
        ArgumentNullException.ThrowIfNull(crs);
        stream.Write(new Utf8Text().Add(Header).Add("\r\n"u8).Written);
        LineTexts.Write(stream, set.Lines, crs, Rows, cancellationToken);
    }

    private static void Rows(Utf8Text text, GuidanceLine line, int number, LinePlaces at)
    {
        CoordinateSequence path = line.Path.CoordinateSequence;
        double distance = 0;
        for (int i = 0; i < at.Count; i++)
        {
            double x = path.GetX(i), y = path.GetY(i);
            distance += i > 0 ? Math.Sqrt(((x - path.GetX(i - 1)) * (x - path.GetX(i - 1))) + ((y - path.GetY(i - 1)) * (y - path.GetY(i - 1)))) : 0;
            text.AddCell(line.Name).Add(","u8).Add(line.Sequence).Add(","u8).Add(i + 1)
                .Add(","u8).Add(at.Latitude[i], 9).Add(","u8).Add(Antimeridian.Turn(at.Longitude[i]), 9)
                .Add(","u8).Add(x, 4).Add(","u8).Add(y, 4).Add(","u8);
            _ = double.IsFinite(at.Height[i]) ? text.Add(at.Height[i], 2) : text;
            text.Add(","u8).Add(distance, 2).Add(i == 0 ? ",A\r\n"u8 : i == at.Count - 1 ? ",B\r\n"u8 : ",point\r\n"u8);
        }
    }
}
