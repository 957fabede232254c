using System.ComponentModel;
using System.Diagnostics;
using System.Globalization;
using Keyline.Elevation;
using Keyline.Terrain;
using Keyline.Tests.Support;

namespace Keyline.Tests.Terrain;

/// <summary>Slope, aspect and relief against gdaldem, where it is installed, on rough ground with a hole.</summary>
public sealed class GdalComparisonTests
{
    private const int Rows = 60;
    private const int Columns = 70;
    private const float NoData = -9999;

    private static readonly ElevationGrid Ground = Surfaces.Changed(
        Surfaces.Make(Rows, Columns, 2.5, (x, y) => 120 + (8 * Math.Sin(x / 17)) + (5 * Math.Cos(y / 11)) + (0.04 * x)),
        (r, c, z) => r is > 20 and < 26 && c is > 40 and < 44 ? float.NaN : z + (0.3f * (float)Noise.At(r, c, 11)));

    [Theory]
    [InlineData("Horn", SlopeMethod.Horn)]
    [InlineData("ZevenbergenThorne", SlopeMethod.ZevenbergenThorne)]
    public void Slope_RoughGround_AgreesWithGdal(string name, SlopeMethod method) =>
        Compare(Run("slope", "-p", "-alg", name), Slope.Percent(Ground, method), (ours, theirs) => Assert.InRange(ours - theirs, -2e-3, 2e-3));

    [Theory]
    [InlineData("Horn", SlopeMethod.Horn)]
    [InlineData("ZevenbergenThorne", SlopeMethod.ZevenbergenThorne)]
    public void Aspect_RoughGround_AgreesWithGdal(string name, SlopeMethod method) => Compare(
        Run("aspect", "-alg", name),
        Aspect.Degrees(Ground, method),
        (ours, theirs) => Assert.InRange(Math.IEEERemainder(ours - theirs, 360), -0.02, 0.02));

    // gdaldem writes relief as whole numbers, 1 in the dark up to 255 facing the sun.
    [Theory]
    [InlineData(315, 45, 1)]
    [InlineData(100, 30, 3)]
    public void Hillshade_RoughGround_AgreesWithGdal(int azimuth, int altitude, int factor) => Compare(
        Run("hillshade", "-az", Text(azimuth), "-alt", Text(altitude), "-z", Text(factor)),
        Hillshade.Compute(Ground, azimuth, altitude, factor),
        (ours, theirs) => Assert.InRange(1 + (254 * ours) - theirs, -0.52, 0.52));

    private static string Text(double value) => value.ToString("R", CultureInfo.InvariantCulture);

    // Only cells with all eight neighbours: what stands in for a missing one is each program's own affair.
    private static void Compare(double[] theirs, Grid<float> ours, Action<double, double> check)
    {
        int compared = 0;
        for (int r = 1; r < Rows - 1; r++)
        {
            for (int c = 1; c < Columns - 1; c++)
            {
                if (!CellWindow.Read(Ground, r, c).IsMended && !float.IsNaN(Ground[r, c]))
                {
                    check(ours[r, c], theirs[(r * Columns) + c]);
                    compared++;
                }
            }
        }

        Assert.Equal((58 * 68) - (7 * 5), compared);
    }

    private static double[] Run(string mode, params string[] options)
    {
        string folder = Directory.CreateTempSubdirectory("keyline-gdal-").FullName;
        try
        {
            string source = Path.Combine(folder, "ground.asc");
            string target = Path.Combine(folder, "out.asc");
            File.WriteAllText(source, Ascii());
            ProcessStartInfo start = new("gdaldem", [mode, source, target, "-of", "AAIGrid", "-q", .. options])
            {
                RedirectStandardError = true,
                RedirectStandardOutput = true,
            };
            using Process process = Process.Start(start)!;
            string said = process.StandardError.ReadToEnd();
            process.WaitForExit();
            Assert.True(process.ExitCode == 0, said);
            return [.. File.ReadAllText(target).Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries)
                .TakeLast(Rows * Columns).Select(t => double.Parse(t, CultureInfo.InvariantCulture))];
        }
        catch (Win32Exception)
        {
            Assert.Skip("gdaldem, which this compares with, is not installed.");
            throw;
        }
        finally
        {
            Directory.Delete(folder, true);
        }
    }

    private static string Ascii()
    {
        List<string> lines = [$"ncols {Columns}", $"nrows {Rows}", "xllcorner 0", "yllcorner 0", "cellsize 2.5", $"NODATA_value {Text(NoData)}"];
        for (int r = 0; r < Rows; r++)
        {
            lines.Add(string.Join(' ', Ground.Row(r).ToArray().Select(z => Text(float.IsNaN(z) ? NoData : z))));
        }

        return string.Join('\n', lines) + "\n";
    }
}
