using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Adds up the area whose water passes through each cell.</summary>
/// <remarks>
/// <para>Units: square metres, the cell's own area included.</para>
/// <para>Missing: NaN where the direction grid has no ground.</para>
/// <para>Promises: what leaves through the outlets and ends in pits adds up to the area of the ground; divided by the cell's
/// area every value is a whole number.</para>
/// <para>Cost: linear in cells; 9 bytes a cell.</para>
/// <para>Source: the contributing area of O'Callaghan and Mark 1984, Computer Vision, Graphics and Image Processing 28,
/// 323-344, added up from the divides down by counting donors, as in Freeman 1991, Computers and Geosciences 17(3), 413-422.</para>
/// </remarks>
public static class FlowAccumulation
{
    /// <summary>Adds up.</summary>
    /// <param name="directions">Where each cell drains.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="FlowLoopException">The directions run in a loop.</exception>
    public static Grid<double> Compute(D8Directions directions, CancellationToken cancellationToken = default) =>
        D8Accumulation.Compute(directions ?? throw new ArgumentNullException(nameof(directions)), cancellationToken);

    /// <summary>Adds up weight times area, such as millimetres of rain, along directions to one cell each.</summary>
    /// <param name="directions">Where each cell drains.</param>
    /// <param name="weights">What a square metre of each cell gives: a finite number from 0 up wherever there is ground.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Weight times square metres (millimetres give litres), the cell's own included; NaN where there is no ground.</returns>
    /// <exception cref="ArgumentException">The weights lie on another frame, or one on ground is missing, negative or infinite.</exception>
    /// <exception cref="FlowLoopException">The directions run in a loop.</exception>
    public static Grid<double> Compute(D8Directions directions, Grid<float> weights, CancellationToken cancellationToken = default) =>
        D8WeightedAccumulation.Compute(
            directions ?? throw new ArgumentNullException(nameof(directions)), weights ?? throw new ArgumentNullException(nameof(weights)), cancellationToken);

    /// <summary>Adds up the area along directions that share the water between two cells.</summary>
    /// <param name="directions">Where each cell drains.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Square metres, the cell's own area included, and not whole cells; NaN where there is no ground.</returns>
    /// <exception cref="FlowLoopException">The directions run in a loop.</exception>
    public static Grid<double> Compute(DInfinityDirections directions, CancellationToken cancellationToken = default) =>
        DInfinityAccumulation.Compute(directions ?? throw new ArgumentNullException(nameof(directions)), null, cancellationToken);

    /// <summary>Adds up weight times area, such as millimetres of rain, along directions that share the water between two cells.</summary>
    /// <param name="directions">Where each cell drains.</param>
    /// <param name="weights">What a square metre of each cell gives: a finite number from 0 up wherever there is ground.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Weight times square metres (millimetres give litres), the cell's own included; NaN where there is no ground.</returns>
    /// <exception cref="ArgumentException">The weights lie on another frame, or one on ground is missing, negative or infinite.</exception>
    /// <exception cref="FlowLoopException">The directions run in a loop.</exception>
    public static Grid<double> Compute(DInfinityDirections directions, Grid<float> weights, CancellationToken cancellationToken = default) =>
        DInfinityAccumulation.Compute(
            directions ?? throw new ArgumentNullException(nameof(directions)), weights ?? throw new ArgumentNullException(nameof(weights)), cancellationToken);
}
