using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Drainage;

/// <summary>Grids with nothing in them, with one value, or with the lowest place on the edge get a clear answer.</summary>
public sealed class OddGroundTests
{
    [Theory]
    [InlineData(1, 1)]
    [InlineData(1, 9)]
    [InlineData(9, 1)]
    [InlineData(70, 140)]
    public void Chain_NoData_HasNoFlowAnywhere(int rows, int columns)
    {
        ElevationGrid ground = Surfaces.Make(rows, columns, 1, (_, _) => double.NaN);
        ElevationGrid filled = DepressionFilling.Fill(ground);
        D8Directions directions = D8Directions.Route(filled);
        Assert.All(filled.Heights.ToArray(), z => Assert.True(float.IsNaN(z)));
        Assert.All(directions.Codes.ToArray(), code => Assert.Equal(D8Directions.NoFlow, code));
        Assert.All(FlowAccumulation.Compute(directions).Values.ToArray(), area => Assert.True(double.IsNaN(area)));
    }

    // Level ground drains to its nearest edge: nobody walks farther than to the middle, and all of it leaves.
    [Theory]
    [InlineData(1, 1)]
    [InlineData(1, 9)]
    [InlineData(9, 1)]
    [InlineData(70, 141)]
    public void Chain_OneValue_LeavesByTheNearestEdge(int rows, int columns)
    {
        ElevationGrid ground = Surfaces.Make(rows, columns, 1, (_, _) => 7);
        Assert.Equal(ground.Heights.ToArray(), DepressionFilling.Fill(ground).Heights.ToArray());
        D8Directions directions = D8Directions.Route(ground);
        Grid<double> area = FlowAccumulation.Compute(directions);
        double leaving = 0;
        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < columns; c++)
            {
                (int row, int column, int steps) = (r, c, 0);
                while (ground.Frame.Contains(row, column))
                {
                    byte code = directions[row, column];
                    (row, column) = (row + Neighbours.RowStep(code), column + Neighbours.ColumnStep(code));
                    steps++;
                }

                Assert.Equal(1 + Math.Min(Math.Min(r, rows - 1 - r), Math.Min(c, columns - 1 - c)), steps);
                leaving += steps == 1 ? area[r, c] : 0;
            }
        }

        Assert.Equal(rows * columns, leaving);
    }

    [Fact]
    public void Chain_LowestPlaceOnTheEdge_IsAnOutletNotAHollow()
    {
        ElevationGrid ground = Surfaces.Make(31, 41, 1, (x, y) => Math.Abs(x) + (15 - y));
        ElevationGrid filled = DepressionFilling.Fill(ground);
        Assert.Equal(ground.Heights.ToArray(), filled.Heights.ToArray());
        D8Directions directions = D8Directions.Route(filled);
        Assert.Equal(0, directions[0, 20]);
        Assert.Equal(31 * 41, FlowAccumulation.Compute(directions)[0, 20]);
    }

    [Fact]
    public void Copy_InfiniteHeight_IsRefused() =>
        Assert.Throws<ArgumentException>(() => ElevationGrid.Copy(new GridFrame(1, 2, 1, 0, 1), [1, float.PositiveInfinity]));

    // 65,536 x 65,536 cells are 2^32: the count must not wrap to none.
    [Fact]
    public void CellCount_PastTwoToTheThirtySecond_DoesNotWrap()
    {
        GridFrame frame = new(65_536, 65_536, 1, 0, 0);
        Assert.Equal(4_294_967_296, frame.CellCount);
        Assert.Throws<ArgumentException>(() => ElevationGrid.Copy(frame, []));
        Assert.Equal(16_384, new TileCut(frame, 512).Count);
        Assert.Equal(new Keyline.Elevation.CellRange(65_024, 65_024, 512, 512), new TileCut(frame, 512).RangeOf(16_383));
    }
}
