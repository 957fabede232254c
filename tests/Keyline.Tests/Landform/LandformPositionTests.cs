using Keyline.Elevation;
using Keyline.Landform;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Landform;

public sealed class LandformPositionTests
{
    [Theory]
    [InlineData(60, 1000)]
    [InlineData(200, 200)]
    [InlineData(400, 100)]
    public void BetweenParallelLines_IsTheClosedForm(double apart, double reach)
    {
        // u'' = (u - 1/2)/L^2 with u(0) = 0 and u(D) = 1 has u = 1/2 + sinh((x - D/2)/L) / (2 sinh(D/2L)), by hand.
        ElevationGrid ground = MadeGround.Make(100, (int)(apart / 2) + 1, 2, (x, _) => x);
        double west = ground.Frame.CentreX(0);
        double east = ground.Frame.CentreX(ground.Frame.Columns - 1);
        Grid<float> position = LandformPosition.Solve(ground, [Meridian(west)], [Meridian(east)], reach, null, default);

        for (int c = 0; c < ground.Frame.Columns; c++)
        {
            double x = ground.Frame.CentreX(c) - west;
            double expected = 0.5 + (Math.Sinh((x - ((east - west) / 2)) / reach) / (2 * Math.Sinh((east - west) / (2 * reach))));
            Assert.Equal(expected, position[50, c], 0.02);
        }
    }

    [Fact]
    public void OneValleyOnly_RisesAwayFromItTowardOneHalf()
    {
        // u = (1 - exp(-x/L))/2 away from a lone valley on wide ground.
        ElevationGrid ground = MadeGround.Make(60, 500, 4, (x, _) => Math.Abs(x));
        Grid<float> position = LandformPosition.Solve(ground, [Meridian(2)], [], 100, null, default);

        for (int c = 251; c < 400; c++)
        {
            double x = ground.Frame.CentreX(c) - 2;
            Assert.Equal((1 - Math.Exp(-x / 100)) / 2, position[30, c], 0.02);
            Assert.True(position[30, c] >= position[30, c - 1] - 1e-6);
        }
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void RoughGround_KeepsItsPromises(int seed)
    {
        ElevationGrid ground = MadeGround.WithBumps(MadeGround.Make(220, 260, 3, (x, y) => (0.02 * x) + (0.03 * y)), 40, 4, seed);
        LandformReading reading = LandformReader.Read(ground);
        GridFrame f = ground.Frame;

        bool[] onLine = new bool[f.Rows * f.Columns];
        foreach (RidgeLine r in reading.Ridges)
        {
            Mark(r.Line, f, onLine, cell => Assert.True(reading.Position.Values[cell] is 1f or 0f));
        }

        foreach (ValleyLine v in reading.Valleys)
        {
            Mark(v.Line, f, onLine, cell => Assert.Equal(0f, reading.Position.Values[cell]));
        }

        int ridgeCells = onLine.Where((on, i) => on && reading.Position.Values[i] == 1f).Count();
        Assert.True(ridgeCells > 100);
        for (int r = 1; r < f.Rows - 1; r++)
        {
            for (int c = 1; c < f.Columns - 1; c++)
            {
                float here = reading.Position[r, c];
                Assert.InRange(here, 0f, 1f);
                if (here is not (0f or 1f))
                {
                    // No free cell stands above all its neighbours and one half, nor below them all.
                    float[] beside = [reading.Position[r - 1, c], reading.Position[r + 1, c], reading.Position[r, c - 1], reading.Position[r, c + 1], 0.5f];
                    Assert.InRange(here, beside.Min() - 2e-3f, beside.Max() + 2e-3f);
                }
            }
        }
    }

    private static LineString Meridian(double x) => new([new Coordinate(x, -5000), new Coordinate(x, 5000)]);

    private static void Mark(LineString line, GridFrame f, bool[] marked, Action<int> check)
    {
        foreach (Coordinate p in line.Coordinates)
        {
            int cell = f.IndexAt(p.X, p.Y);
            if (cell >= 0)
            {
                marked[cell] = true;
                check(cell);
            }
        }
    }
}
