using Keyline.Elevation;
using Keyline.Layout.Even;
using Keyline.Planar;

namespace Keyline.Tests.Layout.Even;

/// <summary>Lines of a count that is known everywhere.</summary>
public sealed class PhaseTracerTests
{
    private const int Side = 14;
    private const double Cell = 2.5;

    // A cubic along each way, so that every bend changes from edge to edge; some nodes do not count.
    private static double Count(double u, double v) => (0.23 * u) + (0.31 * v) + (0.0016 * u * u * u) - (0.0021 * v * v * v) + (0.012 * u * v);

    private static bool Counts(int r, int c) => (r, c) is not ((4, 5) or (4, 6) or (9, 2)) && r + (2 * c) > 3;

    [Fact]
    public void GroundTurnedAboutItsDiagonal_GivesLinesTurnedAboutIt()
    {
        List<LinePath> plain = PhaseTracer.Trace(Grid(Count, Counts)), turned = PhaseTracer.Trace(Grid((u, v) => Count(v, u), (r, c) => Counts(c, r)));
        XY[] expected = [.. plain.SelectMany(l => l.Points).Select(p => new XY(-p.Y, -p.X)).OrderBy(p => p.X).ThenBy(p => p.Y)];
        XY[] found = [.. turned.SelectMany(l => l.Points).OrderBy(p => p.X).ThenBy(p => p.Y)];
        Assert.Equal(expected.Length, found.Length);
        Assert.True(found.Length > 100);
        Assert.All(expected, e => Assert.InRange(found.Min(f => (f - e).Norm), 0, 1e-9));
        Assert.Equal(plain.Sum(l => l.Length()), turned.Sum(l => l.Length()), 1e-9);
    }

    [Fact]
    public void Lines_LieWhereTheCountIsHalfAWholeNumber()
    {
        // Straight steps between nodes 2.5 m apart miss by 10 cm here.
        foreach (XY p in PhaseTracer.Trace(Grid(Count, (_, _) => true)).SelectMany(l => l.Points).Where(p => p.X is > 2 * Cell and < (Side - 2) * Cell && -p.Y is > 2 * Cell and < (Side - 2) * Cell))
        {
            (double u, double v) = ((p.X / Cell) - 0.5 - (Side / 2), (-p.Y / Cell) - 0.5 - (Side / 2));
            double count = Count(u, v), east = (Count(u + 1e-4, v) - Count(u - 1e-4, v)) / 2e-4, south = (Count(u, v + 1e-4) - Count(u, v - 1e-4)) / 2e-4;
            Assert.InRange(Cell * Math.Abs(count - Math.Floor(count) - 0.5) / Math.Sqrt((east * east) + (south * south)), 0, 0.02);
        }
    }

    private static PhaseGrid Grid(Func<double, double, double> count, Func<int, int, bool> counts)
    {
        GridFrame frame = new(Side, Side, Cell, 0, 0);
        double At(int i) => count((i % Side) - (Side / 2), (i / Side) - (Side / 2));
        double[] Of(Func<int, double> value) => [.. Enumerable.Range(0, Side * Side).Select(value)];
        PhaseGrid grid = PhaseGrid.Of(frame, [.. Enumerable.Range(0, Side * Side).Select(i => counts(i / Side, i % Side))], Of(_ => 0.7), Of(_ => 0.7), 3);
        for (int i = 0; i < Side * Side; i++)
        {
            grid.Phase[i] = At(i);
            grid.StepEast[i] = grid.HasEast(i) ? At(i + 1) - At(i) : 0;
            grid.StepSouth[i] = grid.HasSouth(i) ? At(i + Side) - At(i) : 0;
        }

        return grid;
    }
}
