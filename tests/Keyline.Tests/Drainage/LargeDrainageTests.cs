using CsCheck;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Drainage;

/// <summary>Working tile by tile gives the bits of working in memory, whatever the tiles and the workers.</summary>
public sealed class LargeDrainageTests
{
    private static void CheckSameBits(ElevationGrid ground, int side, int workers)
    {
        GridFrame f = ground.Frame;
        LargeDrainageStores stores = Stores(f);
        LargeDrainage.Run(new ArrayStore<float>(f, ground.Heights.ToArray()), stores, side, workers, null, CancellationToken.None);
        ElevationGrid filled = DepressionFilling.Fill(ground);
        D8Directions directions = D8Directions.Route(filled);
        Assert.Equal(filled.Heights.ToArray(), ((ArrayStore<float>)stores.Filled).Values);
        Assert.Equal(directions.Codes.ToArray(), ((ArrayStore<byte>)stores.Directions).Values);
        Assert.Equal(FlowAccumulation.Compute(directions).Values.ToArray(), ((ArrayStore<double>)stores.Area).Values);
    }

    private static LargeDrainageStores Stores(GridFrame f) => new()
    {
        Filled = ArrayStore<float>.Empty(f),
        Directions = ArrayStore<byte>.Empty(f),
        Area = ArrayStore<double>.Empty(f),
    };

    [Theory]
    [InlineData(1, 1)]
    [InlineData(2, 1)]
    [InlineData(3, 2)]
    [InlineData(5, 1)]
    public void Run_AnyGrid_GivesTheBitsOfMemory(int side, int workers) =>
        DepressionFillingTests.Ground.Sample(ground => CheckSameBits(ground, side, workers), iter: 1500);

    [Theory]
    [InlineData(200, 210, 7, 1, 5)]
    [InlineData(200, 210, 16, 3, 6)]
    [InlineData(300, 170, 64, 2, 7)]
    [InlineData(120, 500, 33, 2, 8)]
    [InlineData(90, 90, 400, 1, 9)]
    public void Run_LakesOverManyTiles_GivesTheBitsOfMemory(int rows, int columns, int side, int workers, ulong seed) =>
        CheckSameBits(FastAgainstPlainTests.Lakes(rows, columns, seed), side, workers);

    // A level floor the size of the grid, walled in but for one gap: distances must be handed over every rim.
    [Theory]
    [InlineData(5)]
    [InlineData(16)]
    public void Run_OneFloorOverAllTiles_GivesTheBitsOfMemory(int side) => CheckSameBits(
        Surfaces.Changed(Surfaces.Make(61, 83, 1, (_, _) => 5), (r, c, z) => (r is 0 or 60 || c is 0 or 82) && !(r == 60 && c == 40) ? 9 : (r, c) == (30, 41) ? 2 : z),
        side,
        2);

    [Fact]
    public void Run_NoDataAndOneValue_GiveClearAnswers()
    {
        CheckSameBits(Surfaces.Make(40, 30, 1, (_, _) => double.NaN), 16, 2);
        CheckSameBits(Surfaces.Make(40, 30, 1, (_, _) => 3), 16, 2);
    }

    [Fact]
    public void Run_InfiniteHeight_IsRefusedWithItsPlace()
    {
        GridFrame f = new(40, 50, 1, 0, 40);
        float[] z = new float[2000];
        z[(33 * 50) + 21] = float.NegativeInfinity;
        GroundDataException error = Assert.Throws<GroundDataException>(
            () => RunPlainly(new ArrayStore<float>(f, z), Stores(f), new LargeDrainageOptions()));
        Assert.Contains("row 33, column 21", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Run_TooLittleRoom_IsRefusedWithWhatItTakes()
    {
        GridFrame f = new(100_000, 100_000, 1, 0, 0);
        Assert.Equal(10_000_000_000, f.CellCount);
        GroundDataException error = Assert.Throws<GroundDataException>(
            () => LargeDrainage.SideFor(f, new LargeDrainageOptions { MaximumBytes = 100 << 20 }));
        Assert.Contains("100000 rows", error.Message, StringComparison.Ordinal);
        Assert.Contains("100 MB are given", error.Message, StringComparison.Ordinal);
        Assert.InRange(LargeDrainage.SideFor(new GridFrame(16000, 16000, 1, 0, 0), new LargeDrainageOptions()), 64, 1024);
    }

    [Fact]
    public void Run_WrongCalls_AreRefused()
    {
        GridFrame f = new(4, 5, 1, 0, 4);
        ArrayStore<float> ground = ArrayStore<float>.Empty(f);
        Assert.Throws<ArgumentException>(() => RunPlainly(ground, Stores(new GridFrame(5, 4, 1, 0, 4)), null));
        Assert.Throws<ArgumentOutOfRangeException>(() => RunPlainly(ground, Stores(f), new LargeDrainageOptions { Workers = 0 }));
        Assert.Throws<ArgumentOutOfRangeException>(() => RunPlainly(ground, Stores(f), new LargeDrainageOptions { MaximumBytes = 0 }));
        Assert.ThrowsAny<OperationCanceledException>(() => LargeDrainage.Run(ground, Stores(f), cancellationToken: new CancellationToken(true)));
    }

    [Fact]
    public void Run_Progress_RisesToOne()
    {
        ElevationGrid ground = FastAgainstPlainTests.Lakes(150, 150, 3);
        List<double> told = [];
        LargeDrainage.Run(
            new ArrayStore<float>(ground.Frame, ground.Heights.ToArray()), Stores(ground.Frame), 32, 2, new Teller(told), CancellationToken.None);
        Assert.Equal(1, told[^1]);
        Assert.All(told, share => Assert.InRange(share, 0, 1));
        Assert.True(told.Count > 50);
    }

    private static void RunPlainly(IGridSource<float> ground, LargeDrainageStores stores, LargeDrainageOptions? options) =>
        LargeDrainage.Run(ground, stores, options);

    private sealed class Teller(List<double> told) : IProgress<double>
    {
        public void Report(double value) => told.Add(value);
    }
}
