using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Layout.Even;

/// <summary>Whole plans of the even pattern, through the designer.</summary>
public sealed class EvenPlanTests
{
    private static readonly LayoutOptions Even = new() { Spacing = 3, Pattern = LinePattern.Even };

    [Fact]
    public void Plane_IsWorkedByEvenContours()
    {
        ElevationGrid ground = FieldGround.Of((x, y) => (0.03 * x) + (0.04 * y), 300, 300);
        RipLayout layout = Design(ground, new FieldArea(FieldGround.Box(60, 60, 240, 240)), Even);
        Assert.Equal(1, layout.GuideLevels);
        Assert.Equal(3, layout.Figures.MedianSpacing, 0.01);
        Assert.InRange(layout.Figures.Grade95, 0, 1.75);
        Assert.InRange(layout.Figures.Coverage, 0.96, 1);
        Assert.Equal(0, layout.Figures.Crossings);
        // No keypoint: the line along the general guide stands for a keyline. On a plane that is a contour, half as long as the longest or more (six tenths before the headland is taken off).
        GuideLine general = Assert.Single(layout.Guides);
        Assert.StartsWith("the line along the general guide", general.Reason, StringComparison.Ordinal);
        Assert.False(general.IsKeyline || general.IsPinned);
        LineString along = layout.Lines.Single(l => l.GuideId == general.Id).Line;
        LineString contour = GeneralGuide.Place(ground, FieldGround.Box(60, 60, 240, 240), TestContext.Current.CancellationToken)!;
        Assert.All(along.Coordinates, c => Assert.InRange(contour.Distance(new Point(c)), 0, 3.1));
        Assert.InRange(along.Length, 0.5 * layout.Lines.Max(l => l.Line.Length), 1000);
        Assert.Equal(layout.Lines.Count - 1, layout.Lines.Count(l => l.GuideId.Length == 0));
        Assert.Equal(layout.Lines.Select((_, i) => i + 1), layout.Lines.Select(l => l.Sequence));
    }

    [Fact]
    public void Hollows_FallTowardTheRidges_AndHoldTheLimit()
    {
        // Rounded valleys and spurs 120 m apart running down a slope of 6 %.
        ElevationGrid ground = FieldGround.Of((x, y) => 30 + (0.06 * y) + (1.4 * Math.Cos(x * 2 * Math.PI / 120)), 400, 320);
        FieldArea field = new(FieldGround.Box(80, 80, 320, 240));
        RipLayout even = Design(ground, field, Even);
        RipLayout parallel = Design(ground, field, Even with { Pattern = LinePattern.Parallel });
        Assert.InRange(even.Figures.ToRidgeShare, 0.85, 1);
        Assert.InRange(even.Figures.WithinGradeShare, 0.97, 1);
        Assert.InRange(even.Figures.Coverage, 0.9, 1);
        Assert.True(even.Figures.InnerEnds < parallel.Figures.InnerEnds);
        Assert.True(even.Figures.MeanLength > parallel.Figures.MeanLength);
        Assert.Contains(even.Notes, n => n.StartsWith("Even lines:", StringComparison.Ordinal));
    }

    [Fact]
    public void LinesThatGrazeAPole_StepAroundIt_AndOneThatMeetsItStops()
    {
        ElevationGrid ground = FieldGround.Of((x, y) => 30 + (0.04 * y), 300, 300);
        RipLayout bare = Design(ground, new FieldArea(FieldGround.Box(60, 60, 240, 240)), Even);
        RipLine[] straight = [.. bare.Lines.Where(l => l.Line.EndPoint.Y is > 100 and < 200).OrderBy(l => l.Line.EndPoint.Y)];
        double line = straight[10].Line.EndPoint.Y;

        // A pole with 1.2 m of room beside a line, 0.6 m into its way: a step of 0.6 m. On the line itself one of 2.2 m would be wanted, which would run into the next line.
        AvoidedArea grazed = new(new Point(150, line + 0.6), 1.2);
        AvoidedArea met = new(new Point(150, line), 2.2);
        RipLayout stepped = Design(ground, new FieldArea(FieldGround.Box(60, 60, 240, 240), [grazed]), Even);
        Assert.Equal(bare.Lines.Count, stepped.Lines.Count);
        Assert.All(stepped.Lines, l => Assert.True(l.Line.Distance(grazed.KeptClear) > -1e-9 && !grazed.KeptClear.Buffer(-0.05).Intersects(l.Line)));
        Assert.Contains(stepped.Lines, l => l.Line.Distance(grazed.KeptClear) < 0.3 && l.Line.Length > 150);
        Assert.Equal(bare.Lines.Count + 1, Design(ground, new FieldArea(FieldGround.Box(60, 60, 240, 240), [met]), Even).Lines.Count);
    }

