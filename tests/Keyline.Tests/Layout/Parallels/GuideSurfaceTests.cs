using Keyline.Elevation;
using Keyline.Field;
using Keyline.Layout;
using Keyline.Layout.Parallels;
using Keyline.Planar;
using Keyline.Tests.Support;

namespace Keyline.Tests.Layout.Parallels;

/// <summary>The surface of guides and lines that step around things, on ground where the answer can be said beforehand.</summary>
public sealed class GuideSurfaceTests
{
    // On a plane whose position rises evenly along the contour, the energy w (a - aim)^2 + s a^2 of a walk a x has its least at
    // a = w aim / (w + s); the constants are those the surface documents: w from 0.4 % of slope, s = 0.06.
    [Theory]
    [InlineData(1)]
    [InlineData(-1)]
    public void Walk_OnAPlane_IsTheLeastOfItsEnergy(int sense)
    {
        const double Slope = 0.05;
        ElevationGrid ground = FieldGround.Of((_, y) => Slope * y, 400, 400);
        Grid<float> position = Grid.Copy<float>(ground.Frame, [.. Enumerable.Range(0, (int)ground.Frame.CellCount).Select(i => (float)(0.5 + (sense * 0.001 * (ground.Frame.CentreX(i % ground.Frame.Columns) - 200))))]);
        LayoutRaster raster = LayoutRaster.Create(ground, position, new(100, 300, 100, 300), 60, new LayoutOptions { Spacing = 3 }, TestContext.Current.CancellationToken);
        GuideSurface surface = GuideSurface.Create(raster, 0.8, TestContext.Current.CancellationToken);
        double weight = Slope * Slope / ((Slope * Slope) + (0.004 * 0.004));
        double call = 0.001 / Math.Sqrt((0.001 * 0.001) + (0.0003 * 0.0003));
        double expected = sense * weight * call / (weight + 0.06);
        GridFrame frame = raster.Frame;
        int row = frame.Rows / 2;
        int west = (row * frame.Columns) + (frame.Columns / 4);
        int east = (row * frame.Columns) + (3 * frame.Columns / 4);
        double walked = (surface.Walked[east] - surface.Walked[west]) / ((east - west) * frame.CellSize);
        Assert.InRange(walked / expected, 0.98, 1.02);
        Assert.Equal(raster.Heights[east] + (0.008 * surface.Walked[east]), surface.Levels[east], 9);
    }

    [Fact]
    public void ALineThatGrazesASmallThing_StepsAroundIt_ByNoMoreThanItMust()
    {
        LayoutOptions options = new() { Pattern = LinePattern.Parallel, Spacing = 3 };
        FieldArea field = new(FieldGround.Box(0, 0, 200, 100), [new AvoidedArea(FieldGround.Factory.CreatePoint(new NetTopologySuite.Geometries.Coordinate(100, 51.5)), 2.2)]);
        AreaClip inside = new(field.Boundary.Difference(field.Avoided[0].KeptClear));
        LinePath line = new([.. Enumerable.Range(5, 190).Select(i => new XY(i, 50))], false);
        List<LinePath> pieces = inside.Inside(line, 5);
        Assert.Equal(2, pieces.Count);
        LinePath one = Assert.Single(new StepAround(field, options).Join(line, pieces, inside, 30));
        Assert.Equal(line.Points[0], one.Points[0]);
        Assert.Equal(line.Points[^1], one.Points[^1]);
        Assert.True(one.Points.Min(p => (p - new XY(100, 51.5)).Norm) >= 2.2 - 0.02);

        // 0.7 m to the south clears it; 5.2 m would to the north.
        Assert.InRange(one.Points.Min(p => p.Y), 50 - 1.0, 50 - 0.65);
        Assert.InRange(one.Points.Max(p => p.Y), 50, 50.01);
        Assert.All(Enumerable.Range(3, one.Count - 6), i => Assert.InRange(Math.Abs(one.CurvatureAt(i, 3)), 0, 1 / options.MinimumRadius));
    }

    [Fact]
    public void ALineThatMeetsALargeThing_Stops()
    {
        FieldArea field = new(FieldGround.Box(0, 0, 200, 100), [new AvoidedArea(FieldGround.Factory.CreatePoint(new NetTopologySuite.Geometries.Coordinate(100, 50)), 12)]);
        AreaClip inside = new(field.Boundary.Difference(field.Avoided[0].KeptClear));
        LinePath line = new([.. Enumerable.Range(5, 190).Select(i => new XY(i, 50))], false);
        Assert.Equal(2, new StepAround(field, new LayoutOptions { Spacing = 3 }).Join(line, inside.Inside(line, 5), inside, 30).Count);
    }
}
