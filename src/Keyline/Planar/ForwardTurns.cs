namespace Keyline.Planar;

/// <summary>The ways forward from one pose to another for a vehicle with a least radius of turn.</summary>
/// <remarks>
/// <para>Units: metres, radians. Promises: every way ends at the pose asked for, turns no tighter than the radius, and the first
/// is the shortest there is; ties go to the order of the words below. Cost: constant, six words.</para>
/// <para>Source: L. E. Dubins, "On curves of minimal length with a constraint on average curvature, and with prescribed initial and
/// terminal positions and tangents", American Journal of Mathematics 79 (1957) 497-516: the shortest way is one of LSL, RSR, LSR,
/// RSL, RLR and LRL.</para>
/// </remarks>
public static class ForwardTurns
{
    // A word whose middle piece has no length may come out a rounding short of being there.
    private const double Rounding = 1e-12;

    // A straight this short (its square, in radii) has no direction of its own.
    private const double NoStraight = 1e-14;

    /// <summary>All that there are, the shortest first: up to six, and two at least.</summary>
    /// <param name="from">Where to leave.</param>
    /// <param name="to">Where to arrive.</param>
    /// <param name="radius">Least radius of turn, metres, above 0.</param>
    public static IReadOnlyList<TurnPath> Between(Pose from, Pose to, double radius)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(radius);
        double dx = (to.X - from.X) / radius, dy = (to.Y - from.Y) / radius;
        double d = Math.Sqrt((dx * dx) + (dy * dy)), way = Math.Atan2(dy, dx);
        double a = Turn(from.Heading - way), b = Turn(to.Heading - way);
        (double sa, double ca) = Math.SinCos(a);
        (double sb, double cb) = Math.SinCos(b);
        double cab = Math.Cos(a - b);
        List<TurnPath> ways = [];

        double square = 2 + (d * d) - (2 * cab) + (2 * d * (sa - sb));
        if (square >= -Rounding)
        {
            double t = square > NoStraight ? Math.Atan2(cb - ca, d + sa - sb) : a;
            Add(1, Turn(t - a), 0, Math.Sqrt(Math.Max(square, 0)), 1, Turn(b - t));
        }

        square = 2 + (d * d) - (2 * cab) + (2 * d * (sb - sa));
        if (square >= -Rounding)
        {
            double t = square > NoStraight ? Math.Atan2(ca - cb, d - sa + sb) : a;
            Add(-1, Turn(a - t), 0, Math.Sqrt(Math.Max(square, 0)), -1, Turn(t - b));
        }

        square = (d * d) - 2 + (2 * cab) + (2 * d * (sa + sb));
        if (square >= -Rounding)
        {
            double p = Math.Sqrt(Math.Max(square, 0)), t = Math.Atan2(-ca - cb, d + sa + sb) - Math.Atan2(-2, p);
            Add(1, Turn(t - a), 0, p, -1, Turn(t - b));
        }

        square = (d * d) - 2 + (2 * cab) - (2 * d * (sa + sb));
        if (square >= -Rounding)
        {
            double p = Math.Sqrt(Math.Max(square, 0)), t = Math.Atan2(ca + cb, d - sa - sb) - Math.Atan2(2, p);
            Add(-1, Turn(a - t), 0, p, 1, Turn(b - t));
        }

        double cosine = (6 - (d * d) + (2 * cab) + (2 * d * (sa - sb))) / 8;
        if (Math.Abs(cosine) <= 1 + Rounding)
        {
            double p = (2 * Math.PI) - Math.Acos(Math.Clamp(cosine, -1, 1)), t = Turn(a - Math.Atan2(ca - cb, d - sa + sb) + (p / 2));
            Add(-1, t, 1, p, -1, Turn(a - b - t + p));
        }

        cosine = (6 - (d * d) + (2 * cab) + (2 * d * (sb - sa))) / 8;
        if (Math.Abs(cosine) <= 1 + Rounding)
        {
            double p = (2 * Math.PI) - Math.Acos(Math.Clamp(cosine, -1, 1)), t = Turn(-a + Math.Atan2(-ca + cb, d + sa - sb) + (p / 2));
            Add(1, t, -1, p, 1, Turn(b - a - t + p));
        }

        // A stable sort, so that ties keep the order of the words.
        return [.. ways.OrderBy(w => w.Length)];

        void Add(int first, double t, int second, double p, int third, double q) =>
            ways.Add(new TurnPath(from, [new(t * radius, first / radius), new(p * radius, second / radius), new(q * radius, third / radius)]));
    }

    // An angle in 0 to 2 pi; a full turn less than rounding is no turn.
    private static double Turn(double angle)
    {
        double turn = angle % (2 * Math.PI);
        turn = turn < 0 ? turn + (2 * Math.PI) : turn;
        return turn > (2 * Math.PI) - 1e-9 ? 0 : turn;
    }
}
