using CsCheck;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Drainage;

/// <summary>Stages done by separate tasks, tile by tile in any order, give the bits of working in memory.</summary>
public sealed class TiledDrainageTests
{
    private static void CheckSameBits(ElevationGrid ground, int side, int tasks, ulong order)
    {
        GridFrame f = ground.Frame;
        MemoryShelf shelf = new();
        TiledDrainage[] workers = [.. Enumerable.Range(0, tasks).Select(_ => new TiledDrainage(f, side, shelf))];
        int[] tiles = [.. Enumerable.Range(0, workers[0].Count).OrderBy(t => Noise.At(t, 0, order)).ThenBy(t => t)];
        float[] filled = new float[f.CellCount];
        byte[] codes = new byte[f.CellCount];
        double[] area = new double[f.CellCount];
        ArrayStore<float> source = new(f, ground.Heights.ToArray());
        void Each(Action<TiledDrainage, int> stage)
        {
            for (int i = 0; i < tiles.Length; i++)
            {
                stage(workers[i % tasks], tiles[i]);
            }
        }

        Each((worker, t) => worker.Fill(t, source));
        workers[^1].JoinLevels();
        Each((worker, t) => Paste(worker.Route(t), worker.RangeOf(t), filled, f));
        workers[0].JoinFlow();
        Each((worker, t) =>
        {
            (Grid<byte> directions, Grid<double> through) = worker.Finish(t);
            Paste(directions, worker.RangeOf(t), codes, f);
            Paste(through, worker.RangeOf(t), area, f);
            Assert.Equal(worker.FrameOf(t), directions.Frame);
        });

        ElevationGrid whole = DepressionFilling.Fill(ground);
        D8Directions routed = D8Directions.Route(whole);
        Assert.Equal(whole.Heights.ToArray(), filled);
        Assert.Equal(routed.Codes.ToArray(), codes);
        Assert.Equal(FlowAccumulation.Compute(routed).Values.ToArray(), area);
    }

    private static void Paste<T>(Grid<T> tile, CellRange range, T[] to, GridFrame frame)
        where T : unmanaged
    {
        for (int r = 0; r < range.Rows; r++)
        {
            tile.Values.Slice(r * range.Columns, range.Columns).CopyTo(to.AsSpan(((range.Row + r) * frame.Columns) + range.Column));
        }
    }

    // Grids of up to nine cells a side: tiles of one row or column at the end, missing cells, pits and level ground at every joint.
    [Theory]
    [InlineData(2, 1)]
    [InlineData(2, 5)]
    [InlineData(3, 2)]
    [InlineData(5, 1)]
    public void Stages_AnyGrid_GiveTheBitsOfMemory(int side, int tasks) =>
        DepressionFillingTests.Ground.Sample(ground => CheckSameBits(ground, side, tasks, (ulong)(31 * side)), iter: 1500);

    [Theory]
    [InlineData(200, 210, 7, 1, 5)]
    [InlineData(200, 210, 16, 2, 6)]
    [InlineData(300, 170, 64, 5, 7)]
    [InlineData(120, 500, 33, 2, 8)]
    [InlineData(90, 90, 400, 1, 9)]
    public void Stages_LakesOverManyTiles_GiveTheBitsOfMemory(int rows, int columns, int side, int tasks, ulong seed) =>
        CheckSameBits(FastAgainstPlainTests.Lakes(rows, columns, seed), side, tasks, seed);

    // A level floor the size of the grid, walled in but for one gap: every cell of it waits for every tile.
    [Theory]
    [InlineData(5)]
    [InlineData(16)]
    public void Stages_OneFloorOverAllTiles_GiveTheBitsOfMemory(int side) => CheckSameBits(
        Surfaces.Changed(Surfaces.Make(61, 83, 1, (_, _) => 5), (r, c, z) => (r is 0 or 60 || c is 0 or 82) && !(r == 60 && c == 40) ? 9 : (r, c) == (30, 41) ? 2 : z),
        side,
        2,
        3);

    // A pit in each of the four cells where tiles meet, one deeper than the next.
    [Fact]
    public void Stages_PitsAtTheCornersOfTiles_GiveTheBitsOfMemory() => CheckSameBits(
        Surfaces.Changed(Surfaces.Make(24, 24, 1, (x, y) => 40 + (0.1 * x) + (0.07 * y)), (r, c, z) => r % 8 is 7 or 0 && c % 8 is 7 or 0 ? z - 3 - (r % 3) - (c % 5) : z),
        8,
        5,
        4);

