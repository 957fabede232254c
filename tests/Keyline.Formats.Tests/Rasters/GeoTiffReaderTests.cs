using BitMiracle.LibTiff.Classic;
using Keyline.Elevation;
using Keyline.Formats.Tests.Support;

namespace Keyline.Formats.Tests.Rasters;

/// <summary>GeoTIFFs written by LibTiff.NET for the test: what they hold is known, so what is read can be compared.</summary>
public sealed class GeoTiffReaderTests
{
    // The library that writes these files puts predictors into big-endian files wrongly (as does GDAL 3.6.2, which cannot
    // read its own); that pair is tested on bytes made by hand below. TIFF revision 6.0 (Aldus, 1992) sections 8 (compression), 13 (LZW), 14 (differencing), 15 (tiles); Adobe Photoshop TIFF Technical Note 3 (2005; floating-point predictor).
    [Theory]
    [InlineData(Compression.NONE, 1, 0, "wl")]
    [InlineData(Compression.NONE, 1, 16, "wb")]
    [InlineData(Compression.LZW, 1, 0, "wl")]
    [InlineData(Compression.LZW, 2, 16, "wl")]
    [InlineData(Compression.LZW, 3, 32, "wl")]
    [InlineData(Compression.LZW, 1, 32, "wb")]
    [InlineData(Compression.PACKBITS, 1, 0, "wl")]
    [InlineData(Compression.DEFLATE, 1, 0, "wb")]
    [InlineData(Compression.DEFLATE, 2, 0, "wl")]
    [InlineData(Compression.DEFLATE, 3, 16, "wl")]
    [InlineData(Compression.ADOBE_DEFLATE, 1, 16, "wl")]
    [InlineData(Compression.ADOBE_DEFLATE, 3, 0, "wl")]
    public void Read_EveryCoding_GivesTheHeightsWritten(Compression compression, int predictor, int tile, string mode)
    {
        TestTiff tiff = new() { Compression = compression, Predictor = predictor, Tile = tile, Mode = mode };
        ElevationSource source = tiff.Read();
        Assert.Equal(new GridFrame(40, 50, 2, 600_000, 4_000_000), source.Grid.Frame);
        AssertHeights(tiff, source.Grid, z => (float)z);
        Assert.Equal(32610, source.Crs.EpsgCode);
        Assert.StartsWith("Heights are taken as metres", Assert.Single(source.Notes), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(SampleFormat.IEEEFP, 64, 2)]
    [InlineData(SampleFormat.INT, 16, 2)]
    [InlineData(SampleFormat.UINT, 16, 2)]
    [InlineData(SampleFormat.INT, 32, 2)]
    [InlineData(SampleFormat.UINT, 32, 1)]
    [InlineData(SampleFormat.INT, 8, 2)]
    [InlineData(SampleFormat.UINT, 8, 2)]
    public void Read_EveryNumberType_GivesTheHeightsWritten(SampleFormat format, int bits, int predictor)
    {
        bool whole = format != SampleFormat.IEEEFP;
        Func<int, int, double> height = format == SampleFormat.INT ? (r, c) => (2 * r) - c - 3 : whole ? (r, c) => (2 * r) + c : (r, c) => 1234.5678 + (r / 7.0) - (c / 9.0);
        TestTiff tiff = new() { Format = format, Bits = bits, Predictor = bits == 64 ? 1 : predictor, Compression = Compression.LZW, Height = height };
        AssertHeights(tiff, tiff.Read().Grid, z => (float)z);
    }

    // The tag as GDAL documents it: compared with the number stored, before scale and offset.
    [Theory]
    [InlineData("-9999", -9999)]
    [InlineData("-3.4028234663852886e+38", -3.4028234663852886e+38)]
    [InlineData("-3.4028235e+38", -3.4028234663852886e+38)]
    [InlineData("nan", double.NaN)]
    [InlineData("0.1", 0.1)]
    [InlineData(null, double.PositiveInfinity)]
    [InlineData(null, double.NegativeInfinity)]
    [InlineData(null, double.NaN)]
    [InlineData(null, -3.4e38)]
    public void Read_MissingHeights_AreNaN(string? nodata, double stored)
    {
        TestTiff tiff = new() { Nodata = nodata, Height = (r, c) => r == 3 && c is > 4 and < 9 ? stored : 100 + r + (0.5 * c) };
        ElevationGrid grid = tiff.Read().Grid;
        Assert.Equal(4, grid.Heights.ToArray().Count(float.IsNaN));
        Assert.True(float.IsNaN(grid[3, 5]));
        Assert.Equal(105, grid[3, 4]);
    }

    // TIFF 6.0 section 14 and Technical Note 3: differences are of numbers in the file's byte order; byte planes run from the
    // most significant byte whatever that order. The encoding here is written out from those texts.
    [Theory]
    [InlineData(2, 32, true)]
    [InlineData(2, 64, true)]
    [InlineData(3, 32, true)]
    [InlineData(3, 64, true)]
    [InlineData(2, 64, false)]
    [InlineData(3, 64, false)]
    public void Read_PredictorsEncodedByHand_GiveTheHeightsWritten(int predictor, int bits, bool bigEndian)
    {
        double[] heights = [101.25, 102.5, 99.75, 100, 1e-3, 250.125];
        ElevationGrid grid = ElevationReader.Read(new MemoryStream(HandMadeTiff.Write(heights, 3, predictor, bits, bigEndian)), "t.tif", new ElevationReadOptions { Crs = GroundCrs.FromEpsg(32610) }).Grid;
        Assert.Equal(heights.Select(z => (float)z), grid.Heights.ToArray());
    }

    [Fact]
    public void Read_UnsignedNodata_IsComparedUnsigned()
    {
        TestTiff tiff = new() { Format = SampleFormat.UINT, Bits = 16, Nodata = "65535", Height = (r, c) => r == 0 ? 65535 : 100 + c };
        Assert.Equal(50, tiff.Read().Grid.Heights.ToArray().Count(float.IsNaN));
    }

    [Fact]
    public void Read_ScaleAndOffset_FollowTheNodataTest()
    {
        TestTiff tiff = new()
        {
            Format = SampleFormat.INT, Bits = 16, Nodata = "200", Height = (r, c) => r == 0 ? 200 : 1000 + c,
            Metadata = "<GDALMetadata><Item name=\"OFFSET\" sample=\"0\" role=\"offset\">100</Item><Item name=\"SCALE\" sample=\"0\" role=\"scale\">0.1</Item><Item name=\"SCALE\" sample=\"1\" role=\"scale\">7</Item></GDALMetadata>",
        };
        ElevationGrid grid = tiff.Read().Grid;
        Assert.True(float.IsNaN(grid[0, 0]));
        Assert.Equal(201.2f, grid[5, 12]);
    }

    // GeoTIFF 1.1 (OGC 19-008r4) requirement 7.1.2.5 and annex: a point's tie is the cell's centre, an area's its corner.
    [Fact]
    public void Read_PixelIsPoint_MovesTheCornerHalfACell()
    {
        GridFrame frame = new TestTiff { Keys = TestTiff.KeysOf((1024, 1), (1025, 2), (3072, 32610)) }.Read().Grid.Frame;
        Assert.Equal((599_999.0, 4_000_001.0), (frame.West, frame.North));
    }

    [Fact]
    public void Read_TiePointInTheMiddle_PlacesTheCorner()
    {
        GridFrame frame = new TestTiff { TiePoint = [10, 20, 0, 600_000, 4_000_000, 0] }.Read().Grid.Frame;
        Assert.Equal((599_980.0, 4_000_040.0), (frame.West, frame.North));
    }

    [Fact]
    public void Read_SouthUpMatrix_IsTurnedNorthUp()
    {
        TestTiff tiff = new() { PixelScale = null, TiePoint = null, Matrix = [2, 0, 0, 600_000, 0, 2, 0, 4_000_000, 0, 0, 0, 0, 0, 0, 0, 1] };
        ElevationSource source = tiff.Read();
        Assert.Equal(4_000_080, source.Grid.Frame.North);
        Assert.Equal((float)tiff.Height(39, 7), source.Grid[0, 7]);
        Assert.Equal((float)tiff.Height(0, 7), source.Grid[39, 7]);
    }

    [Fact]
    public void Read_QuarterTurnedMatrix_KeepsHeightsAtTheirPlaces()
    {
        // Rows run east and columns north.
        TestTiff tiff = new() { PixelScale = null, TiePoint = null, Matrix = [0, 2, 0, 600_000, 2, 0, 0, 4_000_000, 0, 0, 0, 0, 0, 0, 0, 1] };
        ElevationGrid grid = tiff.Read().Grid;
        Assert.Equal((50, 40), (grid.Frame.Rows, grid.Frame.Columns));
        Assert.Equal(tiff.Height(12, 33), grid.HeightAt(600_000 + (2 * 12.5), 4_000_000 + (2 * 33.5)), 1e-4);
    }

    // Heights in feet by the vertical system's code (6360 and 8228 are NAVD88 in US survey and international feet), by the
    // vertical unit key, by the band's own unit; 3937/1200 and 1/0.3048 feet a metre.
    [Theory]
    [InlineData(4096, 6360, null, 1200.0 / 3937)]
    [InlineData(4096, 8228, null, 0.3048)]
    [InlineData(4096, 5703, null, 1.0)]
    [InlineData(4099, 9003, null, 1200.0 / 3937)]
    [InlineData(4099, 9002, null, 0.3048)]
    [InlineData(4099, 9001, "ft", 1.0)]
    [InlineData(0, 0, "US survey foot", 1200.0 / 3937)]
    [InlineData(0, 0, "ft", 0.3048)]
    [InlineData(0, 0, "metre", 1.0)]
    public void Read_HeightUnits_BecomeMetres(int key, int code, string? unitType, double metres)
    {
        TestTiff tiff = new()
        {
            Keys = key > 0 ? TestTiff.Utm(32610, (key, code)) : TestTiff.Utm(32610),
            Metadata = unitType is null ? null : $"<GDALMetadata><Item name=\"UNITTYPE\" sample=\"0\" role=\"unittype\">{unitType}</Item></GDALMetadata>",
        };
        ElevationSource source = tiff.Read();
        AssertHeights(tiff, source.Grid, z => (float)((float)z * metres));
        Assert.Equal(metres == 1.0 ? 0 : 1, source.Notes.Count(n => n.StartsWith("Heights were turned", StringComparison.Ordinal)));
    }

    [Fact]
    public void Read_CallersHeightUnit_WinsOverTheFile()
    {
        TestTiff tiff = new() { Keys = TestTiff.Utm(32610, (4099, 9003)) };
        AssertHeights(tiff, tiff.Read(new ElevationReadOptions { MetresPerHeightUnit = 1 }).Grid, z => (float)z);
    }

    // EPSG:2227 (California zone 3, US survey feet). Coordinates and heights both in feet: the slopes stay what they are.
    [Fact]
    public void Read_FootSystem_IsBroughtToMetres()
    {
        TestTiff tiff = new() { Keys = TestTiff.Utm(2227, (4099, 9003)), PixelScale = [6, 6, 0], TiePoint = [0, 0, 0, 6_000_000, 2_000_000, 0] };
        ElevationSource source = tiff.Read();
        const double foot = 1200.0 / 3937;
        Assert.Equal(6 * foot, source.Grid.Frame.CellSize, 1e-9);
        Assert.Equal(6_000_000 * foot, source.Grid.Frame.West, 1e-6);
        Assert.Equal((float)(tiff.Height(9, 9) * foot), source.Grid[9, 9], 1e-4f);
    }

    [Fact]
    public void Read_FootSystemWithoutHeightUnit_IsRefused()
    {
        GroundDataException e = Assert.Throws<GroundDataException>(() => new TestTiff { Keys = TestTiff.Utm(2227), TiePoint = [0, 0, 0, 6_000_000, 2_000_000, 0] }.Read());
        Assert.Contains("metres or feet", e.Message, StringComparison.Ordinal);
    }

    // GeoTIFF 1.1 annex B: a user-defined projection of method 1 (transverse Mercator) and of method 8 (Lambert, two parallels).
    [Fact]
    public void Read_UserDefinedTransverseMercator_IsTheSystemItsParametersSay()
    {
        short[] keys = [1, 1, 0, 9, 1024, 0, 1, 1, 1025, 0, 1, 1, 2048, 0, 1, 4326, 3072, 0, 1, 32767, 3075, 0, 1, 1, 3076, 0, 1, 9001, 3080, unchecked((short)34736), 1, 0, 3082, unchecked((short)34736), 1, 1, 3092, unchecked((short)34736), 1, 2];
        GroundCrs crs = new TestTiff { Keys = keys, KeyDoubles = [-123, 500_000, 0.9996] }.Read().Crs;
        AssertSame(GroundCrs.FromEpsg(32610), crs, -122.3, 36.1);
    }

    [Fact]
    public void Read_UserDefinedLambert_IsTheSystemItsParametersSay()
    {
        short d = unchecked((short)34736);
        short[] keys = [1, 1, 0, 11, 1024, 0, 1, 1, 1025, 0, 1, 1, 2048, 0, 1, 4152, 3072, 0, 1, 32767, 3075, 0, 1, 8, 3076, 0, 1, 9001, 3078, d, 1, 0, 3079, d, 1, 1, 3084, d, 1, 2, 3085, d, 1, 3, 3086, d, 1, 4];
        TestTiff tiff = new() { Keys = keys, KeyDoubles = [36.166666666666667, 34.333333333333333, -79, 33.75, 609601.22], TiePoint = [0, 0, 0, 597_195, 151_030, 0] };
        AssertSame(GroundCrs.FromEpsg(3358), tiff.Read().Crs, -79.1, 35.1);
    }

    [Fact]
    public void Read_ProjectionCodeOfUtm_IsThatZone()
    {
        GroundCrs crs = new TestTiff { Keys = TestTiff.KeysOf((1024, 1), (1025, 1), (2048, 4269), (3072, 32767), (3074, 16010)) }.Read().Crs;
        AssertSame(GroundCrs.FromEpsg(26910), crs, -122.3, 36.1);
    }

    [Fact]
    public void Read_UnknownProjectionMethod_IsRefused()
    {
        GroundDataException e = Assert.Throws<GroundDataException>(() => new TestTiff { Keys = TestTiff.KeysOf((1024, 1), (2048, 4326), (3072, 32767), (3075, 15)) }.Read());
        Assert.Contains("method 15", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Read_WebMercator_IsResampledToGroundMetres()
    {
        // 1 m of EPSG:3857 at 36 degrees north is cos 36 = 0.81 m on the ground: taken as it is, slopes would be a fifth too gentle.
        double x = -122.0 * Math.PI / 180 * 6378137, y = 6378137 * Math.Log(Math.Tan((Math.PI / 4) + (36.0 * Math.PI / 360)));
        TestTiff tiff = new() { Keys = TestTiff.Utm(3857), TiePoint = [0, 0, 0, x, y, 0], Rows = 100, Columns = 100, Height = (r, c) => 50 + (0.2 * r) };
        ElevationSource source = tiff.Read();
        Assert.Equal(32610, source.Crs.EpsgCode);
        (double gx, double gy) = source.Crs.FromLonLat(-122 + 0.0009, 36 - 0.0005);
        double slope = (source.Grid.HeightAt(gx, gy - 20) - source.Grid.HeightAt(gx, gy + 20)) / 40;
        Assert.Equal(0.1 / Math.Cos(36 * Math.PI / 180), slope, 0.002);
        Assert.Contains(source.Notes, n => n.Contains("on the ground", StringComparison.Ordinal));
    }

    [Fact]
    public void Read_MoreCellsThanAllowed_IsRefused()
    {
        GroundDataException e = Assert.Throws<GroundDataException>(() => new TestTiff().Read(new ElevationReadOptions { MaximumCells = 1999 }));
        Assert.Contains("40 x 50", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Read_BandThatIsNotThere_IsRefused() =>
        Assert.Contains("band 2", Assert.Throws<GroundDataException>(() => new TestTiff().Read(new ElevationReadOptions { Band = 2 })).Message, StringComparison.Ordinal);

    [Fact]
    public void Read_Cancelled_Stops()
    {
        using CancellationTokenSource stop = new();
        stop.Cancel();
        Assert.Throws<OperationCanceledException>(() => ElevationReader.Read(new TestTiff().ToStream(), "t", null, stop.Token));
    }

    private static void AssertHeights(TestTiff tiff, ElevationGrid grid, Func<double, float> expected)
    {
        for (int r = 0; r < tiff.Rows; r++)
        {
            for (int c = 0; c < tiff.Columns; c++)
            {
                Assert.Equal(expected(tiff.Height(r, c)), grid[r, c]);
            }
        }
    }

    private static void AssertSame(GroundCrs expected, GroundCrs got, double lon, double lat)
    {
        (double x, double y) = expected.FromLonLat(lon, lat);
        (double gotX, double gotY) = got.FromLonLat(lon, lat);
        Assert.Equal(x, gotX, 1e-4);
        Assert.Equal(y, gotY, 1e-4);
    }
}
