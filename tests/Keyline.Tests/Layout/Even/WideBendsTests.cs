using Keyline.Elevation;
using Keyline.Layout.Even;

namespace Keyline.Tests.Layout.Even;

/// <summary>Bends that are the land's own, against the second differences of a distance, computed here.</summary>
public sealed class WideBendsTests
{
    private const int Side = 12;
    private const double Cell = 2.5;

    // Falls away from a place so far to the west and north of the grid's corner, as on a cone.
    private static (double East, double South) Away(double east, double south, double r, double c)
    {
        (double x, double y) = (east + (c * Cell), south + (r * Cell));
        double far = Math.Sqrt((x * x) + (y * y));
        return (x / far, y / far);
    }

    [Theory]
    [InlineData(100, 20)]
    [InlineData(-15, 120)]
    [InlineData(80, 80)]
    public void Cone_BendsAsItsCirclesDo(double east, double south)
    {
        WideBends bends = Find((r, c) => Away(east, south, r, c), (_, _) => 1);
        double Distance(int r, int c) => Math.Sqrt(Math.Pow(east + ((c - 0.5) * Cell), 2) + Math.Pow(south + ((r - 0.5) * Cell), 2)) / Cell;
        for (int r = 2; r < Side - 3; r++)
        {
            for (int c = 2; c < Side - 3; c++)
            {
                int i = (r * Side) + c;
                Assert.Equal(Distance(r, c + 2) - (2 * Distance(r, c + 1)) + Distance(r, c), bends.EastAlong[i], 1e-4);
                Assert.Equal(Distance(r + 2, c) - (2 * Distance(r + 1, c)) + Distance(r, c), bends.SouthAlong[i], 1e-4);
                double mixed = Distance(r + 1, c + 1) - Distance(r + 1, c) - Distance(r, c + 1) + Distance(r, c);
                Assert.Equal(mixed, bends.EastAcross[i], 1e-4);
                Assert.Equal(mixed, bends.SouthAcross[i], 1e-4);
            }
        }

        Assert.True(bends.EastAlong.Max() > 1e-3 || bends.SouthAlong.Max() > 1e-3);
    }

    [Fact]
    public void TightBends_AreToldAsTheWidestThatCounts()
    {
        WideBends bends = Find((r, c) => Away(20, -12, r, c), (_, _) => 1);
        double most = Cell / WideBends.Radius;
        double[] all = [.. bends.EastAlong, .. bends.EastAcross, .. bends.SouthAlong, .. bends.SouthAcross];
        Assert.All(all, b => Assert.InRange(b, -most, most));
        Assert.Contains(all, b => b.Equals(most));
        Assert.Contains(all, b => b.Equals(-most));
    }

    [Fact]
    public void WhereContoursJump_OrCountingTurnsRound_OrNoWindowIs_NothingBends()
    {
        // A roof's ridge seen as one side: fall lines at a right angle from one column to the next.
        WideBends jump = Find((_, c) => c < 6 ? (1, 0) : (0, 1), (_, _) => 1);
        Assert.All((double[])[.. jump.EastAlong, .. jump.SouthAcross], b => Assert.Equal(0, b));
        WideBends bare = Find((r, c) => Away(100, 20, r, c), (_, _) => 0);
        Assert.All((double[])[.. bare.EastAlong, .. bare.SouthAlong], b => Assert.Equal(0, b));

        // Counted the other way round from the seventh column on: no step may be compared across.
        WideBends turned = Find((r, c) => Away(100, 20, r, c), (_, c) => c < 7 ? 1 : -1);
        Assert.All(Enumerable.Range(2, Side - 4), r => Assert.Equal(0, turned.EastAlong[(r * Side) + 6]));
        Assert.All(Enumerable.Range(2, Side - 4), r => Assert.NotEqual(0, turned.EastAlong[(r * Side) + 3]));
    }

    // Windows everywhere or nowhere (as the last is 1 or 0 or, where nodes count the other way, -1).
    private static WideBends Find(Func<int, int, (double East, double South)> fall, Func<int, int, double> counts)
    {
        int n = Side * Side;
        GridFrame frame = new(Side, Side, Cell, 0, 0);
        double[] Of(Func<int, int, double> value) => [.. Enumerable.Range(0, n).Select(i => value(i / Side, i % Side))];
        double Way(int r, int c) => counts(r, c) < 0 ? -0.7 : 0.7;
        PhaseGrid grid = PhaseGrid.Of(frame, [.. Enumerable.Repeat(true, n)], Of(Way), Of(Way), 3);
        return WideBends.Find(grid, Of((r, c) => Math.Abs(counts(r, c))), Of((r, c) => fall(r, c).East), Of((r, c) => fall(r, c).South), TestContext.Current.CancellationToken);
    }
}
