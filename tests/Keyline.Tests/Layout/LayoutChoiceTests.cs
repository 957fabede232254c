using System.Globalization;
using System.Text.RegularExpressions;
using Keyline.Tests.Support;
using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout;
using Keyline.Layout.Parallels;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Layout;

/// <summary>What is chosen on made ground where the best is known, and what the choice is held to.</summary>
public sealed class LayoutChoiceTests
{
    private static readonly ElevationGrid Trough = FieldGround.Of((x, y) => (0.001 * (x - 200) * (x - 200)) - (0.05 * y) + 40, 400, 300);
    private static readonly ElevationGrid Ridge = FieldGround.Of((x, y) => (-0.001 * (x - 200) * (x - 200)) - (0.05 * y) + 60, 400, 300);

    // Rolling ground: three valleys side by side on a slope that eases.
    private static readonly ElevationGrid Rolling = FieldGround.Of((x, y) => 60 - (0.09 * y) + (0.00008 * y * y) + (1.6 * Math.Cos(x / 24) * (0.4 + (y / 300))), 420, 380);

    private static FieldSurvey Survey(ElevationGrid ground, FieldArea field, LayoutOptions options)
    {
        ElevationGrid smoothed = GaussianSmoothing.Apply(ground, 4);
        return FieldSurvey.Prepare(new GroundReading(ground, smoothed, 4, LandformReader.Read(smoothed)), field, options, cancellationToken: TestContext.Current.CancellationToken);
    }

    private static RipLayout Design(ElevationGrid ground, FieldArea field, LayoutOptions options) =>
        RipLayoutDesigner.Design(Survey(ground, field, options), cancellationToken: TestContext.Current.CancellationToken);

