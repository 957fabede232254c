using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Filling tile by tile, from one store into another.</summary>
internal static class LargeFilling
{
    public static void Fill(TileRun run, IGridSource<float> ground, IGridStore<float> filled)
    {
        TileCut cut = run.Cut;
        TileSpills[] spills = new TileSpills[cut.Count];
        run.ForEach(run.All(), static () => (Tile: new SpillTile(), Heights: new Room<float>()), (t, worker) =>
        {
            CellTile tile = cut.Alone(t);
            float[] z = worker.Heights.For(tile.Range.CellCount);
            Span<float> heights = z.AsSpan(0, (int)tile.Range.CellCount);
            run.Read(ground, tile.Range, heights);
            Check(heights, tile);
            spills[t] = worker.Tile.Run(z, tile);
            run.Write<float>(filled, tile.Range, heights);
        });

        float[][] levels = SpillGraph.Levels(cut, spills, run.CancellationToken);
        int[] raised = [.. Enumerable.Range(0, cut.Count).Where(t => IsRaised(spills[t], levels[t]))];
        run.ForEach(raised, static () => (Front: new FloodFront(), Heights: new Room<float>()), (t, worker) =>
        {
            CellTile tile = cut.Alone(t);
            float[] z = worker.Heights.For(tile.Range.CellCount);
            Span<float> heights = z.AsSpan(0, (int)tile.Range.CellCount);
            run.Read(filled, tile.Range, heights);
            DepressionFilling.RaiseLabels(z, tile, spills[t], levels[t], worker.Front);
            run.Write<float>(filled, tile.Range, heights);
        });
    }

    private static bool IsRaised(TileSpills spills, float[] levels)
    {
        for (int label = 1; label < levels.Length; label++)
        {
            if (spills.Pits[label - 1].Height < levels[label])
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Refuses infinite heights, by their place in the grid.</summary>
    public static void Check(ReadOnlySpan<float> heights, in CellTile tile)
    {
        int at = heights.IndexOfAny(float.PositiveInfinity, float.NegativeInfinity);
        if (at >= 0)
        {
            throw new GroundDataException(FormattableString.Invariant(
                $"The height at row {tile.Range.Row + (at / tile.Columns)}, column {tile.Range.Column + (at % tile.Columns)} is infinite: mark missing heights as such."));
        }
    }
}
