using MathNet.Numerics.LinearAlgebra;
using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>The long profile of a valley floor: evenly spaced heights, and a smooth curve through them that the data chose.</summary>
/// <remarks>
/// <para>Units: metres. Missing: points of the line without height are left out.</para>
/// <para>Promises: <see cref="Falling"/> never rises downstream. Distances start at the first point of the line with a height.</para>
/// <para>Cost: O(n) for n points and O(k^3) for at most 28 spline pieces.</para>
/// <para>Source: penalised B-splines, Eilers and Marx 1996; roughness by generalised cross-validation, Craven and Wahba 1979,
/// with the guard factor 1.4 of Kim and Gu 2004; falling heights by pooling adjacent violators, Ayer et al. 1955.</para>
/// </remarks>
public sealed class ValleyProfile
{
    private const int MostPoints = 400;
    private const double FinestStep = 2.0;
    private const int MostPieces = 25;
    private const double GuardFactor = 1.4;

    private ValleyProfile(double[] distances, double[] sampled, double[] smoothed, double[] bend, double noise)
    {
        (Distances, Sampled, Smoothed, Bend, Noise) = (distances, sampled, smoothed, bend, noise);
        Monotone = Pool(smoothed);
    }

    /// <summary>Metres down the floor from the head, evenly spaced.</summary>
    public IReadOnlyList<double> Distance => Distances.AsReadOnly();

    /// <summary>Height of the floor as sampled, metres.</summary>
    public IReadOnlyList<double> Height => Sampled.AsReadOnly();

    /// <summary>Height of the smooth curve, metres.</summary>
    public IReadOnlyList<double> Curve => Smoothed.AsReadOnly();

    /// <summary>The nearest heights to the curve that never rise downstream, metres.</summary>
    public IReadOnlyList<double> Falling => Monotone.AsReadOnly();

    /// <summary>Standard deviation of the heights about the curve, metres, for the freedom the curve leaves them.</summary>
    public double Noise { get; }

    /// <summary>Metres between neighbouring points.</summary>
    public double Step => Distances[1] - Distances[0];

    internal double[] Distances { get; }

    internal double[] Sampled { get; }

    internal double[] Smoothed { get; }

    internal double[] Monotone { get; }

    /// <summary>Second derivative of the smooth curve, 1/m, positive where the floor flattens downstream (concave).</summary>
    internal double[] Bend { get; }

    /// <summary>The profile of a line's points up to a distance; null where fewer than eight places have heights.</summary>
    internal static ValleyProfile? Sample(Coordinate[] line, double cellSize, double upTo)
    {
        List<double> s = [];
        List<double> z = [];
        double walked = 0;
        for (int i = 0; i < line.Length; i++)
        {
            walked += i > 0 ? line[i].Distance(line[i - 1]) : 0;
            if (!double.IsNaN(line[i].Z) && (s.Count == 0 || walked > s[^1]) && walked <= upTo)
            {
                s.Add(walked);
                z.Add(line[i].Z);
            }
        }

        if (s.Count < 8)
        {
            return null;
        }

        int n = (int)Math.Clamp((s[^1] - s[0]) / Math.Max(cellSize, FinestStep), 12, MostPoints);
        double[] distance = new double[n];
        double[] height = new double[n];
        int at = 0;
        for (int i = 0; i < n; i++)
        {
            distance[i] = s[0] + ((s[^1] - s[0]) * i / (n - 1));
            while (at < s.Count - 2 && s[at + 1] < distance[i])
            {
                at++;
            }

            double t = (distance[i] - s[at]) / (s[at + 1] - s[at]);
            height[i] = z[at] + (t * (z[at + 1] - z[at]));
        }

        (double[] curve, double[] bend, double noise) = Spline(distance, height);
        return new ValleyProfile(distance, height, curve, bend, noise);
    }