    // The rule of the offset law, for true contours: a valley is worked downward from its guides, a ridge upward.
    [Theory]
    [InlineData(true, GuideSide.Downslope)]
    [InlineData(false, GuideSide.Upslope)]
    public void TrueContours_ValleysAreWorkedDownward_RidgesUpward(bool valley, GuideSide side)
    {
        RipLayout layout = Design(valley ? Trough : Ridge, new FieldArea(FieldGround.Box(110, 60, 290, 240)), new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 3, DesignFall = 0 });
        double off = layout.Lines.Where(l => l.Offset > 0).Sum(l => l.Measures.Length);
        Assert.InRange(layout.Lines.Where(l => l.Offset > 0 && l.Side == side).Sum(l => l.Measures.Length) / off, 0.75, 1);
        Assert.InRange(layout.Figures.ToRidgeShare, 0.9, 1);
    }

    [Fact]
    public void MirroredGround_GivesThePlanMirrored()
    {
        ElevationGrid mirrored = FieldGround.Of((x, y) => 60 - (0.09 * y) + (0.00008 * y * y) + (1.6 * Math.Cos((420 - x) / 24) * (0.4 + (y / 300))), 420, 380);
        LayoutOptions options = new() { Pattern = LinePattern.Parallel, Spacing = 3 };
        RipLayout one = Design(Rolling, new FieldArea(FieldGround.Box(60, 60, 320, 300)), options);
        RipLayout other = Design(mirrored, new FieldArea(FieldGround.Box(100, 60, 360, 300)), options);
        Assert.InRange(other.Figures.TotalLength / one.Figures.TotalLength, 0.97, 1.03);
        Assert.InRange(other.Figures.ToRidgeShare - one.Figures.ToRidgeShare, -0.03, 0.03);
    }

    [Fact]
    public void PriceList_IsAFront_AndItsEndsAreWhatTheySay()
    {
        FieldArea field = new(FieldGround.Box(60, 60, 360, 320));
        IReadOnlyList<PricedLayout> plans = RipLayoutDesigner.PriceList(Survey(Rolling, field, new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 3 }), cancellationToken: TestContext.Current.CancellationToken);
        Assert.InRange(plans.Count, 5, 8);
        for (int i = 1; i < plans.Count; i++)
        {
            Assert.True(plans[i].Layout.Guides.Count < plans[i - 1].Layout.Guides.Count);
            Assert.True(plans[i].Layout.Figures.ToRidgeShare < plans[i - 1].Layout.Figures.ToRidgeShare);
        }

        LayoutCost cost = plans[0].Layout.Cost;
        Assert.Equal(cost.SteepLines + cost.WrongDrift + cost.Corners + cost.BareGround + cost.LineEnds + cost.Guides, cost.Total, 6);
        Assert.All(plans, p => Assert.Equal(0, p.Layout.Figures.Crossings));
    }

    [Fact]
    public void Comparison_ChosenGuidesDriftMoreThanTheUsualWays_AndAllKeepTheirNature()
    {
        FieldArea field = new(FieldGround.Box(60, 60, 360, 320));
        IReadOnlyList<PatternLayout> patterns = LayoutComparison.Run(Survey(Rolling, field, new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 3 }), cancellationToken: TestContext.Current.CancellationToken);
        Assert.Equal(Enum.GetValues<LayoutPattern>(), patterns.Select(p => p.Pattern));
        RipLayout straight = patterns[0].Layout;
        Assert.All(straight.Lines, l => Assert.InRange(l.Line.StartPoint.Distance(l.Line.EndPoint), l.Line.Length - 1e-6, l.Line.Length + 1e-6));
        Assert.Single(patterns[1].Layout.Guides);
        Assert.InRange(patterns[2].Layout.GuideLevels, 2, 20);
        Assert.InRange(patterns[3].Layout.GuideLevels, 2, 100);
        double ours = patterns[4].Layout.Figures.ToRidgeShare;
        Assert.All(patterns.Take(4), p => Assert.True(p.Layout.Figures.ToRidgeShare < ours - 0.1));
        Assert.All(patterns, p => Assert.Equal(0, p.Layout.Figures.Crossings));
        Assert.InRange(patterns[4].Layout.Figures.WithinGradeShare, patterns[0].Layout.Figures.WithinGradeShare, 1);

        // What each pattern is for: chosen guides drift most and cover least well, even lines end least often inside the field.
        Assert.True(patterns[5].Layout.Figures.InnerEnds < patterns[4].Layout.Figures.InnerEnds);
        Assert.True(patterns[5].Layout.Figures.Coverage > patterns[4].Layout.Figures.Coverage);
        Assert.InRange(patterns[5].Layout.Figures.WithinGradeShare, patterns[0].Layout.Figures.WithinGradeShare, 1);
    }

    [Fact]
    public void ValleysAndRidges_EachWorksTheGroundNearestToIt_ValleysFromAboveAndRidgesFromBelow()
    {
        // A valley down the middle of the field and a ridge to each side of it, 120 m off.
        ElevationGrid ground = FieldGround.Of((x, y) => 60 - (0.05 * y) - (2.5 * Math.Cos((x - 250) * Math.PI / 120)), 500, 440);
        FieldSurvey survey = Survey(ground, new FieldArea(FieldGround.Box(130, 80, 370, 360)), new LayoutOptions { Spacing = 3 });
        (LineString Line, bool Valley)[] lines = [.. survey.Reading.Landform.Valleys.Select(v => (v.Line, true)), .. survey.Reading.Landform.Ridges.Select(r => (r.Line, false))];
        (int Keypoints, int Valleys, int Ridges) counts = default;
        GuideBlock[] blocks = [.. ValleysAndRidges.Blocks(survey, survey.Rasters[0], survey.Workable, ref counts, TestContext.Current.CancellationToken)];
        Assert.Equal(blocks.Length, counts.Keypoints + counts.Valleys + counts.Ridges);
        Assert.InRange(counts.Keypoints + counts.Valleys, 1, 2);
        Assert.InRange(counts.Ridges, 2, 4);
        Assert.Equal(survey.Workable.Area, blocks.Sum(b => b.Area.Area), 1.0);
        Assert.All(blocks, b => Assert.InRange(b.Area.Area, 1e4, 1e6));
        foreach (GuideBlock block in blocks)
        {
            // Points of the lines are 12 m apart, so a place may be taken to be nearer by what half of that makes: under a metre, this far from them.
            Point inside = block.Area.InteriorPoint;
            (LineString Line, bool Valley) nearest = lines.MinBy(l => l.Line.Distance(inside));
            Assert.All(Enumerable.Range(0, 200).Select(i => FieldGround.Factory.CreatePoint(new Coordinate(132 + (i % 20 * 12), 82 + (i / 20 * 28)))).Where(p => block.Area.Covers(p)),
                p => Assert.InRange(nearest.Line.Distance(p) - lines.Min(l => l.Line.Distance(p)), 0, 1));

            // The guide's place in the heights of its ground: high in a valley, low on a ridge.
            double[] heights = [.. block.Terrain.Heights.Where((_, i) => block.Area.EnvelopeInternal.Contains(block.Terrain.Frame.CentreX(i % block.Terrain.Frame.Columns), block.Terrain.Frame.CentreY(i / block.Terrain.Frame.Columns))).Order()];
            double share = heights.Count(h => h < block.Levels[1].Level) / (double)heights.Length;
            Assert.InRange(share, nearest.Valley ? 0.6 : 0, nearest.Valley ? 0.95 : 0.35);
            Assert.Single(block.Levels[1].Pieces);
        }
    }

    [Fact]
    public void PinnedGuide_IsKept_AndLinesRunParallelToIt()
    {
        // A fence a little off the contour: 0.75 % along it on this plane, within the limit.
        ElevationGrid plane = FieldGround.Of((_, y) => 0.05 * y, 300, 300);
        LineString fence = FieldGround.Line((40, 140), (260, 173));
        RipLayout layout = Design(plane, new FieldArea(FieldGround.Box(50, 50, 250, 250)) { PinnedGuides = [new PinnedGuide(fence)] }, new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 3 });
        GuideLine pinned = Assert.Single(layout.Guides, g => g.IsPinned);
        RipLine[] beside = [.. layout.Lines.Where(l => l.GuideId == pinned.Id)];
        Assert.InRange(beside.Length, 20, 25);
        Assert.All(beside, l => Assert.All(l.Line.Coordinates, c => Assert.Equal(l.Offset, fence.Distance(new Point(c)), 6)));
        Assert.Contains(layout.Lines, l => l.GuideId != pinned.Id);
        Assert.Equal(0, layout.Figures.Crossings);
    }

    [Theory]
    [InlineData(LinePattern.Parallel)]
    [InlineData(LinePattern.Even)]
    public void PinnedGuide_NotToBeRipped_IsFollowedAndLeftAlone(LinePattern pattern)
    {
        ElevationGrid plane = FieldGround.Of((_, y) => 0.05 * y, 300, 300);
        LineString fence = FieldGround.Line((40, 150), (150, 151.4), (260, 150));
        LayoutOptions options = new() { Pattern = pattern, Spacing = 3 };
        RipLayout ripped = Design(plane, new FieldArea(FieldGround.Box(50, 50, 250, 250)) { PinnedGuides = [new PinnedGuide(fence)] }, options);
        RipLayout layout = Design(plane, new FieldArea(FieldGround.Box(50, 50, 250, 250)) { PinnedGuides = [new PinnedGuide(fence, IsRipped: false)] }, options);
        Assert.Contains(ripped.Lines, l => l.Line.Distance(fence) < 0.2);
        Assert.All(layout.Lines, l => Assert.InRange(l.Line.Distance(fence), 2.6, 300));
        Assert.Equal(2, layout.Lines.Count(l => l.Line.Distance(fence) < 3.4));
        Assert.Equal("pinned, not to be ripped", layout.Guides.Single(g => g.IsPinned).Reason);
    }

    [Fact]
    public void MostGuides_AreHeld_AndEachSaysWhy()
    {
        FieldArea field = new(FieldGround.Box(60, 60, 230, 220));
        LayoutOptions options = new() { Pattern = LinePattern.Parallel, Spacing = 3 };
        RipLayout free = Design(Rolling, field, options);
        RipLayout held = Design(Rolling, field, options with { MostGuides = 3 });
        Assert.InRange(held.GuideLevels, 1, 3);
        Assert.True(free.GuideLevels > 3);

        // No more is given up than it takes: with one guide less allowed, more are left than with three.
        Assert.InRange(Design(Rolling, field, options with { MostGuides = free.GuideLevels - 1 }).GuideLevels, held.GuideLevels + 1, free.GuideLevels - 1);

        // A guide that carries few lines has to earn it: at these prices 7 of 14 levels carry fewer than five a piece, 9 of 15 where that costs nothing.
        int few = free.Guides.GroupBy(g => g.Level).Count(level => free.Lines.Count(l => level.Any(g => g.Id == l.GuideId)) < 5 * level.Count());
        Assert.InRange(few, 0, 7);
        Assert.All(free.Guides.Concat(held.Guides), g => Assert.NotEqual("", g.Reason));
        Assert.DoesNotContain(free.Guides, g => g.Reason.Contains('{', StringComparison.Ordinal));

        // What a reason says of the guide beside it holds: how far it is, and on which side.
        Dictionary<string, GuideLine> named = free.Guides.ToDictionary(g => g.Id);
        int told = 0;
        foreach (GuideLine guide in free.Guides)
        {
            Match reason = Regex.Match(guide.Reason, @"^(\d+) m (above|below) (G\d+), whose parallels here ");
            if (reason.Success)
            {
                told++;
                GuideLine beside = named[reason.Groups[3].Value];
                Assert.Equal(reason.Groups[2].Value == "above", guide.Level > beside.Level);
                Assert.InRange(guide.Line.Distance(beside.Line), double.Parse(reason.Groups[1].Value, CultureInfo.InvariantCulture) - 0.6, 1000);
            }
        }

        Assert.True(told > 3);
        Assert.Throws<ArgumentOutOfRangeException>(() => (options with { Pattern = LinePattern.Even, MostGuides = 3 }).Validate());
    }

    [Fact]
    public void LeastMeanLength_GivesUpDrift_OrSaysThatItCannot()
    {
        FieldArea field = new(FieldGround.Box(60, 60, 230, 220));
        LayoutOptions options = new() { Pattern = LinePattern.Parallel, Spacing = 3 };
        RipLayout plain = Design(Rolling, field, options);
        RipLayout longer = Design(Rolling, field, options with { LeastMeanLength = plain.Figures.MeanLength + 10 });
        Assert.True(longer.Figures.MeanLength >= plain.Figures.MeanLength + 9, $"{plain.Figures.MeanLength} then {longer.Figures.MeanLength}");
        Assert.Contains(longer.Notes, n => n.Contains("drift was weighed", StringComparison.Ordinal));
        Assert.Contains(Design(Rolling, field, options with { LeastMeanLength = 5000 }).Notes, n => n.Contains("cannot be had", StringComparison.Ordinal));
    }

    [Fact]
    public void PinnedGuide_OutsideTheField_IsToldOf()
    {
        ElevationGrid plane = FieldGround.Of((_, y) => 0.05 * y, 300, 300);
        RipLayout layout = Design(plane, new FieldArea(FieldGround.Box(50, 50, 250, 250)) { PinnedGuides = [new PinnedGuide(FieldGround.Line((10, 20), (290, 20)))] }, new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 3 });
        Assert.DoesNotContain(layout.Guides, g => g.IsPinned);
        Assert.Contains(layout.Notes, n => n.StartsWith("The pinned guide has no place", StringComparison.Ordinal));
    }

    [Fact]
    public void PinnedGuide_TooSteep_StandsAlone()
    {
        ElevationGrid plane = FieldGround.Of((_, y) => 0.05 * y, 300, 300);
        RipLayout layout = Design(plane, new FieldArea(FieldGround.Box(50, 50, 250, 250)) { PinnedGuides = [new PinnedGuide(FieldGround.Line((60, 60), (240, 240)))] }, new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 3 });
        GuideLine pinned = Assert.Single(layout.Guides, g => g.IsPinned);
        Assert.Single(layout.Lines, l => l.GuideId == pinned.Id);
        Assert.Contains(layout.Findings, f => f.Kind == FindingKind.TooSteepAlongLine);
    }

    [Fact]
    public void SmallThing_IsSteppedAround_WhereALineOnlyGrazesIt()
    {
        ElevationGrid plane = FieldGround.Of((_, y) => 0.05 * y, 300, 300);
        FieldArea bare = new(FieldGround.Box(50, 50, 250, 250));
        FieldArea poled = new(bare.Boundary, [new AvoidedArea(FieldGround.Factory.CreatePoint(new Coordinate(150, 150)), 2.2, "pole")]);
        LayoutOptions options = new() { Pattern = LinePattern.Parallel, Spacing = 4, DesignFall = 0 };
        RipLayout layout = Design(plane, poled, options);
        LineString[] near = [.. layout.Lines.Select(l => l.Line).Where(l => l.Distance(poled.Avoided[0].Shape) < 4.5)];
        Assert.Contains(near, l => l.EnvelopeInternal.Width > 180 && l.EnvelopeInternal.Height > 0.2);
        Assert.All(layout.Lines, l => Assert.True(l.Line.Distance(poled.Avoided[0].Shape) >= 2.19));
        Assert.All(layout.Lines, l => Assert.True(l.Measures.MinimumRadius >= 7.9));
        Assert.InRange(layout.Lines.Count - Design(plane, bare, options).Lines.Count, 0, 1);
    }

    [Fact]
    public void SeparateFields_HaveGuidesOfTheirOwn()
    {
        // Two fields on the two sides of one slope, whose heights do not overlap.
        ElevationGrid slope = FieldGround.Of((x, y) => 0.05 * y + (0.004 * x), 300, 500);
        MultiPolygon two = FieldGround.Factory.CreateMultiPolygon([FieldGround.Box(50, 50, 250, 200), FieldGround.Box(50, 300, 250, 450)]);
        RipLayout layout = Design(slope, new FieldArea(two), new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 3, DesignFall = 0 });
        Assert.Equal(2, layout.GuideLevels);
        Assert.All(layout.Guides, g => Assert.True(g.Line.EnvelopeInternal.MaxY < 250 || g.Line.EnvelopeInternal.MinY > 250));
        Assert.InRange(layout.Figures.Coverage, 0.94, 1);
    }

    [Fact]
    public void FieldWithAHole_KeepsItsHeadlandAroundIt()
    {
        Polygon holed = FieldGround.Factory.CreatePolygon(FieldGround.Box(50, 50, 250, 250).Shell, [FieldGround.Box(120, 120, 180, 180).Shell]);
        RipLayout layout = Design(FieldGround.Of((_, y) => 0.05 * y, 300, 300), new FieldArea(holed), new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 3 });
        Assert.NotEmpty(layout.Lines);
        Assert.All(layout.Lines, l => Assert.True(l.Line.Distance(holed.GetInteriorRingN(0)) >= 5.99));
        Assert.DoesNotContain(layout.Findings, f => f.Kind == FindingKind.InHeadland);
    }

    [Fact]
    public void StripsBetweenBands_AreNoNarrowerThanHalf_AndGapsNoWiderThanOneAndAHalf()
    {
        RipLayout layout = Design(Rolling, new FieldArea(FieldGround.Box(60, 60, 360, 320)), new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 3 });
        SegmentBins index = new(Rolling.Frame.Extent, 3);
        LinePath[] paths = [.. layout.Lines.Select(l => new LinePath([.. l.Line.Coordinates.Select(c => new XY(c.X, c.Y))], false))];
        for (int i = 0; i < paths.Length; i++)
        {
            index.Add(paths[i], i);
        }

        int[] one = new int[paths.Length];
        Assert.All(paths.Select((p, i) => (p, i)), line => Assert.All(line.p.Resample(2).Points, p => Assert.True(index.Nearest(p, new XY(1, 0), 3, line.i, one).Any > 1.5)));

        // Ground farther than three quarters of a spacing from any line is only where no line of the least length fits.
        Geometry bare = layout.Workable;
        foreach (LinePath path in paths)
        {
            bare = bare.Difference(FieldGround.Factory.CreateLineString(path.ToCoordinates()).Buffer(0.76 * 3, 2));
        }

        double longest = Enumerable.Range(0, bare.NumGeometries).Select(bare.GetGeometryN).Where(g => g.Area > 20).Select(g => g.EnvelopeInternal.Diameter).DefaultIfEmpty(0).Max();
        Assert.InRange(longest, 0, 75);
    }

    [Fact]
    public void RowGradeRule_AsksForGentlerLinesOnGentlerLand()
    {
        LayoutOptions plain = new() { Pattern = LinePattern.Parallel, Spacing = 3, MaximumGrade = 2 };
        RipLayout ruled = Design(Rolling, new FieldArea(FieldGround.Box(60, 60, 360, 320)), plain with { RowGrade = RowGradeRule.ContourFarming });
        RipLayout free = Design(Rolling, new FieldArea(FieldGround.Box(60, 60, 360, 320)), plain with { MaximumGrade = 6 });
        Assert.True(ruled.Figures.Grade95 < free.Figures.Grade95);
        Assert.InRange(ruled.Figures.WithinGradeShare, 0.95, 1);
    }

    [Theory]
    [InlineData(3, 0.75, 2.25, "rips 0.75 m apart throughout")]
    [InlineData(3, 0.75, 3.0, "1.50 m from one pass to the next")]
    [InlineData(1, 0.75, 3.0, "rips 3.00 m apart")]
    public void Shanks_SayWhichRipsResult(int count, double spacing, double passes, string said)
    {
        ShankSet shanks = new(count, spacing);
        Assert.Equal(count * spacing, shanks.PassSpacing, 12);
        Assert.Contains(said, shanks.Describe(passes), StringComparison.Ordinal);
    }

    [Fact]
    public void Shanks_WiderThanThePasses_AreRefused()
    {
        ArgumentOutOfRangeException error = Assert.Throws<ArgumentOutOfRangeException>(() => new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 1.5, Shanks = new ShankSet(4, 0.5) }.Validate());
        Assert.Contains("overlap", error.Message, StringComparison.Ordinal);
    }
}
