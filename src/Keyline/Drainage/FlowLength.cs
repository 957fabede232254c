using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>How far water runs.</summary>
/// <remarks>
/// <para>Units: metres along the flow from cell centre to cell centre; a diagonal step counts the square root of 2.</para>
/// <para>Missing: NaN where the direction grid has no ground.</para>
/// <para>Promises: the same bits whatever the order in which cells are met: of several ways up the longest counts.</para>
/// <para>Cost: linear in cells; 13 bytes a cell.</para>
/// <para>Source: common practice, no source.</para>
/// </remarks>
public static class FlowLength
{
    /// <summary>From each cell down to where its water leaves the grid or ends in a pit; the last cell has 0.</summary>
    /// <param name="directions">Where each cell drains.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="FlowLoopException">The directions run in a loop.</exception>
    public static Grid<double> Downstream(D8Directions directions, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(directions);
        int[] order = DownstreamOrder.Of(directions, cancellationToken);
        double[] length = Start(directions);
        for (int k = order.Length - 1; k >= 0; k--)
        {
            cancellationToken.ThrowIfCancellationRequested(k);
            int below = directions.Receiver(order[k]);
            if (below >= 0)
            {
                length[order[k]] = length[below] + Step(directions, order[k]);
            }
        }

        return new Grid<double>(directions.Frame, length);
    }

    /// <summary>From the farthest divide down to each cell; a cell that nothing drains into has 0.</summary>
    /// <param name="directions">Where each cell drains.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="FlowLoopException">The directions run in a loop.</exception>
    public static Grid<double> Upstream(D8Directions directions, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(directions);
        double[] length = Start(directions);
        int[] order = DownstreamOrder.Of(directions, cancellationToken);
        for (int k = 0; k < order.Length; k++)
        {
            cancellationToken.ThrowIfCancellationRequested(k);
            int cell = order[k];
            int below = directions.Receiver(cell);
            if (below >= 0)
            {
                length[below] = Math.Max(length[below], length[cell] + Step(directions, cell));
            }
        }

        return new Grid<double>(directions.Frame, length);
    }

    private static double[] Start(D8Directions directions)
    {
        double[] length = new double[directions.Codes.Length];
        for (int i = 0; i < length.Length; i++)
        {
            length[i] = directions.HasGround(i) ? 0 : double.NaN;
        }

        return length;
    }

    private static double Step(D8Directions directions, int cell) => Neighbours.Length(directions.Codes[cell]) * directions.Frame.CellSize;
}
