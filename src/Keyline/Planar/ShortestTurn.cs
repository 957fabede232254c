namespace Keyline.Planar;

/// <summary>The shortest way from a place and heading to another for a vehicle that only drives forward and turns no tighter
/// than a radius.</summary>
/// <remarks>
/// <para>Units: metres, radians.</para>
/// <para>Cost: constant. Source: Dubins 1957, "On Curves of Minimal Length with a Constraint on Average Curvature"; the six
/// words and their closed forms as in Shkel and Lumelsky 2001, "Classification of the Dubins set", section 2.</para>
/// </remarks>
internal static class ShortestTurn
{
    // A word whose middle piece has no length may come out a rounding short of being there.
    private const double Rounding = 1e-12;

    // A straight this short (its square, in radii) has no direction of its own.
    private const double NoStraight = 1e-14;

    /// <summary>Its length.</summary>
    /// <param name="from">Where it starts.</param>
    /// <param name="heading">Unit vector of travel there.</param>
    /// <param name="to">Where it ends.</param>
    /// <param name="headingThere">Unit vector of travel there.</param>
    /// <param name="radius">Least radius of turn, metres; 0 for a vehicle that turns on the spot.</param>
    public static double Length(XY from, XY heading, XY to, XY headingThere, double radius)
    {
        XY way = to - from;
        if (radius <= 0)
        {
            return way.Norm;
        }

        double d = way.Norm / radius;
        double theta = Math.Atan2(way.Y, way.X);
        double a = Turn(Math.Atan2(heading.Y, heading.X) - theta);
        double b = Turn(Math.Atan2(headingThere.Y, headingThere.X) - theta);
        (double sa, double ca) = Math.SinCos(a);
        (double sb, double cb) = Math.SinCos(b);
        double cab = Math.Cos(a - b);
        double best = double.PositiveInfinity;

        // Left, straight, left; right, straight, right.
        double square = 2 + (d * d) - (2 * cab) + (2 * d * (sa - sb));
        if (square >= -Rounding)
        {
            double t = square > NoStraight ? Math.Atan2(cb - ca, d + sa - sb) : a;
            best = Math.Min(best, Turn(t - a) + Math.Sqrt(Math.Max(square, 0)) + Turn(b - t));
        }

        square = 2 + (d * d) - (2 * cab) + (2 * d * (sb - sa));
        if (square >= -Rounding)
        {
            double t = square > NoStraight ? Math.Atan2(ca - cb, d - sa + sb) : a;
            best = Math.Min(best, Turn(a - t) + Math.Sqrt(Math.Max(square, 0)) + Turn(t - b));
        }

        // Left, straight, right; right, straight, left.
        square = (d * d) - 2 + (2 * cab) + (2 * d * (sa + sb));
        if (square >= -Rounding)
        {
            double p = Math.Sqrt(Math.Max(square, 0));
            double t = Math.Atan2(-ca - cb, d + sa + sb) - Math.Atan2(-2, p);
            best = Math.Min(best, Turn(t - a) + p + Turn(t - b));
        }

        square = (d * d) - 2 + (2 * cab) - (2 * d * (sa + sb));
        if (square >= -Rounding)
        {
            double p = Math.Sqrt(Math.Max(square, 0));
            double t = Math.Atan2(ca + cb, d - sa - sb) - Math.Atan2(2, p);
            best = Math.Min(best, Turn(a - t) + p + Turn(b - t));
        }

        // Three arcs.
        double cosine = (6 - (d * d) + (2 * cab) + (2 * d * (sa - sb))) / 8;
        if (Math.Abs(cosine) <= 1 + Rounding)
        {
            double p = (2 * Math.PI) - Math.Acos(Math.Clamp(cosine, -1, 1));
            double t = Turn(a - Math.Atan2(ca - cb, d - sa + sb) + (p / 2));
            best = Math.Min(best, t + p + Turn(a - b - t + p));
        }

        cosine = (6 - (d * d) + (2 * cab) + (2 * d * (sb - sa))) / 8;
        if (Math.Abs(cosine) <= 1 + Rounding)
        {
            double p = (2 * Math.PI) - Math.Acos(Math.Clamp(cosine, -1, 1));
            double t = Turn(-a + Math.Atan2(-ca + cb, d + sa - sb) + (p / 2));
            best = Math.Min(best, t + p + Turn(b - a - t + p));
        }

        return best * radius;
    }

    // An angle in 0 to 2 pi; a full turn less than rounding is no turn.
    private static double Turn(double angle)
    {
        double turn = angle % (2 * Math.PI);
        turn = turn < 0 ? turn + (2 * Math.PI) : turn;
        return turn > (2 * Math.PI) - 1e-9 ? 0 : turn;
    }
}
