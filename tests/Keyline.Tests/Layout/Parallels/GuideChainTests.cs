using Keyline.Layout.Parallels;

namespace Keyline.Tests.Layout.Parallels;

/// <summary>The shortest chain of bands against trying every chain there is.</summary>
public sealed class GuideChainTests
{
    [Fact]
    public void Shortest_IsTheCheapestOfEveryChain()
    {
        Random random = new(11);
        for (int trial = 0; trial < 400; trial++)
        {
            int n = random.Next(2, 7);
            double[][] cost = Matrix(random, n, 100);
            double[][] ends = Matrix(random, n, 40);
            double[] guide = [.. Enumerable.Range(0, n).Select(_ => random.NextDouble() * 60)];
            if (n > 3)
            {
                // A level without lines serves no band.
                Array.Fill(cost[random.Next(1, n - 1)], double.PositiveInfinity);
            }

            // Some levels must be guides, never one without lines nor the two that bound the ground.
            bool[] must = [.. Enumerable.Range(0, n).Select(i => i > 0 && i < n - 1 && double.IsFinite(cost[i][0]) && random.NextDouble() < 0.3)];
            IReadOnlyList<(int Guide, int Low, int High)> found = GuideChain.Shortest(cost, ends, guide, must);
            Assert.All(Enumerable.Range(0, n).Where(i => must[i]), i => Assert.Contains(found, step => step.Guide == i));
            Assert.Equal(0, found[0].Low);
            Assert.Equal(n - 1, found[^1].High);
            Assert.All(found.Skip(1).Zip(found), pair => Assert.Equal(pair.Second.High, pair.First.Low));
            Assert.Equal(Cheapest(0, -1, n, cost, ends, guide, must), Price(found, cost, ends, guide), 9);
        }
    }

    // A guide is paid for once, by the downward band that ends at it and the upward one that begins at it together.
    private static double Price(IReadOnlyList<(int Guide, int Low, int High)> chain, double[][] cost, double[][] ends, double[] guide)
    {
        double sum = 0;
        int paid = -1;
        foreach ((int g, int low, int high) in chain)
        {
            Assert.True(g == low || g == high);
            sum += (g == paid ? 0 : guide[g]) + ends[g][g == low ? high : low] + cost[g][low..high].Sum();
            paid = g == high ? g : -1;
        }

        return sum;
    }

    private static double Cheapest(int at, int paid, int n, double[][] cost, double[][] ends, double[] guide, bool[] must)
    {
        if (at == n - 1)
        {
            return 0;
        }

        double best = double.PositiveInfinity;
        for (int high = at + 1; high < n; high++)
        {
            double up = (paid == at ? 0 : guide[at]) + ends[at][high] + cost[at][at..high].Sum();
            double down = guide[high] + ends[high][at] + cost[high][at..high].Sum();
            best = Math.Min(best, up + Cheapest(high, -1, n, cost, ends, guide, must));

            // A level that must be a guide and is not one yet has to be that of the next band; none may be passed over.
            if (!must[at] || paid == at)
            {
                best = Math.Min(best, down + Cheapest(high, high, n, cost, ends, guide, must));
            }

            if (must[high])
            {
                break;
            }
        }

        return best;
    }

    private static double[][] Matrix(Random random, int n, double scale) =>
        [.. Enumerable.Range(0, n).Select(_ => (double[])[.. Enumerable.Range(0, n).Select(_ => random.NextDouble() * scale)])];
}
