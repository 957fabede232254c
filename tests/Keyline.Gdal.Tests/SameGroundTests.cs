using System.ComponentModel;
using System.Diagnostics;
using System.Globalization;
using Keyline.Check;
using Keyline.Elevation;
using Keyline.Formats;
using Keyline.Formats.Tests.Support;
using Keyline.Layout;

namespace Keyline.Gdal.Tests;

/// <summary>The same real ground in degrees, in feet, in tiles and with holes gives the same layout as the ground prepared with GDAL.</summary>
/// <remarks>Tolerances: a resampled grid differs by millimetres to centimetres, which moves ends of lines and drops or adds a
/// short line. That came to 1.6 % of the length and 2.3 points of a share at most; there is room for a little more.</remarks>
public sealed class SameGroundTests : IDisposable
{
    private const double LengthTolerance = 0.025;
    private const double ShareTolerance = 0.03;
    private readonly string _folder = Directory.CreateTempSubdirectory("keyline-same-").FullName;

    private static string Dem => TrialData.File("gabilan_gentled_1m.tif");

    private static string Field => TrialData.File("gabilan_gentled_1m_b.field.geojson");

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public void Plan_FromDegrees_IsThatOfTheGroundWarpedByGdal()
    {
        string degrees = At("degrees.tif"), back = At("back.tif");
        Run("gdalwarp", "-q", "-t_srs", "EPSG:4326", "-r", "bilinear", "-dstnodata", "-9999", Dem, degrees);
        Run("gdalwarp", "-q", "-t_srs", "EPSG:32610", "-tr", "1", "1", "-r", "bilinear", degrees, back);
        Same(Plan(back), Plan(degrees));
    }

    [Fact]
    public void Plan_FromStatePlaneFeet_IsThatOfTheGroundWarpedByGdal()
    {
        // California zone 4 in US survey feet, heights too.
        string metres = At("metres.tif"), plane = At("plane.tif"), feet = At("feet.tif"), back = At("back.tif");
        Run("gdalwarp", "-q", "-t_srs", "EPSG:26944", "-tr", "1", "1", "-r", "bilinear", "-dstnodata", "-9999", Dem, metres);
        Run("gdalwarp", "-q", "-t_srs", "EPSG:2228", "-r", "bilinear", metres, plane);
        Run("gdal_translate", "-q", "-ot", "Float64", "-scale", "0", "1200", "0", "3937", plane, feet);
        Run("gdalwarp", "-q", "-t_srs", "EPSG:26944", "-tr", "1", "1", "-r", "bilinear", plane, back);
        Assert.Contains("metres or feet", Assert.Throws<GroundDataException>(() => Plan(feet)).Message, StringComparison.Ordinal);
        Same(Plan(back), Plan(feet, new ElevationReadOptions { MetresPerHeightUnit = 1200.0 / 3937, MissingValue = -9999 * 3937 / 1200.0 }));
    }

    [Fact]
    public void Plan_OverHoles_IsThatOfTheWholeGround()
    {
        ElevationSource source = ElevationReader.Read(Dem);
        float[] heights = source.Grid.Heights.ToArray();
        int columns = source.Grid.Frame.Columns;
        for (int i = 0; i < heights.Length; i++)
        {
            // A hole of 6 x 6 cells every 40: 2 % of the ground.
            (int r, int c) = (i / columns % 40, i % columns % 40);
            heights[i] = r is >= 20 and < 26 && c is >= 20 and < 26 ? float.NaN : heights[i];
        }

        string holed = At("holed.tif");
        using (FileStream stream = File.Create(holed))
        {
            GeoTiffWriter.Write(stream, ElevationGrid.Copy(source.Grid.Frame, heights), source.Crs);
        }

        Same(Plan(Dem), Plan(holed));
    }

    [Fact]
    public void Plan_FromTilesCutByGdal_IsThatOfTheWholeToTheBit()
    {
        string folder = Directory.CreateDirectory(At("tiles")).FullName;
        for (int i = 0; i < 6; i++)
        {
            // Tiles lap over by ten cells.
            string[] part = [(i % 3 * 300).ToString(CultureInfo.InvariantCulture), (i / 3 * 425).ToString(CultureInfo.InvariantCulture), i % 3 == 2 ? "321" : "310", i / 3 == 1 ? "434" : "435"];
            Run("gdal_translate", ["-q", "-srcwin", .. part, Dem, Path.Combine(folder, $"tile{i}.tif")]);
        }

        KeylinePlan whole = Plan(Dem), tiled = Plan(folder);
        Assert.Equal(whole.Ground.Heights.ToArray(), tiled.Ground.Heights.ToArray());
        Assert.Equal(whole.Layout.Lines.Select(l => l.Line), tiled.Layout.Lines.Select(l => l.Line));
    }

    private static KeylinePlan Plan(string path, ElevationReadOptions? options = null)
    {
        ElevationSource source = GroundMending.Mend(ElevationReader.Read(path, (options ?? new ElevationReadOptions()) with { Window = FieldReader.ReadWindow(Field) }));
        return KeylinePlanner.Design(source.Grid, FieldReader.ReadField(Field, source.Crs), new LayoutOptions { Spacing = 3.048 });
    }

    private static void Same(KeylinePlan expected, KeylinePlan plan)
    {
        LayoutFigures a = expected.Layout.Figures, b = plan.Layout.Figures;
        Assert.InRange(b.TotalLength, (1 - LengthTolerance) * a.TotalLength, (1 + LengthTolerance) * a.TotalLength);
        Assert.Equal(a.WithinGradeShare, b.WithinGradeShare, ShareTolerance);
        Assert.Equal(a.ToRidgeShare, b.ToRidgeShare, ShareTolerance);
        Assert.Equal(a.Coverage, b.Coverage, ShareTolerance);
        Assert.Equal(a.SpacingWithinShare, b.SpacingWithinShare, ShareTolerance);
    }

    private string At(string name) => Path.Combine(_folder, name);

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
            Assert.Skip($"{program} of GDAL, which prepares the ground, is not on this machine (Debian: apt install gdal-bin).");
        }
    }
}
