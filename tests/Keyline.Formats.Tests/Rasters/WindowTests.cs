using System.Globalization;
using System.Text;
using Keyline.Elevation;
using Keyline.Formats.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Formats.Tests.Rasters;

/// <summary>Windows of files, and tiles put together: the same heights as the whole in one piece.</summary>
public sealed class WindowTests : IDisposable
{
    private static readonly GroundCrs Utm = GroundCrs.FromEpsg(32610);
    private static readonly Func<int, int, double> Ground = (r, c) => Math.Round(200 + (0.37 * r) - (0.21 * c) + (3 * Math.Sin(r / 9.0) * Math.Cos(c / 7.0)), 2);
    private readonly string _folder = Directory.CreateTempSubdirectory("keyline-window-").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    [Theory]
    [InlineData(16, 32946)]
    [InlineData(16, 5)]
    [InlineData(0, 1)]
    public void Read_WindowOfAGeoTiff_HasTheHeightsOfTheWhole(int tile, int compression)
    {
        TestTiff tiff = new() { Rows = 90, Columns = 110, Height = Ground, Tile = tile, Compression = (BitMiracle.LibTiff.Classic.Compression)compression };
        IsPartOf(tiff.Read(), tiff.Read(new ElevationReadOptions { Window = Around(600_060, 3_999_900, 10, 8) }), 3000);
    }

    [Fact]
    public void Read_WindowOfAnAsciiGrid_HasTheHeightsOfTheWhole()
    {
        string text = Ascii(90, 110, Ground);
        ElevationSource Read(GroundWindow? window) => ElevationReader.Read(new MemoryStream(Encoding.ASCII.GetBytes(text)), "g.asc", new ElevationReadOptions { Crs = Utm, Window = window });
        IsPartOf(Read(null), Read(Around(600_060, 3_999_900, 10, 8)), 3000);
    }

