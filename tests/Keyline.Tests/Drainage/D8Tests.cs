using CsCheck;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Drainage;

public sealed class D8Tests
{
    private static readonly string[] Names = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];

    // D-1: a classroom exercise of unknown author; it has no ties. Directions and counts computed here, steepest drop over distance
    // and counting of donors by hand (J. F. O'Callaghan and D. M. Mark, The extraction of drainage networks from digital elevation
    // data, Computer Vision, Graphics and Image Processing 28, 1984, 323-344).
    internal static readonly ElevationGrid Teaching = Surfaces.Listed(6, 6, 1,
        78, 72, 69, 71, 58, 49,
        74, 67, 56, 49, 46, 50,
        69, 53, 44, 37, 38, 48,
        64, 58, 55, 22, 31, 24,
        68, 61, 47, 21, 16, 19,
        74, 53, 34, 12, 11, 12);

    private static readonly double[] TeachingCells =
    [
        1, 1, 1, 1, 1, 1,
        1, 2, 2, 3, 3, 1,
        1, 4, 8, 6, 5, 1,
        1, 1, 1, 21, 1, 2,
        1, 1, 1, 2, 25, 1,
        1, 3, 5, 8, 36, 2,
    ];

    private static string[] Compass(D8Directions d) => Array.ConvertAll(d.Codes.ToArray(), code => code == D8Directions.NoFlow ? "-" : Names[code]);

    [Fact]
    public void Route_TeachingGrid_GivesTheSteepestDrops()
    {
        string[] expected = (
            "SE SE SE S S SW " +
            "SE SE SE S S SW " +
            "E E SE S SW S " +
            "NE NE E SE S SW " +
            "SE SE E S S S " +
            "E E E E S W").Split(' ');
        Assert.Equal(expected, Compass(D8Directions.Route(Teaching)));
    }

    [Fact]
    public void Compute_TeachingGrid_CountsTheDonors() =>
        Assert.Equal(TeachingCells, FlowAccumulation.Compute(D8Directions.Route(Teaching)).Values.ToArray());

    [Fact]
    public void Compute_CellOfTenMetres_CountsSquareMetres()
    {
        ElevationGrid ground = Surfaces.Listed(6, 6, 10, Teaching.Heights.ToArray());
        Grid<double> area = FlowAccumulation.Compute(D8Directions.Route(ground));
        Assert.Equal(3600, area[5, 4]);
        Assert.Equal(100, area[0, 0]);
    }

    // D-3: another exercise of unknown author, without ties; its inner cells computed here, steepest drop over distance by hand.
    [Fact]
    public void Route_CourseGrid_GivesPublishedInnerDirections()
    {
        ElevationGrid ground = Surfaces.Listed(6, 6, 1,
            1, 4, 6, 12, 20, 44,
            3, 4, 8, 11, 13, 24,
            5, 8, 15, 20, 25, 39,
            9, 14, 22, 32, 37, 47,
            12, 18, 31, 39, 44, 52,
            14, 26, 36, 43, 48, 58);
        string[] expected = "NW W NW W N NW N N NW NW NW NW NW W NW NW".Split(' ');
        string[] all = Compass(D8Directions.Route(ground));
        Assert.Equal(expected, Enumerable.Range(0, 16).Select(i => all[(((i / 4) + 1) * 6) + (i % 4) + 1]));
    }

    [Fact]
    public void Route_AnyFilledGrid_EveryCellReachesAnOutletWithoutRising() => DepressionFillingTests.Ground.Sample(
        ground =>
        {
            ElevationGrid filled = DepressionFilling.Fill(ground);
            D8Directions directions = D8Directions.Route(filled);
            GridFrame f = ground.Frame;
            for (int i = 0; i < f.CellCount; i++)
            {
                (int r, int c) = (i / f.Columns, i % f.Columns);
                if (float.IsNaN(filled[r, c]))
                {
                    Assert.Equal(D8Directions.NoFlow, directions[r, c]);
                    continue;
                }

                int steps = 0;
                while (f.Contains(r, c) && !float.IsNaN(filled[r, c]))
                {
                    float from = filled[r, c];
                    (int dr, int dc) = Step(directions[r, c]);
                    (r, c) = (r + dr, c + dc);
                    Assert.False(f.Contains(r, c) && filled[r, c] > from);
                    Assert.True(++steps <= f.CellCount);
                }
            }
        },
        iter: 2000);

    [Fact]
    public void Compute_AnyFilledGrid_OutflowEqualsTheGround() => DepressionFillingTests.Ground.Sample(
        ground =>
        {
            D8Directions directions = D8Directions.Route(DepressionFilling.Fill(ground));
            Grid<double> area = FlowAccumulation.Compute(directions);
            GridFrame f = ground.Frame;
            double outflow = 0;
            int cells = 0;
            for (int i = 0; i < f.CellCount; i++)
            {
                (int r, int c) = (i / f.Columns, i % f.Columns);
                Assert.Equal(float.IsNaN(ground[r, c]), double.IsNaN(area[r, c]));
                if (!float.IsNaN(ground[r, c]))
                {
                    cells++;
                    (int dr, int dc) = Step(directions[r, c]);
                    bool leaves = !f.Contains(r + dr, c + dc) || float.IsNaN(ground[r + dr, c + dc]);
                    outflow += leaves ? area[r, c] : 0;
                }
            }

            Assert.Equal(cells * f.CellArea, outflow);
        },
        iter: 1000);

    // Heights without ties in steepness: turning the ground turns the flow with it.
    [Fact]
    public void Compute_TurnedTeachingGrid_TurnsWithIt()
    {
        float[] z = Teaching.Heights.ToArray();
        Array.Reverse(z);
        double[] turned = [.. TeachingCells];
        Array.Reverse(turned);
        Assert.Equal(turned, FlowAccumulation.Compute(D8Directions.Route(Surfaces.Listed(6, 6, 1, z))).Values.ToArray());

        ElevationGrid mirrored = Surfaces.Changed(Teaching, (r, c, _) => Teaching[r, 5 - c]);
        double[] expected = [.. Enumerable.Range(0, 36).Select(i => TeachingCells[(i / 6 * 6) + 5 - (i % 6)])];
        Assert.Equal(expected, FlowAccumulation.Compute(D8Directions.Route(mirrored)).Values.ToArray());
    }

    [Fact]
    public void Route_AddedConstant_ChangesNothing() => DepressionFillingTests.Ground.Sample(
        ground =>
        {
            ElevationGrid filled = DepressionFilling.Fill(ground);
            D8Directions raised = D8Directions.Route(Surfaces.Changed(filled, (_, _, z) => z + 512));
            Assert.Equal(D8Directions.Route(filled).Codes.ToArray(), raised.Codes.ToArray());
        },
        iter: 500);

    // The case of Barnes, Lehman and Mulla 2014 in small: a level floor walled in but for one gap in the south.
    [Fact]
    public void Route_WalledFloor_LeadsAwayFromTheWallAndOutOfTheGap()
    {
        ElevationGrid ground = Surfaces.Changed(
            Surfaces.Make(9, 9, 1, (_, _) => 5),
            (r, c, z) => (r is 0 or 8 || c is 0 or 8) && !(r == 8 && c == 4) ? 9 : z);
        D8Directions directions = D8Directions.Route(ground);
        Grid<double> area = FlowAccumulation.Compute(directions);
        Assert.Equal(4, directions[8, 4]);
        Assert.Equal(4, directions[7, 4]);

        // South and inward are equally near the gap; the wall beside decides for inward.
        Assert.Equal(3, directions[3, 1]);
        Assert.Equal(5, directions[3, 7]);
        Assert.Equal(81 - 31 + Walls(directions), area[8, 4]);
        Assert.Equal(D8Directions.NoFlow, D8Directions.Route(Surfaces.Listed(3, 3, 1, 2, 2, 2, 2, 1, 2, 2, 2, 2))[1, 1]);
    }

    [Fact]
    public void Compute_LoopOfTwoCells_IsRefusedWithItsPlace()
    {
        GridFrame frame = new(1, 4, 1, 0, 1);
        D8Directions loop = D8Directions.Copy(frame, [2, 2, 6, D8Directions.NoFlow]);
        FlowLoopException error = Assert.Throws<FlowLoopException>(() => FlowAccumulation.Compute(loop));
        Assert.Equal(0, error.Row);
        Assert.InRange(error.Column, 1, 2);
        Assert.Throws<ArgumentException>(() => D8Directions.Copy(frame, [0, 1, 2, 8]));
        Assert.Throws<ArgumentException>(() => D8Directions.Copy(frame, [0, 1, 2]));
    }

    // How many wall cells drain into the floor.
    private static int Walls(D8Directions directions)
    {
        int inward = 0;
        for (int i = 0; i < 81; i++)
        {
            (int r, int c) = (i / 9, i % 9);
            (int dr, int dc) = Step(directions[r, c]);
            bool wall = (r is 0 or 8 || c is 0 or 8) && !(r == 8 && c == 4);
            inward += wall && directions.Frame.Contains(r + dr, c + dc) ? 1 : 0;
        }

        return inward;
    }

    private static (int Row, int Column) Step(byte code) => code switch
    {
        0 => (-1, 0),
        1 => (-1, 1),
        2 => (0, 1),
        3 => (1, 1),
        4 => (1, 0),
        5 => (1, -1),
        6 => (0, -1),
        7 => (-1, -1),
        _ => throw new ArgumentOutOfRangeException(nameof(code)),
    };

    // North-east is 45 degrees clockwise from north, and so on round; no flow is missing. The same by windows.
    [Fact]
    public void Degrees_AreAnEighthOfATurnACode()
    {
        GridFrame frame = new(3, 3, 1, 0, 3);
        byte[] codes = [0, 1, 2, 3, D8Directions.NoFlow, 4, 5, 6, 7];
        float[] expected = [0, 45, 90, 135, float.NaN, 180, 225, 270, 315];
        Assert.Equal(expected, DirectionDegrees.Of(D8Directions.Copy(frame, codes)).Values.ToArray());

        ArrayStore<byte> store = ArrayStore<byte>.Empty(frame);
        store.Write(new CellRange(0, 0, 3, 3), codes);
        IGridSource<float> degrees = DirectionDegrees.Of(store);
        Assert.Equal(frame, degrees.Frame);
        float[] window = new float[4];
        degrees.Read(new CellRange(1, 1, 2, 2), window);
        Assert.Equal([float.NaN, 180, 270, 315], window);
        Assert.Throws<ArgumentNullException>(() => DirectionDegrees.Of((IGridSource<byte>)null!));
    }
}
