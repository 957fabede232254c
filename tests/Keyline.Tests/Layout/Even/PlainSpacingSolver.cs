using Keyline.Layout.Even;

namespace Keyline.Tests.Layout.Even;

/// <summary>The plain twin of <see cref="SpacingSolver"/>: the same steps in double precision, one node after the other, everything scattered.</summary>
internal static class PlainSpacingSolver
{
    public static void Solve(SpacingProblem p, double[] east, double[] south, int steps)
    {
        int n = east.Length;
        double norm = 8 * p.Step * p.Step;
        const double Dual = 0.5;
        double primal = 1 / ((((8 * p.Bend) + p.Pull.Max()) / 2) + (1.5 * Dual * norm));
        double[] y = new double[n];
        double[] along = new double[n];
        double[] across = new double[n];
        double[] overEast = new double[n];
        double[] overSouth = new double[n];
        for (int step = 0; step < steps; step++)
        {
            double[] ge = new double[n];
            double[] gs = new double[n];
            for (int i = 0; i < n; i++)
            {
                if (p.Domain[i])
                {
                    double side = p.Across[i] * across[i];
                    ge[i] += (p.Pull[i] * (east[i] - p.MiddleEast[i])) + (along[i] * p.MiddleEast[i]) - (side * p.MiddleSouth[i]);
                    gs[i] += (p.Pull[i] * (south[i] - p.MiddleSouth[i])) + (along[i] * p.MiddleSouth[i]) + (side * p.MiddleEast[i]);
                    if ((i + 1) % p.Columns != 0 && p.Domain[i + 1])
                    {
                        Bend(i, i + 1, p.Signs.East[i]);
                    }

                    if (i + p.Columns < n && p.Domain[i + p.Columns])
                    {
                        Bend(i, i + p.Columns, p.Signs.South[i]);
                    }
                }

                if (p.Ends[i] > 0)
                {
                    (int ne, int sw, int se, _) = p.Signs.Face(i);
                    double q = 0.5 * p.Step * y[i];
                    Corner(i, q, -q);
                    Corner(i + 1, ne * q, ne * q);
                    Corner(i + p.Columns, -sw * q, -sw * q);
                    Corner(i + p.Columns + 1, -se * q, se * q);
                }
            }

            for (int i = 0; i < n; i++)
            {
                (double e, double s) = (east[i] - (primal * ge[i]), south[i] - (primal * gs[i]));
                (overEast[i], overSouth[i]) = ((2 * e) - east[i], (2 * s) - south[i]);
                (east[i], south[i]) = (e, s);
            }

            for (int i = 0; i < n; i++)
            {
                if (p.Ends[i] > 0)
                {
                    y[i] = Math.Clamp(y[i] + (Dual * p.Circulation(overEast, overSouth, i)), -p.Ends[i], p.Ends[i]);
                }

                if (p.Weight[i] <= 0)
                {
                    continue;
                }

                double scale = p.Across[i];
                double sigma = 0.5 * Dual * norm / Math.Max(1, scale * scale);
                double x = (overEast[i] * p.MiddleEast[i]) + (overSouth[i] * p.MiddleSouth[i]) + (along[i] / sigma);
                double z = (scale * ((overSouth[i] * p.MiddleEast[i]) - (overEast[i] * p.MiddleSouth[i]))) + (across[i] / sigma);
                (double px, double pz) = WindowShape.Nearest(x, z, scale * p.Tangent[i], p.Least, p.Most);
                double distance = Math.Sqrt(((x - px) * (x - px)) + ((z - pz) * (z - pz)));
                double size = Math.Min(sigma * distance / (1 + (sigma * p.Huber / p.Weight[i])), p.Weight[i]);
                (along[i], across[i]) = distance > 0 ? (size * (x - px) / distance, size * (z - pz) / distance) : (0, 0);
            }

            void Bend(int i, int j, int sign)
            {
                ge[i] += p.Bend * (east[i] - (sign * east[j]));
                ge[j] += p.Bend * (east[j] - (sign * east[i]));
                gs[i] += p.Bend * (south[i] - (sign * south[j]));
                gs[j] += p.Bend * (south[j] - (sign * south[i]));
            }

            void Corner(int i, double e, double s)
            {
                ge[i] += e;
                gs[i] += s;
            }
        }
    }
}
