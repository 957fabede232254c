using Keyline.Check;
using Keyline.Field;
using Keyline.Formats.Tests.Support;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Formats.Tests.Layout;

/// <summary>Whole plans on real ground: what must hold on any field, and figures that must not fall back.</summary>
/// <remarks>Data: public elevation with made field outlines, as in docs/layout-figures.md; the least shares are those of the
/// day they were written, less two or three points.</remarks>
public sealed class RealFieldTests
{
    [Theory]
    [InlineData("gabilan_gentled_1m", "gabilan_gentled_1m_b", 0.95, 0.85, 0.76)]
    [InlineData("fortbragg_1m", "fortbragg_1m", 0.73, 0.58, 0.80)]
    [InlineData("slovenia_1m", "slovenia_1m", 0.86, 0.67, 0.84)]
    [InlineData("uk_farmland_2m", "uk_farmland_2m", 0.96, 0.90, 0.88)]
    [InlineData("iowa_field_3m", "iowa_field_3m", 0.97, 0.43, 0.83)]
    public void Plan_HoldsWhatMustHold_AndDriftsAsItDid(string dem, string field, double grade, double drift, double coverage)
    {
        CancellationToken stop = TestContext.Current.CancellationToken;
        string outline = TrialData.File(field + ".field.geojson");
        ElevationSource ground = ElevationReader.Read([TrialData.File(dem + ".tif")], new ElevationReadOptions { Window = FieldReader.ReadWindow(outline) }, stop);
        ground = GroundMending.Mend(ground, new GroundMendingOptions(), stop);
        string avoid = Path.ChangeExtension(Path.ChangeExtension(outline, null), "avoid.geojson");
        FieldArea area = FieldReader.ReadField(outline, ground.Crs, File.Exists(avoid) ? FieldReader.ReadAvoided(avoid, ground.Crs) : null);
        LayoutOptions options = new() { Spacing = 3.048 };
        RipLayout layout = KeylinePlanner.Design(ground.Grid, area, options, cancellationToken: stop).Layout;

        Assert.Equal(0, layout.Figures.Crossings);
        Assert.InRange(layout.Figures.MinimumRadius, 7.8, double.PositiveInfinity);
        Geometry inner = area.Boundary.Buffer(-5.9);
        Assert.All(layout.Lines, l => Assert.True(inner.Covers(l.Line)));
        Assert.All(area.Avoided, a => Assert.All(layout.Lines, l => Assert.True(l.Line.Distance(a.Shape) >= a.Setback - 0.05)));
        Assert.All(layout.Lines, l => Assert.True(l.Measures.Length >= 29.9));
        Assert.DoesNotContain(layout.Findings, f => f.Kind is FindingKind.TooClose or FindingKind.OutsideField or FindingKind.InAvoidedArea or FindingKind.InHeadland or FindingKind.LinesCross or FindingKind.TurnTooTight);
        Assert.InRange(layout.Figures.WithinGradeShare, grade, 1);
        Assert.InRange(layout.Figures.ToRidgeShare, drift, 1);
        Assert.InRange(layout.Figures.Coverage, coverage, 1);
    }
}
