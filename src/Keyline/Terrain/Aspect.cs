using Keyline.Elevation;

namespace Keyline.Terrain;

/// <summary>Which way the ground falls.</summary>
/// <remarks>
/// <para>Units: degrees clockwise from north, from 0 up to but not including 360, pointing down the slope.</para>
/// <para>Missing: NaN where the height is missing and where the ground is level. A missing neighbour, and one beyond the
/// edge, is mirrored through the centre.</para>
/// <para>Promises: exact on a plane up to its edges; the same bits on any number of cores.</para>
/// <para>Cost: linear in cells; 4 bytes a cell.</para>
/// <para>Source: the gradient of <see cref="Slope"/>.</para>
/// </remarks>
public static class Aspect
{
    /// <summary>The downslope azimuth of every cell.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="method">Which neighbours count.</param>
    /// <exception cref="ArgumentOutOfRangeException">No such method.</exception>
    public static Grid<float> Degrees(ElevationGrid ground, SlopeMethod method = SlopeMethod.Horn)
    {
        ArgumentNullException.ThrowIfNull(ground);
        CellWindow.Check(method);
        return CellWindow.Map(ground, w =>
        {
            (double east, double north) = w.Rise(method);
            if (east == 0 && north == 0)
            {
                return double.NaN;
            }

            // Rounded first: a hair west of north would otherwise come out as 360.
            float degrees = (float)(Math.Atan2(-east, -north) * 180 / Math.PI);
            float turned = degrees < 0 ? degrees + 360f : degrees;
            return turned < 360f ? turned : 0;
        });
    }
}
