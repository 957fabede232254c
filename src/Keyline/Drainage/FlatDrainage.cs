using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Gives level ground directions that lead away from the higher ground around it and toward its ways out.</summary>
/// <remarks>
/// <para>Missing: has no flow and is not asked for any.</para>
/// <para>Promises: heights are not changed; level ground without a way out keeps no flow; no loops, because every step leads
/// to a lower step count; the same codes on any number of cores, because pieces of level ground have no part in each other.</para>
/// <para>Cost: linear in the cells of level ground; 4 bytes for each of them.</para>
/// <para>Source: Barnes, Lehman and Mulla 2014, An efficient assignment of drainage direction over flat surfaces, Computers
/// and Geosciences 62, 128-135 (doi:10.1016/j.cageo.2013.01.009); of equal neighbours a side one goes before a diagonal one.</para>
/// </remarks>
internal static class FlatDrainage
{
    // Rows worked on at a time. Pieces that reach over a band's border wait until all bands are done.
    private const int BandRows = 128;

    /// <summary>Replaces no flow on level ground by directions.</summary>
    /// <param name="z">Heights.</param>
    /// <param name="frame">Where they lie.</param>
    /// <param name="codes">Directions. A cell with a height and no flow must have eight neighbours with heights.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static void Resolve(float[] z, GridFrame frame, byte[] codes, CancellationToken cancellationToken)
    {
        if (!codes.AsSpan().Contains(FlowCode.None))
        {
            return;
        }

        int columns = frame.Columns;
        int[] steps = new int[z.Length];
        int bands = (frame.Rows + BandRows - 1) / BandRows;
        bool[] waiting = new bool[bands];
        bool[] walled = new bool[bands];
        Parallel.For(0, bands, WorkThreads.Options(cancellationToken), band =>
        {
            FlatPiece piece = new(z, codes, steps, columns);
            int first = band * BandRows * columns;
            int end = Math.Min(first + (BandRows * columns), z.Length);
            piece.DrainAll(first, end, FlowCode.None, FlatPiece.Waiting, cancellationToken);
            waiting[band] = piece.HasWaiting;
            walled[band] = piece.HasWalledIn;
        });
        if (waiting.Contains(true))
        {
            FlatPiece piece = new(z, codes, steps, columns);
            piece.DrainAll(0, z.Length, FlatPiece.Waiting, FlatPiece.Met, cancellationToken);
            walled[0] |= piece.HasWalledIn;
        }

        if (walled.Contains(true))
        {
            codes.AsSpan().Replace(FlatPiece.WalledIn, FlowCode.None);
        }
    }
}