    private static (double[] Curve, double[] Bend, double Noise) Spline(double[] s, double[] z)
    {
        int n = s.Length;
        int pieces = Math.Clamp(n / 4, 3, MostPieces);
        int k = pieces + 3;
        double width = (s[^1] - s[0]) / pieces;
        Matrix<double> basis = Matrix<double>.Build.Dense(n, k);
        Matrix<double> second = Matrix<double>.Build.Dense(n, k);
        for (int i = 0; i < n; i++)
        {
            double u = (s[i] - s[0]) / width;
            int piece = Math.Min((int)u, pieces - 1);
            u -= piece;
            double v = 1 - u;
            basis[i, piece] = v * v * v / 6;
            basis[i, piece + 1] = ((3 * u * u * u) - (6 * u * u) + 4) / 6;
            basis[i, piece + 2] = ((3 * v * v * v) - (6 * v * v) + 4) / 6;
            basis[i, piece + 3] = u * u * u / 6;
            second[i, piece] = v / (width * width);
            second[i, piece + 1] = ((3 * u) - 2) / (width * width);
            second[i, piece + 2] = ((3 * v) - 2) / (width * width);
            second[i, piece + 3] = u / (width * width);
        }

        Matrix<double> differences = Matrix<double>.Build.Dense(k - 2, k);
        for (int i = 0; i < k - 2; i++)
        {
            differences[i, i] = 1;
            differences[i, i + 1] = -2;
            differences[i, i + 2] = 1;
        }

        // With L L' = B'B and U diag(d) U' = L^-1 D'D L^-T every roughness costs only a sum over the d.
        Matrix<double> normal = basis.TransposeThisAndMultiply(basis);
        for (int i = 0; i < k; i++)
        {
            normal[i, i] += 1e-9;
        }

        double mean = z.Average();
        Vector<double> data = Vector<double>.Build.Dense(n, i => z[i] - mean);
        Matrix<double> lower = normal.Cholesky().Factor;
        Matrix<double> inverse = lower.Inverse();
        Matrix<double> penalty = inverse * differences.TransposeThisAndMultiply(differences) * inverse.Transpose();
        MathNet.Numerics.LinearAlgebra.Factorization.Evd<double> evd = penalty.Evd(Symmetricity.Symmetric);
        Vector<double> d = evd.EigenValues.Map(e => Math.Max(0, e.Real));
        Vector<double> loads = evd.EigenVectors.TransposeThisAndMultiply(inverse * basis.TransposeThisAndMultiply(data));
        double total = data.DotProduct(data);
        double best = double.PositiveInfinity;
        double roughness = 1, noise = 0;
        for (int i = 0; i <= 60; i++)
        {
            double lambda = Math.Pow(10, -4 + (i / 5.0));
            double free = 0;
            double residual = total;
            for (int j = 0; j < k; j++)
            {
                double h = 1 / (1 + (lambda * d[j]));
                free += h;
                residual -= loads[j] * loads[j] * h * (2 - h);
            }

            double left = n - (GuardFactor * free);
            double score = left > 0 ? n * Math.Max(residual, 1e-12 * n) / (left * left) : double.PositiveInfinity;
            if (score < best)
            {
                (best, roughness, noise) = (score, lambda, Math.Sqrt(Math.Max(0, residual) / Math.Max(1, n - free)));
            }
        }

        Vector<double> shrunk = Vector<double>.Build.Dense(k, j => loads[j] / (1 + (roughness * d[j])));
        Vector<double> weights = inverse.TransposeThisAndMultiply(evd.EigenVectors * shrunk);
        double[] curve = (basis * weights).ToArray();
        for (int i = 0; i < n; i++)
        {
            curve[i] += mean;
        }

        return (curve, (second * weights).ToArray(), noise);
    }

    private static double[] Pool(double[] values)
    {
        double[] level = new double[values.Length];
        int[] count = new int[values.Length];
        int blocks = 0;
        foreach (double v in values)
        {
            level[blocks] = v;
            count[blocks++] = 1;
            while (blocks > 1 && level[blocks - 1] > level[blocks - 2])
            {
                int together = count[blocks - 2] + count[blocks - 1];
                level[blocks - 2] = ((level[blocks - 2] * count[blocks - 2]) + (level[blocks - 1] * count[blocks - 1])) / together;
                count[blocks - 2] = together;
                blocks--;
            }
        }

        double[] falling = new double[values.Length];
        int at = 0;
        for (int b = 0; b < blocks; b++)
        {
            for (int i = 0; i < count[b]; i++)
            {
                falling[at++] = level[b];
            }
        }

        return falling;
    }
}
