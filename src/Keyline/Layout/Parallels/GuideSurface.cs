using Keyline.Elevation;
using Keyline.Planar;

namespace Keyline.Layout.Parallels;

/// <summary>The surface whose level lines are the guides: height plus the design fall times the distance walked from
/// valley toward ridge.</summary>
/// <remarks>
/// <para>Units: metres. Along a level line of this surface the ground falls toward the ridge by the design fall.</para>
/// <para>The distance L walked from the valley is the field whose change along the contour is as near as can be to +1
/// toward the ridge (least squares), with a light price on its change in any other direction. The call for a fall fades
/// out on valley floors and crests, where its sense turns, and on land so flat that the fall would rule where guides run.</para>
/// <para>Cost: conjugate gradients on cells of about 16, 8 and 4 m, each started from the coarser one; linear in cells times a few
/// hundred rounds.</para>
/// <para>Source: ours. Graded contours: common practice, no source; conjugate gradients: Hestenes and Stiefel 1952.</para>
/// </remarks>
internal sealed class GuideSurface
{
    private const double FullPull = 0.0003;
    private const double FlatLand = 0.004;
    private const double Stiffness = 0.06;
    private const double MostOfLandSlope = 0.35;

    private static readonly int[] Strides = [8, 4, 2];

    public GuideSurface(double[] levels, double[] towardRidge)
    {
        Levels = levels;
        Walked = towardRidge;
    }

    /// <summary>Height plus fall times distance walked, for each working cell.</summary>
    public double[] Levels { get; }

    /// <summary>Distance walked from the valley toward the ridge, metres, for each working cell.</summary>
    public double[] Walked { get; }

    /// <summary>Makes the raster.</summary>
    /// <param name="raster">The working cells.</param>
    /// <param name="fallPercent">Design fall, percent.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static GuideSurface Create(LayoutRaster raster, double fallPercent, CancellationToken cancellationToken)
    {
        GridFrame fine = raster.Frame;
        double fall = fallPercent / 100;

        // Coarse solutions first: each is a good start for the next finer one.
        double[] coarse = [];
        int columns = 0;
        int last = 0;
        foreach (int stride in Strides)
        {
            int rows = ((fine.Rows - 1) / stride) + 2;
            int wider = ((fine.Columns - 1) / stride) + 2;
            double[] start = new double[rows * wider];
            if (last > 0)
            {
                for (int r = 0; r < rows; r++)
                {
                    for (int c = 0; c < wider; c++)
                    {
                        start[(r * wider) + c] = Between(coarse, columns, (double)(r * stride) / last, (double)(c * stride) / last);
                    }
                }
            }

            coarse = Solve(Pulls(raster, fall, stride, rows, wider), rows, wider, fine.CellSize * stride, start, cancellationToken);
            (columns, last) = (wider, stride);
        }

        double[] walked = new double[raster.Heights.Length];
        double[] levels = new double[walked.Length];
        for (int r = 0; r < fine.Rows; r++)
        {
            for (int c = 0; c < fine.Columns; c++)
            {
                int i = (r * fine.Columns) + c;
                walked[i] = Between(coarse, columns, (double)r / last, (double)c / last);
                levels[i] = raster.Heights[i] + (fall * walked[i]);
            }
        }

        return new GuideSurface(levels, walked);
    }

    /// <summary>The cells of it that a window of its raster holds.</summary>
    public GuideSurface Window(LayoutRaster whole, LayoutRaster part) =>
        ReferenceEquals(whole, part) ? this : new GuideSurface(whole.Cut(Levels, part.Frame), whole.Cut(Walked, part.Frame));

    /// <summary>Guides that are level lines of another field.</summary>
    public static GuideSurface Of(double[] levels) => new(levels, new double[levels.Length]);

    private static double Between(double[] nodes, int columns, double row, double column)
    {
        int rows = nodes.Length / columns;
        int r = Math.Min((int)row, rows - 2);
        int c = Math.Min((int)column, columns - 2);
        double down = Math.Min(row - r, 1);
        double right = Math.Min(column - c, 1);
        int k = (r * columns) + c;
        double north = nodes[k] + (right * (nodes[k + 1] - nodes[k]));
        double south = nodes[k + columns] + (right * (nodes[k + columns + 1] - nodes[k + columns]));
        return north + (down * (south - north));
    }

    private static Field Pulls(LayoutRaster raster, double fall, int stride, int rows, int columns)
    {
        double cell = raster.Frame.CellSize * stride;
        double[] heights = Thin(raster.Heights, raster.Frame, stride, rows, columns);
        double[] place = Thin(raster.Position, raster.Frame, stride, rows, columns);
        int quadColumns = columns - 1;
        Field pulls = new((rows - 1) * quadColumns);
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
                pulls.X[q] = along.X;
                pulls.Y[q] = along.Y;
                pulls.Aim[q] = call * fallHere;
                pulls.Weight[q] = slope * slope / ((slope * slope) + (FlatLand * FlatLand));
            }
        }

        return pulls;
    }

    // Every stride-th cell, so that coarse node (r, c) stands on fine cell (r * stride, c * stride); the last row and
    // column repeat the rim.
    private static double[] Thin(double[] values, GridFrame fine, int stride, int rows, int columns)
    {
        double[] result = new double[rows * columns];
        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < columns; c++)
            {
                result[(r * columns) + c] = values[(Math.Min(r * stride, fine.Rows - 1) * fine.Columns) + Math.Min(c * stride, fine.Columns - 1)];
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
    private static double[] Solve(Field pulls, int rows, int columns, double cell, double[] start, CancellationToken cancellationToken)
    {
        (double[] tx, double[] ty, double[] aim, double[] weight) = (pulls.X, pulls.Y, pulls.Aim, pulls.Weight);
        int n = rows * columns;
        double[] x = start;
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
        double whole = 0;
        double rz = 0;
        Multiply(x, product, tx, ty, weight, rows, columns, k);
        for (int i = 0; i < n; i++)
        {
            whole += diagonal[i] > 0 ? residual[i] * residual[i] / diagonal[i] : 0;
            residual[i] -= product[i];
            z[i] = diagonal[i] > 0 ? residual[i] / diagonal[i] : 0;
            direction[i] = z[i];
            rz += residual[i] * z[i];
        }

        double stop = whole * 1e-6;
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

    /// <summary>On each square of the working cells: the contour's direction, the walk asked for along it, and how firmly.</summary>
    private sealed class Field(int squares)
    {
        public double[] X { get; } = new double[squares];

        public double[] Y { get; } = new double[squares];

        public double[] Aim { get; } = new double[squares];

        public double[] Weight { get; } = new double[squares];
    }
}
