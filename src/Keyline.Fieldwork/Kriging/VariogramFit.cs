namespace Keyline.Fieldwork;

/// <summary>A variogram laid through measured classes.</summary>
/// <param name="Model">The model.</param>
/// <param name="SumOfSquares">Weighted sum of the squares of what it misses; less is nearer.</param>
/// <param name="IsAtLimit">Whether its range ran to the end of what the classes can tell, so that its sill was not seen.</param>
public sealed record FittedVariogram(VariogramModel Model, double SumOfSquares, bool IsAtLimit);

/// <summary>Lays variograms through measured classes by weighted least squares.</summary>
/// <remarks>
/// <para>Units: metres; the square of the value's unit. Promises: for each form the least of the weighted sum, with nugget and sill of zero or
/// more, found for every range in closed form and over the ranges by a scan and a golden section: no start is needed, and the same
/// classes give the same bits. A class weighs its pairs over the square of its distance.</para>
/// <para>Cost: some 400 passes over the classes a form. Source: weights N/h^2 as in E. J. Pebesma, Computers and Geosciences 30 (2004) 683-691;
/// least squares after N. A. C. Cressie, "Fitting variogram models by weighted least squares", Mathematical Geology 17 (1985) 563-586; the
/// search is computed here.</para>
/// </remarks>
public static class VariogramFit
{
    // Reach of a model, as a share of the first class's distance and of the last one's.
    private const double LeastReach = 0.5;
    private const double MostReach = 2.5;
    private const int ScanSteps = 240;

    /// <summary>The forms that are tried where none are named.</summary>
    public static IReadOnlyList<VariogramKind> Usual { get; } = [VariogramKind.Spherical, VariogramKind.Exponential, VariogramKind.Gaussian, VariogramKind.Linear];

    /// <summary>Fits each form.</summary>
    /// <param name="lags">The classes, at least three.</param>
    /// <param name="kinds">The forms; null for the usual four.</param>
    /// <returns>The nearest first. A form whose sill came to nothing is given as <see cref="VariogramKind.Nugget"/>.</returns>
    /// <exception cref="GroundDataException">Fewer than three classes.</exception>
    public static IReadOnlyList<FittedVariogram> All(IReadOnlyList<VariogramLag> lags, IReadOnlyList<VariogramKind>? kinds = null)
    {
        ArgumentNullException.ThrowIfNull(lags);
        VariogramLag[] used = [.. lags.Where(l => l.Pairs > 0 && l.Distance > 0)];
        return used.Length < 3
            ? throw new GroundDataException(FormattableString.Invariant($"The points give {used.Length} classes of distance: three or more are needed to lay a variogram; give more points."))
            : [.. (kinds ?? Usual).Select(k => One(used, k)).OrderBy(f => f.SumOfSquares)];
    }

    private static FittedVariogram One(VariogramLag[] lags, VariogramKind kind)
    {
        if (kind is VariogramKind.Linear or VariogramKind.Nugget)
        {
            (double nugget, double slope, double sum) = kind == VariogramKind.Linear ? Solve(lags, kind, 1) : Flat(lags);
            return new FittedVariogram(new VariogramModel(slope > 0 ? kind : VariogramKind.Nugget, nugget, slope, 0), sum, false);
        }

        double reach = new VariogramModel(kind, 0, 1, 1).Reach;
        double low = LeastReach * lags[0].Distance / reach, high = MostReach * lags[^1].Distance / reach;
        double step = Math.Pow(high / low, 1.0 / ScanSteps);
        int best = 0;
        double least = double.PositiveInfinity;
        for (int i = 0; i <= ScanSteps; i++)
        {
            double sum = Solve(lags, kind, low * Math.Pow(step, i)).Sum;
            if (sum < least)
            {
                (best, least) = (i, sum);
            }
        }

        double range = Golden(lags, kind, low * Math.Pow(step, Math.Max(best - 1, 0)), low * Math.Pow(step, Math.Min(best + 1, ScanSteps)));
        (double c0, double c1, double squares) = Solve(lags, kind, range);
        return c1 > 0
            ? new FittedVariogram(new VariogramModel(kind, c0, c1, range), squares, best >= ScanSteps - 1)
            : new FittedVariogram(new VariogramModel(VariogramKind.Nugget, c0, 0, 0), squares, false);
    }

    private static double Golden(VariogramLag[] lags, VariogramKind kind, double a, double b)
    {
        double ratio = (Math.Sqrt(5) - 1) / 2;
        double c = b - (ratio * (b - a)), d = a + (ratio * (b - a));
        (double fc, double fd) = (Solve(lags, kind, c).Sum, Solve(lags, kind, d).Sum);
        for (int i = 0; i < 90 && b - a > 1e-11 * b; i++)
        {
            if (fc < fd)
            {
                (b, d, fd) = (d, c, fc);
                c = b - (ratio * (b - a));
                fc = Solve(lags, kind, c).Sum;
            }
            else
            {
                (a, c, fc) = (c, d, fd);
                d = a + (ratio * (b - a));
                fd = Solve(lags, kind, d).Sum;
            }
        }

        return (a + b) / 2;
    }

    // The best nugget and sill of a range, both zero or more.
    private static (double Nugget, double Sill, double Sum) Solve(VariogramLag[] lags, VariogramKind kind, double range)
    {
        double w = 0, ws = 0, wss = 0, wg = 0, wsg = 0;
        foreach (VariogramLag lag in lags)
        {
            double weight = Weight(lag), share = VariogramModel.Share(kind, range, lag.Distance);
            w += weight;
            ws += weight * share;
            wss += weight * share * share;
            wg += weight * lag.Semivariance;
            wsg += weight * share * lag.Semivariance;
        }

        double determinant = (w * wss) - (ws * ws);
        if (determinant > 1e-12 * w * wss)
        {
            double nugget = ((wg * wss) - (wsg * ws)) / determinant, sill = ((w * wsg) - (ws * wg)) / determinant;
            if (nugget >= 0 && sill >= 0)
            {
                return (nugget, sill, Misses(lags, kind, range, nugget, sill));
            }
        }

        (double n, _, double flat) = Flat(lags);
        double alone = wss > 0 ? Math.Max(wsg / wss, 0) : 0, rising = Misses(lags, kind, range, 0, alone);
        return rising < flat ? (0, alone, rising) : (n, 0, flat);
    }

    private static (double Nugget, double Sill, double Sum) Flat(VariogramLag[] lags)
    {
        double nugget = lags.Sum(l => Weight(l) * l.Semivariance) / lags.Sum(Weight);
        return (nugget, 0, Misses(lags, VariogramKind.Nugget, 0, nugget, 0));
    }

    private static double Misses(VariogramLag[] lags, VariogramKind kind, double range, double nugget, double sill)
    {
        double sum = 0;
        foreach (VariogramLag lag in lags)
        {
            double miss = lag.Semivariance - nugget - (sill * VariogramModel.Share(kind, range, lag.Distance));
            sum += Weight(lag) * miss * miss;
        }

        return sum;
    }

    private static double Weight(VariogramLag lag) => lag.Pairs / (lag.Distance * lag.Distance);
}
