using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Ranks channels: a headwater is 1, and where two of the highest rank k meet the channel below is k + 1.</summary>
/// <remarks>
/// <para>Units: whole numbers from 1; 0 where there is no channel. Areas in square metres.</para>
/// <para>Missing: 0.</para>
/// <para>Promises: ranks never fall on the way down; the order in which tributaries are met does not matter.</para>
/// <para>Cost: linear in cells; 10 bytes a cell.</para>
/// <para>Source: Strahler 1957, Quantitative analysis of watershed geomorphology, Transactions of the American Geophysical
/// Union 38(6), 913-920 (doi:10.1029/TR038i006p00913). A channel is where the area reaches a threshold.</para>
/// </remarks>
public static class StrahlerOrder
{
    /// <summary>Ranks the channels.</summary>
    /// <param name="directions">Where each cell drains.</param>
    /// <param name="area">The area that drains through each cell, square metres, as <see cref="FlowAccumulation"/> gives it.</param>
    /// <param name="channelArea">The area from which on a cell is a channel, square metres, above 0.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentException">The two grids do not share a frame.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The channel area is not above 0.</exception>
    /// <exception cref="FlowLoopException">The directions run in a loop.</exception>
    public static Grid<byte> Compute(D8Directions directions, Grid<double> area, double channelArea, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(directions);
        ArgumentNullException.ThrowIfNull(area);
        if (!area.Frame.Equals(directions.Frame))
        {
            throw new ArgumentException("The areas do not lie on the frame of the directions.", nameof(area));
        }

        if (!(channelArea > 0))
        {
            throw new ArgumentOutOfRangeException(nameof(channelArea), channelArea, "The channel area must be above 0 square metres.");
        }

        // For each cell the highest rank that flows in, and how often (more than twice makes no odds).
        byte[] highest = new byte[area.Array.Length];
        byte[] times = new byte[area.Array.Length];
        byte[] rank = new byte[area.Array.Length];
        int[] order = DownstreamOrder.Of(directions, cancellationToken);
        for (int k = 0; k < order.Length; k++)
        {
            cancellationToken.ThrowIfCancellationRequested(k);
            int cell = order[k];
            if (!(area.Array[cell] >= channelArea))
            {
                continue;
            }

            rank[cell] = highest[cell] == 0 ? (byte)1 : (byte)(highest[cell] + (times[cell] > 1 ? 1 : 0));
            int below = directions.Receiver(cell);
            if (below >= 0 && rank[cell] > highest[below])
            {
                highest[below] = rank[cell];
                times[below] = 1;
            }
            else if (below >= 0 && rank[cell] == highest[below])
            {
                times[below]++;
            }
        }

        return new Grid<byte>(directions.Frame, rank);
    }
}
