using Keyline.Elevation;
using Keyline.Layout.Even;

namespace Keyline.Tests.Layout.Even;

/// <summary>Phases whose steps lie nearest those wished for.</summary>
public sealed class LinePhaseTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    public void TinyGrid_IsAsGoodAsTheBestOfAllPhases(int seed)
    {
        // Outside check: every combination of 40 phases at the four free nodes of a grid of 5, computed here.
        Random random = new(seed);
        GridFrame frame = new(2, 3, 2.5, 0, 5);
        bool[] domain = [true, true, true, true, true, seed % 2 == 0];
        double[] east = [.. Enumerable.Range(0, 6).Select(_ => 0.8 + (0.3 * random.NextDouble()))];
        double[] south = [.. Enumerable.Range(0, 6).Select(_ => 0.6 * random.NextDouble())];
        if (seed > 2)
        {
            (east[1], south[1]) = (-east[1], -south[1]);
        }

        PhaseGrid grid = PhaseGrid.Of(frame, domain, east, south, 3);
        LinePhase.Solve(grid, TestContext.Current.CancellationToken);
        Assert.True(LinePhase.Misfit(grid) <= Brute(grid, seed % 2 == 0 ? 18 : 40) + 1e-9);
    }

    [Fact]
    public void FieldOfALevelFunction_IsMetExactly()
    {
        PhaseGrid grid = Curved(40, 50, (x, y) => (x / 3) + (0.002 * x * y), null);
        LinePhase.Solve(grid, TestContext.Current.CancellationToken);
        Assert.Equal(0, grid.Residues());
        Assert.InRange(LinePhase.Misfit(grid), 0, 1e-3);
    }

    [Fact]
    public void HowNodesCount_ChangesNothing()
    {
        Random random = new(5);
        bool[] turned = [.. Enumerable.Range(0, 2000).Select(_ => random.Next(2) == 0)];
        PhaseGrid plain = Curved(40, 50, (x, y) => (x / 3) + (0.004 * x * y) + (0.3 * Math.Sin(y / 7)), null);
        PhaseGrid mixed = Curved(40, 50, (x, y) => (x / 3) + (0.004 * x * y) + (0.3 * Math.Sin(y / 7)), turned);
        LinePhase.Solve(plain, TestContext.Current.CancellationToken);
        LinePhase.Solve(mixed, TestContext.Current.CancellationToken);
        Assert.Equal(LinePhase.Misfit(plain), LinePhase.Misfit(mixed), 1e-6);
        Assert.Equal(plain.Residues(), mixed.Residues());
    }

    [Fact]
    public void TwoFieldsMeeting_EndAsManyLinesAsTheCirculationAsks()
    {
        // Left of the seam 1/3 line a metre runs south to north, right of it none: of 100 m of seam, 33 lines end on it.
        GridFrame frame = new(40, 40, 2.5, 0, 100);
        bool[] domain = new bool[1600];
        Array.Fill(domain, true);
        double[] east = new double[1600];
        double[] south = new double[1600];
        for (int i = 0; i < 1600; i++)
        {
            (east[i], south[i]) = i % 40 < 20 ? (0.8, 0.6) : (1, 0);
        }

        PhaseGrid grid = PhaseGrid.Of(frame, domain, east, south, 3);
        LinePhase.Solve(grid, TestContext.Current.CancellationToken);
        double asked = 0.6 * 39 * 2.5 / 3;
        Assert.InRange(grid.Residues(), asked - 1, asked + 1);
    }

    [Fact]
    public void GivenPhases_Stay()
    {
        PhaseGrid grid = Curved(30, 30, (x, y) => x / 3, null);
        for (int r = 0; r < 30; r++)
        {
            grid.Fixed[(r * 30) + 12] = true;
            grid.Phase[(r * 30) + 12] = 0.5;
        }

        LinePhase.Solve(grid, TestContext.Current.CancellationToken);
        Assert.Equal(0, grid.Residues());
        for (int r = 0; r < 30; r++)
        {
            Assert.Equal(0.5, grid.Phase[(r * 30) + 12]);
            Assert.Equal(0.5 + (2.5 / 3) - 1, grid.Phase[(r * 30) + 13], 1e-6);
        }
    }

    // A grid whose field is the gradient of a count times the spacing, some nodes counted backwards.
    internal static PhaseGrid Curved(int rows, int columns, Func<double, double, double> count, bool[]? turned)
    {
        GridFrame frame = new(rows, columns, 2.5, 0, 2.5 * rows);
        int n = rows * columns;
        bool[] domain = new bool[n];
        double[] east = new double[n];
        double[] south = new double[n];
        for (int i = 0; i < n; i++)
        {
            double x = 2.5 * (i % columns);
            double y = 2.5 * (i / columns);
            double side = turned is not null && turned[i] ? -1 : 1;
            domain[i] = true;
            east[i] = side * 3 * (count(x + 0.01, y) - count(x - 0.01, y)) / 0.02;
            south[i] = side * 3 * (count(x, y + 0.01) - count(x, y - 0.01)) / 0.02;
        }

        return PhaseGrid.Of(frame, domain, east, south, 3);
    }

    private static double Brute(PhaseGrid grid, int phases)
    {
        int[] free = [.. Enumerable.Range(1, 5).Where(i => grid.Domain[i])];
        double[] at = new double[6];
        double best = double.PositiveInfinity;
        long all = (long)Math.Pow(phases, free.Length);
        for (long k = 0; k < all; k++)
        {
            long rest = k;
            foreach (int i in free)
            {
                at[i] = (double)(rest % phases) / phases;
                rest /= phases;
            }

            double sum = 0;
            for (int i = 0; i < 6; i++)
            {
                sum += grid.HasEast(i) ? Off((grid.Signs.East[i] * at[i + 1]) - at[i] - grid.WishedEast(i)) : 0;
                sum += grid.HasSouth(i) ? Off((grid.Signs.South[i] * at[i + 3]) - at[i] - grid.WishedSouth(i)) : 0;
            }

            best = Math.Min(best, sum);
        }

        return best;

        static double Off(double lines) => 2 - (2 * Math.Cos(2 * Math.PI * lines));
    }
}
