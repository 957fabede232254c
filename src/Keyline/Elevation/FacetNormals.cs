namespace Keyline.Elevation;

/// <summary>Which way the ground of every cell faces: its rise over one metre eastward and northward, NaN for missing.</summary>
internal sealed class FacetNormals
{
    // Cells of a wide window between two looks at the token.
    private const int CancellationStride = 64;

    private readonly GridFrame _frame;
    private readonly float[] _east;
    private readonly float[] _north;

    private FacetNormals(GridFrame frame, float[] east, float[] north) => (_frame, _east, _north) = (frame, east, north);

    /// <summary>The plane that fits a cell and its neighbours best, by least squares over those that have heights.</summary>
    public static FacetNormals Measure(ElevationGrid ground, CancellationToken cancellationToken)
    {
        GridFrame f = ground.Frame;
        float[] z = ground.Array;
        FacetNormals facets = new(f, new float[z.Length], new float[z.Length]);
        facets.ForEach((r, c, at) =>
        {
            if (float.IsNaN(z[at]))
            {
                (facets._east[at], facets._north[at]) = (float.NaN, float.NaN);
                return;
            }

            double n = 0, x = 0, y = 0, h = 0, xx = 0, xy = 0, yy = 0, xh = 0, yh = 0;
            for (int i = Math.Max(r - 1, 0); i <= Math.Min(r + 1, f.Rows - 1); i++)
            {
                for (int j = Math.Max(c - 1, 0); j <= Math.Min(c + 1, f.Columns - 1); j++)
                {
                    double dz = (double)z[(i * f.Columns) + j] - z[at];
                    if (!double.IsNaN(dz))
                    {
                        (int dx, int dy) = (j - c, r - i);
                        n++;
                        x += dx;
                        y += dy;
                        h += dz;
                        xx += dx * dx;
                        xy += dx * dy;
                        yy += dy * dy;
                        xh += dx * dz;
                        yh += dy * dz;
                    }
                }
            }

            xx -= x * x / n;
            xy -= x * y / n;
            yy -= y * y / n;
            xh -= x * h / n;
            yh -= y * h / n;
            double determinant = (xx * yy) - (xy * xy);

            // Cells all in one line tell the slope along it only; across it the ground is taken to be level.
            (double p, double q) = determinant > 1e-9
                ? (((xh * yy) - (yh * xy)) / determinant, ((yh * xx) - (xh * xy)) / determinant)
                : xx + yy > 1e-9 ? (xh / (xx + yy), yh / (xx + yy)) : (0, 0);
            (facets._east[at], facets._north[at]) = ((float)(p / f.CellSize), (float)(q / f.CellSize));
        }, cancellationToken);
        return facets;
    }

    /// <summary>Averages the normals of a window; the more two differ, the less they mix, and from the threshold on not at all.</summary>
    public FacetNormals Smooth(int half, double threshold, CancellationToken cancellationToken)
    {
        float least = (float)Math.Cos(threshold * Math.PI / 180);
        FacetNormals smooth = new(_frame, new float[_east.Length], new float[_east.Length]);
        ForEach((r, c, at) =>
        {
            (float p, float q) = (_east[at], _north[at]);
            float own = 1 / MathF.Sqrt(1 + (p * p) + (q * q));
            double nx = 0;
            double ny = 0;
            double nz = 0;
            for (int i = Math.Max(r - half, 0); i <= Math.Min(r + half, _frame.Rows - 1); i++)
            {
                int end = (i * _frame.Columns) + Math.Min(c + half, _frame.Columns - 1);
                for (int k = (i * _frame.Columns) + Math.Max(c - half, 0); k <= end; k++)
                {
                    (float e, float n) = (_east[k], _north[k]);
                    float length = 1 / MathF.Sqrt(1 + (e * e) + (n * n));
                    float alike = ((1 + (p * e) + (q * n)) * own * length) - least;
                    if (alike > 0)
                    {
                        float weight = alike * alike * length;
                        nx += weight * e;
                        ny += weight * n;
                        nz += weight;
                    }
                }
            }

            (smooth._east[at], smooth._north[at]) = nz > 0 ? ((float)(nx / nz), (float)(ny / nz)) : (p, q);
        }, cancellationToken);
        return smooth;
    }

    /// <summary>Moves each height to where the faces of its neighbours, run on to it, would have it.</summary>
    public float[] Fit(ElevationGrid ground, float[] from, double threshold, double most, CancellationToken cancellationToken)
    {
        float least = (float)Math.Cos(threshold * Math.PI / 180);
        float cell = (float)_frame.CellSize;
        float[] to = new float[from.Length];
        ForEach((r, c, at) =>
        {
            float z = from[at];
            (float p, float q) = (_east[at], _north[at]);
            float own = 1 / MathF.Sqrt(1 + (p * p) + (q * q));
            double sum = 0;
            double weights = 0;
            for (int i = Math.Max(r - 1, 0); i <= Math.Min(r + 1, _frame.Rows - 1); i++)
            {
                for (int j = Math.Max(c - 1, 0); j <= Math.Min(c + 1, _frame.Columns - 1); j++)
                {
                    int k = (i * _frame.Columns) + j;
                    (float e, float n) = (_east[k], _north[k]);
                    float alike = ((1 + (p * e) + (q * n)) * own / MathF.Sqrt(1 + (e * e) + (n * n))) - least;
                    if (alike > 0 && k != at)
                    {
                        // From the neighbour to this cell: east by c - j, north by i - r.
                        double dz = ((double)from[k] - z) + (((e * (c - j)) + (n * (i - r))) * cell);
                        weights += alike * alike;
                        sum += alike * alike * dz;
                    }
                }
            }

            double height = weights > 0 ? z + (sum / weights) : z;
            double original = ground.Array[at];
            to[at] = float.IsNaN(z) ? float.NaN : (float)Math.Clamp(height, original - most, original + most);
        }, cancellationToken);
        return to;
    }

    private void ForEach(Action<int, int, int> work, CancellationToken cancellationToken) =>
        Parallel.For(0, _frame.Rows, WorkThreads.Options(cancellationToken), r =>
        {
            for (int c = 0; c < _frame.Columns; c++)
            {
                if (c % CancellationStride == 0)
                {
                    cancellationToken.ThrowIfCancellationRequested();
                }

                work(r, c, (r * _frame.Columns) + c);
            }
        });
}
