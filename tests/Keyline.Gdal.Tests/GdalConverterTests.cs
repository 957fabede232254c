using System.Globalization;
using System.Runtime.InteropServices;
using System.Text;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Formats;
using Keyline.Formats.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Gdal.Tests;

/// <summary>What the machine's GDAL adds; skipped where there is none.</summary>
public sealed class GdalConverterTests : IDisposable
{
    // UTM zone 11N on NAD27, whose shift to WGS 84 is not in our own table (several compete).
    private const string Nad27 = "PROJCS[\"NAD27 / UTM zone 11N\",GEOGCS[\"NAD27\",DATUM[\"North_American_Datum_1927\",SPHEROID[\"Clarke 1866\",6378206.4,294.978698213898]],PRIMEM[\"Greenwich\",0],UNIT[\"degree\",0.0174532925199433]],PROJECTION[\"Transverse_Mercator\"],PARAMETER[\"latitude_of_origin\",0],PARAMETER[\"central_meridian\",-117],PARAMETER[\"scale_factor\",0.9996],PARAMETER[\"false_easting\",500000],PARAMETER[\"false_northing\",0],UNIT[\"metre\",1]]";

    private static readonly ElevationReadOptions WithGdal = new() { Converter = new GdalConverter() };
    private readonly string _folder = Directory.CreateTempSubdirectory("keyline-gdal-").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public void Formats_HoldTheCommonOnes()
    {
        Need();
        Assert.Matches(@"^\d+\.\d+", GdalLibrary.Version!);
        IReadOnlyList<GdalFormat> formats = GdalLibrary.Formats();
        Assert.Contains(formats, f => f is { Name: "HFA", IsRaster: true });
        Assert.Contains(formats, f => f is { Name: "ESRI Shapefile", IsVector: true });
    }

    [Fact]
    public void Read_FloatGridOfAnotherProgram_HasItsHeightsAndPlace()
    {
        Need();
        string path = WriteFloatGrid("ground", GroundCrs.FromEpsg(32611).Wkt);
        Assert.Equal(GroundDataFault.Format, Assert.Throws<GroundDataException>(() => ElevationReader.Read(path)).Fault);
        ElevationSource source = ElevationReader.Read(path, WithGdal);
        Assert.Equal(new GridFrame(30, 40, 2, 500_000, 4_000_060), source.Grid.Frame);
        for (int r = 0; r < 30; r++)
        {
            for (int c = 0; c < 40; c++)
            {
                Assert.Equal((r, c) == (3, 4) ? float.NaN : Height(r, c), source.Grid[r, c]);
            }
        }

        Assert.Contains(source.Notes, n => n.Contains("Another reader converted the file", StringComparison.Ordinal));
    }

