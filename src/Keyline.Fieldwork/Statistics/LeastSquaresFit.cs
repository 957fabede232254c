using MathNet.Numerics;

namespace Keyline.Fieldwork;

/// <summary>A row of an analysis of variance.</summary>
/// <param name="Term">The term.</param>
/// <param name="SumOfSquares">What it takes off the sum of squares after the terms before it.</param>
/// <param name="Freedom">Its degrees of freedom.</param>
/// <param name="F">Mean square over that of the residuals.</param>
/// <param name="P">Chance of an F as large.</param>
public sealed record VarianceRow(string Term, double SumOfSquares, int Freedom, double F, double P);

/// <summary>A linear model fitted by least squares, with the analysis of variance in the order of its terms.</summary>
/// <remarks>
/// <para>Units: those of the values. Promises: columns that follow from those before them are left out and counted nowhere.</para>
/// <para>Cost: observations times columns squared. Source: Gram and Schmidt's way, done twice (Björck 1994, section 6); sequential sums of squares as in Fisher 1925.</para>
/// </remarks>
public sealed class LeastSquaresFit
{
    private const double Dependent = 1e-9;

    private LeastSquaresFit(IReadOnlyList<VarianceRow> rows, double residual, int freedom, IReadOnlyDictionary<string, Estimate> estimates) =>
        (Rows, ResidualSum, ResidualFreedom, Estimates) = (rows, residual, freedom, estimates);

    /// <summary>The terms after the constant, in order.</summary>
    public IReadOnlyList<VarianceRow> Rows { get; }

    /// <summary>Sum of squares of the residuals.</summary>
    public double ResidualSum { get; }

    /// <summary>Their degrees of freedom.</summary>
    public int ResidualFreedom { get; }

    /// <summary>The estimate of each column kept.</summary>
    public IReadOnlyDictionary<string, Estimate> Estimates { get; }

    /// <summary>Fits a model; the constant is added before the terms.</summary>
    /// <param name="values">What was measured.</param>
    /// <param name="terms">The terms, in order.</param>
    public static LeastSquaresFit Of(IReadOnlyList<double> values, params IReadOnlyList<ModelTerm> terms)
    {
        ArgumentNullException.ThrowIfNull(values);
        ArgumentNullException.ThrowIfNull(terms);
        int n = values.Count;
        double[] observed = [.. values], residuals = [.. values];
        List<double[]> basis = [], triangle = [];
        List<string> names = [];
        List<double> effects = [];
        List<(string Term, double Sum, int Freedom)> sums = [];
        foreach (ModelTerm term in (ModelTerm[])[ModelTerm.Constant(n), .. terms])
        {
            double sum = 0;
            int freedom = 0;
            for (int c = 0; c < term.Columns.Count; c++)
            {
                double[] v = [.. term.Columns[c]];
                double size = Norm(v);
                double[] row = new double[basis.Count + 1];
                for (int pass = 0; pass < 2; pass++)
                {
                    for (int k = 0; k < basis.Count; k++)
                    {
                        double along = Dot(basis[k], v);
                        row[k] += along;
                        for (int i = 0; i < n; i++)
                        {
                            v[i] -= along * basis[k][i];
                        }
                    }
                }

                double left = Norm(v);
                if (left <= Dependent * Math.Max(size, 1e-300))
                {
                    continue;
                }

                row[^1] = left;
                for (int i = 0; i < n; i++)
                {
                    v[i] /= left;
                }

                basis.Add(v);
                triangle.Add(row);
                names.Add(term.ColumnNames[c]);
                effects.Add(Dot(v, observed));
                sum += effects[^1] * effects[^1];
                freedom++;
            }

            sums.Add((term.Name, sum, freedom));
        }

        for (int k = 0; k < basis.Count; k++)
        {
            for (int i = 0; i < n; i++)
            {
                residuals[i] -= effects[k] * basis[k][i];
            }
        }

        double residual = Dot(residuals, residuals);
        int left2 = n - basis.Count;
        VarianceRow[] rows = [.. sums.Skip(1).Select(s =>
        {
            double f = left2 > 0 && s.Freedom > 0 ? s.Sum / s.Freedom / (residual / left2) : double.NaN;
            return new VarianceRow(s.Term, s.Sum, s.Freedom, f, double.IsNaN(f) ? double.NaN : SpecialFunctions.BetaRegularized(left2 / 2.0, s.Freedom / 2.0, left2 / (left2 + (s.Freedom * f))));
        })];
        return new LeastSquaresFit(rows, residual, left2, Estimated(triangle, effects, names, left2 > 0 ? residual / left2 : double.NaN, left2));
    }

    // Row k of the triangle holds what column k owes to those before it; its inverse gives estimates and variances.
    private static Dictionary<string, Estimate> Estimated(List<double[]> triangle, List<double> effects, List<string> names, double variance, int freedom)
    {
        int p = triangle.Count;
        Dictionary<string, Estimate> result = [];
        for (int j = 0; j < p; j++)
        {
            // Row j of the inverse of the upper triangle whose column k is triangle[k].
            double[] inverse = new double[p];
            inverse[j] = 1 / triangle[j][j];
            for (int k = j + 1; k < p; k++)
            {
                double sum = 0;
                for (int l = j; l < k; l++)
                {
                    sum += inverse[l] * triangle[k][l];
                }

                inverse[k] = -sum / triangle[k][k];
            }

            result[names[j]] = new Estimate(inverse.Zip(effects, (a, b) => a * b).Sum(), Math.Sqrt(variance * inverse.Sum(v => v * v)), freedom);
        }

        return result;
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

    private static double Norm(double[] v) => Math.Sqrt(Dot(v, v));
}
