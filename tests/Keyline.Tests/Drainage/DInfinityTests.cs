using CsCheck;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Drainage;

/// <summary>
/// D-infinity against Tarboton 1997 (Water Resources Research 33(2), 309-319), table 1 and equations 1 to 6. Angles there
/// run counter-clockwise from east; here clockwise from north.
/// </summary>
public sealed class DInfinityTests
{
    // The paper's rule in double precision, facet by facet as its table 1 lists them.
    private static double Published(ElevationGrid ground, int row, int column)
    {
        (int Row, int Column)[] e1 = [(0, 1), (-1, 0), (-1, 0), (0, -1), (0, -1), (1, 0), (1, 0), (0, 1)];
        (int Row, int Column)[] e2 = [(-1, 1), (-1, 1), (-1, -1), (-1, -1), (1, -1), (1, -1), (1, 1), (1, 1)];
        int[] ac = [0, 1, 1, 2, 2, 3, 3, 4];
        double steepest = 0;
        double angle = double.NaN;
        for (int f = 0; f < 8; f++)
        {
            double e0 = ground[row, column];
            double near = ground[row + e1[f].Row, column + e1[f].Column];
            double far = ground[row + e2[f].Row, column + e2[f].Column];
            double s = Math.Sqrt(((e0 - near) * (e0 - near)) + ((near - far) * (near - far)));
            double r = Math.Atan2(near - far, e0 - near);
            (r, s) = r < 0 ? (0, e0 - near) : r > Math.PI / 4 ? (Math.PI / 4, (e0 - far) / Math.Sqrt(2)) : (r, s);
            if (s > steepest)
            {
                steepest = s;
                angle = ((f % 2 == 0 ? 1 : -1) * r) + (ac[f] * Math.PI / 2);
            }
        }

        return (450 - (angle * 180 / Math.PI)) % 360;
    }

    private static double Apart(double a, double b) => Math.Abs(Math.IEEERemainder(a - b, 360));

    // D-4: the plane z = x + 2y; computed here, equations 1 to 6 and table 1 of D. G. Tarboton, A new method for the determination
    // of flow directions and upslope areas in grid digital elevation models, Water Resources Research 33(2), 1997, 309-319.
    [Fact]
    public void Shares_Plane_SplitsAsTheEquationsSay()
    {
        DInfinityDirections d = DInfinityDirections.Route(Surfaces.Make(5, 5, 1, Surfaces.Plane(0, 1, 2)));
        Assert.Equal(450 - 243.43494882, d[2, 2], 4e-5);
        IReadOnlyList<FlowShare> shares = d.Shares(2, 2);
        Assert.Equal((3, 2), (shares[0].Row, shares[0].Column));
        Assert.Equal((3, 1), (shares[1].Row, shares[1].Column));
        Assert.Equal(0.4096655294, shares[0].Part, 1e-6);
        Assert.Equal(0.5903344706, shares[1].Part, 1e-6);
        Assert.Equal(2, shares.Count);
    }

    // D-5: one facet, e0 = 31, e1 = 20, e2 = 10, e1 in the east and e2 in the north-east; computed here by the same equations.
    [Fact]
    public void Shares_OneFacet_SplitsAsTheEquationsSay()
    {
        ElevationGrid ground = Surfaces.Listed(3, 3, 1, 99, 99, 10, 99, 31, 20, 99, 99, 99);
        DInfinityDirections d = DInfinityDirections.Route(ground);
        Assert.Equal(90 - (0.7378150601 * 180 / Math.PI), d[1, 1], 1e-5);
        IReadOnlyList<FlowShare> shares = d.Shares(1, 1);
        Assert.Equal((0, 2), (shares[0].Row, shares[0].Column));
        Assert.Equal(0.9394153112, shares[0].Part, 1e-6);
        Assert.Equal((1, 2), (shares[1].Row, shares[1].Column));
        Assert.Equal(0.0605846888, shares[1].Part, 1e-6);
    }

    // D-6: a made grid of 4 by 5; computed here by the same equations.
    [Fact]
    public void Route_MadeGrid_GivesTheEquationsAngles()
    {
        ElevationGrid ground = Surfaces.Listed(4, 5, 1,
            13, 9, 5, 9, 11,
            11, 9, 9, 11, 12,
            9, 6.5f, 7, 13, 14,
            8, 6, 5.8f, 30, 12);
        DInfinityDirections d = DInfinityDirections.Route(ground);
        double[] counterClockwise = [45, 90, 135, 291.8014, 270, 191.3099];
        for (int i = 0; i < 6; i++)
        {
            Assert.True(Apart(450 - counterClockwise[i], d[1 + (i / 3), 1 + (i % 3)]) < 6e-5);
        }
    }