    [Fact]
    public void LessWorthToDrift_EndsFewerLines()
    {
        ElevationGrid ground = FieldGround.Of((x, y) => 30 + (0.05 * y) + (1.2 * Math.Cos(x * 2 * Math.PI / 90) * Math.Cos(y / 60)), 400, 400);
        FieldArea field = new(FieldGround.Box(80, 80, 320, 320));
        RipLayout drift = Design(ground, field, Even with { DriftWorth = 3 });
        RipLayout ease = Design(ground, field, Even with { DriftWorth = 0.2 });
        Assert.True(ease.Figures.LineEnds < drift.Figures.LineEnds);
        Assert.True(ease.Figures.ToRidgeShare * ease.Figures.DriftingShare < drift.Figures.ToRidgeShare * drift.Figures.DriftingShare);
    }

    [Fact]
    public void PinnedLine_IsALineOfThePlan_AndOneOutsideIsTold()
    {
        ElevationGrid ground = FieldGround.Of((x, y) => 30 + (0.05 * y), 300, 300);
        FieldArea field = new(FieldGround.Box(60, 60, 240, 240))
        {
            PinnedGuides = [new PinnedGuide(FieldGround.Line((50, 141), (150, 143), (250, 141))), new PinnedGuide(FieldGround.Line((5, 10), (50, 12)))],
        };
        RipLayout layout = Design(ground, field, Even);
        GuideLine guide = Assert.Single(layout.Guides);
        Assert.True(guide.IsPinned);
        RipLine[] on = [.. layout.Lines.Where(l => l.GuideId == guide.Id)];
        Assert.NotEmpty(on);
        Assert.All(on, l => Assert.InRange(Enumerable.Range(1, 20).Max(k => field.PinnedGuides[0].Line.Distance(l.Line.GetPointN(k * (l.Line.NumPoints - 1) / 20))), 0, 0.2));
        Assert.Contains(layout.Notes, n => n.StartsWith("Pinned guide 2 is no line of the plan", StringComparison.Ordinal));
    }

    [Fact]
    public void KeylineOfAClearKeypoint_IsALineOfThePlan()
    {
        // A valley that falls at 9 % to a break and at 3 % below it, in a slope that carries on to both sides.
        static double Floor(double y) => y > 0 ? 0.09 * y : 0.03 * y;
        ElevationGrid ground = FieldGround.Of((x, y) => 50 + Floor(y - 250) + (0.0006 * Math.Min((x - 250) * (x - 250), 60 * 60)) + (0.03 * Math.Max(0, Math.Abs(x - 250) - 60)), 500, 500);
        FieldArea field = new(FieldGround.Box(120, 150, 380, 350));
        ElevationGrid smoothed = GaussianSmoothing.ApplyTwice(ground, 6);
        LandformReading landform = LandformReader.Read(smoothed);
        Assert.Contains(landform.Keypoints, k => k.Class == KeypointClass.Clear && field.Boundary.Covers(k.Location));
        RipLayout layout = RipLayoutDesigner.Design(FieldSurvey.Prepare(new GroundReading(ground, smoothed, 6, landform), field, Even));
        GuideLine keyline = Assert.Single(layout.Guides);
        Assert.True(keyline.IsKeyline);
        Assert.Contains(layout.Lines, l => l.GuideId == keyline.Id && l.Line.Length > 60);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(0.5)]
    [InlineData(double.NaN)]
    public void ToleranceThatNoPlanCanBeMadeWith_IsRefused(double tolerance) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => (Even with { SpacingTolerance = tolerance }).Validate());

    [Fact]
    public void DialsBelowNothing_AreRefused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => (Even with { DriftWorth = 0 }).Validate());
        Assert.Throws<ArgumentOutOfRangeException>(() => (Even with { LeastFall = -0.1 }).Validate());
        Even.Validate();
    }

    private static RipLayout Design(ElevationGrid ground, FieldArea field, LayoutOptions options)
    {
        ElevationGrid smoothed = GaussianSmoothing.ApplyTwice(ground, 6);
        return RipLayoutDesigner.Design(FieldSurvey.Prepare(new GroundReading(ground, smoothed, 6, LandformReader.Read(smoothed)), field, options), null, TestContext.Current.CancellationToken);
    }
}
