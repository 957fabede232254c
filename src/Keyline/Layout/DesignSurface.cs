using Keyline.Elevation;

namespace Keyline.Layout;

/// <summary>The surface whose level lines are the guides: height plus the design fall times the distance walked from
/// valley toward ridge.</summary>
/// <remarks>
/// <para>Units: metres. Along a level line of this surface the ground falls toward the ridge by the design fall.</para>
/// <para>The distance L walked from the valley is the field whose change along the contour is as near as can be to +1
/// toward the ridge (least squares), with a light price on its change in any other direction. The call for a fall fades
/// out on valley floors and crests, where its sense turns, and on land so flat that the fall would rule where guides run.</para>
/// <para>Cost: a conjugate-gradient solve on cells of about 4 m; linear in cells times the square root of cells.</para>
/// <para>Source: ours. Graded contours: common practice, no source; conjugate gradients: Hestenes and Stiefel 1952.</para>
/// </remarks>
internal sealed class DesignSurface
{
    private const int Stride = 2;
    private const double FullPull = 0.0003;
    private const double FlatLand = 0.004;
    private const double Stiffness = 0.06;
    private const double MostOfLandSlope = 0.35;

    private DesignSurface(double[] levels, double[] towardRidge, double[] heightOfFall)
    {
        Levels = levels;
        Walked = towardRidge;
        Call = heightOfFall;
    }

    /// <summary>Height plus fall times distance walked, for each working cell.</summary>
    public double[] Levels { get; }

    /// <summary>Distance walked from the valley toward the ridge, metres, for each working cell.</summary>
    public double[] Walked { get; }

    /// <summary>How firmly a fall is called for, 0 to 1, for each working cell.</summary>
    public double[] Call { get; }

    /// <summary>Makes the surface.</summary>
    /// <param name="surface">The working window.</param>
    /// <param name="position">Landform position, 0 valley to 1 ridge, for each working cell, none missing.</param>
    /// <param name="fallPercent">Design fall, percent.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static DesignSurface Create(LayoutSurface surface, double[] position, double fallPercent, CancellationToken cancellationToken)
    {
        GridFrame fine = surface.Frame;
        double fall = fallPercent / 100;
        int rows = ((fine.Rows - 1) / Stride) + 2;
        int columns = ((fine.Columns - 1) / Stride) + 2;
        double cell = fine.CellSize * Stride;
        double[] heights = Thin(surface.Heights, fine, rows, columns);
        double[] place = Thin(position, fine, rows, columns);
        int quadColumns = columns - 1;
        double[] tx = new double[(rows - 1) * quadColumns];
        double[] ty = new double[tx.Length];
        double[] aim = new double[tx.Length];
        double[] weight = new double[tx.Length];
        for (int r = 0; r < rows - 1; r++)
        {
            for (int c = 0; c < quadColumns; c++)
            {
                int q = (r * quadColumns) + c;
                XY g = QuadGradient(heights, columns, r, c, cell);
                XY p = QuadGradient(place, columns, r, c, cell);
                double slope = g.Norm;
                XY along = slope > 0 ? g.Left * (1 / slope) : new XY(1, 0);
                double pull = along.Dot(p);
                double call = pull / Math.Sqrt((pull * pull) + (FullPull * FullPull));
                double fallHere = fall > 0 ? Math.Min(1, MostOfLandSlope * slope / fall) : Math.Min(1, slope / FlatLand);
                tx[q] = along.X;
                ty[q] = along.Y;
                aim[q] = call * fallHere;
                weight[q] = slope * slope / ((slope * slope) + (FlatLand * FlatLand));
            }
        }

        double[] coarse = Solve(tx, ty, aim, weight, rows, columns, cell, cancellationToken);
        double[] walked = new double[surface.Heights.Length];
        double[] levels = new double[walked.Length];
        double[] firmness = new double[walked.Length];
        for (int r = 0; r < fine.Rows; r++)
        {
            for (int c = 0; c < fine.Columns; c++)
            {
                int i = (r * fine.Columns) + c;
                int cr = r / Stride;
                int cc = c / Stride;
                double down = (double)(r % Stride) / Stride;
                double right = (double)(c % Stride) / Stride;
                int k = (cr * columns) + cc;
                double north = coarse[k] + (right * (coarse[k + 1] - coarse[k]));
                double south = coarse[k + columns] + (right * (coarse[k + columns + 1] - coarse[k + columns]));
                walked[i] = north + (down * (south - north));
                levels[i] = surface.Heights[i] + (fall * walked[i]);
                firmness[i] = Math.Abs(aim[(cr * quadColumns) + cc]);
            }
        }

        return new DesignSurface(levels, walked, firmness);
    }

