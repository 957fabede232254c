using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout;
using Keyline.Planar;
using Keyline.Tests.Support;

namespace Keyline.Tests.Layout;

/// <summary>What becomes of a pattern's lines and guides when they are named and lifted.</summary>
public sealed class LayoutFinishTests
{
    [Fact]
    public void GuideThatLiesOutsideTheField_IsShownWhereItIs_AndOneInsideWhereItIsInTheField()
    {
        ElevationGrid ground = FieldGround.Of((_, y) => 30 + (0.05 * y), 300, 300);
        FieldSurvey survey = FieldSurvey.Prepare(new GroundReading(ground, ground, 1, LandformReader.Read(ground)), new FieldArea(FieldGround.Box(60, 60, 240, 240)), new LayoutOptions { Spacing = 3 }, cancellationToken: TestContext.Current.CancellationToken);
        PatternLines pattern = new(
            [
                new PatternGuide(FieldGround.Line((70, 30), (230, 30)), 31.5, false, false, "outside"),
                new PatternGuide(FieldGround.Line((10, 150), (290, 150)), 37.5, false, false, "across"),
            ],
            [
                new PatternLine(new LinePath([new XY(70, 75), new XY(230, 75)], false), 0, GuideSide.Upslope, 45),
                new PatternLine(new LinePath([new XY(70, 150), new XY(230, 150)], false), 1, GuideSide.Upslope, 0),
            ],
            2,
            LayoutCost.Nothing);
        RipLayout layout = LayoutFinish.Finish(survey, pattern, null, TestContext.Current.CancellationToken);
        Assert.Equal(160, layout.Guides[0].Line.Length, 1e-6);
        Assert.Equal(180, layout.Guides[1].Line.Length, 1e-6);
        Assert.Equal(60, layout.Guides[1].Line.EnvelopeInternal.MinX, 1e-6);
    }
}
