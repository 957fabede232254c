using Keyline.Elevation;
using Keyline.Landform;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Landform;

public sealed class PositionLevelTests
{
    private const double Pull = 0.01;

    [Theory]
    [InlineData(1, 1, 0)]
    [InlineData(1, 70, 0.3)]
    [InlineData(70, 1, 0.3)]
    [InlineData(37, 151, 0)]
    [InlineData(60, 200, 0.1)]
    [InlineData(61, 199, 0.7)]
    [InlineData(40, 300, 0.97)]
    [InlineData(300, 301, 0.2)]
    public void Sweep_IsThatOfPlainRows(int rows, int columns, double missing)
    {
        PositionLevel level = Random(rows, columns, missing, 3);
        float[] plain = [.. level.Values];
        for (int k = 0; k < 6; k++)
        {
            PlainSweep(level, plain, k);
        }

        level.Sweep(3, Pull);
        Assert.Equal(plain, level.Values);
    }

    [Theory]
    [InlineData(40, 300, 0.97)]
    [InlineData(301, 300, 0.2)]
    public void HandDownAndTakeUp_ReachEveryKnownCellAndNoOther(int rows, int columns, double missing)
    {
        PositionLevel level = Random(rows, columns, missing, 5);
        PositionLevel half = level.Halve();
        level.HandDown(half, Pull);
        double handed = half.Load.Sum(v => (double)v), left = Enumerable.Range(0, rows * columns).Sum(at => Left(level, at));
        Assert.Equal(left, handed, 1e-2);
        Array.Fill(half.Values, 1);
        float[] before = [.. level.Values];
        level.TakeUp(half);
        for (int at = 0; at < before.Length; at++)
        {
            // Weights come to one, so a grid of ones adds one.
            Assert.Equal(level.Kinds[at] < PositionLevel.Fixed ? before[at] + 1 : before[at], level.Values[at], 1e-5f);
        }
    }

    [Fact]
    public void FarApartPieces_CostTheirOwnCells()
    {
        PositionLevel level = new(2000, 2000, 1);
        Array.Fill(level.Kinds, PositionLevel.Missing);
        foreach ((int row, int column) in new[] { (10, 20), (10, 1900), (1800, 1700) })
        {
            for (int r = row; r < row + 60; r++)
            {
                Array.Fill(level.Kinds, PositionLevel.Free, (r * 2000) + column, 60);
            }
        }

        level.MarkEdges();
        Assert.Equal(3 * 60 * 60, level.CellsPassed);
        Assert.InRange(level.Halve().CellsPassed, 3 * 30 * 30, 3 * 31 * 31);
    }

    [Fact]
    public void Solve_IsTheSameOnAnyNumberOfThreads()
    {
        ElevationGrid ground = MadeGround.Make(400, 420, 2, (x, y) => (x - y) % 97 < 4 ? double.NaN : x);
        GridFrame f = ground.Frame;
        LineString valley = new([new(f.CentreX(30), f.CentreY(5)), new(f.CentreX(200), f.CentreY(390))]), ridge = new([new(f.CentreX(390), f.CentreY(5)), new(f.CentreX(300), f.CentreY(390))]);
        Grid<float> many = LandformPosition.Solve(ground, [valley], [ridge], 200, null, default);
        using (WorkThreads.Limit(1))
        {
            Assert.Equal(LandformPosition.Solve(ground, [valley], [ridge], 200, null, default).Values.ToArray(), many.Values.ToArray());
        }
    }

    private static PositionLevel Random(int rows, int columns, double missing, int seed)
    {
        Random random = new(seed);
        PositionLevel level = new(rows, columns, 1);
        for (int at = 0; at < level.Kinds.Length; at++)
        {
            level.Kinds[at] = random.NextDouble() < missing ? PositionLevel.Missing : random.NextDouble() < 0.05 ? PositionLevel.Fixed : PositionLevel.Free;
            (level.Values[at], level.Load[at]) = ((float)random.NextDouble(), (float)random.NextDouble() / 10);
        }

        level.MarkEdges();
        return level;
    }

    // One colour of one sweep, every cell of every row in turn.
    private static void PlainSweep(PositionLevel level, float[] u, int colour)
    {
        float self = (float)Pull, whole = 1 / (4 + self);
        for (int r = 0; r < level.Rows; r++)
        {
            for (int c = (r + colour) % 2; c < level.Columns; c += 2)
            {
                int at = (r * level.Columns) + c;
                if (level.Kinds[at] == PositionLevel.Free)
                {
                    u[at] = (u[at - 1] + u[at + 1] + u[at - level.Columns] + u[at + level.Columns] + level.Load[at]) * whole;
                }
                else if (level.Kinds[at] == PositionLevel.Beside)
                {
                    int[] known = [.. Known(level, r, c)];
                    float sum = 0;
                    foreach (int k in known)
                    {
                        sum += u[k];
                    }

                    u[at] = (sum + level.Load[at]) / Math.Max(known.Length + self, 1e-12f);
                }
            }
        }
    }

    private static double Left(PositionLevel level, int at)
    {
        if (level.Kinds[at] >= PositionLevel.Fixed)
        {
            return 0;
        }

        int[] known = [.. Known(level, at / level.Columns, at % level.Columns)];
        return known.Sum(k => (double)level.Values[k]) - ((known.Length + Pull) * level.Values[at]) + level.Load[at];
    }

    private static IEnumerable<int> Known(PositionLevel level, int row, int column)
    {
        foreach ((int r, int c) in new[] { (row, column - 1), (row, column + 1), (row - 1, column), (row + 1, column) })
        {
            if (r >= 0 && c >= 0 && r < level.Rows && c < level.Columns && level.Kinds[(r * level.Columns) + c] != PositionLevel.Missing)
            {
                yield return (r * level.Columns) + c;
            }
        }
    }
}