    // Every Stride-th cell, so that coarse node (r, c) stands on fine cell (r * Stride, c * Stride); the last row and
    // column repeat the rim.
    private static double[] Thin(double[] values, GridFrame fine, int rows, int columns)
    {
        double[] result = new double[rows * columns];
        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < columns; c++)
            {
                result[(r * columns) + c] = values[(Math.Min(r * Stride, fine.Rows - 1) * fine.Columns) + Math.Min(c * Stride, fine.Columns - 1)];
            }
        }

        return result;
    }

    private static XY QuadGradient(double[] f, int columns, int r, int c, double cell)
    {
        double nw = f[(r * columns) + c];
        double ne = f[(r * columns) + c + 1];
        double sw = f[((r + 1) * columns) + c];
        double se = f[((r + 1) * columns) + c + 1];
        return new XY((ne + se - nw - sw) / (2 * cell), (nw + ne - sw - se) / (2 * cell));
    }

    // Minimises the sum over squares of w (t . grad L - aim)^2 + stiffness |grad L|^2 by conjugate gradients.
    private static double[] Solve(double[] tx, double[] ty, double[] aim, double[] weight, int rows, int columns, double cell, CancellationToken cancellationToken)
    {
        int n = rows * columns;
        double[] x = new double[n];
        double[] residual = new double[n];
        double[] diagonal = new double[n];
        int quadColumns = columns - 1;
        double k = 1 / (2 * cell);
        for (int r = 0; r < rows - 1; r++)
        {
            for (int c = 0; c < quadColumns; c++)
            {
                int q = (r * quadColumns) + c;
                int i = (r * columns) + c;
                double v = weight[q] * aim[q];
                Scatter(residual, i, columns, v * tx[q] * k, v * ty[q] * k);
                for (int corner = 0; corner < 4; corner++)
                {
                    double ex = (corner & 1) == 0 ? -k : k;
                    double ey = corner < 2 ? k : -k;
                    double along = (tx[q] * ex) + (ty[q] * ey);
                    int at = i + (corner & 1) + (corner < 2 ? 0 : columns);
                    diagonal[at] += (weight[q] * along * along) + (Stiffness * 2 * k * k);
                }
            }
        }

        double[] z = new double[n];
        double[] direction = new double[n];
        double[] product = new double[n];
        double rz = 0;
        for (int i = 0; i < n; i++)
        {
            z[i] = diagonal[i] > 0 ? residual[i] / diagonal[i] : 0;
            direction[i] = z[i];
            rz += residual[i] * z[i];
        }

        double stop = rz * 1e-6;
        int most = 4 * (rows + columns);
        for (int round = 0; round < most && rz > stop && rz > 0; round++)
        {
            if ((round & 15) == 0)
            {
                cancellationToken.ThrowIfCancellationRequested();
            }

            Multiply(direction, product, tx, ty, weight, rows, columns, k);
            double step = rz / Dot(direction, product);
            for (int i = 0; i < n; i++)
            {
                x[i] += step * direction[i];
                residual[i] -= step * product[i];
                z[i] = diagonal[i] > 0 ? residual[i] / diagonal[i] : 0;
            }

            double next = Dot(residual, z);
            double keep = next / rz;
            rz = next;
            for (int i = 0; i < n; i++)
            {
                direction[i] = z[i] + (keep * direction[i]);
            }
        }

        return x;
    }

    private static void Multiply(double[] x, double[] result, double[] tx, double[] ty, double[] weight, int rows, int columns, double k)
    {
        Array.Clear(result);
        int quadColumns = columns - 1;
        for (int r = 0; r < rows - 1; r++)
        {
            for (int c = 0; c < quadColumns; c++)
            {
                int q = (r * quadColumns) + c;
                int i = (r * columns) + c;
                double nw = x[i];
                double ne = x[i + 1];
                double sw = x[i + columns];
                double se = x[i + columns + 1];
                double gx = (ne + se - nw - sw) * k;
                double gy = (nw + ne - sw - se) * k;
                double along = weight[q] * ((tx[q] * gx) + (ty[q] * gy));
                Scatter(result, i, columns, ((along * tx[q]) + (Stiffness * gx)) * k, ((along * ty[q]) + (Stiffness * gy)) * k);
            }
        }
    }

    private static void Scatter(double[] field, int i, int columns, double x, double y)
    {
        field[i] += y - x;
        field[i + 1] += x + y;
        field[i + columns] -= x + y;
        field[i + columns + 1] += x - y;
    }

    private static double Dot(double[] a, double[] b)
    {
        double sum = 0;
        for (int i = 0; i < a.Length; i++)
        {
            sum += a[i] * b[i];
        }

        return sum;
    }
}
