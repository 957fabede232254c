using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Elevation;

/// <summary>Holes and what is put into them.</summary>
public sealed class VoidFillingTests
{
    private static readonly GridFrame Frame = new(40, 50, 2.0, 1000, 2000);

    private static readonly Func<int, int, bool> Hole = (r, c) => (r - 20) * (r - 20) + ((c - 25) * (c - 25)) < 60;

    [Fact]
    public void Fill_HoleInAPlane_CarriesThePlaneOn()
    {
        // A plane solves Laplace's equation, on the cells as on paper.
        ElevationGrid plane = Make((r, c) => 312.5 + (0.13 * r) - (0.07 * c), Hole);
        ElevationGrid filled = VoidFilling.Fill(plane, 1e6).Ground;
        for (int r = 0; r < Frame.Rows; r++)
        {
            for (int c = 0; c < Frame.Columns; c++)
            {
                Assert.Equal(312.5 + (0.13 * r) - (0.07 * c), filled[r, c], 5e-5);
            }
        }
    }

    [Fact]
    public void Fill_HoleInASaddle_CarriesTheSaddleOn()
    {
        // x y is harmonic too, and the five-point form of Laplace's equation is exact for it.
        ElevationGrid saddle = Make((r, c) => 100 + (0.01 * (r - 20) * (c - 25)), Hole);
        ElevationGrid filled = VoidFilling.Fill(saddle, 1e6).Ground;
        Assert.Equal(100 + (0.01 * 3 * 4), filled[23, 29], 2e-5);
        Assert.Equal(100 - (0.01 * 5 * 2), filled[25, 23], 2e-5);
    }

    [Fact]
    public void Fill_RoughRim_IsTheMeanOfNeighboursAndStaysInItsRange()
    {
        ElevationGrid rough = Make((r, c) => 50 + (3 * Math.Sin(r * 0.9) * Math.Cos(c * 0.7)) + (0.2 * r), Hole);
        ElevationGrid filled = VoidFilling.Fill(rough, 1e6).Ground;

        // The plain way: average until still.
        double[,] z = new double[Frame.Rows, Frame.Columns];
        for (int r = 0; r < Frame.Rows; r++)
        {
            for (int c = 0; c < Frame.Columns; c++)
            {
                z[r, c] = Hole(r, c) ? 50 : rough[r, c];
            }
        }

        for (int sweep = 0; sweep < 4000; sweep++)
        {
            for (int r = 1; r < Frame.Rows - 1; r++)
            {
                for (int c = 1; c < Frame.Columns - 1; c++)
                {
                    z[r, c] = Hole(r, c) ? (z[r - 1, c] + z[r + 1, c] + z[r, c - 1] + z[r, c + 1]) / 4 : z[r, c];
                }
            }
        }

        for (int r = 0; r < Frame.Rows; r++)
        {
            for (int c = 0; c < Frame.Columns; c++)
            {
                Assert.Equal(z[r, c], filled[r, c], 1e-5);
            }
        }
    }

    [Fact]
    public void Fill_ListsEveryHoleAndFillsTheSmallInnerOnes()
    {
        ElevationGrid ground = Make((r, c) => r + c, (r, c) =>
            (r == 5 && c is 5 or 6 && r == 5)               // two cells
            || (r == 9 && c == 9) || (r == 10 && c == 10)   // two that touch at a corner: one hole
            || (r is >= 20 and < 30 && c is >= 20 and < 30) // a hundred cells
            || (r < 3 && c == 40));                         // open to the north
        VoidFillingResult result = VoidFilling.Fill(ground, 4 * 4.0);
        Assert.Equal([(3, true, false), (2, false, true), (2, false, true), (100, false, false)], result.Voids.Select(v => (v.Cells, v.ReachesEdge, v.Filled)));
        GroundVoid large = result.Voids[3];
        Assert.Equal((400.0, 1000 + 50.0, 2000 - 50.0), (large.Area, large.X, large.Y));
        Assert.Equal(103, result.Ground.Heights.ToArray().Count(float.IsNaN));
        Assert.Equal(11f, result.Ground[5, 6], 1e-4);
    }

    [Fact]
    public void Fill_NothingToFill_ReturnsTheGroundItself()
    {
        ElevationGrid whole = Make((r, c) => r, (_, _) => false);
        Assert.Same(whole, VoidFilling.Fill(whole, 1e9).Ground);
        ElevationGrid empty = Make((_, _) => 0, (_, _) => true);
        VoidFillingResult result = VoidFilling.Fill(empty, 1e9);
        Assert.Same(empty, result.Ground);
        Assert.True(Assert.Single(result.Voids).ReachesEdge);
    }

    [Fact]
    public void Fill_AreaThatIsNone_IsRefused()
    {
        ElevationGrid ground = Make((r, c) => r, (_, _) => false);
        Assert.Throws<ArgumentOutOfRangeException>(() => VoidFilling.Fill(ground, -1));
        Assert.Throws<ArgumentOutOfRangeException>(() => VoidFilling.Fill(ground, double.NaN));
    }

    private static ElevationGrid Make(Func<int, int, double> height, Func<int, int, bool> hole)
    {
        float[] z = new float[Frame.CellCount];
        for (int i = 0; i < z.Length; i++)
        {
            (int r, int c) = (i / Frame.Columns, i % Frame.Columns);
            z[i] = hole(r, c) ? float.NaN : (float)height(r, c);
        }

        return ElevationGrid.Copy(Frame, z);
    }
}
