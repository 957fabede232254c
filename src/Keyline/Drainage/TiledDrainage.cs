using System.Runtime.InteropServices;
using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>What the stages of <see cref="TiledDrainage"/> leave for each other, tile by tile.</summary>
public enum DrainagePart
{
    /// <summary>Heights of a tile filled within itself: singles, row after row.</summary>
    Heights,

    /// <summary>How a tile's basins hang together with those around it.</summary>
    Spills,

    /// <summary>The two outermost rows and columns of a tile.</summary>
    Strips,

    /// <summary>The levels to which a tile's basins rise.</summary>
    Levels,

    /// <summary>Directions of a tile, as far as it knows them by itself: bytes, row after row.</summary>
    Codes,

    /// <summary>How a tile's flow hangs together with that around it.</summary>
    Flow,

    /// <summary>What enters a tile, and where its level ground at the rim drains.</summary>
    Inflow,
}

/// <summary>Where the stages of <see cref="TiledDrainage"/> leave parts for each other: a folder that all tasks share.</summary>
/// <remarks>A part appears whole or not at all, and putting it again replaces it. Parts hold values in the machine's own byte order.</remarks>
public interface IDrainageShelf
{
    /// <summary>Puts a part.</summary>
    /// <param name="part">Which.</param>
    /// <param name="tile">Of which tile.</param>
    /// <param name="bytes">Its bytes.</param>
    void Put(DrainagePart part, int tile, ReadOnlySpan<byte> bytes);

    /// <summary>Takes a whole part.</summary>
    /// <param name="part">Which.</param>
    /// <param name="tile">Of which tile.</param>
    byte[] Take(DrainagePart part, int tile);

    /// <summary>Takes a part of known length into room that is there already.</summary>
    /// <param name="part">Which.</param>
    /// <param name="tile">Of which tile.</param>
    /// <param name="bytes">As long as the part.</param>
    void Take(DrainagePart part, int tile, Span<byte> bytes);
}

/// <summary>Filling, directions and accumulation of a grid in tiles that are worked on by separate tasks, in three stages over a shared shelf.</summary>
/// <remarks>
/// <para>The stages: every tile is filled (<see cref="Fill"/>), and the levels of all are joined once (<see cref="JoinLevels"/>); every tile is routed
/// (<see cref="Route"/>), and the flow of all is joined once (<see cref="JoinFlow"/>); every tile is finished (<see cref="Finish"/>). Tiles of a stage come in any order,
/// each on any machine; a stage begins when the join before it is done.</para>
/// <para>Units: metres, square metres. Missing: NaN heights, no flow, NaN areas.</para>
/// <para>Promises: the same bits as <see cref="DepressionFilling"/>, <see cref="D8Directions"/> and <see cref="FlowAccumulation"/>, whatever the side of the
/// tiles. Doing a tile or a join again puts the same parts again. One instance is used by one thread at a time.</para>
/// <para>Cost: linear in cells; about 24 bytes for each cell of a tile. A join takes about 50 bytes for each cell along the rims of all tiles.</para>
/// <para>Source: Barnes 2016, Parallel priority-flood depression filling for trillion cell digital elevation models on desktops or clusters, Computers and
/// Geosciences 96, 56-68 (doi:10.1016/j.cageo.2016.07.001); Barnes 2017, Parallel non-divergent flow accumulation for trillion cell digital elevation models on desktops
/// or clusters, Environmental Modelling and Software 92, 202-212 (doi:10.1016/j.envsoft.2017.02.022). Level ground that reaches over a rim is handed to the join cell by cell.</para>
/// </remarks>
public sealed class TiledDrainage
{
    /// <summary>Least cells along the side of a tile.</summary>
    public const int LeastSide = 2;

    /// <summary>Most cells along the side of a tile: 16,384, of which a task needs some 6 GB.</summary>
    public const int MostSide = 16_384;

    private readonly TileCut _cut;
    private readonly IDrainageShelf _shelf;
    private readonly SpillTile _spill = new();
    private readonly FloodFront _front = new();
    private readonly Room<float> _heights = new();
    private readonly Room<float> _wide = new();
    private readonly Room<byte> _around = new();
    private readonly FlowRooms _rooms = new();

