using Keyline.Elevation;

namespace Keyline.Tests.Elevation;

public sealed class GridFrameTests
{
    private static readonly GridFrame Frame = new(3, 4, 2, 100, 50);

    // Cells of 2 m from x = 100 and down from y = 50: borders belong to the cell in the east and in the south.
    [Theory]
    [InlineData(101, 49, 0, 0, 0)]
    [InlineData(100, 50, 0, 0, 0)]
    [InlineData(102, 48, 1, 1, 5)]
    [InlineData(101.999, 48.001, 0, 0, 0)]
    [InlineData(107.9, 44.1, 2, 3, 11)]
    [InlineData(108, 45, 2, 4, -1)]
    [InlineData(101, 44, 3, 0, -1)]
    [InlineData(99.99, 49, 0, -1, -1)]
    [InlineData(101, 50.01, -1, 0, -1)]
    public void CellAt_AnyPlace_IsTheCellThatHoldsIt(double x, double y, int row, int column, int index)
    {
        Assert.Equal((row, column), Frame.CellAt(x, y));
        Assert.Equal(index, Frame.IndexAt(x, y));
    }

    [Fact]
    public void IndexAt_NoPlace_IsOutside() => Assert.Equal(-1, Frame.IndexAt(double.NaN, 49));

    [Fact]
    public void IndexAt_CentresOfCells_AreTheirOwnNumbers()
    {
        GridFrame frame = new(70, 90, 0.3, 500_000.1, 7_000_000.7);
        for (int i = 0; i < frame.CellCount; i++)
        {
            Assert.Equal(i, frame.IndexAt(frame.CentreX(i % frame.Columns), frame.CentreY(i / frame.Columns)));
        }
    }
}
