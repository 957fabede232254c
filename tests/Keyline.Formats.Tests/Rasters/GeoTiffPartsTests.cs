using Keyline.Elevation;

namespace Keyline.Formats.Tests.Rasters;

/// <summary>Large rasters written by bands, put together from the files of tiles, and read from several files as one.</summary>
public sealed class GeoTiffPartsTests : IDisposable
{
    private static readonly GridFrame Frame = new(530, 700, 2, 400_000, 5_000_000);
    private static readonly GroundCrs Crs = GroundCrs.FromEpsg(32613);

    private readonly string _folder = Directory.CreateTempSubdirectory("keyline-parts").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    private static float Value(int row, int column, int of) => (row * 7 % 97) + column == 350 ? float.NaN : (float)((of + 1) * Math.Sin(row / 9.0) * column);

    private static float[] Values(CellRange part, int of)
    {
        float[] values = new float[part.CellCount];
        for (int i = 0; i < values.Length; i++)
        {
            values[i] = Value(part.Row + (i / part.Columns), part.Column + (i % part.Columns), of);
        }

        return values;
    }

    private static GridFrame FrameOf(CellRange part) =>
        new(part.Rows, part.Columns, Frame.CellSize, Frame.West + (part.Column * Frame.CellSize), Frame.North - (part.Row * Frame.CellSize));

    private static CellRange Whole => new(0, 0, Frame.Rows, Frame.Columns);

    private static byte[] Written(CellRange part, int of, GeoTiffWriteOptions options)
    {
        using MemoryStream stream = new();
        GeoTiffWriter.Write(stream, Grid.Copy<float>(FrameOf(part), Values(part, of)), Crs, options);
        return stream.ToArray();
    }

    [Fact]
    public void Bands_OfThreeGrids_GiveTheBytesOfEachWrittenWhole()
    {
        GeoTiffWriteOptions[] options = [new() { Description = "one" }, new() { Description = "two", ValuesRecur = true }, new() { AreHeights = true }];
        MemoryStream[] streams = [new(), new(), new()];
        List<(int, int)> asked = [];
        GeoTiffBands.Write(streams, options, Frame, Crs, (first, rows, to) =>
        {
            asked.Add((first, rows));
            for (int i = 0; i < to.Count; i++)
            {
                Values(new CellRange(first, 0, rows, Frame.Columns), i).CopyTo(to[i], 0);
            }
        });
        Assert.Equal([(0, 256), (256, 256), (512, 18)], asked);
        for (int i = 0; i < streams.Length; i++)
        {
            Assert.Equal(Written(Whole, i, options[i]), streams[i].ToArray());
        }
    }

    [Theory]
    [InlineData(256)]
    [InlineData(512)]
    [InlineData(1024)]
    public void FromFiles_OfTiles_GivesTheBytesOfTheWhole(int side)
    {
        GeoTiffWriteOptions options = new() { Description = "made", ValuesRecur = true };
        using MemoryStream stream = new();
        GeoTiffWriter.WriteFromFiles<float>(stream, Frame, side, (row, column) => Tile(row, column, side, options), Crs, options);
        Assert.Equal(Written(Whole, 0, options), stream.ToArray());
    }

    [Fact]
    public void FromFiles_ThatDoNotFit_AreRefusedWithThePlace()
    {
        GeoTiffWriteOptions options = new();
        Assert.Throws<ArgumentException>(() => GeoTiffWriter.WriteFromFiles<float>(new MemoryStream(), Frame, 300, (_, _) => new MemoryStream(), Crs));
        Refused((row, column) => column == 512 ? new MemoryStream([1, 2, 3]) : Tile(row, column, 256, options), "row 0, column 512");
        Refused((row, column) => row == 256 && column == 0 ? Tile(512, 0, 256, options) : Tile(row, column, 256, options), "row 256, column 0");
        Refused((row, column) => Tile(row, column, 256, row == 0 ? options : options with { ValuesRecur = true }), "row 256, column 0");

        static void Refused(Func<int, int, Stream> open, string place)
        {
            GroundDataException error = Assert.Throws<GroundDataException>(() => GeoTiffWriter.WriteFromFiles<float>(new MemoryStream(), Frame, 256, open, Crs));
            Assert.Contains(place, error.Message, StringComparison.Ordinal);
        }
    }

