using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Keyline.Elevation;

namespace Keyline.Terrain;

/// <summary>Which way the ground falls.</summary>
/// <remarks>
/// <para>Units: degrees clockwise from north, from 0 up to but not including 360, pointing down the slope.</para>
/// <para>Missing: NaN where the height is missing and where the ground is level. A missing neighbour, and one beyond the
/// edge, is mirrored through the centre.</para>
/// <para>Promises: right on a plane up to its edges, to 2e-5 degrees beside what single precision rounds; the same bits on
/// any number of cores.</para>
/// <para>Cost: linear in cells; 4 bytes a cell.</para>
/// <para>Source: the gradient of <see cref="Slope"/>.</para>
/// </remarks>
public static class Aspect
{
    /// <summary>The downslope azimuth of every cell.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="method">Which neighbours count.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentOutOfRangeException">No such method.</exception>
    public static Grid<float> Degrees(ElevationGrid ground, SlopeMethod method = SlopeMethod.Horn, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        CellWindow.Check(method);
        return GradientRows.Map(ground, method, default(AzimuthMeasure), cancellationToken);
    }

    /// <summary>The way down in degrees of some rows, the same bits as of the whole, so that a grid of them need not be held.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="firstRow">The first row wanted, 0 at the north.</param>
    /// <param name="rows">How many.</param>
    /// <param name="values">Where they go, row after row; at least as long as they are.</param>
    /// <param name="method">Which neighbours count.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentException">The rows are not there, the room is too short, or there is no such method.</exception>
    public static void Degrees(ElevationGrid ground, int firstRow, int rows, float[] values, SlopeMethod method = SlopeMethod.Horn, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        CellWindow.Check(method);
        GradientRows.Fill(ground, method, default(AzimuthMeasure), firstRow, rows, values, cancellationToken);
    }

    /// <summary>The angle from north of the way down: an arctangent within one eighth of the circle, turned into place.</summary>
    internal readonly struct AzimuthMeasure : IGradientMeasure
    {
        private const float EighthTangent = 0.41421357f;
        private const float PerRadian = 57.29578f;

        // Arctangent up to 22.5 degrees, right to 2e-7 in the mean: Cephes library, Moshier 1989, Methods and Programs for
        // Mathematical Functions.
        private const float P9 = 8.0537446e-2f;
        private const float P7 = -1.3877686e-1f;
        private const float P5 = 1.9977711e-1f;
        private const float P3 = -3.3332949e-1f;

        public float One(float east, float north)
        {
            float x = MathF.Abs(east);
            float y = MathF.Abs(north);

            // Level ground gives nought over nought, which is missing.
            float t = (x > y ? y : x) / (x > y ? x : y);
            bool wide = t > EighthTangent;
            float s = wide ? (t - 1f) / (t + 1f) : t;
            float q = s * s;
            float angle = ((((((((P9 * q) + P7) * q) + P5) * q) + P3) * q * s) + s) * PerRadian;
            angle += wide ? 45f : 0f;
            angle = x > y ? 90f - angle : angle;
            angle = north > 0 ? 180f - angle : angle;
            angle = east > 0 ? 360f - angle : angle;
            return angle == 360f ? 0f : angle;
        }

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public Vector256<float> Eight(Vector256<float> east, Vector256<float> north)
        {
            Vector256<float> one = Vector256<float>.One;
            Vector256<float> zero = Vector256<float>.Zero;
            Vector256<float> x = Vector256.Abs(east);
            Vector256<float> y = Vector256.Abs(north);
            Vector256<float> sideways = Vector256.GreaterThan(x, y);
            Vector256<float> t = Vector256.ConditionalSelect(sideways, y, x) / Vector256.ConditionalSelect(sideways, x, y);
            Vector256<float> wide = Vector256.GreaterThan(t, Vector256.Create(EighthTangent));
            Vector256<float> s = Vector256.ConditionalSelect(wide, (t - one) / (t + one), t);
            Vector256<float> q = s * s;
            Vector256<float> angle = (Vector256.Create(P9) * q) + Vector256.Create(P7);
            angle = (angle * q) + Vector256.Create(P5);
            angle = (angle * q) + Vector256.Create(P3);
            angle = ((angle * q * s) + s) * Vector256.Create(PerRadian);
            angle += Vector256.ConditionalSelect(wide, Vector256.Create(45f), zero);
            angle = Vector256.ConditionalSelect(sideways, Vector256.Create(90f) - angle, angle);
            angle = Vector256.ConditionalSelect(Vector256.GreaterThan(north, zero), Vector256.Create(180f) - angle, angle);
            angle = Vector256.ConditionalSelect(Vector256.GreaterThan(east, zero), Vector256.Create(360f) - angle, angle);
            return Vector256.ConditionalSelect(Vector256.Equals(angle, Vector256.Create(360f)), zero, angle);
        }
    }
}
