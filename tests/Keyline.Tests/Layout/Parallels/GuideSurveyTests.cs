using Keyline.Elevation;
using Keyline.Field;
using Keyline.Layout;
using Keyline.Layout.Parallels;
using Keyline.Planar;
using Keyline.Tests.Support;

namespace Keyline.Tests.Layout.Parallels;

/// <summary>What candidates are found to be worth, on ground where it can be said beforehand.</summary>
public sealed class GuideSurveyTests
{
    private static readonly LayoutOptions Options = new() { Pattern = LinePattern.Parallel, Spacing = 4, Headland = 0, MinimumLength = 10 };

    // A plane falling 5 % to the south: every contour is as good a guide as every other.
    private static readonly FieldSurvey Plane = FieldSurvey.Prepare(FieldGround.Of((_, y) => 0.05 * y, 400, 400), new FieldArea(FieldGround.Box(100, 100, 300, 300)), Options);

    private static LayoutRaster Raster => Plane.Rasters[0];

    private static CandidateGuide Contour(double y, double from = 0, double to = 400, bool isKeyline = false) =>
        new(0.05 * y, [new LinePath([.. Enumerable.Range(0, (int)(to - from) + 1).Select(i => new XY(from + i, y))], false)], isKeyline);

    private static GuideBlock Block(params CandidateGuide[] guides) => GuideBlock.WithGuides(
        Raster, GuideSurface.Of(Raster.Heights), Plane.Workable, [new CandidateGuide(0.05 * 50, []), .. guides, new CandidateGuide(0.05 * 350, [])], Options, _ => double.PositiveInfinity, TestContext.Current.CancellationToken);

    [Fact]
    public void AKeylineLevel_IsFree_AndSoItIsTheGuideChosenOnAPlane()
    {
        LayoutPrices prices = new();
        (IReadOnlyList<GuideBand> bands, LayoutCost cost) = Block(Contour(150), Contour(200), Contour(250, isKeyline: true)).Survey.Choose(prices);
        Assert.Equal([3], bands.Select(b => b.Guide).Distinct());
        Assert.Equal(0, cost.Guides);

        (bands, cost) = Block(Contour(150), Contour(200), Contour(250)).Survey.Choose(prices);
        Assert.Single(bands.Select(b => b.Guide).Distinct());
        Assert.Equal(prices.Guide, cost.Guides, 6);
    }

    [Fact]
    public void EveryKeylineLevel_IsAGuide_ThoughOneOfThemWouldDo()
    {
        (IReadOnlyList<GuideBand> bands, LayoutCost cost) = Block(Contour(150, isKeyline: true), Contour(200), Contour(250, isKeyline: true)).Survey.Choose(new LayoutPrices());
        Assert.Equal([1, 3], bands.Select(b => b.Guide).Distinct().Order());
        Assert.Equal(0, cost.Guides);
    }

    [Fact]
    public void GroundBeyondTheEndsOfAGuide_IsCountedBare_AndPriced()
    {
        // The guide spans 150 to 250 of a field from 100 to 300: half the field, 20 000 m2, has no line.
        GuideBlock half = Block(Contour(200, 150, 250));
        LayoutPrices prices = new();
        LayoutCost cost = half.Survey.Cost([(1, 0, 1), (1, 1, 2)], prices);
        Assert.InRange(cost.BareGround / prices.BareGround, 0.94 * 20_000, 1.06 * 20_000);
        Assert.Equal(0, Block(Contour(200)).Survey.Cost([(1, 0, 1), (1, 1, 2)], prices).BareGround, 6);

        // Whole contours above and below it are worth their price then.
        (IReadOnlyList<GuideBand> bands, _) = Block(Contour(170, 190, 210), Contour(200)).Survey.Choose(prices);
        Assert.Equal([2], bands.Select(b => b.Guide).Distinct());
    }

