using Keyline.Elevation;

namespace Keyline.Tests.Elevation;

/// <summary>The local plane under a Gaussian bell, cell by cell and window by window: slow, and plain to read.</summary>
internal static class PlainGaussianSmoothing
{
    public static double[] Apply(ElevationGrid ground, double deviation)
    {
        GridFrame f = ground.Frame;
        double s = deviation / f.CellSize;
        int reach = (int)Math.Ceiling(3.5 * s);
        double[] result = new double[f.Rows * f.Columns];
        for (int r = 0; r < f.Rows; r++)
        {
            for (int c = 0; c < f.Columns; c++)
            {
                double n = 0, x = 0, y = 0, xx = 0, xy = 0, yy = 0, z = 0, zx = 0, zy = 0;
                for (int i = -reach; i <= reach; i++)
                {
                    for (int j = -reach; j <= reach; j++)
                    {
                        if (f.Contains(r + i, c + j) && !float.IsNaN(ground[r + i, c + j]))
                        {
                            double w = Math.Exp(-0.5 * ((i * i) + (j * j)) / (s * s)), h = ground[r + i, c + j];
                            n += w;
                            x += w * j;
                            y += w * i;
                            xx += w * j * j;
                            xy += w * i * j;
                            yy += w * i * i;
                            z += w * h;
                            zx += w * j * h;
                            zy += w * i * h;
                        }
                    }
                }

                double mx = x / n, my = y / n, sxx = (xx / n) - (mx * mx), sxy = (xy / n) - (mx * my), syy = (yy / n) - (my * my), mean = z / n;
                double det = (sxx * syy) - (sxy * sxy), szx = (zx / n) - (mx * mean), szy = (zy / n) - (my * mean);
                bool tips = det > 1e-3 * Math.Max(sxx * syy, 1e-3);
                double plane = tips ? mean - ((((szx * syy) - (szy * sxy)) * mx) / det) - ((((szy * sxx) - (szx * sxy)) * my) / det) : mean;
                result[(r * f.Columns) + c] = float.IsNaN(ground[r, c]) ? double.NaN : plane;
            }
        }

        return result;
    }
}