    [Fact]
    public void Read_WindowThroughGdal_HasTheHeightsOfTheWhole()
    {
        Need();
        GroundCrs utm = GroundCrs.FromEpsg(32611);
        string path = WriteFloatGrid("ground", utm.Wkt);
        (double west, double south) = utm.ToLonLat(500_030, 4_000_020);
        (double east, double north) = utm.ToLonLat(500_040, 4_000_030);
        ElevationSource part = ElevationReader.Read(path, WithGdal with { Window = new GroundWindow(new Envelope(west, east, south, north), 2) });
        Assert.InRange(part.Grid.Frame.CellCount, 30, 400);
        (double x, double y) = (part.Grid.Frame.CentreX(1), part.Grid.Frame.CentreY(1));
        Assert.Equal(Height((int)((4_000_060 - y) / 2), (int)((x - 500_000) / 2)), part.Grid[1, 1]);
        Assert.Contains("no ground at the field", Assert.Throws<GroundDataException>(() =>
            new GdalConverter().Convert(path, new GroundWindow(new Envelope(10, 11, 50, 51), 0), false, default)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Read_SystemOnlyProjKnows_IsBroughtToTheLocalZoneWithinItsShift()
    {
        Need();
        string path = WriteFloatGrid("ground", Nad27);
        ElevationSource source = ElevationReader.Read(path, WithGdal);
        Assert.Equal(32611, source.Crs.EpsgCode);

        // The grid moves by NAD27's shift: on UTM coordinates some 80 m west and 200 m north here (NADCON, NOAA NOS NGS 50).
        GridFrame f = source.Grid.Frame;
        Assert.InRange(f.West - 500_000, -110, -50);
        Assert.InRange(f.North - 4_000_060, 150, 250);
        Assert.Equal(Height(15, 20), source.Grid.HeightAt(f.West + ((f.East - f.West) * 20.5 / 40), f.North - ((f.North - f.South) * 15.5 / 30)), 0.5);
    }

    [Theory]
    [InlineData("a04_zstd_pred3.tif", 0.0)]
    [InlineData("a05_lerc_deflate.tif", 0.01)]
    [InlineData("b13_msb_float.flt", 0.0)]
    public void Read_CodecOnlyGdalHas_IsTheBaseline(string file, double tolerance)
    {
        Need();
        ElevationReadOptions options = WithGdal with { Crs = GroundCrs.FromEpsg(32610) };
        ElevationSource baseline = ElevationReader.Read(TrialData.File("odd", "a01_baseline_strip.tif"), options);
        ElevationSource source = ElevationReader.Read(TrialData.File("odd", file), options);
        Assert.Equal(baseline.Grid.Frame, source.Grid.Frame);
        for (int r = 0; r < 53; r++)
        {
            for (int c = 0; c < 71; c++)
            {
                Assert.Equal(baseline.Grid[r, c], source.Grid[r, c], tolerance + 2e-5);
            }
        }
    }

    [Fact]
    public void Read_BigEndianIntegersPlacedByTheirCentre_AreTheBaselinesScaledHeights()
    {
        Need();
        ElevationReadOptions options = WithGdal with { Crs = GroundCrs.FromEpsg(32610) };
        ElevationSource baseline = ElevationReader.Read(TrialData.File("odd", "a01_baseline_strip.tif"), options);
        ElevationSource source = ElevationReader.Read(TrialData.File("odd", "b14_bil_int16_be.bil"), options);
        Assert.Equal(baseline.Grid.Frame, source.Grid.Frame);
        Assert.Equal(655f, source.Grid[10, 20]);
        Assert.Equal(71, source.Grid.Heights.ToArray().Count(float.IsNaN));
        for (int r = 0; r < 53; r++)
        {
            for (int c = 0; c < 71; c++)
            {
                float z = source.Grid[r, c];
                Assert.True(float.IsNaN(z) || Math.Abs(((baseline.Grid[r, c] - 200) * 10) - z) <= 0.51, $"row {r}, column {c}");
            }
        }
    }

    [Theory]
    [InlineData("c01_truncated_half.tif")]
    [InlineData("c07_unknown_compression.tif")]
    [InlineData("b04_decimal_comma.asc")]
    [InlineData("c03_text_named_tif.tif")]
    public void Read_WhatIsBroken_IsRefusedAsWithoutGdal(string file)
    {
        Need();
        string path = TrialData.File("odd", file);
        ElevationReadOptions options = new() { Crs = GroundCrs.FromEpsg(32610) };
        string without = Assert.Throws<GroundDataException>(() => ElevationReader.Read(path, options)).Message;
        Assert.Equal(without, Assert.Throws<GroundDataException>(() => ElevationReader.Read(path, options with { Converter = new GdalConverter() })).Message);
    }

    [Fact]
    public void ToGeoJson_FieldAndAvoidedAreasOfKml_AreReadWithTheirSetback()
    {
        Need();
        string path = Path.Combine(_folder, "field.kml");
        File.WriteAllText(path, """
            <?xml version="1.0" encoding="UTF-8"?>
            <kml xmlns="http://www.opengis.net/kml/2.2"><Document><Schema name="f" id="f"><SimpleField name="setback_m" type="float"/></Schema>
            <Placemark><name>Dam</name><ExtendedData><SchemaData schemaUrl="#f"><SimpleData name="setback_m">12.5</SimpleData></SchemaData></ExtendedData>
            <Polygon><outerBoundaryIs><LinearRing><coordinates>-117,36 -116.99,36 -116.99,36.01 -117,36.01 -117,36</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark>
            </Document></kml>
            """);
        GroundCrs utm = GroundCrs.FromEpsg(32611);
        FieldArea field = FieldReader.ReadField(GdalConverter.ToGeoJson(path), "field.kml", utm);
        (double x, double y) = utm.FromLonLat(-117, 36);
        Assert.Equal(x, field.Boundary.EnvelopeInternal.MinX, 0.01);
        Assert.Equal(y, field.Boundary.EnvelopeInternal.MinY, 0.1);
        AvoidedArea avoided = Assert.Single(FieldReader.ReadAvoided(GdalConverter.ToGeoJson(path), "field.kml", utm));
        Assert.Equal(12.5, avoided.Setback);
    }

    [Fact]
    public void ToGeoJson_NoShapes_IsRefusedWithGdalsReason()
    {
        Need();
        string path = Path.Combine(_folder, "field.shp");
        File.WriteAllText(path, "not a shapefile");
        GroundDataException e = Assert.Throws<GroundDataException>(() => GdalConverter.ToGeoJson(path));
        Assert.Contains("field.shp: it cannot be opened by GDAL", e.Message, StringComparison.Ordinal);
    }

    private static void Need() => Assert.SkipUnless(GdalLibrary.IsPresent, "GDAL's library is not on this machine (Debian: apt install gdal-bin).");

    private static float Height(int row, int column) => 300 + (0.5f * row) + (0.25f * column) + ((row * column % 7) / 8f);

    // ESRI's float grid: raw numbers and a header of a few words, as their documentation and GDAL's EHdr page describe it.
    private string WriteFloatGrid(string name, string wkt)
    {
        float[] z = new float[30 * 40];
        for (int i = 0; i < z.Length; i++)
        {
            z[i] = i == (3 * 40) + 4 ? -9999 : Height(i / 40, i % 40);
        }

        string path = Path.Combine(_folder, name + ".flt");
        File.WriteAllBytes(path, MemoryMarshal.AsBytes(z.AsSpan()).ToArray());
        File.WriteAllText(Path.ChangeExtension(path, ".prj"), wkt);
        StringBuilder header = new();
        header.Append(CultureInfo.InvariantCulture, $"ncols 40\nnrows 30\nxllcorner 500000\nyllcorner 4000000\ncellsize 2\nNODATA_value -9999\nbyteorder LSBFIRST\n");
        File.WriteAllText(Path.ChangeExtension(path, ".hdr"), header.ToString());
        return path;
    }
}
