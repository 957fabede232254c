using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Fills hollows up to the height at which water would spill out of them.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>Missing: stays missing. Water leaves at the grid's edge and beside missing cells, so no cell there is raised.</para>
/// <para>Promises: a filled cell has the lowest height for which a path to an outlet need nowhere rise; no cell is lowered;
/// filling twice changes nothing; the same bits on any number of cores. Cells move to one of the eight around them.</para>
/// <para>Cost: linear in cells but for sorting the saddles, a few hundredths of the cells; 4 bytes a cell beyond the result's
/// 4 at most, and 7 bytes for each cell of one tile a core.</para>
/// <para>Source: the surface of Barnes, Lehman and Mulla 2014, Priority-flood, Computers and Geosciences 62, 117-127
/// (doi:10.1016/j.cageo.2013.04.024), found by merging pits at saddles tile by tile; see <c>docs/decisions</c>.</para>
/// </remarks>
public static class DepressionFilling
{
    /// <summary>Cells along the side of a tile: its working arrays fit a core's own cache.</summary>
    internal const int TileSide = 256;

    /// <summary>Fills a grid.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>A new grid, equal or higher in every cell.</returns>
    public static ElevationGrid Fill(ElevationGrid ground, CancellationToken cancellationToken = default) =>
        Fill(ground, TileSide, cancellationToken);

    /// <summary>Fills a grid in tiles of a given side; the answer is the same for every side.</summary>
    internal static ElevationGrid Fill(ElevationGrid ground, int side, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(ground);
        float[] source = ground.Array;
        float[] z = GC.AllocateUninitializedArray<float>(source.Length);
        TileCut cut = new(ground.Frame, side);
        TileSpills[] spills = new TileSpills[cut.Count];
        ParallelOptions parallel = WorkThreads.Options(cancellationToken);
        Parallel.For(0, cut.Count, parallel, static () => new SpillTile(), (t, _, worker) =>
        {
            CellTile tile = cut.InGrid(t);
            for (int r = 0; r < tile.Rows; r++)
            {
                Array.Copy(source, tile.At(r, 0), z, tile.At(r, 0), tile.Columns);
            }

            spills[t] = worker.Run(z, tile);
            return worker;
        }, static _ => { });

        float[][] levels = SpillGraph.Levels(cut, spills, cancellationToken);
        Parallel.For(0, cut.Count, parallel, static () => new FloodFront(), (t, _, front) =>
        {
            RaiseLabels(z, cut.InGrid(t), spills[t], levels[t], front);
            return front;
        }, static _ => { });
        return new ElevationGrid(ground.Frame, z);
    }

    /// <summary>Raises the basins of a tile that reach its rim to the levels found for them.</summary>
    internal static void RaiseLabels(float[] z, in CellTile tile, TileSpills spills, float[] levels, FloodFront front)
    {
        for (int label = 1; label < levels.Length; label++)
        {
            (int row, int column, _) = spills.Pits[label - 1];
            front.Raise(z, tile, row, column, levels[label]);
        }
    }
}
