using System.Diagnostics;
using System.ComponentModel;
using System.Globalization;
using Keyline.Elevation;
using Keyline.Formats;

namespace Keyline.Formats.Tests.Rasters;

/// <summary>What is written reads back bit for bit, here and in GDAL.</summary>
public sealed class GeoTiffWriterTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("keyline-tif-").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    private static GridFrame Frame(int rows, int columns) => new(rows, columns, 2.5, 600_000.25, 4_100_000.5);

    private static float[] Heights(int rows, int columns) => [.. Enumerable.Range(0, rows * columns)
        .Select(i => i % 37 == 5 ? float.NaN : (float)(150 + (20 * Math.Sin(i % columns / 9.0)) + (10 * Math.Cos(i / columns / 7.0)) - (i * 1e-3)))];

    [Theory]
    [InlineData(1, 2)]
    [InlineData(1, 300)]
    [InlineData(300, 1)]
    [InlineData(257, 255)]
    [InlineData(512, 256)]
    public void Write_Heights_ReadBackBitForBit(int rows, int columns)
    {
        ElevationGrid ground = ElevationGrid.Copy(Frame(rows, columns), Heights(rows, columns));
        using MemoryStream stream = new();
        GeoTiffWriter.Write(stream, ground, GroundCrs.FromEpsg(32610));
        ElevationSource back = ElevationReader.Read(stream, "back.tif");
        Assert.Equal(ground.Heights.ToArray(), back.Grid.Heights.ToArray());
        Assert.Equal(ground.Frame, back.Grid.Frame);
        Assert.Equal(32610, back.Crs.EpsgCode);
    }

    [Fact]
    public void Write_NothingButMissing_ReadsBack()
    {
        float[] none = new float[40 * 30];
        Array.Fill(none, float.NaN);
        using MemoryStream stream = new();
        GeoTiffWriter.Write(stream, Grid.Copy<float>(Frame(40, 30), none), GroundCrs.FromEpsg(32610));
        Assert.True(stream.Length > 200);
        string file = Save(stream);
        Assert.All(GdalValues(file, 40 * 30, sizeof(float), BitConverter.ToSingle), v => Assert.True(float.IsNaN(v)));
    }

    [Fact]
    public void Write_Twice_GivesTheSameBytes()
    {
        byte[] Once()
        {
            using MemoryStream stream = new();
            GeoTiffWriter.Write(stream, ElevationGrid.Copy(Frame(300, 280), Heights(300, 280)), GroundCrs.FromEpsg(26913), new GeoTiffWriteOptions { Description = "heights, metres" });
            return stream.ToArray();
        }

        Assert.Equal(Once(), Once());
    }

    [Fact]
    public void Write_EveryType_GdalReadsTheSameNumbers()
    {
        GridFrame frame = Frame(270, 300);
        float[] floats = Heights(270, 300);
        double[] doubles = [.. floats.Select((z, i) => z * Math.PI * 1e6 / (1 + i))];
        int[] ints = [.. Enumerable.Range(0, floats.Length).Select(i => (i * 7919) - 1_000_000)];
        byte[] bytes = [.. Enumerable.Range(0, floats.Length).Select(i => (byte)(i % 9 == 8 ? 255 : i % 9))];
        Assert.Equal(floats, GdalValues(Save(Grid.Copy<float>(frame, floats), null), floats.Length, 4, BitConverter.ToSingle));
        Assert.Equal(doubles, GdalValues(Save(Grid.Copy<double>(frame, doubles), null), floats.Length, 8, BitConverter.ToDouble));
        Assert.Equal(ints, GdalValues(Save(Grid.Copy<int>(frame, ints), 0), floats.Length, 4, BitConverter.ToInt32));
        Assert.Equal(bytes, GdalValues(Save(Grid.Copy<byte>(frame, bytes), 255), floats.Length, 1, (b, i) => b[i]));
    }

    // Values that come back are packed otherwise; they are the same values, and the file is the smaller one for them.
    [Fact]
    public void Write_ValuesThatRecur_AreTheSameAndSmaller()
    {
        GridFrame frame = Frame(300, 520);
        double[] steps = [.. Enumerable.Range(0, 300 * 520).Select(i => (i % 520 / 7 * Math.Sqrt(2)) + (i / 520 % 13))];
        float[] floats = [.. steps.Select(s => (float)s)];
        int[] ints = [.. steps.Select(s => (int)s * 977)];
        Assert.Equal(steps, GdalValues(Recurring(Grid.Copy<double>(frame, steps), true), steps.Length, 8, BitConverter.ToDouble));
        Assert.Equal(floats, GdalValues(Recurring(Grid.Copy<float>(frame, floats), true), steps.Length, 4, BitConverter.ToSingle));
        Assert.Equal(ints, GdalValues(Recurring(Grid.Copy<int>(frame, ints), true), steps.Length, 4, BitConverter.ToInt32));
        Assert.True(new FileInfo(Recurring(Grid.Copy<double>(frame, steps), true)).Length < new FileInfo(Recurring(Grid.Copy<double>(frame, steps), false)).Length);
    }

    [Fact]
    public void Write_AnyThreads_GivesTheSameBytes()
    {
        byte[] With(int threads)
        {
            using IDisposable limit = WorkThreads.Limit(threads);
            using MemoryStream stream = new();
            GeoTiffWriter.Write(stream, ElevationGrid.Copy(Frame(300, 1300), Heights(300, 1300)), GroundCrs.FromEpsg(26913));
            return stream.ToArray();
        }

        Assert.Equal(With(1), With(4));
    }

    // Bytes go by sixteens where vectors are; the row of a tile is a whole number of those, so other lengths are tried on their own.
    [Fact]
    public void Differences_AnyLength_AreThoseOfThePlainLoop()
    {
        Random random = new(3);
        for (int length = 1; length < 100; length++)
        {
            byte[] from = new byte[length], to = new byte[length];
            random.NextBytes(from);
            ByteDifferences.Take(from, to);
            Assert.Equal(from.Select((b, i) => i == 0 ? b : unchecked((byte)(b - from[i - 1]))), to);
        }
    }

    [Theory]
    [InlineData(32610, "32610")]
    [InlineData(26913, "26913")]
    [InlineData(25832, "25832")]
    public void Write_Heights_GdalReadsPlaceAndSystem(int code, string expected)
    {
        using MemoryStream stream = new();
        GeoTiffWriter.Write(
            stream, ElevationGrid.Copy(Frame(50, 60), Heights(50, 60)), GroundCrs.FromEpsg(code), new GeoTiffWriteOptions { Description = "heights, metres" });
        string told = Run("gdalinfo", Save(stream));
        Assert.Contains($"ID[\"EPSG\",{expected}]]", told, StringComparison.Ordinal);
        Assert.Contains("Origin = (600000.250000000000000,4100000.500000000000000)", told, StringComparison.Ordinal);
        Assert.Contains("Pixel Size = (2.500000000000000,-2.500000000000000)", told, StringComparison.Ordinal);
        Assert.Contains("NoData Value=nan", told, StringComparison.Ordinal);
        Assert.Contains("Block=256x256", told, StringComparison.Ordinal);
        Assert.Contains("COMPRESSION=DEFLATE", told, StringComparison.Ordinal);
        Assert.Contains("AREA_OR_POINT=Area", told, StringComparison.Ordinal);
        Assert.Contains("heights, metres", told, StringComparison.Ordinal);
    }

    // A transverse Mercator of nobody's catalogue goes as well-known text, which not every program reads.
    [Fact]
    public void Write_SystemWithoutACode_ComesBack()
    {
        GroundCrs own = GroundCrs.FromWkt("PROJCS[\"Farm grid\",GEOGCS[\"WGS 84\",DATUM[\"WGS_1984\",SPHEROID[\"WGS 84\",6378137,298.257223563]],PRIMEM[\"Greenwich\",0],UNIT[\"degree\",0.0174532925199433]],PROJECTION[\"Transverse_Mercator\"],PARAMETER[\"latitude_of_origin\",0],PARAMETER[\"central_meridian\",-121.5],PARAMETER[\"scale_factor\",1],PARAMETER[\"false_easting\",600000],PARAMETER[\"false_northing\",0],UNIT[\"metre\",1]]");
        using MemoryStream stream = new();
        GeoTiffWriter.Write(stream, ElevationGrid.Copy(Frame(20, 30), Heights(20, 30)), own);
        ElevationSource back = ElevationReader.Read(stream, "own.tif");
        (double longitude, double latitude) = own.ToLonLat(600_100, 4_100_000);
        (double x, double y) = back.Crs.FromLonLat(longitude, latitude);
        Assert.Equal(600_100, x, 4);
        Assert.Equal(4_100_000, y, 4);
    }

    [Fact]
    public void Write_FromAStore_GivesTheBytesOfMemory()
    {
        GridFrame frame = Frame(530, 300);
        float[] heights = Heights(530, 300);
        using RawGridStore<float> store = new(Path.Combine(_folder, "store"), frame);
        store.Write(new CellRange(0, 0, 530, 300), heights);
        using MemoryStream fromStore = new();
        using MemoryStream fromMemory = new();
        GeoTiffWriter.Write(fromStore, store, GroundCrs.FromEpsg(32610));
        GeoTiffWriter.Write(fromMemory, Grid.Copy<float>(frame, heights), GroundCrs.FromEpsg(32610));
        Assert.Equal(fromMemory.ToArray(), fromStore.ToArray());
    }

    [Fact]
    public void Write_WrongCalls_AreRefused()
    {
        using MemoryStream closed = new(new byte[10], writable: false);
        Grid<short> shorts = Grid.Copy<short>(Frame(1, 2), [1, 2]);
        Assert.Throws<ArgumentException>(() => GeoTiffWriter.Write(closed, Grid.Copy<float>(Frame(1, 1), [1]), GroundCrs.FromEpsg(32610)));
        using MemoryStream open = new();
        Assert.Throws<ArgumentException>(() => GeoTiffWriter.Write(open, shorts, GroundCrs.FromEpsg(32610)));
    }

    private string Recurring<T>(Grid<T> grid, bool recur)
        where T : unmanaged
    {
        using MemoryStream stream = new();
        GeoTiffWriter.Write(stream, grid, GroundCrs.FromEpsg(32610), new GeoTiffWriteOptions { ValuesRecur = recur });
        return Save(stream);
    }

    private string Save<T>(Grid<T> grid, long? missing)
        where T : unmanaged
    {
        using MemoryStream stream = new();
        GeoTiffWriter.Write(stream, grid, GroundCrs.FromEpsg(32610), new GeoTiffWriteOptions { MissingValue = missing });
        return Save(stream);
    }

    private string Save(MemoryStream stream)
    {
        string file = Path.Combine(_folder, Guid.NewGuid().ToString("N", CultureInfo.InvariantCulture) + ".tif");
        File.WriteAllBytes(file, stream.ToArray());
        return file;
    }

    private static T[] GdalValues<T>(string file, int count, int size, Func<byte[], int, T> value)
    {
        string raw = Path.ChangeExtension(file, ".img");
        Run("gdal_translate", "-q", "-of", "ENVI", file, raw);
        byte[] bytes = File.ReadAllBytes(raw);
        Assert.Equal(count * size, bytes.Length);
        return [.. Enumerable.Range(0, count).Select(i => value(bytes, i * size))];
    }

    private static string Run(string program, params string[] arguments)
    {
        try
        {
            using Process process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;
            string told = process.StandardOutput.ReadToEnd();
            string error = process.StandardError.ReadToEnd();
            process.WaitForExit();
            Assert.True(process.ExitCode == 0, error);
            return told;
        }
        catch (Win32Exception)
        {
            Assert.Skip($"{program} of GDAL, which this compares with, is not installed.");
            throw;
        }
    }
}
