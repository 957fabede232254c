using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Formats;

namespace Keyline.Formats.Tests.Rasters;

public sealed class RawGridStoreTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("keyline-store-").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    private string At(string name) => Path.Combine(_folder, name);

    [Fact]
    public void Read_WindowsWrittenInAnyOrder_ComeBack()
    {
        GridFrame frame = new(37, 53, 2, 0, 74);
        using RawGridStore<float> store = new(At("z"), frame);
        float[] all = [.. Enumerable.Range(0, 37 * 53).Select(i => i % 11 == 0 ? float.NaN : i * 0.5f)];
        foreach (CellRange range in new CellRange[] { new(20, 10, 17, 43), new(0, 0, 20, 53), new(20, 0, 17, 10) })
        {
            float[] window = [.. Enumerable.Range(0, (int)range.CellCount)
                .Select(i => all[((range.Row + (i / range.Columns)) * 53) + range.Column + (i % range.Columns)])];
            store.Write(range, window);
        }

        float[] back = new float[37 * 53];
        store.Read(new CellRange(0, 0, 37, 53), back);
        Assert.Equal(all, back);
        float[] corner = new float[6];
        store.Read(new CellRange(35, 50, 2, 3), corner);
        Assert.Equal([all[^56], all[^55], all[^54], all[^3], all[^2], all[^1]], corner);
    }

    // 3,000,000,000 cells, of which a few are touched: the file is sparse.
    [Fact]
    public void Write_PastTwoToTheThirtyFirstCell_LandsInItsPlace()
    {
        GridFrame frame = new(60_000, 50_000, 1, 0, 60_000);
        using RawGridStore<byte> store = new(At("large"), frame);
        store.Write(new CellRange(59_999, 49_998, 1, 2), [7, 9]);
        byte[] back = new byte[3];
        store.Read(new CellRange(59_999, 49_997, 1, 3), back);
        Assert.Equal([0, 7, 9], back);
    }

    [Fact]
    public void Dispose_DeletesTheFile()
    {
        RawGridStore<int> store = new(At("gone"), new GridFrame(2, 2, 1, 0, 2));
        Assert.True(File.Exists(At("gone")));
        store.Dispose();
        Assert.False(File.Exists(At("gone")));
    }

    [Fact]
    public void Run_OverFiles_GivesTheBitsOfMemory()
    {
        GridFrame frame = new(150, 130, 1, 0, 150);
        float[] z = [.. Enumerable.Range(0, 150 * 130).Select(i => (float)Math.Round((5 * Math.Sin(i % 130 / 9.0)) + (4 * Math.Cos(i / 130 / 7.0)) + (i % 7 * 0.1), 1))];
        using RawGridStore<float> ground = new(At("ground"), frame);
        using RawGridStore<float> filled = new(At("filled"), frame);
        using RawGridStore<byte> directions = new(At("directions"), frame);
        using RawGridStore<double> area = new(At("area"), frame);
        ground.Write(new CellRange(0, 0, 150, 130), z);
        LargeDrainage.Run(ground, new LargeDrainageStores { Filled = filled, Directions = directions, Area = area });
        double[] back = new double[z.Length];
        area.Read(new CellRange(0, 0, 150, 130), back);
        Assert.Equal(FlowAccumulation.Compute(D8Directions.Route(DepressionFilling.Fill(ElevationGrid.Copy(frame, z)))).Values.ToArray(), back);
    }

    [Fact]
    public void WrongCalls_AreRefused()
    {
        GridFrame frame = new(4, 5, 1, 0, 4);
        using RawGridStore<float> store = new(At("z"), frame);
        Assert.Throws<ArgumentOutOfRangeException>(() => store.Read(new CellRange(3, 0, 2, 5), new float[10]));
        Assert.Throws<ArgumentException>(() => store.Write(new CellRange(0, 0, 2, 2), new float[3]));
        Assert.Throws<IOException>(() => new RawGridStore<float>(At("z"), frame));
        IOException full = Assert.Throws<IOException>(() => new RawGridStore<double>(At("huge"), new GridFrame(int.MaxValue, 100_000_000, 1, 0, 0)));
        Assert.Contains("MB are needed", full.Message, StringComparison.Ordinal);
        Assert.False(File.Exists(At("huge")));
    }
}
