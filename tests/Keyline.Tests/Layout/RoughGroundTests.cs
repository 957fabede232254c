using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout;
using Keyline.Planar;
using Keyline.Tests.Support;

namespace Keyline.Tests.Layout;

/// <summary>Grade that lines have, told from grade that the ground's roughness adds.</summary>
public sealed class RoughGroundTests
{
    // Ripples of a 3 cm amplitude and a length of 7 m across a slope of 5 %: up to 0.6 % over 10 m, which calming takes away.
    [Theory]
    [InlineData(0.03, 0.5, true)]
    [InlineData(0.03, 2, false)]
    [InlineData(0, 0.5, false)]
    public void RipplesFinerThanASpacing_AreToldOfWhereTheLimitIsLower(double ripple, double limit, bool told)
    {
        ElevationGrid ground = FieldGround.Of((x, y) => 30 + (0.05 * y) + (ripple * Math.Sin(x * 2 * Math.PI / 7)), 300, 300);
        LayoutOptions options = new() { Spacing = 3, MaximumGrade = limit, DesignFall = 0.4 };
        FieldSurvey survey = Survey(ground, options);
        RipLayout layout = RipLayoutDesigner.Design(survey, cancellationToken: TestContext.Current.CancellationToken);
        Assert.Equal(told, layout.Notes.Any(n => n.Contains("roughness sets the grade", StringComparison.Ordinal)));
        Assert.Equal(told, layout.Figures.WithinGradeShare < 0.97);
    }

    [Fact]
    public void LinesThatAreSteepThemselves_AreNotExcused()
    {
        FieldSurvey survey = Survey(FieldGround.Of((_, y) => 30 + (0.05 * y), 300, 300), new LayoutOptions { Spacing = 3, MaximumGrade = 1, DesignFall = 0.4 });
        PatternLine level = new(new LinePath([new XY(70, 150), new XY(230, 150)], false), -1, GuideSide.Upslope, 0);
        PatternLine falling = new(new LinePath([new XY(70, 150), new XY(230, 182)], false), -1, GuideSide.Upslope, 0);

        // 32 m to the north in 160 to the east, at 5 %: 0.98 % a metre of line; twice as far is 1.9 %.
        PatternLine steep = new(new LinePath([new XY(70, 130), new XY(230, 200)], false), -1, GuideSide.Upslope, 0);
        Assert.Equal(0, RoughGround.CalmOver(survey, [level, falling]), 12);
        Assert.Equal(1, RoughGround.CalmOver(survey, [steep]), 2);
        Assert.InRange(RoughGround.CalmOver(survey, [level, steep]), 0.5, 0.53);
        Assert.Null(RoughGround.Note(survey, [steep], 0));
        Assert.Null(RoughGround.Note(survey, [level], 0.98));
        Assert.NotNull(RoughGround.Note(survey, [level], 0.96));
        Assert.Contains("20 % of the length is steeper than 1 % over 10 m", RoughGround.Note(survey, [level], 0.8), StringComparison.Ordinal);
    }

    private static FieldSurvey Survey(ElevationGrid ground, LayoutOptions options)
    {
        ElevationGrid smoothed = GaussianSmoothing.Apply(ground, 4);
        return FieldSurvey.Prepare(new GroundReading(ground, smoothed, 4, LandformReader.Read(smoothed)), new FieldArea(FieldGround.Box(60, 60, 240, 240)), options, cancellationToken: TestContext.Current.CancellationToken);
    }
}