    [Fact]
    public void Read_WindowOfAHugeAsciiGrid_TakesNoMoreMemoryThanTheWindow()
    {
        // 40 MB of text, of which a strip in the north is wanted.
        string path = Path.Combine(_folder, "wide.asc");
        using (StreamWriter writer = new(path))
        {
            writer.Write("ncols 4000\nnrows 1400\nxllcorner 600000\nyllcorner 3990000\ncellsize 2\n");
            string row = string.Join(' ', Enumerable.Range(0, 4000).Select(i => (100 + (i % 700)).ToString(CultureInfo.InvariantCulture) + ".25"));
            for (int r = 0; r < 1400; r++)
            {
                writer.WriteLine(row);
            }
        }

        ElevationReadOptions options = new() { Crs = Utm, Window = Around(604_000, 3_992_700, 40, 20), MaximumCells = 10_000 };
        long before = GC.GetAllocatedBytesForCurrentThread();
        ElevationSource source = ElevationReader.Read(path, options);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 4_000_000);
        Assert.InRange(source.Grid.Frame.CellCount, 800, 10_000);
int firstColumn = (int)Math.Round((source.Grid.Frame.West - 600_000) / 2);
        Assert.Equal(100.25f + (firstColumn % 700), source.Grid[0, 0]);
    }

    [Fact]
    public void Read_WindowOfAFileInDegrees_HasTheHeightsOfTheWhole()
    {
        TestTiff degrees = new()
        {
            Rows = 200,
            Columns = 200,
            Height = Ground,
            Keys = TestTiff.KeysOf((1024, 2), (1025, 1), (2048, 4326)),
            PixelScale = [0.00002, 0.00002, 0],
            TiePoint = [0, 0, 0, -120.5, 36.2, 0],
        };
        ElevationSource whole = degrees.Read();
        ElevationSource part = degrees.Read(new ElevationReadOptions { Window = new GroundWindow(new Envelope(-120.4985, -120.4975, 36.1975, 36.1983), 5) });
        Assert.InRange(part.Grid.Frame.CellCount, 100, whole.Grid.Frame.CellCount / 3);
        for (int r = 3; r < part.Grid.Frame.Rows - 3; r += 5)
        {
            for (int c = 3; c < part.Grid.Frame.Columns - 3; c += 5)
            {
                (double x, double y) = (part.Grid.Frame.CentreX(c), part.Grid.Frame.CentreY(r));
                Assert.Equal(whole.Grid.HeightAt(x, y), part.Grid[r, c], 0.1);
            }
        }
    }

    [Fact]
    public void Read_WindowElsewhere_IsRefusedWithBothPlaces()
    {
        GroundDataException e = Assert.Throws<GroundDataException>(() => new TestTiff().Read(new ElevationReadOptions { Window = new GroundWindow(new Envelope(10, 10.01, 50, 50.01), 100) }));
        Assert.Contains("no ground at the field", e.Message, StringComparison.Ordinal);
        Assert.Contains("10.005, 50.005", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Read_DamageInSeveralBlocks_NamesTheFirstWhateverTheCores()
    {
        TestTiff tiff = new() { Rows = 128, Columns = 128, Height = Ground, Tile = 16, Compression = BitMiracle.LibTiff.Classic.Compression.DEFLATE };
        byte[] bytes = tiff.ToBytes();
        int middle = bytes.Length / 3;
        bytes.AsSpan(middle, bytes.Length / 3).Fill(0x55);
        string[] said = [.. Enumerable.Range(0, 20).Select(_ => Assert.Throws<GroundDataException>(() => ElevationReader.Read(new MemoryStream(bytes), "t.tif")).Message)];
        Assert.Contains("tile", said[0], StringComparison.Ordinal);
        Assert.Single(said.Distinct());
    }

    [Fact]
    public void Read_FourTiles_AreTheWhole()
    {
        Write("north-west.tif", 0, 0, 0);
        Write("north-east.tif", 0, 50, 0);
        Write("south-west.tif", 40, 0, 0);
        Write("south-east.tif", 40, 50, 0);
        ElevationSource joined = ElevationReader.Read(_folder);
        ElevationSource whole = new TestTiff { Rows = 80, Columns = 100, Height = Ground }.Read();
        Assert.Equal(whole.Grid.Frame, joined.Grid.Frame);
        Assert.Equal(whole.Grid.Heights.ToArray(), joined.Grid.Heights.ToArray());
        Assert.Equal(["north-east.tif", "north-west.tif", "south-east.tif", "south-west.tif"], joined.Files.Select(Path.GetFileName));
        Assert.All(joined.Seams, s => Assert.InRange(Math.Abs(s.Step), 0, 0.02));
        Assert.DoesNotContain(joined.Notes, n => n.Contains("meets", StringComparison.Ordinal));
        Assert.Contains("4 of 4 tiles", joined.Notes[0], StringComparison.Ordinal);
    }

    [Fact]
    public void Read_WindowOfTiles_OpensOnlyThoseItTouches()
    {
        Write("a.tif", 0, 0, 0);
        Write("b.tif", 0, 50, 0);
        ElevationSource west = ElevationReader.Read(_folder, new ElevationReadOptions { Window = Around(600_030, 3_999_960, 6, 6) });
        Assert.Equal("a.tif", west.Name);
        Assert.Equal("a.tif", Path.GetFileName(Assert.Single(west.Files)));
    }

    [Fact]
    public void Read_TilesThatDisagree_AreReportedWithTheStepAndThePlace()
    {
        // The eastern tile laps four columns over the western one and stands 40 cm too high.
        Write("a.tif", 0, 0, 0);
        Write("b.tif", 0, 46, 0.4);
        ElevationSource joined = ElevationReader.Read([Path.Combine(_folder, "a.tif"), Path.Combine(_folder, "b.tif")]);
        TileSeam seam = Assert.Single(joined.Seams);
        Assert.Equal(("a.tif", "b.tif", 4 * 40L), (seam.First, seam.Second, seam.OverlapCells));
        Assert.Equal(0.4, seam.MeanDifference, 1e-4);
        Assert.Equal(0.4, seam.GreatestDifference, 1e-4);
        Assert.Equal(0.4, seam.Step, 0.02);
        (double x, _) = Utm.FromLonLat(seam.Longitude, seam.Latitude);
        Assert.InRange(x, 600_000 + (46 * 2), 600_000 + (50 * 2));
        Assert.Contains(joined.Notes, n => n.Contains("a.tif meets b.tif with a step of 0.40 m", StringComparison.Ordinal));

        // What came first is kept.
        Assert.Equal((float)Ground(7, 48), joined.Grid[7, 48]);
        Assert.Equal((float)(Ground(7, 52) + 0.4), joined.Grid[7, 52]);
    }

    [Fact]
    public void Read_TileOnOtherCells_IsResampledAndSaysSo()
    {
        Write("a.tif", 0, 0, 0);
        File.WriteAllBytes(Path.Combine(_folder, "b.tif"), new TestTiff
        {
            TiePoint = [0, 0, 0, 600_100, 4_000_000, 0],
            PixelScale = [4, 4, 0],
            Rows = 20,
            Columns = 25,
            Height = (r, c) => 10 + (0.5 * r) + (0.25 * c),
        }.ToBytes());
        ElevationSource joined = ElevationReader.Read(_folder);
        Assert.Equal(2.0, joined.Grid.Frame.CellSize);
        Assert.Contains(joined.Notes, n => n.Contains("b.tif lies on other cells", StringComparison.Ordinal));

        // Row 10 has its centre at 21 m from the north, column 60 at 121 m from the west: 4.75 and 4.75 cells of 4 m in b.
        Assert.Equal(10 + (0.5 * 4.75) + (0.25 * 4.75), joined.Grid[10, 60], 1e-4);
    }

    [Fact]
    public void Read_TilesOfTwoSystems_AreRefused()
    {
        Write("a.tif", 0, 0, 0);
        File.WriteAllBytes(Path.Combine(_folder, "b.tif"), new TestTiff { Keys = TestTiff.Utm(32611) }.ToBytes());
        GroundDataException e = Assert.Throws<GroundDataException>(() => ElevationReader.Read(_folder));
        Assert.Contains("zone 11N", e.Message, StringComparison.Ordinal);
        Assert.Contains("zone 10N", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Read_FolderWithoutElevation_IsRefused() =>
        Assert.Contains("holds 0 elevation files", Assert.Throws<GroundDataException>(() => ElevationReader.Read(_folder)).Message, StringComparison.Ordinal);

    [Fact]
    public void Mend_HolesAndSpikes_AreMendedAndToldOf()
    {
        TestTiff tiff = new() { Nodata = "-9999", Height = (r, c) => (r, c) is (10, 10) or (10, 11) ? -9999 : (r, c) == (20, 30) ? 230 : r is >= 25 and < 33 && c is >= 5 and < 13 ? -9999 : 200 + (0.01 * r) };
        ElevationSource mended = GroundMending.Mend(tiff.Read(), new GroundMendingOptions { RemoveSpikes = true });
        Assert.Equal(200.1f, mended.Grid[10, 10], 1e-4);
        Assert.Equal(200.2f, mended.Grid[20, 30], 1e-4);
        Assert.Equal(64, mended.Grid.Heights.ToArray().Count(float.IsNaN));
        Assert.Contains(mended.Notes, n => n.StartsWith("1 cell stands out", StringComparison.Ordinal) && n.EndsWith("; it was taken out.", StringComparison.Ordinal));
        Assert.Contains(mended.Notes, n => n.StartsWith("2 holes", StringComparison.Ordinal) && n.Contains("filled", StringComparison.Ordinal));
        Assert.Contains(mended.Notes, n => n.StartsWith("1 hole in the elevation, 256 m2", StringComparison.Ordinal) && n.Contains("left", StringComparison.Ordinal));
        ElevationSource told = GroundMending.Mend(tiff.Read(), new GroundMendingOptions { MaximumVoid = 0 });
        Assert.Equal(230f, told.Grid[20, 30]);
        Assert.Contains(told.Notes, n => n.EndsWith("; it was left in.", StringComparison.Ordinal));
    }

    private void Write(string name, int row, int column, double raised) => File.WriteAllBytes(
        Path.Combine(_folder, name),
        new TestTiff { TiePoint = [0, 0, 0, 600_000 + (2 * column), 4_000_000 - (2 * row), 0], Height = (r, c) => Ground(row + r, column + c) + raised }.ToBytes());

    private static GroundWindow Around(double x, double y, double halfWidth, double halfHeight)
    {
        (double west, double south) = Utm.ToLonLat(x - halfWidth, y - halfHeight);
        (double east, double north) = Utm.ToLonLat(x + halfWidth, y + halfHeight);
        return new GroundWindow(new Envelope(west, east, south, north), 4);
    }

    private static void IsPartOf(ElevationSource whole, ElevationSource part, long mostCells)
    {
        GridFrame all = whole.Grid.Frame, some = part.Grid.Frame;
        Assert.InRange(some.CellCount, 4, mostCells);
        (int top, int left) = ((int)Math.Round((all.North - some.North) / all.CellSize), (int)Math.Round((some.West - all.West) / all.CellSize));
        for (int r = 0; r < some.Rows; r++)
        {
            Assert.Equal(whole.Grid.Row(top + r).Slice(left, some.Columns).ToArray(), part.Grid.Row(r).ToArray());
        }
    }

    private static string Ascii(int rows, int columns, Func<int, int, double> height)
    {
        StringBuilder text = new();
        text.Append(CultureInfo.InvariantCulture, $"ncols {columns}\nnrows {rows}\nxllcorner 600000\nyllcorner {4_000_000 - (2 * rows)}\ncellsize 2\n");
        for (int r = 0; r < rows; r++)
        {
            text.AppendJoin(' ', Enumerable.Range(0, columns).Select(c => height(r, c).ToString(CultureInfo.InvariantCulture))).Append('\n');
        }

        return text.ToString();
    }
}