    /// <summary>Cuts a grid into tiles.</summary>
    /// <param name="frame">The grid.</param>
    /// <param name="side">Cells along the side of a tile.</param>
    /// <param name="shelf">Where parts are left.</param>
    /// <exception cref="ArgumentOutOfRangeException">The side is out of range.</exception>
    public TiledDrainage(GridFrame frame, int side, IDrainageShelf shelf)
    {
        ArgumentNullException.ThrowIfNull(frame);
        ArgumentNullException.ThrowIfNull(shelf);
        ArgumentOutOfRangeException.ThrowIfLessThan(side, LeastSide);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(side, MostSide);
        _cut = new TileCut(frame, side);
        _shelf = shelf;
    }

    /// <summary>The grid.</summary>
    public GridFrame Frame => _cut.Frame;

    /// <summary>Number of tiles, counted from 0 row after row from the north-west.</summary>
    public int Count => _cut.Count;

    /// <summary>Tiles from west to east.</summary>
    public int Across => _cut.Across;

    /// <summary>The cells of a tile.</summary>
    /// <param name="tile">Its number.</param>
    public CellRange RangeOf(int tile)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(tile);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(tile, Count);
        return _cut.RangeOf(tile);
    }

    /// <summary>Where a tile lies.</summary>
    /// <param name="tile">Its number.</param>
    public GridFrame FrameOf(int tile) => KnownWindows.FrameOf(Frame, RangeOf(tile));

    /// <summary>First stage: fills a tile within itself. Puts heights, spills and strips.</summary>
    /// <param name="tile">Its number.</param>
    /// <param name="ground">Heights in metres on the frame of the grid, NaN for missing.</param>
    /// <exception cref="ArgumentException">The ground lies on another frame.</exception>
    /// <exception cref="GroundDataException">A height is infinite.</exception>
    public void Fill(int tile, IGridSource<float> ground)
    {
        ArgumentNullException.ThrowIfNull(ground);
        CellRange range = RangeOf(tile);
        if (!ground.Frame.Equals(Frame))
        {
            throw new ArgumentException("The ground does not lie on the frame of the grid.", nameof(ground));
        }

        CellTile alone = _cut.Alone(tile);
        float[] z = _heights.For(range.CellCount);
        Span<float> heights = z.AsSpan(0, (int)range.CellCount);
        ground.Read(range, heights);
        LargeFilling.Check(heights, alone);
        TileSpills spills = _spill.Run(z, alone);
        _shelf.Put(DrainagePart.Heights, tile, MemoryMarshal.AsBytes(heights));
        Put(DrainagePart.Spills, tile, spills.Write);
        Put(DrainagePart.Strips, tile, TileStrips.Of(_spill, z, alone).Write);
    }

    /// <summary>Joins what the first stage left of all tiles. Puts the levels of each.</summary>
    /// <param name="cancellationToken">Stops the work.</param>
    public void JoinLevels(CancellationToken cancellationToken = default)
    {
        TileSpills[] spills = new TileSpills[Count];
        for (int t = 0; t < Count; t++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            spills[t] = TileSpills.Read(Open(DrainagePart.Spills, t), _cut.Alone(t));
        }

        float[][] levels = SpillGraph.Levels(_cut, spills, cancellationToken);
        for (int t = 0; t < Count; t++)
        {
            Put(DrainagePart.Levels, t, to => to.AddMany<float>(levels[t]));
        }
    }

    /// <summary>Second stage: raises a tile to its levels and routes it. Puts codes and flow.</summary>
    /// <param name="tile">Its number.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Filled heights of the tile, metres, NaN for missing.</returns>
    public Grid<float> Route(int tile, CancellationToken cancellationToken = default)
    {
        CellRange range = RangeOf(tile);
        CellTile alone = _cut.Alone(tile);
        float[] z = new float[range.CellCount];
        _shelf.Take(DrainagePart.Heights, tile, MemoryMarshal.AsBytes(z.AsSpan()));
        float[] levels = Open(DrainagePart.Levels, tile).TakeMany<float>();
        DepressionFilling.RaiseLabels(z, alone, TileSpills.Read(Open(DrainagePart.Spills, tile), alone), levels, _front);
        HeightWindow window = Window(tile, z);
        byte[] around = _around.For(window.Range.CellCount);
        LargeRouting.RouteWindow(window, Around(range, 1), range, around, _rooms.Ends.For(window.Range.CellCount), cancellationToken);
        TileFlow flow = TileFlow.Of(window, around, range, _rooms);
        _shelf.Put(DrainagePart.Codes, tile, _rooms.Codes.For(range.CellCount).AsSpan(0, (int)range.CellCount));
        Put(DrainagePart.Flow, tile, flow.Write);
        return new Grid<float>(FrameOf(tile), z);
    }

    /// <summary>Joins what the second stage left of all tiles. Puts the inflow of each.</summary>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="FlowLoopException">The directions run in a loop: the parts are not of one grid.</exception>
    public void JoinFlow(CancellationToken cancellationToken = default) => FlowJoin.Run(_cut, FlowOf, (tile, directions, inflow) => Put(DrainagePart.Inflow, tile, to =>
    {
        to.AddMany<byte>(directions);
        to.AddMany<double>(inflow);
    }), cancellationToken);

    /// <summary>Third stage: finishes a tile.</summary>
    /// <param name="tile">Its number.</param>
    /// <returns>Directions of the tile, codes 0 to 7 clockwise from north and 255 for missing cells, and the area that drains through each cell, square metres.</returns>
    public (Grid<byte> Directions, Grid<double> Area) Finish(int tile)
    {
        CellRange range = RangeOf(tile);
        PartReader inflow = Open(DrainagePart.Inflow, tile);
        byte[] directions = inflow.TakeMany<byte>();
        double[] entering = inflow.TakeMany<double>();
        byte[] codes = _rooms.Codes.For(range.CellCount);
        _shelf.Take(DrainagePart.Codes, tile, codes.AsSpan(0, (int)range.CellCount));
        int slot = 0;
        for (int at = 0; slot < directions.Length; at++)
        {
            at += codes.AsSpan(at, (int)range.CellCount - at).IndexOf(FlatPiece.Waiting);
            codes[at] = directions[slot++];
        }

        _rooms.Begin(range);
        _rooms.Walk(entering);
        _rooms.Scaled(Frame.CellArea);
        GridFrame frame = FrameOf(tile);
        return (new Grid<byte>(frame, codes.AsSpan(0, (int)range.CellCount).ToArray()), new Grid<double>(frame, _rooms.GiveAmounts()));
    }

    private HeightWindow Window(int tile, float[] z)
    {
        CellRange range = _cut.RangeOf(tile);
        CellRange wide = Around(range, TileStrips.Depth);
        HeightWindow window = new(_wide.For(wide.CellCount), wide);
        for (int r = 0; r < range.Rows; r++)
        {
            z.AsSpan(r * range.Columns, range.Columns).CopyTo(window.Heights.AsSpan(((range.Row + r - wide.Row) * wide.Columns) + range.Column - wide.Column));
        }

        for (int down = Math.Max((tile / Across) - 1, 0); down <= Math.Min((tile / Across) + 1, _cut.Down - 1); down++)
        {
            for (int across = Math.Max((tile % Across) - 1, 0); across <= Math.Min((tile % Across) + 1, Across - 1); across++)
            {
                int beside = (down * Across) + across;
                if (beside != tile)
                {
                    TileStrips.Read(Open(DrainagePart.Strips, beside), _cut.RangeOf(beside)).CopyTo(Open(DrainagePart.Levels, beside).TakeMany<float>(), window);
                }
            }
        }

        return window;
    }

    private CellRange Around(CellRange range, int margin) => TileRun.Around(range, margin, Frame);

    private TileFlow FlowOf(int tile) => TileFlow.Read(Open(DrainagePart.Flow, tile), _cut.RangeOf(tile));

    private PartReader Open(DrainagePart part, int tile) => new(_shelf.Take(part, tile));

    private void Put(DrainagePart part, int tile, Action<PartWriter> write)
    {
        PartWriter to = new();
        write(to);
        _shelf.Put(part, tile, to.Bytes);
    }
}