    [Fact]
    public void SteepGround_IsWhatALineWouldClimb_CellByCell()
    {
        // A guide that runs square to the contours climbs 5 % everywhere, against a limit of 2 %: all of it is over.
        CandidateGuide square = new(0.05 * 200, [new LinePath([.. Enumerable.Range(0, 401).Select(i => new XY(200, i))], false)]);
        GuideBlock block = Block(square);
        Assert.Equal(1, block.Survey.SteepShare(1, 0, 2), 6);
        LayoutPrices prices = new();
        Assert.InRange(block.Survey.Cost([(1, 0, 1), (1, 1, 2)], prices).SteepLines / prices.SteepLine, 0.97 * 40_000, 1.03 * 40_000);
        Assert.Equal(0, Block(Contour(200)).Survey.SteepShare(1, 0, 2), 6);
    }

    [Fact]
    public void Candidates_PartTheGround_IntoStripsALittleWiderThanASpacing()
    {
        GuideBlock block = GuideBlock.Create(
            Raster, GuideSurface.Create(Raster, 0, TestContext.Current.CancellationToken), Plane.Workable, _ => false, Plane.Margin, Options, [], _ => double.PositiveInfinity, null, TestContext.Current.CancellationToken);

        // 200 m of contours a metre of height every 20 m, in strips of 1.2 spacings of 4 m: 41 candidates or so.
        double[] levels = [.. block.Levels.Skip(1).SkipLast(1).Select(l => l.Level)];
        double[] strips = [.. levels.Skip(1).Zip(levels, (b, a) => (b - a) / 0.05)];
        Assert.InRange(strips.Average(), 1.1 * Options.Spacing, 1.35 * Options.Spacing);
        Assert.InRange(strips.Max(), 0, 1.8 * Options.Spacing);
    }

    [Fact]
    public void LinesThatFillPockets_KeepTheirDistance()
    {
        FieldSurvey rolling = FieldSurvey.Prepare(
            FieldGround.Of((x, y) => 60 - (0.05 * y) + (2.2 * Math.Sin(x / 31) * Math.Cos(y / 43)) + (0.8 * Math.Sin((x + y) / 17)), 420, 380), new FieldArea(FieldGround.Box(60, 60, 360, 320)), new LayoutOptions { Pattern = LinePattern.Parallel, Spacing = 3 });
        GuideBlock block = GuideBlock.Create(
            rolling.Rasters[0], GuideSurface.Create(rolling.Rasters[0], 0.8, TestContext.Current.CancellationToken), rolling.Workable, _ => false, rolling.Margin, rolling.Options, [], _ => double.PositiveInfinity, null, TestContext.Current.CancellationToken);
        LinePlacement placement = new(rolling.Workable.EnvelopeInternal, new StepAround(rolling.Field, rolling.Options), rolling.Options);
        placement.PlacePart(block, 0, block.Survey.Choose(new LayoutPrices()).Bands, TestContext.Current.CancellationToken);
        Assert.InRange(placement.Lines.Count - placement.PocketsFrom, 3, placement.Lines.Count / 2);
        double nearest = double.PositiveInfinity;
        for (int i = 0; i < placement.Lines.Count; i++)
        {
            LinePath line = placement.Lines[i].Path;
            if (i >= placement.PocketsFrom)
            {
                nearest = Math.Min(nearest, line.Points.Min(p => placement.Lines.Take(i).Min(o => Away(o.Path, p))));
            }
        }

        Assert.InRange(nearest, LinePlacement.LeastPocketShare * 3 - 1e-9, 0.7 * 3);
        Assert.Equal(0.6, LinePlacement.LeastPocketShare);
    }

    private static double Away(LinePath path, XY p)
    {
        double best = double.PositiveInfinity;
        for (int i = 0; i < path.SegmentCount; i++)
        {
            best = Math.Min(best, SegmentBins.SquareDistance(p, path.Points[i], path.End(i)));
        }

        return Math.Sqrt(best);
    }
}
