using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Keyline.Elevation;

namespace Keyline.Terrain;

/// <summary>How steep the ground is.</summary>
/// <remarks>
/// <para>Units: percent, 100 times rise over run; a slope of 45 degrees is 100 %.</para>
/// <para>Missing: NaN where the height is missing. A missing neighbour, and one beyond the edge, is mirrored through the
/// centre.</para>
/// <para>Promises: exact on a plane up to its edges, to the rounding of single precision; the same bits on any number of
/// cores.</para>
/// <para>Cost: linear in cells; 4 bytes a cell.</para>
/// <para>Source: Horn 1981, Proceedings of the IEEE 69(1), 14-47 (doi:10.1109/PROC.1981.11918); Zevenbergen and Thorne 1987,
/// Earth Surface Processes and Landforms 12, 47-56 (doi:10.1002/esp.3290120107).</para>
/// </remarks>
public static class Slope
{
    /// <summary>The slope of every cell in percent.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="method">Which neighbours count.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentOutOfRangeException">No such method.</exception>
    public static Grid<float> Percent(ElevationGrid ground, SlopeMethod method = SlopeMethod.Horn, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        CellWindow.Check(method);
        return GradientRows.Map(ground, method, new PercentMeasure((float)(100 / ground.Frame.CellSize)), cancellationToken);
    }

    /// <summary>The slope in percent of some rows, the same bits as of the whole, so that a grid of them need not be held.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="firstRow">The first row wanted, 0 at the north.</param>
    /// <param name="rows">How many.</param>
    /// <param name="values">Where they go, row after row; at least as long as they are.</param>
    /// <param name="method">Which neighbours count.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentException">The rows are not there, the room is too short, or there is no such method.</exception>
    public static void Percent(ElevationGrid ground, int firstRow, int rows, float[] values, SlopeMethod method = SlopeMethod.Horn, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        CellWindow.Check(method);
        GradientRows.Fill(ground, method, new PercentMeasure((float)(100 / ground.Frame.CellSize)), firstRow, rows, values, cancellationToken);
    }

    internal readonly struct PercentMeasure(float scale) : IGradientMeasure
    {
        public float One(float east, float north) => MathF.Sqrt((east * east) + (north * north)) * scale;

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public Vector256<float> Eight(Vector256<float> east, Vector256<float> north) =>
            Vector256.Sqrt((east * east) + (north * north)) * Vector256.Create(scale);
    }
}
