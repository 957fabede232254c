using Keyline.Tests.Support;
using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Layout;

/// <summary>Whole layouts on made ground where the right answer is known.</summary>
public sealed class LayoutDesignTests
{
    private static RipLayout Design(ElevationGrid ground, FieldArea field, LayoutOptions options)
    {
        ElevationGrid smoothed = GaussianSmoothing.Apply(ground, 4);
        LandformReading landform = LandformReader.Read(smoothed);
        return RipLayoutDesigner.Design(FieldSurvey.Prepare(new GroundReading(ground, smoothed, 4, landform), field, options));
    }

    [Fact]
    public void Plane_EveryLineIsAContour_AndTheFieldIsCovered()
    {
        // On a plane any parallel of a contour is a contour, so one guide serves and no line has a grade.
        ElevationGrid ground = FieldGround.Of((x, y) => (0.03 * x) + (0.04 * y), 300, 300);
        FieldArea field = new(FieldGround.Box(60, 60, 240, 240));
        RipLayout layout = Design(ground, field, new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 3, DesignFall = 0 });
        Assert.Single(layout.Guides);
        Assert.InRange(layout.Figures.Grade95, 0, 0.05);
        Assert.Equal(3, layout.Figures.MedianSpacing, 3);
        Assert.InRange(layout.Figures.Coverage, 0.96, 1);
        Assert.Empty(layout.Findings);
    }

    [Fact]
    public void Cone_LinesAreCircles()
    {
        ElevationGrid ground = FieldGround.Of((x, y) => 20 - (0.05 * Math.Sqrt(((x - 150) * (x - 150)) + ((y - 150) * (y - 150)))), 300, 300);
        FieldArea field = new(FieldGround.Factory.CreatePoint(new Coordinate(150, 150)).Buffer(110, 64));
        RipLayout layout = Design(ground, field, new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 4, DesignFall = 0 });
        Assert.Single(layout.Guides);
        foreach (RipLine line in layout.Lines)
        {
            double[] radii = [.. line.Line.Coordinates.Select(c => Math.Sqrt(((c.X - 150) * (c.X - 150)) + ((c.Y - 150) * (c.Y - 150))))];
            Assert.InRange(radii.Max() - radii.Min(), 0, 0.5);
        }

        Assert.Equal(0, layout.Figures.Crossings);
    }

    [Fact]
    public void SameInput_SameLines()
    {
        ElevationGrid ground = FieldGround.Of((x, y) => (0.0015 * (x - 150) * (x - 150)) - (0.05 * y) + 20, 300, 300);
        FieldArea field = new(FieldGround.Box(60, 60, 240, 240));
        LayoutOptions options = new() { Pattern = LinePattern.Parallel, Spacing = 3 };
        RipLayout first = Design(ground, field, options);
        RipLayout second = Design(ground, field, options);
        Assert.NotEmpty(first.Lines);
        Assert.Equal(first.Lines.Select(l => l.Line.ToString()), second.Lines.Select(l => l.Line.ToString()));
    }

    [Fact]
    public void Trough_WaterDriftsOutOfTheValley_AndNothingCrosses()
    {
        // The valley of the offset law: worked downward from its guides it drifts outward by itself, and graded guides add to it.
        ElevationGrid ground = FieldGround.Of((x, y) => (0.001 * (x - 200) * (x - 200)) - (0.05 * y) + 40, 400, 300);
        FieldArea field = new(FieldGround.Box(110, 60, 290, 240));
        RipLayout layout = Design(ground, field, new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 3 });
        Assert.InRange(layout.Figures.ToRidgeShare, 0.8, 1);
        Assert.InRange(layout.Figures.WithinGradeShare, 0.95, 1);
        Assert.Equal(0, layout.Figures.Crossings);
        Assert.InRange(layout.Figures.SpacingWithinShare, 0.9, 1);
    }

    [Fact]
    public void LinesStayInTheWorkableGround()
    {
        ElevationGrid ground = FieldGround.Of((x, y) => (0.001 * (x - 150) * (x - 150)) - (0.05 * y) + 40, 300, 300);
        FieldArea field = new(FieldGround.Box(60, 60, 240, 240), [new AvoidedArea(FieldGround.Factory.CreatePoint(new Coordinate(150, 150)), 15, "pond")]);
        RipLayout layout = Design(ground, field, new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 3, Headland = 8 });
        Geometry inner = field.Boundary.Buffer(-7.95);
        Geometry pond = field.Avoided[0].KeptClear.Buffer(-0.05);
        Assert.All(layout.Lines, l => Assert.True(inner.Covers(l.Line) && !pond.Intersects(l.Line)));
        Assert.All(layout.Lines, l => Assert.True(l.Line.Length >= 30 - 0.1));
        Assert.Equal(Enumerable.Range(1, layout.Lines.Count), layout.Lines.Select(l => l.Sequence));
    }

    [Fact]
    public void LandSteeperThanTheLimit_IsLeftOut()
    {
        // Slope 5 % west of x = 150, 20 % east of it.
        ElevationGrid ground = FieldGround.Of((x, y) => -0.05 * y - (x > 150 ? 0.194 * (x - 150) : 0) + 100, 300, 300);
        RipLayout layout = Design(ground, new FieldArea(FieldGround.Box(60, 60, 240, 240)), new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 3 });
        Assert.InRange(layout.Steep.Area, 80 * 180, 95 * 180);
        Assert.All(layout.Lines, l => Assert.True(l.Line.EnvelopeInternal.MaxX < 165));
        Assert.Contains(layout.Notes, n => n.Contains("steeper than 15 %", StringComparison.Ordinal));
    }

    [Fact]
    public void NothingWorkable_IsSaidInOneSentence()
    {
        ElevationGrid ground = FieldGround.Of((x, y) => -0.3 * y, 200, 200);
        GroundDataException error = Assert.Throws<GroundDataException>(() => Design(ground, new FieldArea(FieldGround.Box(60, 60, 140, 140)), new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 3 }));
        Assert.Contains("Nothing in the field can be worked", error.Message, StringComparison.Ordinal);
    }
}
