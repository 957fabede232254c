using System.Diagnostics;
using System.Globalization;

namespace Keyline.Formats.Tests.Crs;

/// <summary>Projections against PROJ, through GDAL's gdaltransform where it is on this machine.</summary>
public sealed class ProjComparisonTests
{
    // One millimetre, and what GDAL prints of a coordinate.
    private const double Tolerance = 1e-3;

    // Every 37th system of the table is tried, which comes by all methods, units and continents; and these by name.
    private const int Stride = 37;
    private static readonly int[] Named = [2154, 2193, 2227, 27700, 28992, 31370, 3358, 3794, 3338, 5070, 25832, 26910, 32601, 32660, 32701, 32760];

    [Fact]
    public void FromLonLat_SystemsAllOverTheTable_AgreeWithProjToAMillimetre()
    {
        Need();
        int[] codes = [.. Codes().Where((_, i) => i % Stride == 0).Concat(Named).Distinct().Order()];
        int points = 0;
        List<string> off = [];
        foreach (int code in codes)
        {
            ProjectedEntry entry = EpsgTable.Projected(code)!;
            GroundCrs crs = GroundCrs.FromEpsg(code);

            // Around the middle of the projection, no further than zones are wide. On the system's own datum: which shift
            // PROJ would choose is another matter.
            double lon0 = entry.Parameters[1], lat0 = entry.Method is "L2" or "A" ? (entry.Parameters[2] + entry.Parameters[3]) / 2 : entry.Parameters[0];
            lat0 = entry.Method == "T" && Math.Abs(lat0) is < 1 or > 80 ? (entry.Parameters[4] > 1_000_000 ? -35 : 45) : lat0;
            (double Lon, double Lat)[] places = [(lon0, lat0), (lon0 + 1.5, lat0 + 1), (lon0 - 1.5, lat0 - 1), (lon0 + 2.5, lat0 - 2), (lon0 - 2.5, lat0 + 2)];
            (double X, double Y)[] proj = Transform(entry.Geographic.Code, code, places);
            for (int i = 0; i < places.Length; i++)
            {
                (double lon, double lat) = entry.Geographic.Shift.ToWgs84(places[i].Lon, places[i].Lat);
                (double x, double y) = crs.FromLonLat(lon, lat);
                double unit = crs.MetresPerUnit;
                points++;
                if (!(Math.Abs(x - (proj[i].X * unit)) < Tolerance && Math.Abs(y - (proj[i].Y * unit)) < Tolerance))
                {
                    off.Add(FormattableString.Invariant($"EPSG:{code} {entry.Method} at {places[i]}: {x:F4}, {y:F4} and {proj[i].X * unit:F4}, {proj[i].Y * unit:F4}"));
                }
            }
        }

        Assert.Empty(off);
        Assert.InRange(points, 300, 2000);
    }

    private static IEnumerable<int> Codes() => Enumerable.Range(2000, 31_000).Where(code => EpsgTable.Projected(code) is not null);

    private static void Need()
    {
        try
        {
            _ = Run("--version", "");
        }
        catch (System.ComponentModel.Win32Exception)
        {
            Assert.Skip("GDAL's program gdaltransform is not on this machine (Debian: apt install gdal-bin).");
        }
    }

    private static (double X, double Y)[] Transform(int from, int to, (double Lon, double Lat)[] places)
    {
        string input = string.Join('\n', places.Select(p => string.Create(CultureInfo.InvariantCulture, $"{p.Lon:R} {p.Lat:R}"))) + "\n";
        string[] lines = Run($"-s_srs EPSG:{from} -t_srs EPSG:{to} -output_xy", input).Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.True(lines.Length == places.Length && !Array.Exists(lines, l => l.Contains("failed", StringComparison.Ordinal)), $"EPSG:{from} to EPSG:{to}: {string.Join("; ", lines)}");
        return [.. lines.Select(l => l.Split(' ')).Select(p => (double.Parse(p[0], CultureInfo.InvariantCulture), double.Parse(p[1], CultureInfo.InvariantCulture)))];
    }

    private static string Run(string arguments, string input)
    {
        ProcessStartInfo start = new("gdaltransform", arguments) { RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true };
        using Process process = Process.Start(start)!;
        process.StandardInput.Write(input);
        process.StandardInput.Close();
        string output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return output;
    }
}
