using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Gives every cell what the cell it drains to has: from where water leaves up to the divides.</summary>
/// <remarks>
/// <para>Promises: a cell comes after the one it drains to.</para>
/// <para>Cost: linear in cells; a byte a cell, and four for each cell of the longest way down. From each cell in turn the way down is followed to one that is
/// done with and gone back up again, so that what lies together in the grid is worked on together.</para>
/// </remarks>
internal static class UpstreamSweep
{
    // A count of donors has no such bit.
    private const byte OnTheWay = 0x40;

    /// <summary>Gives.</summary>
    /// <param name="directions">Where each cell drains.</param>
    /// <param name="given">What is given.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="FlowLoopException">The directions run in a loop.</exception>
    public static void Give<TGiven>(D8Directions directions, TGiven given, CancellationToken cancellationToken)
        where TGiven : struct, IGiven
    {
        GridFrame frame = directions.Frame;
        int columns = frame.Columns;
        byte[] codes = directions.CodeArray;
        byte[] state = GC.AllocateUninitializedArray<byte>(codes.Length);
        FlowBands.ForEach(
            frame, (_, first, end) => DonorCounts.Fill(codes, directions.GroundArray, frame.Rows, columns, first / columns, end / columns, state), cancellationToken);
        int[] steps = Neighbours.PlaceSteps(columns);
        int[] way = new int[1024];
        for (int start = 0; start < codes.Length; start++)
        {
            cancellationToken.ThrowIfCancellationRequested(start);
            int length = 0;
            bool ends = false;
            int cell = start;
            for (; !ends && state[cell] != DonorCounts.Missing; cell += ends ? 0 : steps[codes[cell]])
            {
                if ((state[cell] & OnTheWay) != 0)
                {
                    throw new FlowLoopException(cell / columns, cell % columns);
                }

                ends = (state[cell] & DonorCounts.Ends) != 0;
                state[cell] |= OnTheWay;
                if (length == way.Length)
                {
                    Array.Resize(ref way, 2 * length);
                }

                way[length++] = cell;
            }

            for (int k = length - 1; k >= 0; k--)
            {
                given.Give(way[k], ends && k == length - 1 ? -1 : cell, codes[way[k]]);
                cell = way[k];
                state[cell] = DonorCounts.Missing;
            }
        }
    }
}
