using Keyline.Elevation;

namespace Keyline.Terrain;

/// <summary>How the ground bends, from the quadratic surface that fits a square window around each cell best.</summary>
/// <remarks>
/// <para>Units: 1 over metres. Positive where the ground bends like a dome: over a crest, along a ridge.</para>
/// <para>Missing: NaN where a height of the window is missing or lies beyond the edge: a bend cannot be made up. Level ground
/// has no direction of slope, so profile, plan and contour are NaN there.</para>
/// <para>Promises: exact on every quadratic surface, whatever the window; zero on a plane; plan and profile add up to twice the
/// mean, as do minimum and maximum; the same bits on any number of cores.</para>
/// <para>Cost: linear in cells times the window's width; 4 bytes a cell for each kind asked for.</para>
/// <para>Source: the least-squares quadratic of Evans 1980, Zeitschrift fuer Geomorphologie, Supplementband 36, 274-295, over
/// windows of any width as in Wood 1996, The geomorphological characterisation of digital elevation models, thesis,
/// University of Leicester, ch. 4; the curvatures of Florinsky 2016, Digital Terrain Analysis in Soil Science and Geology,
/// 2nd ed., ch. 2.</para>
/// </remarks>
public static class Curvature
{
    /// <summary>Cells along a side of the window when nothing else is asked for: a cell and its eight neighbours. On lidar of
    /// 1 m cells that sees noise; 9 to 21 cells see the land.</summary>
    public const int DefaultWindow = 3;

    /// <summary>Bend of the ground's section along the slope. Positive where the ground steepens downhill.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="window">Cells along a side of the window, odd, from 3.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentOutOfRangeException">The window is even or below 3.</exception>
    public static Grid<float> Profile(ElevationGrid ground, int window = DefaultWindow, CancellationToken cancellationToken = default) =>
        Measure(ground, [CurvatureKind.Profile], window, cancellationToken)[0];

    /// <summary>Bend of the ground's section across the slope, at right angles to the profile. Positive where water spreads.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="window">Cells along a side of the window, odd, from 3.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentOutOfRangeException">The window is even or below 3.</exception>
    public static Grid<float> Plan(ElevationGrid ground, int window = DefaultWindow, CancellationToken cancellationToken = default) =>
        Measure(ground, [CurvatureKind.Plan], window, cancellationToken)[0];

    /// <summary>Bend of the contour line seen from above: 1 over its radius. Positive around a ridge, negative in a valley.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="window">Cells along a side of the window, odd, from 3.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentOutOfRangeException">The window is even or below 3.</exception>
    public static Grid<float> Contour(ElevationGrid ground, int window = DefaultWindow, CancellationToken cancellationToken = default) =>
        Measure(ground, [CurvatureKind.Contour], window, cancellationToken)[0];

    /// <summary>The mean of the bends in any two directions at right angles.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="window">Cells along a side of the window, odd, from 3.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentOutOfRangeException">The window is even or below 3.</exception>
    public static Grid<float> Mean(ElevationGrid ground, int window = DefaultWindow, CancellationToken cancellationToken = default) =>
        Measure(ground, [CurvatureKind.Mean], window, cancellationToken)[0];

    /// <summary>Measures several kinds with one fit.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="kinds">Which.</param>
    /// <param name="window">Cells along a side of the window, odd, from 3.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>A grid for each kind, in the order asked.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The window is even or below 3, or there is no such kind.</exception>
    public static IReadOnlyList<Grid<float>> Measure(
        ElevationGrid ground, IReadOnlyList<CurvatureKind> kinds, int window = DefaultWindow, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(kinds);
        float[][] values = [.. kinds.Select(_ => GC.AllocateUninitializedArray<float>(ground.Array.Length))];
        Measure(ground, kinds, 0, ground.Frame.Rows, values, window, cancellationToken);
        return [.. values.Select(v => new Grid<float>(ground.Frame, v))];
    }

    /// <summary>Measures several kinds of some rows with one fit, the same bits as of the whole, so that grids of them need not be held.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="kinds">Which.</param>
    /// <param name="firstRow">The first row wanted, 0 at the north.</param>
    /// <param name="rows">How many.</param>
    /// <param name="values">Where each kind goes, row after row; each at least as long as the rows are.</param>
    /// <param name="window">Cells along a side of the window, odd, from 3.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentException">The window is even or below 3, there is no such kind, the rows are not there, or room is too short.</exception>
    public static void Measure(
        ElevationGrid ground,
        IReadOnlyList<CurvatureKind> kinds,
        int firstRow,
        int rows,
        IReadOnlyList<float[]> values,
        int window = DefaultWindow,
        CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(kinds);
        ArgumentNullException.ThrowIfNull(values);
        ArgumentOutOfRangeException.ThrowIfNotEqual(values.Count, kinds.Count, nameof(values));
        if (window < 3 || window % 2 == 0)
        {
            throw new ArgumentOutOfRangeException(nameof(window), window, "The window must be an odd number of cells from 3.");
        }

        foreach (CurvatureKind kind in kinds)
        {
            if (!Enum.IsDefined(kind))
            {
                throw new ArgumentOutOfRangeException(nameof(kinds), kind, "There is no such kind of curvature.");
            }
        }

        foreach (float[] room in values)
        {
            RowRange.Check(ground, firstRow, rows, room);
        }

        CurvatureKind[] asked = [.. kinds];
        float[][] to = [.. values];
        QuadraticRows.Fit(ground, window / 2, firstRow, rows, (cell, fit) =>
        {
            for (int k = 0; k < to.Length; k++)
            {
                to[k][cell] = (float)fit.Of(asked[k]);
            }
        }, cancellationToken);
    }
}
