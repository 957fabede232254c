using Keyline.Elevation;

namespace Keyline.Tests.Support;

/// <summary>A Gaussian random field with correlation exp(-(d / length)^2), drawn as a moving average of white noise.</summary>
/// <remarks>
/// <para>Units: metres. Promises: the same seed gives the same field; the standard deviation at cell centres is the one asked
/// for, and the correlation that of the formula to within the sampling of the bell (under 1 % at four cells a length).</para>
/// <para>Source: moving-average simulation, M. A. Oliver 1995, "Moving averages for Gaussian simulation in two and three
/// dimensions", Mathematical Geology 27; uniform numbers by SplitMix64, G. L. Steele, D. Lea and C. H. Flood 2014; normal ones by
/// G. E. P. Box and M. E. Muller 1958.</para>
/// <para>Cost: linear in cells times four times the cells a length.</para>
/// </remarks>
internal static class RandomField
{
    private const double Reach = 3.5;

    /// <summary>A seed for one trial of many: neighbouring trials share no stretch of the number sequence.</summary>
    public static ulong Seed(ulong seed, int trial)
    {
        // The state moves by one odd constant a draw, so seeds a multiple of it apart would give one sequence, shifted.
        ulong state = Mix(seed) ^ Mix(~(ulong)trial);
        return Mix(state);
    }

    public static double[] Draw(GridFrame frame, double correlationLength, double deviation, ulong seed)
    {
        // A bell of standard deviation s over white noise is correlated as exp(-d^2 / (4 s^2)).
        double bell = Math.Max(correlationLength / 2 / frame.CellSize, 1e-6);
        int reach = (int)Math.Ceiling(Reach * bell);
        double[] weight = new double[(2 * reach) + 1];
        double square = 0;
        for (int k = -reach; k <= reach; k++)
        {
            weight[k + reach] = Math.Exp(-0.5 * k * k / (bell * bell));
            square += weight[k + reach] * weight[k + reach];
        }

        int rows = frame.Rows + (2 * reach);
        int columns = frame.Columns + (2 * reach);
        double[] white = new double[rows * columns];
        Normal(white, seed);
        double[] across = new double[rows * frame.Columns];
        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < frame.Columns; c++)
            {
                double sum = 0;
                int at = (r * columns) + c;
                for (int k = 0; k < weight.Length; k++)
                {
                    sum += weight[k] * white[at + k];
                }

                across[(r * frame.Columns) + c] = sum;
            }
        }

        double[] field = new double[frame.Rows * frame.Columns];
        for (int r = 0; r < frame.Rows; r++)
        {
            int row = r * frame.Columns;
            for (int k = 0; k < weight.Length; k++)
            {
                double w = weight[k] * deviation / square;
                int from = (r + k) * frame.Columns;
                for (int c = 0; c < frame.Columns; c++)
                {
                    field[row + c] += w * across[from + c];
                }
            }
        }

        return field;
    }

    private static void Normal(double[] values, ulong seed)
    {
        ulong state = seed;
        for (int i = 0; i < values.Length; i += 2)
        {
            double radius = Math.Sqrt(-2 * Math.Log(1 - Uniform(ref state)));
            (double sine, double cosine) = Math.SinCos(2 * Math.PI * Uniform(ref state));
            values[i] = radius * cosine;
            if (i + 1 < values.Length)
            {
                values[i + 1] = radius * sine;
            }
        }
    }

    // 0 to below 1.
    private static double Uniform(ref ulong state)
    {
        state += 0x9E3779B97F4A7C15UL;
        return (Mix(state) >> 11) * (1.0 / (1UL << 53));
    }

    private static ulong Mix(ulong z)
    {
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
        return z ^ (z >> 31);
    }
}
