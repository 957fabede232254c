using CsCheck;
using Keyline.Elevation;
using Keyline.Layout;

namespace Keyline.Tests.Elevation;

/// <summary>Filling by pulling and pushing against the same written out level by level.</summary>
public sealed class PullPushTests
{
    [Fact]
    public void Fill_AnyHoles_IsThatOfThePlainPyramid() =>
        Gen.Select(Gen.Int[1, 19], Gen.Int[1, 23], Gen.Int[0, 100], Gen.ULong).Sample((rows, columns, percent, seed) =>
        {
            double[] values = [.. Enumerable.Range(0, rows * columns).Select(i =>
                Support.Noise.At(i, 1, seed) * 50 < percent - 50 ? double.NaN : 10 * Support.Noise.At(i, 2, seed))];
            double[] expected = Plain(values, rows, columns), filled = [.. values];
            PullPush.Fill(filled, rows, columns);
            for (int i = 0; i < values.Length; i++)
            {
                Assert.Equal(expected[i], filled[i], 1e-9);
                Assert.True(double.IsNaN(values[i]) || values[i].Equals(filled[i]));
                Assert.Equal(values.All(double.IsNaN), double.IsNaN(filled[i]));
            }
        }, iter: 300);

    // What is known of a plane on all sides of a hole leads across it; where only one value is known, it is everywhere.
    [Fact]
    public void Fill_HoleInAPlane_StaysWithinItsRim()
    {
        double[] plane = [.. Enumerable.Range(0, 400).Select(i => (i / 20 is > 6 and < 12 && i % 20 is > 8 and < 14) ? double.NaN : 3 + (0.5 * (i % 20)) - (0.25 * (i / 20)))];
        PullPush.Fill(plane, 20, 20);
        for (int i = 0; i < 400; i++)
        {
            Assert.Equal(3 + (0.5 * (i % 20)) - (0.25 * (i / 20)), plane[i], 0.25);
        }

        double[] lone = [.. Enumerable.Repeat(double.NaN, 35)];
        lone[17] = 4;
        PullPush.Fill(lone, 5, 7);
        Assert.All(lone, v => Assert.Equal(4, v, 1e-12));
    }

    // Halves until one cell is left, each cell the mean of what is known of its four; then back up, missing cells by bilinear
    // interpolation between the coarser centres, and twelve rounds of means of four neighbours, an edge counting for itself.
    private static double[] Plain(double[] values, int rows, int columns)
    {
        List<double[,]> levels = [new double[rows, columns]];
        for (int i = 0; i < values.Length; i++)
        {
            levels[0][i / columns, i % columns] = values[i];
        }

        while (levels[^1].Length > 1 && levels[^1].Cast<double>().Any(double.IsNaN))
        {
            double[,] fine = levels[^1], half = new double[(fine.GetLength(0) + 1) / 2, (fine.GetLength(1) + 1) / 2];
            for (int r = 0; r < half.GetLength(0); r++)
            {
                for (int c = 0; c < half.GetLength(1); c++)
                {
                    double[] known = [.. from i in new[] { 2 * r, (2 * r) + 1 } from j in new[] { 2 * c, (2 * c) + 1 }
                        where i < fine.GetLength(0) && j < fine.GetLength(1) && !double.IsNaN(fine[i, j]) select fine[i, j]];
                    half[r, c] = known.Length == 0 ? double.NaN : known.Average();
                }
            }

            levels.Add(half);
        }

        for (int level = levels.Count - 2; level >= 0; level--)
        {
            double[,] fine = levels[level], half = levels[level + 1];
            (int height, int width) = (fine.GetLength(0), fine.GetLength(1));
            List<(int R, int C)> missing = [.. from r in Enumerable.Range(0, height) from c in Enumerable.Range(0, width) where double.IsNaN(fine[r, c]) select (r, c)];
            foreach ((int r, int c) in missing)
            {
                double y = Math.Clamp((r - 0.5) / 2, 0, half.GetLength(0) - 1), x = Math.Clamp((c - 0.5) / 2, 0, half.GetLength(1) - 1), sum = 0;
                for (int i = 0; i < half.GetLength(0); i++)
                {
                    for (int j = 0; j < half.GetLength(1); j++)
                    {
                        double weight = Math.Max(0, 1 - Math.Abs(y - i)) * Math.Max(0, 1 - Math.Abs(x - j));
                        sum += weight > 0 ? weight * half[i, j] : 0;
                    }
                }

                fine[r, c] = sum;
            }

            for (int round = 0; round < 12; round++)
            {
                foreach ((int r, int c) in missing)
                {
                    double At(int i, int j) => i < 0 || j < 0 || i >= height || j >= width ? fine[r, c] : fine[i, j];
                    fine[r, c] = (At(r - 1, c) + At(r + 1, c) + At(r, c - 1) + At(r, c + 1)) / 4;
                }
            }
        }

        return [.. levels[0].Cast<double>()];
    }
}
