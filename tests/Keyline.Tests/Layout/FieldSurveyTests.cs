using Keyline.Elevation;
using Keyline.Field;
using Keyline.Layout;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Layout;

/// <summary>A field prepared once, laid out, compared and priced from it.</summary>
public sealed class FieldSurveyTests
{
    private static readonly ElevationGrid Rolling = FieldGround.Of((x, y) => 60 - (0.06 * y) + (1.2 * Math.Cos(x / 24)), 1800, 320, 2);

    private static readonly LayoutOptions Options = new() { Spacing = 4 };

    [Fact]
    public void OneSurvey_GivesWhatSurveysOfTheirOwnGive()
    {
        FieldArea field = new(FieldGround.Box(60, 60, 260, 260));
        FieldSurvey survey = FieldSurvey.Prepare(Rolling, field, Options, cancellationToken: TestContext.Current.CancellationToken);
        IReadOnlyList<PricedLayout> priced = RipLayoutDesigner.PriceList(survey, cancellationToken: TestContext.Current.CancellationToken);
        KeylinePlan again = KeylinePlanner.Design(survey, cancellationToken: TestContext.Current.CancellationToken);
        KeylinePlan alone = KeylinePlanner.Design(Rolling, field, Options, cancellationToken: TestContext.Current.CancellationToken);
        Assert.NotEmpty(alone.Layout.Lines);
        Assert.Equal(alone.Layout.Lines.Select(l => l.Line.AsText()), again.Layout.Lines.Select(l => l.Line.AsText()));
        foreach (PricedLayout plan in priced)
        {
            LayoutOptions with = Options with { Prices = plan.Prices, DriftWorth = Options.DriftWorth / plan.Ease, LeastFall = plan.LeastFall };
            Assert.Equal(KeylinePlanner.Design(Rolling, field, with, cancellationToken: TestContext.Current.CancellationToken).Layout.Figures, plan.Layout.Figures);
        }
    }

    [Fact]
    public void APlan_TakesALayoutOfItsOwnSurvey_AndRefusesAnothers()
    {
        FieldArea field = new(FieldGround.Box(60, 60, 200, 200));
        FieldSurvey survey = FieldSurvey.Prepare(Rolling, field, Options, cancellationToken: TestContext.Current.CancellationToken);
        KeylinePlan plan = KeylinePlanner.Design(survey, cancellationToken: TestContext.Current.CancellationToken);
        RipLayout straight = LayoutComparison.Run(survey, cancellationToken: TestContext.Current.CancellationToken)[0].Layout;
        KeylinePlan other = plan.With(straight);
        Assert.Same(straight, other.Layout);
        Assert.Same(plan.Ground, other.Ground);
        Assert.Same(plan.Options, other.Options);
        KeylinePlan stranger = KeylinePlanner.Design(Rolling, field, Options, cancellationToken: TestContext.Current.CancellationToken);
        Assert.Throws<ArgumentException>("layout", () => stranger.With(straight));
    }

    [Fact]
    public void PiecesFarApart_CostTheirOwnCellsAndNoMore_AndAreBothLaidOut()
    {
        Polygon west = FieldGround.Box(60, 60, 200, 200);
        Polygon east = FieldGround.Box(1560, 60, 1740, 240);
        long Cells(Geometry boundary) => FieldSurvey.Prepare(Rolling, new FieldArea(boundary), Options, cancellationToken: TestContext.Current.CancellationToken).Rasters.Sum(r => r.Frame.CellCount);
        MultiPolygon both = FieldGround.Factory.CreateMultiPolygon([west, east]);
        Assert.Equal(Cells(west) + Cells(east), Cells(both));

        FieldSurvey survey = FieldSurvey.Prepare(Rolling, new FieldArea(both), Options, cancellationToken: TestContext.Current.CancellationToken);
        Assert.Equal(2, survey.Rasters.Count);

        // The ground between them has no say: it is left out of the reading, and each piece's own surroundings are in it.
        Assert.True(double.IsNaN(survey.Reading.Ground.HeightAt(900, 150)));
        Assert.All((Polygon[])[west, east], p => Assert.Equal(Rolling.HeightAt(p.Centroid.X, p.Centroid.Y + 110), survey.Reading.Ground.HeightAt(p.Centroid.X, p.Centroid.Y + 110)));
        foreach (RipLayout layout in (RipLayout[])[RipLayoutDesigner.Design(survey), .. LayoutComparison.Run(survey, cancellationToken: TestContext.Current.CancellationToken).Select(p => p.Layout)])
        {
            Assert.InRange(layout.Lines.Where(l => west.Covers(l.Line)).Sum(l => l.Line.Length), 0.75 * 128 * 128 / 4, 1.05 * 128 * 128 / 4);
            Assert.InRange(layout.Lines.Where(l => east.Covers(l.Line)).Sum(l => l.Line.Length), 0.75 * 168 * 168 / 4, 1.05 * 168 * 168 / 4);
            Assert.DoesNotContain(layout.Lines, l => l.Line.Coordinates.Any(c => double.IsNaN(c.Z)));
        }
    }

    [Theory]
    [InlineData(100, 1)]
    [InlineData(179, 1)]
    [InlineData(181, 2)]
    public void Pieces_AreOneGroup_WhereTheirMarginsMeet(double gap, int groups)
    {
        // Boxes widened by 90 m each meet where the gap is under 180 m; a third piece beyond the second keeps its own group.
        Geometry pieces = FieldGround.Factory.CreateMultiPolygon([FieldGround.Box(0, 0, 50, 50), FieldGround.Box(50 + gap, 0, 100 + gap, 50), FieldGround.Box(2000, 0, 2050, 50)]);
        IReadOnlyList<Geometry> found = FieldGroups.Of(pieces, 90);
        Assert.Equal(groups + 1, found.Count);
        Assert.Equal(pieces.Area, found.Sum(g => g.Area), 9);
    }

    [Fact]
    public void APieceBetweenTwoGroups_JoinsThem()
    {
        Geometry pieces = FieldGround.Factory.CreateMultiPolygon([FieldGround.Box(0, 0, 50, 50), FieldGround.Box(500, 0, 550, 50), FieldGround.Box(200, 0, 360, 50)]);
        Assert.Single(FieldGroups.Of(pieces, 90));
        Assert.Equal(3, FieldGroups.Of(pieces, 60).Count);
    }
}