    private static MemoryStream Tile(int row, int column, int side, GeoTiffWriteOptions options) =>
        new(Written(new CellRange(row, column, Math.Min(side, Frame.Rows - row), Math.Min(side, Frame.Columns - column)), 0, options));

    private string File(string name, CellRange part, int of = 0, int epsg = 32613, double shift = 0)
    {
        string path = Path.Combine(_folder, name);
        GridFrame frame = FrameOf(part);
        using FileStream stream = System.IO.File.Create(path);
        GeoTiffWriter.Write(stream, ElevationGrid.Copy(new GridFrame(frame.Rows, frame.Columns, frame.CellSize, frame.West + shift, frame.North), Values(part, of)), GroundCrs.FromEpsg(epsg));
        return path;
    }

    // The first file has a say where two overlap, but not in its holes; where there is no file the ground is missing.
    [Fact]
    public void Mosaic_OfFilesThatOverlap_TakesTheFirstThatHasAHeight()
    {
        CellRange one = new(0, 0, 300, 400), other = new(250, 350, 280, 350);
        using GeoTiffMosaicSource mosaic = GeoTiffMosaicSource.Open([File("one.tif", one), File("other.tif", other, of: 1)]);
        Assert.Equal(Frame, mosaic.Frame);
        Assert.Equal(Crs.EpsgCode, mosaic.Crs.EpsgCode);
        foreach (CellRange window in (CellRange[])[Whole, new(0, 0, 200, 200), new(280, 390, 60, 90), new(400, 0, 20, 40), new(299, 399, 1, 1)])
        {
            float[] values = new float[window.CellCount];
            mosaic.Read(window, values);
            for (int i = 0; i < values.Length; i++)
            {
                (int row, int column) = (window.Row + (i / window.Columns), window.Column + (i % window.Columns));
                float first = row < 300 && column < 400 ? Value(row, column, 0) : float.NaN;
                float second = row >= 250 && column >= 350 ? Value(row, column, 1) : float.NaN;
                Assert.Equal(float.IsNaN(first) ? second : first, values[i]);
            }
        }

        Assert.Throws<ArgumentOutOfRangeException>(() => mosaic.Read(new CellRange(500, 0, 31, 1), new float[31]));
        Assert.Throws<ArgumentException>(() => mosaic.Read(new CellRange(0, 0, 3, 1), new float[2]));
    }

    // More files than are kept open at a time.
    [Fact]
    public void Mosaic_OfAFolderOfManyFiles_IsTheWhole()
    {
        for (int c = 0; c < 700; c += 50)
        {
            File($"strip-{c:000}.tif", new CellRange(0, c, 530, 50));
        }

        using GeoTiffMosaicSource mosaic = GeoTiffMosaicSource.Open([_folder]);
        Assert.Equal(14, mosaic.Files.Count);
        float[] values = new float[Frame.CellCount];
        mosaic.Read(Whole, values);
        Assert.Equal(Values(Whole, 0), values);
    }

    [Fact]
    public void Mosaic_OfFilesThatDoNotGoTogether_IsRefused()
    {
        string one = File("one.tif", new CellRange(0, 0, 30, 40));
        Refused(File("shifted.tif", new CellRange(0, 40, 30, 40), shift: 0.5), "shifted.tif does not lie on the cells of one.tif");
        Refused(File("zone.tif", new CellRange(0, 40, 30, 40), epsg: 32614), "zone.tif is in");
        Refused(Path.Combine(_folder, "gone.tif"), "gone.tif");

        void Refused(string other, string told) =>
            Assert.Contains(told, Assert.Throws<GroundDataException>(() => GeoTiffMosaicSource.Open([one, other])).Message, StringComparison.Ordinal);
    }
}
