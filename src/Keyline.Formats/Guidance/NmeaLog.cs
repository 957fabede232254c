using System.Globalization;
using System.Text;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Positions of a receiver's log.</summary>
/// <remarks>
/// <para>Units: degrees; heights of GGA in metres above the geoid the receiver has.</para>
/// <para>Promises: sentences of any talker; a wrong sum, a fix of quality 0 or an RMC marked void leaves the position out. A
/// pause of more than a minute between positions begins a new track.</para>
/// <para>Source: NMEA 0183, sentences GGA and RMC and the sum of characters; from memory.</para>
/// </remarks>
internal static class NmeaLog
{
    private const double LongestPause = 60;
    private const double Day = 86_400;

    public static List<PlaceTrack> Read(Stream stream, string name)
    {
        using StreamReader text = new(new LineGuard(stream, name, "line", LineGuard.LineEnds), Encoding.ASCII, false, -1, leaveOpen: true);
        List<(double Time, CoordinateZ At)> gga = [], rmc = [];
        int wrong = 0;
        for (string? line = text.ReadLine(); line is not null; line = text.ReadLine())
        {
            line = line.Trim();
            if (line.Length < 7 || line[0] != '$')
            {
                continue;
            }

            string kind = line.Substring(3, 3);
            if (kind is not ("GGA" or "RMC"))
            {
                continue;
            }

            if (!SumHolds(line))
            {
                wrong++;
                continue;
            }

            string[] f = line.Split('*')[0].Split(',');
            if (kind == "GGA" && f.Length > 9 && f[6] is not ("" or "0"))
            {
                gga.Add((Time(f[1], name), Place(f, 2, f[9].Length > 0 ? TrackReader.Number(f[9], name, "a height") : double.NaN, name)));
            }
            else if (kind == "RMC" && f.Length > 6 && f[2] == "A")
            {
                rmc.Add((Time(f[1], name), Place(f, 3, double.NaN, name)));
            }
        }

        List<(double Time, CoordinateZ At)> fixes = gga.Count > 0 ? gga : rmc;
        if (fixes.Count < 2)
        {
            throw new GroundDataException(FormattableString.Invariant($"{name}: it holds {fixes.Count} positions with a fix (GGA or RMC){(wrong > 0 ? FormattableString.Invariant($", and {wrong} sentences whose sum is wrong") : "")}; log GGA while driving."));
        }

        List<PlaceTrack> tracks = [];
        List<CoordinateZ> open = [];
        for (int i = 0; i < fixes.Count; i++)
        {
            double pause = i > 0 ? fixes[i].Time - fixes[i - 1].Time : 0;
            if ((pause < 0 ? pause + Day : pause) > LongestPause)
            {
                TrackReader.Join(tracks, "", [open]);
                open = [];
            }

            open.Add(fixes[i].At);
        }

        TrackReader.Join(tracks, "", [open]);
        return tracks;
    }

    // The sum is the exclusive or of all between the dollar and the star; a sentence without one is taken.
    private static bool SumHolds(string line)
    {
        int star = line.LastIndexOf('*');
        if (star < 0)
        {
            return true;
        }

        int sum = 0;
        for (int i = 1; i < star; i++)
        {
            sum ^= line[i];
        }

        return int.TryParse(line.AsSpan(star + 1), NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out int said) && said == sum;
    }

    private static double Time(string text, string name) => text.Length < 6 ? 0
        : (3600 * TrackReader.Number(text[..2], name, "a time")) + (60 * TrackReader.Number(text[2..4], name, "a time")) + TrackReader.Number(text[4..], name, "a time");

    private static CoordinateZ Place(string[] f, int at, double height, string name) =>
        TrackReader.Place(Degrees(f[at + 2], 3, name) * (f[at + 3] == "W" ? -1 : 1), Degrees(f[at], 2, name) * (f[at + 1] == "S" ? -1 : 1), height, name);

    // ddmm.mmmm and dddmm.mmmm.
    private static double Degrees(string text, int digits, string name) => text.Length > digits
        ? TrackReader.Number(text[..digits], name, "degrees") + (TrackReader.Number(text[digits..], name, "minutes") / 60)
        : throw new GroundDataException($"{name}: \"{text}\" stands where degrees and minutes should; log the receiver again.");
}
