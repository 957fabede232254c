using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Ranks channels: a headwater is 1, and where two of the highest rank k meet the channel below is k + 1.</summary>
/// <remarks>
/// <para>Units: whole numbers from 1; 0 where there is no channel. Areas in square metres.</para>
/// <para>Missing: 0.</para>
/// <para>Promises: ranks never fall on the way down; the order in which tributaries are met does not matter.</para>
/// <para>Cost: linear in cells; 3 bytes a cell.</para>
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

        byte[] rank = new byte[area.Array.Length];
        FlowBands.Carry<Ranks, byte>(directions, new Ranks(area.Array, channelArea, rank, new byte[rank.Length]), (_, _) => { }, cancellationToken);
        return new Grid<byte>(directions.Frame, rank);
    }

    // Until a cell is done with, its rank is the highest that flows in; beside it, whether that comes in more than once.
    private readonly struct Ranks(double[] area, double channelArea, byte[] rank, byte[] twice) : ICarried<byte>
    {
        public void Enter(int cell, byte amount)
        {
            if (amount > rank[cell])
            {
                (rank[cell], twice[cell]) = (amount, 0);
            }
            else if (amount == rank[cell])
            {
                twice[cell] = 1;
            }
        }

        public byte Leave(int cell, byte code)
        {
            if (!(area[cell] >= channelArea))
            {
                return rank[cell] = 0;
            }

            return rank[cell] = (byte)(rank[cell] == 0 ? 1 : rank[cell] + twice[cell]);
        }
    }
}
