using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>A fitted line.</summary>
/// <param name="Points">One point for each cell.</param>
/// <param name="Begin">Index of the first point that lies on the floor or crest: until then a line that came from the side is only
/// on its way there.</param>
internal readonly record struct FittedLine(Coordinate[] Points, int Begin);

/// <summary>Turns a chain of cells into a smooth line on the valley floor or crest.</summary>
/// <remarks>
/// <para>Units: metres. Missing: where the ground beside the line is missing, the line is smoothed only.</para>
/// <para>Promises: one point for each cell, the two ends where they were told to be; exact on straight and evenly bent troughs
/// whose cross-section is symmetric, wherever in the trough the cells lay; no point moves by more than a cell a round.</para>
/// <para>Cost: O(points) a round, twelve rounds at most.</para>
/// <para>Source: own. A floor is a fall line: with d the shift across the line, g the rise across it, c the bend across it and f
/// the fall along it, a line moved by d runs down the fall where c d + f d' + g = 0. Fall lines beside the floor obey this too
/// and leave it only upstream, so of all of them the one that bends least is taken: least squares of this and of the line's own
/// bend, after the active contours of Kass, Witkin and Terzopoulos 1988, Int. J. Computer Vision 1(4), 321-331.</para>
/// </remarks>
internal static class LineFitting
{
    /// <summary>Bends tighter than this are taken out of the chain of cells before it is fitted, metres.</summary>
    private const double SmoothingLength = 8;

    /// <summary>Waves of the line shorter than about six times this are taken for roughness, metres.</summary>
    private const double BendLength = 6;

    /// <summary>Bend across the line at which the ground has as much say as the line's smoothness, 1/m: 6 cm over 25 m.</summary>
    private const double FaintBend = 2e-4;

    /// <summary>Weight of staying in place against that of the ground; settles what neither ground nor smoothness does.</summary>
    private const double Stay = 1e-3;

    private const int Rounds = 10;
    private const int RoundsAfter = 2;
    private const double Settled = 0.01;

    /// <summary>Fits a line.</summary>
    /// <param name="ground">The ground on whose floor the line shall lie, as fine as there is.</param>
    /// <param name="cells">Cells of the working frame, in order.</param>
    /// <param name="frame">The working frame.</param>
    /// <param name="sign">1 to look for a floor, -1 for a crest.</param>
    /// <param name="first">Where the line begins, or null for the first cell.</param>
    /// <param name="last">Where the line ends, or null for the last cell.</param>
    public static FittedLine Fit(ElevationGrid ground, IReadOnlyList<int> cells, GridFrame frame, int sign, Coordinate? first, Coordinate? last)
    {
        int n = cells.Count;
        double[] x = new double[n];
        double[] y = new double[n];
        for (int i = 0; i < n; i++)
        {
            x[i] = frame.CentreX(cells[i] % frame.Columns);
            y[i] = frame.CentreY(cells[i] / frame.Columns);
        }

        Pin(x, y, 0, first);
        Pin(x, y, n - 1, last);
        int times = (int)Math.Clamp(2 * SmoothingLength * SmoothingLength / frame.CellArea, 4, 60);
        Smooth(x, times);
        Smooth(y, times);
        Settle(ground, x, y, frame.CellSize, sign, Rounds, first is null, last is null);
        int begin = first is null ? Beginning(ground, x, y, frame.CellSize, sign) : 0;
        if (begin > 0)
        {
            // What came from the side has bent the rest.
            Settle(ground, x.AsSpan(begin), y.AsSpan(begin), frame.CellSize, sign, RoundsAfter, true, last is null);
        }

        Coordinate[] points = new Coordinate[n];
        for (int i = 0; i < n; i++)
        {
            points[i] = new CoordinateZ(x[i], y[i], ground.HeightAt(x[i], y[i]));
        }

        return new FittedLine(points, begin);
    }

    private static void Settle(ElevationGrid ground, Span<double> x, Span<double> y, double cell, int sign, int rounds, bool freeStart, bool freeEnd)
    {
        double furthest = x.Length > 3 ? double.PositiveInfinity : 0;
        for (int k = 0; k < rounds && furthest > Settled; k++)
        {
            furthest = Move(ground, x, y, cell, sign, freeStart, freeEnd);
        }
    }

    // Index of the first point that lies on the floor.
    private static int Beginning(ElevationGrid ground, double[] x, double[] y, double cell, int sign)
    {
        for (int i = 0; i < x.Length / 2; i++)
        {
            if (!(FromFloor(ground, x[i], y[i], cell, sign) > cell))
            {
                return i;
            }
        }

        return 0;
    }

