using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Elevation;

public sealed class GridWindowTests
{
    // Cell (row, column) of 10 by 12 cells of 2 m holds 100 row + column; west 50, north 120.
    private static readonly ElevationGrid Ground = ElevationGrid.Copy(new GridFrame(10, 12, 2, 50, 120), [.. Enumerable.Range(0, 120).Select(i => (100f * (i / 12)) + (i % 12))]);

    [Fact]
    public void Crop_KeepsPlacesAndHeights()
    {
        // Columns 2 to 4 have their centres at 55, 57 and 59 m, rows 2 to 4 at 115, 113 and 111: those just outside the window are kept.
        ElevationGrid near = GridWindow.Crop(Ground, new Envelope(55.5, 58.5, 111.5, 114.5))!;
        Assert.Equal((3, 3, 54.0, 116.0), (near.Frame.Rows, near.Frame.Columns, near.Frame.West, near.Frame.North));
        Assert.Equal(203, near[0, 1]);
        Assert.Equal(Ground.HeightAt(57, 113), near.HeightAt(57, 113));
    }

    [Fact]
    public void Crop_OfAll_IsTheGrid_AndOfNothing_IsNull()
    {
        Assert.Same(Ground, GridWindow.Crop(Ground, new Envelope(60, 61, 110, 111), 100));
        Assert.Null(GridWindow.Crop(Ground, new Envelope(200, 210, 110, 112)));
        Assert.Null(GridWindow.Crop(Ground, new Envelope(60, 62, 10, 12), 5));
        Assert.Null(GridWindow.Crop(Ground, new Envelope()));
        Assert.NotNull(GridWindow.Crop(Ground, new Envelope(200, 210, 110, 112), 140));
    }
}
