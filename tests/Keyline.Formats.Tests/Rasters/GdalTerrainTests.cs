using System.ComponentModel;
using System.Diagnostics;
using System.Text.Json;
using Keyline.Elevation;
using Keyline.Formats.Tests.Support;
using Keyline.Terrain;
using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Distance;

namespace Keyline.Formats.Tests.Rasters;

/// <summary>Slope, aspect, relief and contours of the open dataset and of real elevation models against GDAL's programs, through
/// our own GeoTIFF. Only cells with all eight neighbours are compared: what stands in for a missing one is each program's own
/// affair.</summary>
public sealed class GdalTerrainTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("keyline-gdal-").FullName;

    public static TheoryData<string> Grounds =>
        ["open", "gabilan_gentled_1m.tif", "uk_farmland_2m.tif", "slovenia_1m.tif", "yukon_1m.tif", "potholes_1m.tif", "iowa_field_3m.tif", "ny_drumlins_2m.tif", "romania_5m.tif"];

    public void Dispose() => Directory.Delete(_folder, true);

    [Theory]
    [MemberData(nameof(Grounds))]
    public void Slope_RealGround_AgreesToRounding(string name)
    {
        (ElevationGrid ground, string file) = Load(name);
        double most = Rounding(ground);
        foreach ((SlopeMethod method, string theirs) in new[] { (SlopeMethod.Horn, "Horn"), (SlopeMethod.ZevenbergenThorne, "ZevenbergenThorne") })
        {
            Compare(ground, Slope.Percent(ground, method), Dem(ground, file, "slope", "-p", "-alg", theirs), (a, b) => Math.Abs(a - b) - (1e-6 * Math.Abs(b)), most);
        }
    }

    // A direction is the less certain the gentler the slope.
    [Theory]
    [MemberData(nameof(Grounds))]
    public void Aspect_RealGround_AgreesToRounding(string name)
    {
        (ElevationGrid ground, string file) = Load(name);
        Grid<float> steep = Slope.Percent(ground);
        double most = Rounding(ground);
        double[] theirs = Dem(ground, file, "aspect", "-alg", "Horn");
        Grid<float> ours = Aspect.Degrees(ground);
        int compared = 0;
        foreach (int i in Whole(ground))
        {
            if (steep.Values[i] > 0.05)
            {
                double apart = Math.Abs(Math.IEEERemainder(ours.Values[i] - theirs[i], 360));
                Assert.InRange(apart, 0, 1e-4 + (180 / Math.PI * most / steep.Values[i]));
                compared++;
            }
        }

        Assert.True(compared > 1000);
    }

    // gdaldem writes relief as whole numbers, 1 in the dark up to 255 facing the sun.
    [Theory]
    [MemberData(nameof(Grounds))]
    public void Hillshade_RealGround_AgreesToAHalfStep(string name)
    {
        (ElevationGrid ground, string file) = Load(name);
        Compare(ground, Hillshade.Compute(ground), Dem(ground, file, "hillshade"), (ours, theirs) => Math.Abs(1 + (254 * ours) - theirs), 0.51);
    }

    // Levels are set off by a little, so that no height meets one exactly: there the two programs have rules of their own.
    [Theory]
    [InlineData("open", 1)]
    [InlineData("slovenia_1m.tif", 2)]
    [InlineData("iowa_field_3m.tif", 0.5)]
    public void Contours_RealGround_AgreeToASmallFractionOfACell(string name, double interval)
    {
        (ElevationGrid ground, string file) = Load(name);
        string output = Path.Combine(_folder, "contours.geojson");
        Run("gdal_contour", "-q", "-off", "0.0037", "-i", interval.ToString(System.Globalization.CultureInfo.InvariantCulture), "-a", "z", "-f", "GeoJSON", "-lco", "COORDINATE_PRECISION=9", "-lco", "RFC7946=NO", file, output);
        Dictionary<double, List<LineString>> theirs = [];
        using (JsonDocument json = JsonDocument.Parse(File.ReadAllText(output)))
        {
            foreach (JsonElement feature in json.RootElement.GetProperty("features").EnumerateArray())
            {
                double z = feature.GetProperty("properties").GetProperty("z").GetDouble();
                Coordinate[] points = [.. feature.GetProperty("geometry").GetProperty("coordinates").EnumerateArray().Select(p => new Coordinate(p[0].GetDouble(), p[1].GetDouble()))];
                if (!theirs.TryGetValue(z, out List<LineString>? lines))
                {
                    theirs[z] = lines = [];
                }

                lines.Add(new LineString(points));
            }
        }

        double[] levels = [.. theirs.Keys.Order()];
        ILookup<double, LineString> ours = ContourLines.Trace(ground, levels).ToLookup(c => c.Height, c => c.Line);
        int compared = 0;
        double worst = 0;
        foreach (double level in levels)
        {
            Geometry mine = new MultiLineString([.. ours[level]]);
            Geometry other = new MultiLineString([.. theirs[level]]);
            foreach ((Geometry from, Geometry to) in new[] { (mine, other), (other, mine) })
            {
                IndexedFacetDistance distance = new(to);
                foreach (Coordinate point in from.Coordinates.Where(p => Inside(ground, p)))
                {
                    worst = Math.Max(worst, distance.Distance(new Point(point)) / ground.Frame.CellSize);
                    compared++;
                }
            }
        }

        Assert.True(compared > 2000, $"only {compared} places compared");
        Assert.True(worst < 0.01, $"{worst} cells apart");
    }

    // gdaldem adds up to four heights in single precision before it subtracts: six roundings of four times the height, over eight
    // cells, in percent. Ours subtracts first; that it meets double arithmetic to 4e-7 is tested beside it.
    private static double Rounding(ElevationGrid ground)
    {
        float high = 0;
        foreach (float z in ground.Heights)
        {
            high = MathF.Abs(z) > high ? MathF.Abs(z) : high;
        }

        return 100 * 6 * Math.Pow(2, -24) * 4 * high / (8 * ground.Frame.CellSize);
    }

    private static bool Inside(ElevationGrid ground, Coordinate p)
    {
        (int row, int column) = ((int)Math.Round(ground.Frame.RowAt(p.Y)), (int)Math.Round(ground.Frame.ColumnAt(p.X)));
        for (int r = row - 2; r <= row + 2; r++)
        {
            for (int c = column - 2; c <= column + 2; c++)
            {
                if (!ground.Frame.Contains(r, c) || float.IsNaN(ground[r, c]))
                {
                    return false;
                }
            }
        }

        return true;
    }

    private static void Compare(ElevationGrid ground, Grid<float> ours, double[] theirs, Func<double, double, double> apart, double most)
    {
        int compared = 0;
        double worst = 0;
        foreach (int i in Whole(ground))
        {
            worst = Math.Max(worst, apart(ours.Values[i], theirs[i]));
            compared++;
        }

        Assert.True(compared > 1000, $"only {compared} cells compared");
        Assert.InRange(worst, double.NegativeInfinity, most);
    }

    private static IEnumerable<int> Whole(ElevationGrid ground)
    {
        GridFrame f = ground.Frame;
        for (int r = 1; r < f.Rows - 1; r++)
        {
            for (int c = 1; c < f.Columns - 1; c++)
            {
                float sum = 0;
                for (int i = r - 1; i <= r + 1; i++)
                {
                    sum += ground[i, c - 1] + ground[i, c] + ground[i, c + 1];
                }

                if (!float.IsNaN(sum))
                {
                    yield return (r * f.Columns) + c;
                }
            }
        }
    }

    private (ElevationGrid Ground, string File) Load(string name)
    {
        ElevationSource source = ElevationReader.Read(name == "open" ? Open() : TrialData.File(name));
        string file = Path.Combine(_folder, "ground.tif");
        using FileStream stream = File.Create(file);
        GeoTiffWriter.Write(stream, source.Grid, source.Crs);
        return (source.Grid, file);
    }

    private static string Open()
    {
        for (DirectoryInfo? at = new(AppContext.BaseDirectory); at is not null; at = at.Parent)
        {
            string file = Path.Combine(at.FullName, "testdata", "open", "bei", "dem.asc");
            if (File.Exists(file))
            {
                return file;
            }
        }

        throw new FileNotFoundException("testdata/open/bei/dem.asc is not above the tests.");
    }

    private double[] Dem(ElevationGrid ground, string file, string mode, params string[] options)
    {
        string output = Path.Combine(_folder, "out.tif");
        string raw = Path.Combine(_folder, "out.img");
        Run("gdaldem", [mode, file, output, "-q", .. options]);
        Run("gdal_translate", "-q", "-of", "ENVI", "-ot", "Float32", output, raw);
        byte[] bytes = File.ReadAllBytes(raw);
        double[] values = [.. Enumerable.Range(0, bytes.Length / 4).Select(i => (double)BitConverter.ToSingle(bytes, 4 * i))];
        Assert.Equal(ground.Frame.CellCount, values.Length);
        return values;
    }

    private static void Run(string program, params string[] arguments)
    {
        try
        {
            using Process process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;
            process.StandardOutput.ReadToEnd();
            string error = process.StandardError.ReadToEnd();
            process.WaitForExit();
            Assert.True(process.ExitCode == 0, error);
        }
        catch (Win32Exception)
        {
            Assert.Skip($"{program} of GDAL, which this compares with, is not installed.");
        }
    }
}
