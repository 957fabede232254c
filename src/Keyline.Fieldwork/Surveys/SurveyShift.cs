using Keyline.Elevation;
using MathNet.Numerics.Statistics;

namespace Keyline.Fieldwork;

/// <summary>How a second survey lies on a first: a displacement of all its heights in common.</summary>
/// <remarks>
/// <para>Units: metres. Promises: the same on any machine of a kind; places that changed have little say, as what lies three robust spreads off is left out.</para>
/// <para>Cost: linear, of at most 300,000 cells evenly taken. Source: a shift shows in differences as slope along its way, C. Nuth and A. Kääb 2011, The Cryosphere 5, 271-290,
/// section 3.1, here as a linear fit to both slopes; spread as the median absolute deviation times 1.4826, J. Höhle and M. Höhle 2009, ISPRS Journal 64, 398-406.</para>
/// </remarks>
/// <param name="East">How far east the second lies of the first; 0 where the ground cannot tell.</param>
/// <param name="North">How far north.</param>
/// <param name="Up">How far above.</param>
/// <param name="IsLevelOnly">Whether the ground is too even, or the differences too rough, to tell a shift sideways.</param>
public sealed record SurveyShift(double East, double North, double Up, bool IsLevelOnly)
{
    internal const double NormalSpread = 1.482602218505602;

    // Slopes that spread by less than this tell no shift sideways: a judgement.
    private const double LeastSlopeSpread = 0.005;
    private const int MostCells = 300_000;
    private const int Rounds = 8;
    private const int Fits = 6;
    private const double Outlier = 3;

    /// <summary>How far sideways.</summary>
    public double Sideways => Math.Sqrt((East * East) + (North * North));

    /// <summary>Finds it.</summary>
    /// <param name="before">The first survey.</param>
    /// <param name="after">The second, on any frame.</param>
    /// <param name="stable">Cells of the first that did not change.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    internal static SurveyShift Find(ElevationGrid before, ElevationGrid after, bool[] stable, CancellationToken cancellationToken)
    {
        GridFrame f = before.Frame;
        List<(double X, double Y, double Height, double SlopeX, double SlopeY)> cells = [];
        int stride = (int)Math.Ceiling(Math.Max(1.0, stable.Count(s => s) / (double)MostCells));
        for (int row = 1, seen = 0; row < f.Rows - 1; row++)
        {
            for (int column = 1; column < f.Columns - 1; column++)
            {
                if (stable[(row * f.Columns) + column] && seen++ % stride == 0)
                {
                    double x = (before[row, column + 1] - (double)before[row, column - 1]) / (2 * f.CellSize), y = (before[row - 1, column] - (double)before[row + 1, column]) / (2 * f.CellSize);
                    if (double.IsFinite(x + y + before[row, column]))
                    {
                        cells.Add((f.CentreX(column), f.CentreY(row), before[row, column], x, y));
                    }
                }
            }
        }

        // What the scatter of heights alone makes of slopes, squared.
        double scatter = HeightNoise.Estimate(before, cancellationToken), told = double.IsNaN(scatter) ? 0 : scatter * scatter / (2 * f.CellArea);
        SurveyShift shift = new(0, 0, 0, false);
        for (int round = 0; round < Rounds; round++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            SurveyShift more = Step([.. cells.Select(c => (c.SlopeX, c.SlopeY, after.HeightAt(c.X + shift.East, c.Y + shift.North) - shift.Up - c.Height)).Where(c => double.IsFinite(c.Item3))], f.CellSize, told);
            if (more.IsLevelOnly)
            {
                return round == 0 ? more : shift;
            }

            shift = new SurveyShift(shift.East + more.East, shift.North + more.North, shift.Up + more.Up, false);
            if (more.Sideways < 0.002 * f.CellSize)
            {
                break;
            }
        }

        return shift;
    }

    // Differences are up, less each slope times the way: by least squares, without what lies far off.
    private static SurveyShift Step((double SlopeX, double SlopeY, double Difference)[] cells, double cellSize, double scatter)
    {
        if (cells.Length == 0)
        {
            return new SurveyShift(0, 0, 0, true);
        }

        double up = Middle([.. cells.Select(c => c.Difference)]), east = 0, north = 0;
        for (int fit = 0; fit < Fits; fit++)
        {
            double spread = Outlier * NormalSpread * Middle([.. cells.Select(c => Math.Abs(Left(c)))]);
            (double SlopeX, double SlopeY, double Difference)[] kept = [.. cells.Where(c => Math.Abs(Left(c)) <= spread)];
            double n = kept.Length, mx = kept.Average(c => c.SlopeX), my = kept.Average(c => c.SlopeY), md = kept.Average(c => c.Difference);
            double xx = 0, xy = 0, yy = 0, xd = 0, yd = 0;
            foreach ((double sx, double sy, double d) in kept)
            {
                (double x, double y) = (sx - mx, sy - my);
                (xx, xy, yy, xd, yd) = (xx + (x * x), xy + (x * y), yy + (y * y), xd + (x * (d - md)), yd + (y * (d - md)));
            }

            double least = ((((xx + yy) / 2) - Math.Sqrt(((xx - yy) * (xx - yy) / 4) + (xy * xy))) / n) - scatter, determinant = (xx * yy) - (xy * xy);
            if (!(Math.Sqrt(Math.Max(least, 0)) > LeastSlopeSpread) || spread / Outlier / Math.Sqrt(n * least) > 0.2 * cellSize)
            {
                return new SurveyShift(0, 0, Middle([.. cells.Select(c => c.Difference)]), true);
            }

            (east, north) = (-((xd * yy) - (yd * xy)) / determinant, -((yd * xx) - (xd * xy)) / determinant);
            up = md + (east * mx) + (north * my);
        }

        return new SurveyShift(east, north, up, false);

        double Left((double SlopeX, double SlopeY, double Difference) c) => c.Difference - up + (east * c.SlopeX) + (north * c.SlopeY);
    }

    internal static double Middle(double[] values)
    {
        Array.Sort(values);
        return values.Length == 0 ? double.NaN : SortedArrayStatistics.Median(values);
    }
}