    [Fact]
    public void Stages_NoDataAndOneValue_GiveClearAnswers()
    {
        CheckSameBits(Surfaces.Make(40, 30, 1, (_, _) => double.NaN), 16, 2, 1);
        CheckSameBits(Surfaces.Make(40, 30, 1, (_, _) => 3), 16, 2, 2);
    }

    // What a task leaves does not hang on what it did before, so a tile done again by another puts the same part.
    [Fact]
    public void Fill_Again_PutsTheSameBytes()
    {
        ElevationGrid ground = FastAgainstPlainTests.Lakes(100, 100, 4);
        ArrayStore<float> source = new(ground.Frame, ground.Heights.ToArray());
        MemoryShelf one = new(), other = new();
        TiledDrainage first = new(ground.Frame, 32, one), second = new(ground.Frame, 32, other);
        first.Fill(0, source);
        first.Fill(5, source);
        second.Fill(5, source);
        foreach (DrainagePart part in (DrainagePart[])[DrainagePart.Heights, DrainagePart.Spills, DrainagePart.Strips])
        {
            Assert.NotEmpty(one.Take(part, 5));
            Assert.Equal(one.Take(part, 5), other.Take(part, 5));
        }
    }

    [Fact]
    public void Fill_InfiniteHeight_IsRefusedWithItsPlaceInTheGrid()
    {
        GridFrame f = new(40, 50, 1, 0, 40);
        float[] z = new float[2000];
        z[(33 * 50) + 21] = float.PositiveInfinity;
        TiledDrainage tiles = new(f, 16, new MemoryShelf());
        GroundDataException error = Assert.Throws<GroundDataException>(() => tiles.Fill(9, new ArrayStore<float>(f, z)));
        Assert.Contains("row 33, column 21", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void JoinLevels_PartCutShort_IsRefused()
    {
        ElevationGrid ground = FastAgainstPlainTests.Lakes(40, 40, 4);
        MemoryShelf shelf = new();
        TiledDrainage tiles = new(ground.Frame, 64, shelf);
        tiles.Fill(0, new ArrayStore<float>(ground.Frame, ground.Heights.ToArray()));
        shelf.Put(DrainagePart.Spills, 0, shelf.Take(DrainagePart.Spills, 0).AsSpan()[..^1]);
        Assert.Contains("shorter than it says", Assert.Throws<GroundDataException>(() => tiles.JoinLevels()).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Wrong_Calls_AreRefused()
    {
        GridFrame f = new(4, 5, 1, 0, 4);
        Assert.Throws<ArgumentOutOfRangeException>(() => new TiledDrainage(f, 1, new MemoryShelf()));
        Assert.Throws<ArgumentOutOfRangeException>(() => new TiledDrainage(f, TiledDrainage.MostSide + 1, new MemoryShelf()));
        TiledDrainage tiles = new(f, 2, new MemoryShelf());
        Assert.Equal((6, 3), (tiles.Count, tiles.Across));
        Assert.Equal(new CellRange(2, 4, 2, 1), tiles.RangeOf(5));
        Assert.Throws<ArgumentOutOfRangeException>(() => tiles.RangeOf(6));
        Assert.Throws<ArgumentException>(() => tiles.Fill(0, ArrayStore<float>.Empty(new GridFrame(5, 4, 1, 0, 4))));
        Assert.ThrowsAny<OperationCanceledException>(() => tiles.JoinLevels(new CancellationToken(true)));
        Assert.ThrowsAny<OperationCanceledException>(() => tiles.JoinFlow(new CancellationToken(true)));
    }

    private sealed class MemoryShelf : IDrainageShelf
    {
        private readonly Dictionary<(DrainagePart, int), byte[]> _parts = [];

        public void Put(DrainagePart part, int tile, ReadOnlySpan<byte> bytes) => _parts[(part, tile)] = bytes.ToArray();

        public byte[] Take(DrainagePart part, int tile) => _parts[(part, tile)];

        public void Take(DrainagePart part, int tile, Span<byte> bytes)
        {
            Assert.Equal(_parts[(part, tile)].Length, bytes.Length);
            _parts[(part, tile)].CopyTo(bytes);
        }
    }
}
