using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Carries something down D8 directions over a whole grid, in bands of rows side by side.</summary>
/// <remarks>
/// <para>Promises: each cell leaves after all that drain into it, whatever the number of cores.</para>
/// <para>Cost: linear in cells; a byte a cell.</para>
/// <para>Source: counting donors, as in Freeman 1991, Computers and Geosciences 17(3), 413-422; flow over a band's border goes on
/// once all bands are done.</para>
/// </remarks>
internal static class FlowBands
{
    private const int BandRows = 128;

    /// <summary>Carries.</summary>
    /// <param name="directions">Where each cell drains.</param>
    /// <param name="carried">What is carried.</param>
    /// <param name="begin">Given the first cell of a band and the one after its last, makes ready what is carried there.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="FlowLoopException">The directions run in a loop.</exception>
    public static void Carry<TCarried, TAmount>(D8Directions directions, TCarried carried, Action<int, int> begin, CancellationToken cancellationToken)
        where TCarried : struct, ICarried<TAmount>
        where TAmount : unmanaged
    {
        GridFrame frame = directions.Frame;
        int columns = frame.Columns;
        byte[] codes = directions.CodeArray;
        byte[] donors = GC.AllocateUninitializedArray<byte>(codes.Length);
        FlowWalk<TCarried, TAmount>[] walks = new FlowWalk<TCarried, TAmount>[Bands(frame)];
        ForEach(frame, (band, first, end) =>
        {
            DonorCounts.Fill(codes, directions.GroundArray, frame.Rows, columns, first / columns, end / columns, donors);
            begin(first, end);
            walks[band] = new FlowWalk<TCarried, TAmount>(codes, donors, carried, columns);
            walks[band].FromDivides(first, end);
        }, cancellationToken);

        FlowWalk<TCarried, TAmount> rest = new(codes, donors, carried, columns);
        foreach (FlowWalk<TCarried, TAmount> walk in walks)
        {
            cancellationToken.ThrowIfCancellationRequested();
            foreach ((int Cell, TAmount Amount) crossing in walk.Crossings)
            {
                rest.Receive(crossing, 0, codes.Length);
            }
        }

        int stuck = donors.AsSpan().IndexOfAnyExcept(DonorCounts.Missing);
        if (stuck >= 0)
        {
            // Nothing drains out of a loop, and what drains into one has been taken off, so a cell still waiting is in one.
            throw new FlowLoopException(stuck / columns, stuck % columns);
        }
    }

    /// <summary>Works on the bands of a grid side by side.</summary>
    /// <param name="frame">Where the grid lies.</param>
    /// <param name="work">Given a band's number, its first cell and the one after its last.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static void ForEach(GridFrame frame, Action<int, int, int> work, CancellationToken cancellationToken) =>
        Parallel.For(0, Bands(frame), WorkThreads.Options(cancellationToken), band =>
            work(band, band * BandRows * frame.Columns, Math.Min((band + 1) * BandRows, frame.Rows) * frame.Columns));

    private static int Bands(GridFrame frame) => (frame.Rows + BandRows - 1) / BandRows;
}
