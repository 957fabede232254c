namespace Keyline.Planar;

/// <summary>The ways from one pose to another for a vehicle with a least radius of turn that may also drive backward.</summary>
/// <remarks>
/// <para>Units: metres, radians; a piece driven backward has a length below 0.</para>
/// <para>Promises: every way ends at the pose asked for and turns no tighter than the radius; the first is the shortest there is.
/// Cost: constant, 48 words.</para>
/// <para>Source: J. A. Reeds and L. A. Shepp, "Optimal paths for a car that goes both forwards and backwards", Pacific Journal of
/// Mathematics 145 (1990) 367-393, section 8, formulas 8.1 to 8.11, with the signs that make ways of 8.3 and 8.4 arrive.</para>
/// </remarks>
public static class ReversingTurns
{
    private const double Quarter = Math.PI / 2;
    private const double Rounding = 1e-10;

    // One formula: the lengths and curves of a word that goes to (x, y, phi) with a radius of 1, or null where it has none.
    private delegate (double Length, int Curve)[]? Word(double x, double y, double phi);

    // Those that are not the same read from their end are read so too.
    private static readonly (Word Word, bool ReadBack)[] Words =
    [
        (LeftStraightLeft, false), (LeftStraightRight, false), (LeftBackRightLeft, true), (TwoForwardTwoBack, false), (BackBetween, false),
        (LeftBackStraightLeft, true), (LeftBackStraightRight, true), (BackQuarters, false),
    ];

    /// <summary>All that there are, the shortest first.</summary>
    /// <param name="from">Where to leave.</param>
    /// <param name="to">Where to arrive.</param>
    /// <param name="radius">Least radius of turn, metres, above 0.</param>
    public static IReadOnlyList<TurnPath> Between(Pose from, Pose to, double radius)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(radius);
        (double sin, double cos) = Math.SinCos(from.Heading);
        double dx = (to.X - from.X) / radius, dy = (to.Y - from.Y) / radius;
        double x = (dx * cos) + (dy * sin), y = (dy * cos) - (dx * sin), phi = Half(to.Heading - from.Heading);
        (double sinPhi, double cosPhi) = Math.SinCos(phi);
        double backX = (x * cosPhi) + (y * sinPhi), backY = (x * sinPhi) - (y * cosPhi);
        List<TurnPath> ways = [];
        foreach ((Word word, bool readBack) in Words)
        {
            for (int k = 0; k < (readBack ? 8 : 4); k++)
            {
                int time = (k & 1) == 0 ? 1 : -1, mirror = (k & 2) == 0 ? 1 : -1;
                bool back = k >= 4;
                if (word((back ? backX : x) * time, (back ? backY : y) * mirror, phi * time * mirror) is not { } pieces)
                {
                    continue;
                }

                IEnumerable<TurnPiece> driven = pieces.Select(p => new TurnPiece(p.Length * time * radius, p.Curve * mirror / radius));
                ways.Add(new TurnPath(from, back ? driven.Reverse() : driven));
            }
        }

