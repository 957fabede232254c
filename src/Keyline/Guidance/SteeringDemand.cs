using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Guidance;

/// <summary>What a line asks of the steering: how tightly it turns, and how quickly the turn changes along it.</summary>
/// <param name="Curvature">Greatest curvature, 1/m, 0 or more.</param>
/// <param name="CurvatureRate">Greatest change of curvature along the way, 1/m per metre, 0 or more.</param>
/// <remarks>
/// <para>Units: 1/m and 1/m per metre; speeds in m/s, angles in degrees.</para>
/// <para>Promises: measured over a base of <see cref="Base"/> metres of points 1 m apart, about the length of a tractor: a
/// sharper kink is seen as turned within that length, as the front wheels would.</para>
/// <para>Cost: linear in the length. Source: curvature of a planar curve, and the steering angle of a vehicle with two axles,
/// tan(angle) = wheelbase times curvature; geometry.</para>
/// </remarks>
public readonly record struct SteeringDemand(double Curvature, double CurvatureRate)
{
    /// <summary>Length that curvature is measured over, metres.</summary>
    public const double Base = 4.0;

    /// <summary>Wheelbase taken when none is given, metres: a common farm tractor's; common practice, no source.</summary>
    public const double DefaultWheelbase = 2.8;

    /// <summary>Steering that hydraulic systems manage with ease, degrees a second at the wheels; common practice, no source.</summary>
    public const double EasySteering = 10.0;

    private const int Arm = (int)Base;

    /// <summary>A straight line.</summary>
    public static SteeringDemand None { get; } = new(0, 0);

    /// <summary>How fast the front wheels must be turned, degrees a second.</summary>
    /// <param name="speed">Speed, m/s.</param>
    /// <param name="wheelbase">Distance between axles, metres.</param>
    public double SteeringRate(double speed, double wheelbase = DefaultWheelbase) => CurvatureRate * wheelbase * speed * 180 / Math.PI;

    /// <summary>The speed at which the front wheels need turn no faster than a limit, m/s; infinite where they need not turn.</summary>
    /// <param name="steeringRate">The limit, degrees a second.</param>
    /// <param name="wheelbase">Distance between axles, metres.</param>
    public double SpeedFor(double steeringRate = EasySteering, double wheelbase = DefaultWheelbase) => steeringRate * Math.PI / 180 / (CurvatureRate * wheelbase);

    /// <summary>Measures a line.</summary>
    /// <param name="line">The line, metres; its points may lie as they like.</param>
    public static SteeringDemand Of(LineString line)
    {
        ArgumentNullException.ThrowIfNull(line);
        CoordinateSequence at = line.CoordinateSequence;
        XY[] points = new XY[at.Count];
        for (int i = 0; i < points.Length; i++)
        {
            points[i] = new XY(at.GetX(i), at.GetY(i));
        }

        XY[] even = new LinePath(points, false).Resample(1).Points;
        if (even.Length < (2 * Arm) + 1)
        {
            return None;
        }

        double step = (even[1] - even[0]).Norm;
        double[] curvature = new double[even.Length - (2 * Arm)];
        double most = 0, rate = 0;
        for (int i = 0; i < curvature.Length; i++)
        {
            XY into = even[i + Arm] - even[i], onward = even[i + (2 * Arm)] - even[i + Arm];
            curvature[i] = Math.Atan2(into.Cross(onward), into.Dot(onward)) / (Arm * step);
            most = Math.Max(most, Math.Abs(curvature[i]));
            rate = i >= Arm ? Math.Max(rate, Math.Abs(curvature[i] - curvature[i - Arm]) / (Arm * step)) : rate;
        }

        return new SteeringDemand(most, rate);
    }
}
