using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>How far water runs.</summary>
/// <remarks>
/// <para>Units: metres along the flow from cell centre to cell centre; a diagonal step counts the square root of 2.</para>
/// <para>Missing: NaN where the direction grid has no ground.</para>
/// <para>Promises: the same bits whatever the order in which cells are met: of several ways up the longest counts.</para>
/// <para>Cost: linear in cells; 9 bytes a cell. The longest ways down to each cell are found in bands of rows side by side.</para>
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
        double[] length = GC.AllocateUninitializedArray<double>(directions.Codes.Length);
        UpstreamSweep.Give(directions, new WayDown(length, Steps(directions)), cancellationToken);
        D8Accumulation.SetMissing(length, directions.GroundArray);
        return new Grid<double>(directions.Frame, length);
    }

    /// <summary>From the farthest divide down to each cell; a cell that nothing drains into has 0.</summary>
    /// <param name="directions">Where each cell drains.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="FlowLoopException">The directions run in a loop.</exception>
    public static Grid<double> Upstream(D8Directions directions, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(directions);
        double[] length = new double[directions.Codes.Length];
        FlowBands.Carry<LongestWay, double>(
            directions,
            new LongestWay(length, Steps(directions)),
            (first, end) => D8Accumulation.SetMissing(length.AsSpan(first, end - first), directions.GroundArray.AsSpan(first, end - first)),
            cancellationToken);
        return new Grid<double>(directions.Frame, length);
    }

    // Metres for each direction.
    private static double[] Steps(D8Directions directions) =>
        [.. Enumerable.Range(0, Neighbours.Count).Select(direction => Neighbours.Length(direction) * directions.Frame.CellSize)];

    private readonly struct WayDown(double[] length, double[] steps) : IGiven
    {
        public void Give(int cell, int below, byte code) => length[cell] = below < 0 ? 0 : length[below] + steps[code];
    }

    // The longest of several ways is the same in whatever order they come.
    private readonly struct LongestWay(double[] length, double[] steps) : ICarried<double>
    {
        public void Enter(int cell, double amount) => length[cell] = Math.Max(length[cell], amount);

        public double Leave(int cell, byte code) => length[cell] + steps[code & (Neighbours.Count - 1)];
    }
}