        return [.. ways.OrderBy(w => w.Length)];
    }

    // 8.1
    private static (double, int)[]? LeftStraightLeft(double x, double y, double phi)
    {
        (double u, double t) = Polar(x - Math.Sin(phi), y - 1 + Math.Cos(phi));
        double v = Half(phi - t);
        return t >= -Rounding && v >= -Rounding ? [(t, 1), (u, 0), (v, 1)] : null;
    }

    // 8.2
    private static (double, int)[]? LeftStraightRight(double x, double y, double phi)
    {
        (double far, double angle) = Polar(x + Math.Sin(phi), y - 1 - Math.Cos(phi));
        if (far < 2)
        {
            return null;
        }

        double u = Math.Sqrt((far * far) - 4), t = Half(angle + Math.Atan2(2, u)), v = Half(t - phi);
        return t >= -Rounding && v >= -Rounding ? [(t, 1), (u, 0), (v, -1)] : null;
    }

    // 8.3 and 8.4
    private static (double, int)[]? LeftBackRightLeft(double x, double y, double phi)
    {
        (double far, double angle) = Polar(x - Math.Sin(phi), y - 1 + Math.Cos(phi));
        if (far > 4)
        {
            return null;
        }

        double u = -2 * Math.Asin(far / 4), t = Half(angle + (u / 2) + Math.PI), v = Half(phi - t + u);
        return t >= -Rounding && u <= Rounding ? [(t, 1), (u, -1), (v, 1)] : null;
    }

    // 8.7
    private static (double, int)[]? TwoForwardTwoBack(double x, double y, double phi)
    {
        double xi = x + Math.Sin(phi), eta = y - 1 - Math.Cos(phi), rho = (2 + Math.Sqrt((xi * xi) + (eta * eta))) / 4;
        if (rho > 1)
        {
            return null;
        }

        double u = Math.Acos(rho);
        (double t, double v) = Outer(u, -u, xi, eta, phi);
        return t >= -Rounding && v <= Rounding ? [(t, 1), (u, -1), (-u, 1), (v, -1)] : null;
    }

    // 8.8
    private static (double, int)[]? BackBetween(double x, double y, double phi)
    {
        double xi = x + Math.Sin(phi), eta = y - 1 - Math.Cos(phi), rho = (20 - (xi * xi) - (eta * eta)) / 16;
        if (!(rho >= 0 && rho <= 1))
        {
            return null;
        }

        double u = -Math.Acos(rho);
        (double t, double v) = Outer(u, u, xi, eta, phi);
        return t >= -Rounding && v >= -Rounding ? [(t, 1), (u, -1), (u, 1), (v, -1)] : null;
    }

    // 8.9
    private static (double, int)[]? LeftBackStraightLeft(double x, double y, double phi)
    {
        (double rho, double angle) = Polar(x - Math.Sin(phi), y - 1 + Math.Cos(phi));
        if (rho < 2)
        {
            return null;
        }

        double r = Math.Sqrt((rho * rho) - 4), u = 2 - r, t = Half(angle + Math.Atan2(r, -2)), v = Half(phi - Quarter - t);
        return t >= -Rounding && u <= Rounding && v <= Rounding ? [(t, 1), (-Quarter, -1), (u, 0), (v, 1)] : null;
    }

    // 8.10
    private static (double, int)[]? LeftBackStraightRight(double x, double y, double phi)
    {
        double xi = x + Math.Sin(phi), eta = y - 1 - Math.Cos(phi);
        (double rho, double t) = Polar(-eta, xi);
        double u = 2 - rho, v = Half(t + Quarter - phi);
        return rho >= 2 && t >= -Rounding && u <= Rounding && v <= Rounding ? [(t, 1), (-Quarter, -1), (u, 0), (v, -1)] : null;
    }

    // 8.11
    private static (double, int)[]? BackQuarters(double x, double y, double phi)
    {
        double xi = x + Math.Sin(phi), eta = y - 1 - Math.Cos(phi);
        (double rho, _) = Polar(xi, eta);
        if (rho < 2)
        {
            return null;
        }

        double u = 4 - Math.Sqrt((rho * rho) - 4);
        double t = Half(Math.Atan2(((4 - u) * xi) - (2 * eta), (-2 * xi) + ((u - 4) * eta))), v = Half(t - phi);
        return u <= Rounding && t >= -Rounding && v >= -Rounding ? [(t, 1), (-Quarter, -1), (u, 0), (-Quarter, 1), (v, -1)] : null;
    }

    // The first and the last arc of 8.7 and 8.8.
    private static (double First, double Last) Outer(double u, double v, double xi, double eta, double phi)
    {
        double delta = Half(u - v), a = Math.Sin(u) - Math.Sin(delta), b = Math.Cos(u) - Math.Cos(delta) - 1;
        double angle = Math.Atan2((eta * a) - (xi * b), (xi * a) + (eta * b));
        double first = Half((2 * (Math.Cos(delta) - Math.Cos(v) - Math.Cos(u))) + 3 < 0 ? angle + Math.PI : angle);
        return (first, Half(first - u + v - phi));
    }

    private static (double Radius, double Angle) Polar(double x, double y) => (Math.Sqrt((x * x) + (y * y)), Math.Atan2(y, x));

    // An angle within half a turn either way.
    private static double Half(double angle) => Math.IEEERemainder(angle, 2 * Math.PI);
}