    // How far the floor lies from a place along the way the ground bends most there (the height ridge of Eberly, Gardner, Morse,
    // Pizer and Scharlach 1994, J. Math. Imaging Vision 4, 353-373); 0 where it does not bend up, NaN where a height is missing.
    private static double FromFloor(ElevationGrid ground, double px, double py, double cell, int sign)
    {
        double z(int east, int north) => sign * ground.HeightAt(px + (east * cell), py + (north * cell));
        double nw = z(-1, 1), n = z(0, 1), ne = z(1, 1), w = z(-1, 0), m = z(0, 0), e = z(1, 0), sw = z(-1, -1), s = z(0, -1), se = z(1, -1);
        double x = (ne + e + se - nw - w - sw) / (6 * cell), y = (nw + n + ne - sw - s - se) / (6 * cell), square = cell * cell;
        double xx = (nw + ne + w + e + sw + se - (2 * (n + m + s))) / (3 * square), yy = (nw + n + ne + sw + s + se - (2 * (w + m + e))) / (3 * square);
        double xy = (ne + sw - nw - se) / (4 * square), half = Math.Sqrt(((xx - yy) * (xx - yy) / 4) + (xy * xy)), most = ((xx + yy) / 2) + half;
        double angle = 0.5 * Math.Atan2(2 * xy, xx - yy);
        return most > FaintBend ? Math.Abs((x * Math.Cos(angle)) + (y * Math.Sin(angle))) / most : 0;
    }

    private static void Pin(double[] x, double[] y, int at, Coordinate? place)
    {
        if (place is not null)
        {
            x[at] = place.X;
            y[at] = place.Y;
        }
    }

    /// <summary>Moves every point across the line once; returns how far the furthest went.</summary>
    private static double Move(ElevationGrid ground, Span<double> x, Span<double> y, double cell, int sign, bool freeStart, bool freeEnd)
    {
        int n = x.Length;
        double[] nx = new double[n], ny = new double[n], across = new double[n], bend = new double[n], z = new double[n];
        for (int i = 0; i < n; i++)
        {
            int a = Math.Max(0, i - 2), b = Math.Min(n - 1, i + 2);
            double dx = x[b] - x[a], dy = y[b] - y[a], length = Math.Sqrt((dx * dx) + (dy * dy));
            (nx[i], ny[i]) = length > 0 ? (-dy / length, dx / length) : (0, 0);
            (across[i], bend[i]) = CrossSection(ground, x[i], y[i], nx[i], ny[i], cell, sign);
            z[i] = sign * ground.HeightAt(x[i], y[i]);
        }

        BandedLeastSquares equations = new(n);
        for (int i = 0; i < n; i++)
        {
            equations.Add(i, [!freeStart && i == 0 ? 1e6 : !freeEnd && i == n - 1 ? 1e6 : Stay], 0);
        }

        for (int i = 0; i < n - 1; i++)
        {
            double step = Distance(x, y, i, i + 1);
            int a = Math.Max(0, i - 1), b = Math.Min(n - 1, i + 2);
            double fall = (z[a] - z[b]) / Math.Max(Distance(x, y, a, b), 1e-9), c = (bend[i] + bend[i + 1]) / 2, g = (across[i] + across[i + 1]) / 2;
            if (step > 0 && double.IsFinite(fall + c + g))
            {
                double weight = 1 / (Math.Max(c, 0) + FaintBend), along = Math.Max(fall, 0) / step, half = Math.Max(c, 0) / 2;
                equations.Add(i, [weight * (half - along), weight * (half + along)], -weight * g);
            }
        }

        for (int i = 1; i < n - 1; i++)
        {
            double h = Distance(x, y, i - 1, i + 1) / 2;
            double stiff = h > 0 ? BendLength * BendLength / (h * h) : 0;
            double own = ((x[i + 1] - (2 * x[i]) + x[i - 1]) * nx[i]) + ((y[i + 1] - (2 * y[i]) + y[i - 1]) * ny[i]);
            equations.Add(i - 1, [stiff, -2 * stiff, stiff], -stiff * own);
        }

        double[] shift = equations.Solve();
        double furthest = 0;
        for (int i = freeStart ? 0 : 1; i < (freeEnd ? n : n - 1); i++)
        {
            double d = Math.Clamp(shift[i], -cell, cell);
            x[i] += d * nx[i];
            y[i] += d * ny[i];
            furthest = Math.Max(furthest, Math.Abs(d));
        }

        return furthest;
    }

    private static double Distance(ReadOnlySpan<double> x, ReadOnlySpan<double> y, int a, int b) =>
        Math.Sqrt(((x[b] - x[a]) * (x[b] - x[a])) + ((y[b] - y[a]) * (y[b] - y[a])));

    /// <summary>Rise across the line and its bend, from five heights; NaN where one is missing.</summary>
    private static (double Rise, double Bend) CrossSection(ElevationGrid ground, double x, double y, double nx, double ny, double cell, int sign)
    {
        // Least squares of a + b t + c t^2 at t = -2..2 cells: b = sum(t z)/10, c = sum((t^2 - 2) z)/14.
        double b = 0, c = 0;
        for (int t = -2; t <= 2; t++)
        {
            double z = sign * ground.HeightAt(x + (t * cell * nx), y + (t * cell * ny));
            b += t * z / 10;
            c += ((t * t) - 2) * z / 14;
        }

        return (b / cell, 2 * c / (cell * cell));
    }

    private static void Smooth(double[] values, int times)
    {
        for (int k = 0; k < times; k++)
        {
            double before = values[0];
            for (int i = 1; i < values.Length - 1; i++)
            {
                double here = values[i];
                values[i] = (before + (2 * here) + values[i + 1]) / 4;
                before = here;
            }
        }
    }
}