    // D-7: a plane that dips along one of the eight directions sends all of its water there.
    [Theory]
    [InlineData(0, -1, 0)]
    [InlineData(-1, -1, 45)]
    [InlineData(-1, 0, 90)]
    [InlineData(-1, 1, 135)]
    [InlineData(0, 1, 180)]
    [InlineData(1, 1, 225)]
    [InlineData(1, 0, 270)]
    [InlineData(1, -1, 315)]
    public void Route_PlaneAlongADirection_HasOneReceiver(double eastward, double northward, float degrees)
    {
        DInfinityDirections d = DInfinityDirections.Route(Surfaces.Make(7, 9, 2, Surfaces.Plane(50, eastward, northward)));
        for (int r = 1; r < 6; r++)
        {
            for (int c = 1; c < 8; c++)
            {
                Assert.Equal(degrees, d[r, c]);
                FlowShare only = Assert.Single(d.Shares(r, c));
                Assert.Equal(1, only.Part);
            }
        }
    }

    public static TheoryData<int> Widths => [.. Enumerable.Range(3, 254)];

    // Every width meets the eight cells worked on at once in another way.
    [Theory]
    [MemberData(nameof(Widths))]
    public void Route_RowOfAnyWidth_GivesTheEquationsAngles(int width)
    {
        ElevationGrid ground = Surfaces.Make(3, width, 2, (x, y) => 100 + (0.3 * x) + Noise.At((int)Math.Floor(y), (int)Math.Floor(x), (ulong)width));
        DInfinityDirections d = DInfinityDirections.Route(ground);
        for (int c = 1; c < width - 1; c++)
        {
            double expected = Published(ground, 1, c);
            Assert.True(double.IsNaN(expected) || Apart(expected, d[1, c]) < 5e-5);
        }
    }

    [Fact]
    public void Route_RoughGround_GivesTheEquationsAngles()
    {
        ElevationGrid ground = Surfaces.Make(40, 53, 2, (x, y) => 100 + (0.03 * x) + (0.02 * y) + Noise.At((int)Math.Floor(y), (int)Math.Floor(x), 7));
        DInfinityDirections d = DInfinityDirections.Route(ground);
        int sloping = 0;
        for (int r = 1; r < 39; r++)
        {
            for (int c = 1; c < 52; c++)
            {
                double expected = Published(ground, r, c);
                Assert.True(double.IsNaN(expected) ? float.IsNaN(d[r, c]) : Apart(expected, d[r, c]) < 5e-5);
                sloping += double.IsNaN(expected) ? 0 : 1;
            }
        }

        Assert.InRange(sloping, 1500, 1938);
    }

    [Fact]
    public void Compute_AnyFilledGrid_EveryCellDrainsAndOutflowEqualsTheGround() => DepressionFillingTests.Ground.Sample(
        ground =>
        {
            DInfinityDirections d = DInfinityDirections.Route(DepressionFilling.Fill(ground));
            Grid<double> area = FlowAccumulation.Compute(d);
            GridFrame f = ground.Frame;
            double outflow = 0;
            int cells = 0;
            for (int r = 0; r < f.Rows; r++)
            {
                for (int c = 0; c < f.Columns; c++)
                {
                    IReadOnlyList<FlowShare> shares = d.Shares(r, c);
                    if (float.IsNaN(ground[r, c]))
                    {
                        Assert.Empty(shares);
                        Assert.True(double.IsNaN(area[r, c]));
                        continue;
                    }

                    cells++;
                    Assert.InRange(shares.Count, 1, 2);
                    Assert.Equal(1, shares.Sum(s => s.Part));
                    outflow += shares.Where(s => !f.Contains(s.Row, s.Column) || float.IsNaN(ground[s.Row, s.Column])).Sum(s => s.Part * area[r, c]);
                }
            }

            Assert.Equal(cells * f.CellArea, outflow, 1e-9 * f.CellCount);
        },
        iter: 2000);

