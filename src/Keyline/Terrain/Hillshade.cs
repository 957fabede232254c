using Keyline.Elevation;

namespace Keyline.Terrain;

/// <summary>How brightly a low sun would light the ground, for drawing relief.</summary>
/// <remarks>
/// <para>Units: heights in metres, angles in degrees; the result runs from 0 (dark) to 1 (facing the sun).</para>
/// <para>Missing: NaN where the height is missing. A missing neighbour, and one beyond the edge, is mirrored through the
/// centre, so a plane is lit evenly up to its edges.</para>
/// <para>Promises: level ground is as bright as the sine of the sun's altitude; no cast shadows; the same bits on any
/// number of cores.</para>
/// <para>Cost: linear in cells; 4 bytes a cell.</para>
/// <para>Source: Lambert's cosine law on the slope of Horn 1981, Hill shading and the reflectance map, Proceedings of the
/// IEEE 69(1), 14-47 (doi:10.1109/PROC.1981.11918).</para>
/// </remarks>
public static class Hillshade
{
    /// <summary>Shades a grid.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="azimuth">Where the sun stands, degrees clockwise from north.</param>
    /// <param name="altitude">How high the sun stands, degrees above the horizon, 0 to 90.</param>
    /// <param name="verticalFactor">What heights are multiplied by first, above 0.</param>
    /// <exception cref="ArgumentOutOfRangeException">An angle or the factor is out of range or not finite.</exception>
    public static Grid<float> Compute(ElevationGrid ground, double azimuth = 315, double altitude = 45, double verticalFactor = 1)
    {
        ArgumentNullException.ThrowIfNull(ground);
        if (!double.IsFinite(azimuth))
        {
            throw new ArgumentOutOfRangeException(nameof(azimuth), azimuth, "The azimuth must be a finite number of degrees.");
        }

        if (!(altitude >= 0 && altitude <= 90))
        {
            throw new ArgumentOutOfRangeException(nameof(altitude), altitude, "The altitude must lie from 0 to 90 degrees.");
        }

        if (!(verticalFactor > 0) || !double.IsFinite(verticalFactor))
        {
            throw new ArgumentOutOfRangeException(nameof(verticalFactor), verticalFactor, "The vertical factor must be a finite number above 0.");
        }

        (double sinAzimuth, double cosAzimuth) = Math.SinCos(azimuth * Math.PI / 180);
        (double up, double level) = Math.SinCos(altitude * Math.PI / 180);
        double sunEast = level * sinAzimuth;
        double sunNorth = level * cosAzimuth;
        double scale = verticalFactor / ground.Frame.CellSize;
        return CellWindow.Map(ground, w =>
        {
            double east = w.HornEast * scale;
            double north = w.HornNorth * scale;

            // The ground's upward normal is (-east, -north, 1) before it is brought to length one.
            double cosine = (up - (sunEast * east) - (sunNorth * north)) / Math.Sqrt(1 + (east * east) + (north * north));
            return Math.Clamp(cosine, 0, 1);
        });
    }
}
