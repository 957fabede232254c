using System.Globalization;
using System.Text;
using Keyline.Guidance;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Writes a plan's lines as waypoints in a CSV table, in driving order.</summary>
/// <remarks>
/// <para>Units: WGS 84 latitude and longitude in degrees to 8 decimals (1 mm); easting and northing in metres of the plan's
/// projected system, height and distance along the line in metres, to 3, 2 and 2 decimals.</para>
/// <para>Missing: an unknown height is an empty cell.</para>
/// <para>Promises: one header row; rows end in CR LF; no blank rows; decimal points whatever the machine's language; the
/// same plan gives the same bytes. Lines are thinned to 2 cm with no gap above 50 m.</para>
/// <para>Source: RFC 4180 (2005).</para>
/// </remarks>
public static class WaypointCsv
{
    /// <summary>The header row.</summary>
    public const string Header = "line_id,sequence,point,latitude,longitude,easting_m,northing_m,elevation_m,distance_m";

    /// <summary>Writes the waypoints of a plan.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="plan">The plan.</param>
    /// <param name="crs">The projected system its metres are in.</param>
    /// <param name="tolerance">Cross-track error allowed in thinning, metres.</param>
    /// <param name="cancellation">Stops the writing.</param>
    public static void Write(Stream stream, KeylinePlan plan, GroundCrs crs, double tolerance = LineThinning.DefaultTolerance, CancellationToken cancellation = default)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(crs);
        PlanPlaces places = new(crs, plan.Ground);
        using StreamWriter text = new(stream, new UTF8Encoding(false), 1 << 16, leaveOpen: true) { NewLine = "\r\n" };
        text.WriteLine(Header);
        foreach (RipLine line in plan.Layout.Lines.OrderBy(l => l.Sequence))
        {
            cancellation.ThrowIfCancellationRequested();
            Coordinate[] path = LineThinning.Thin(line.Line, tolerance).Coordinates;
            double distance = 0;
            for (int i = 0; i < path.Length; i++)
            {
                distance += i > 0 ? path[i].Distance(path[i - 1]) : 0;
                CoordinateZ at = places.Of(path[i]);
                string height = double.IsFinite(at.Z) ? at.Z.ToString("F2", CultureInfo.InvariantCulture) : "";
                text.WriteLine(FormattableString.Invariant(
                    $"{Quoted(line.Id)},{line.Sequence},{i + 1},{at.Y:F8},{at.X:F8},{path[i].X:F3},{path[i].Y:F3},{height},{distance:F2}"));
            }
        }
    }

    private static string Quoted(string text) =>
        text.AsSpan().IndexOfAny(",\"\r\n") < 0 ? text : "\"" + text.Replace("\"", "\"\"", StringComparison.Ordinal) + "\"";
}
