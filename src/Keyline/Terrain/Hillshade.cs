using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
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
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentOutOfRangeException">An angle or the factor is out of range or not finite.</exception>
    public static Grid<float> Compute(ElevationGrid ground, double azimuth = 315, double altitude = 45, double verticalFactor = 1, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        return GradientRows.Map(ground, SlopeMethod.Horn, Sun(ground, azimuth, altitude, verticalFactor), cancellationToken);
    }

    /// <summary>The light of some rows, the same bits as of the whole, so that a grid of them need not be held.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="firstRow">The first row wanted, 0 at the north.</param>
    /// <param name="rows">How many.</param>
    /// <param name="values">Where they go, row after row; at least as long as they are.</param>
    /// <param name="azimuth">Where the sun stands, degrees clockwise from north.</param>
    /// <param name="altitude">How high the sun stands, degrees above the horizon, 0 to 90.</param>
    /// <param name="verticalFactor">What heights are multiplied by first, above 0.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentException">The rows are not there, the room is too short, or an angle or the factor is out of range.</exception>
    public static void Compute(
        ElevationGrid ground, int firstRow, int rows, float[] values, double azimuth = 315, double altitude = 45, double verticalFactor = 1, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        GradientRows.Fill(ground, SlopeMethod.Horn, Sun(ground, azimuth, altitude, verticalFactor), firstRow, rows, values, cancellationToken);
    }

    private static LightMeasure Sun(ElevationGrid ground, double azimuth, double altitude, double verticalFactor)
    {
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
        return new LightMeasure((float)up, (float)(level * sinAzimuth), (float)(level * cosAzimuth), (float)(verticalFactor / ground.Frame.CellSize));
    }

    /// <summary>The cosine between the ground's upward normal, (-east, -north, 1), and the way to the sun.</summary>
    internal readonly struct LightMeasure(float up, float sunEast, float sunNorth, float scale) : IGradientMeasure
    {
        public float One(float east, float north)
        {
            east *= scale;
            north *= scale;
            float light = (up - (sunEast * east) - (sunNorth * north)) / MathF.Sqrt(1f + (east * east) + (north * north));
            return light < 0f ? 0f : light > 1f ? 1f : light;
        }

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public Vector256<float> Eight(Vector256<float> east, Vector256<float> north)
        {
            Vector256<float> one = Vector256<float>.One;
            Vector256<float> zero = Vector256<float>.Zero;
            east *= Vector256.Create(scale);
            north *= Vector256.Create(scale);
            Vector256<float> light = (Vector256.Create(up) - (Vector256.Create(sunEast) * east) - (Vector256.Create(sunNorth) * north))
                / Vector256.Sqrt(one + (east * east) + (north * north));
            light = Vector256.ConditionalSelect(Vector256.LessThan(light, zero), zero, light);
            return Vector256.ConditionalSelect(Vector256.GreaterThan(light, one), one, light);
        }
    }
}