    // Level ground and outlets drain as D8 does; so do single rows and columns, which have no triangles.
    [Fact]
    public void Route_AnyFilledGrid_WithoutAFallingTriangleTakesTheD8Direction() => DepressionFillingTests.Ground.Sample(
        ground =>
        {
            ElevationGrid filled = DepressionFilling.Fill(ground);
            DInfinityDirections d = DInfinityDirections.Route(filled);
            D8Directions d8 = D8Directions.Route(filled);
            GridFrame f = ground.Frame;
            for (int r = 0; r < f.Rows; r++)
            {
                for (int c = 0; c < f.Columns; c++)
                {
                    bool lower = d.Shares(r, c).All(s => f.Contains(s.Row, s.Column) && filled[s.Row, s.Column] < filled[r, c]);
                    if (!lower || f.Rows == 1 || f.Columns == 1)
                    {
                        Assert.Equal(45f * d8[r, c], float.IsNaN(filled[r, c]) ? 45f * D8Directions.NoFlow : d[r, c]);
                    }
                }
            }
        },
        iter: 1000);

    // Rough ground has no two triangles alike, so turning or mirroring it turns the angles with it.
    [Fact]
    public void Route_TurnedAndMirroredGround_TurnsTheAngles()
    {
        const int N = 24;
        ElevationGrid ground = Surfaces.Changed(Surfaces.Make(N, N, 1, Surfaces.Plane(100, 0.3, -0.2)), (r, c, z) => z + (float)Noise.At(r, c, 3));
        DInfinityDirections d = DInfinityDirections.Route(ground);
        DInfinityDirections quarter = DInfinityDirections.Route(Surfaces.Changed(ground, (r, c, _) => ground[N - 1 - c, r]));
        DInfinityDirections mirrored = DInfinityDirections.Route(Surfaces.Changed(ground, (r, c, _) => ground[r, N - 1 - c]));
        DInfinityDirections raised = DInfinityDirections.Route(Surfaces.Changed(ground, (_, _, z) => z * 4));
        int flowing = 0;
        for (int r = 1; r < N - 1; r++)
        {
            for (int c = 1; c < N - 1; c++)
            {
                float angle = d[r, c];
                if (float.IsNaN(angle))
                {
                    continue;
                }

                flowing++;
                Assert.True(Apart(angle + 90, quarter[c, N - 1 - r]) < 1e-4);
                Assert.True(Apart(-angle, mirrored[r, N - 1 - c]) < 1e-4);
                Assert.Equal(angle, raised[r, c]);
            }
        }

        Assert.True(flowing > 300);
    }

    [Fact]
    public void Route_AddedConstant_ChangesNothing() => DepressionFillingTests.Ground.Sample(
        ground =>
        {
            ElevationGrid filled = DepressionFilling.Fill(ground);
            DInfinityDirections raised = DInfinityDirections.Route(Surfaces.Changed(filled, (_, _, z) => z + 512));
            Assert.Equal(DInfinityDirections.Route(filled).Degrees.ToArray(), raised.Degrees.ToArray());
        },
        iter: 500);

    // Two cells that face each other at a slant, with a third below that only waits for them: the loop's own cells are named.
    [Fact]
    public void Compute_LoopAtASlant_IsRefusedWithACellOfIt()
    {
        GridFrame frame = new(2, 3, 1, 0, 2);
        DInfinityDirections loop = DInfinityDirections.Copy(frame, [float.NaN, 100, 270, float.NaN, float.NaN, float.NaN]);
        FlowLoopException error = Assert.Throws<FlowLoopException>(() => FlowAccumulation.Compute(loop));
        Assert.Equal(0, error.Row);
        Assert.InRange(error.Column, 1, 2);
    }

    [Fact]
    public void Copy_WrongCalls_AreRefused()
    {
        GridFrame frame = new(1, 2, 1, 0, 0);
        Assert.Throws<ArgumentException>(() => DInfinityDirections.Copy(frame, [0]));
        Assert.Throws<ArgumentException>(() => DInfinityDirections.Copy(frame, [0, 360]));
        Assert.Throws<ArgumentException>(() => DInfinityDirections.Copy(frame, [0, -1]));
        Assert.Throws<ArgumentException>(() => DInfinityDirections.Copy(frame, [0, float.PositiveInfinity]));
        Assert.Throws<ArgumentNullException>(() => DInfinityDirections.Route(null!));
        Assert.Throws<ArgumentOutOfRangeException>(() => DInfinityDirections.Copy(frame, [0, 0]).Shares(0, 2));
    }
}
