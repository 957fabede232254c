using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Layout;

/// <summary>The two plain patterns: one bearing, and the parallels of one keyline.</summary>
public sealed class StraightLinesTests
{
    // Planes with contours at a known bearing: plane geometry, computed here.
    [Theory]
    [InlineData(30)]
    [InlineData(97.5)]
    [InlineData(171)]
    public void OnAPlane_TheBestBearingIsTheContour_AndLinesLieASpacingApart(double downhill)
    {
        (double sin, double cos) = Math.SinCos(downhill * Math.PI / 180);
        FieldSurvey survey = Survey((x, y) => 60 - (0.06 * ((x * sin) + (y * cos))), new LayoutOptions { Spacing = 3, Pattern = LinePattern.Straight });
        (double bearing, double held) = StraightLines.BestBearing(survey, TestContext.Current.CancellationToken);
        Assert.Equal((downhill + 90) % 180, bearing, 0.26);
        Assert.Equal(1, held, 6);

        RipLayout layout = RipLayoutDesigner.Design(survey, cancellationToken: TestContext.Current.CancellationToken);
        Assert.Equal(double.PositiveInfinity, layout.Figures.MinimumRadius);
        Assert.Equal(1, layout.Figures.WithinGradeShare, 6);
        Assert.Single(layout.Guides);
        Assert.Contains("breaks the grade limit least", layout.Guides[0].Reason, StringComparison.Ordinal);
        Assert.True(double.IsNaN(layout.Guides[0].Level));
        (double along, double across) = Math.SinCos(bearing * Math.PI / 180);
        double[] places = [.. layout.Lines.Select(l => l.Line.Coordinates).Select(c => (c[0].X * across) - (c[0].Y * along)).Order()];
        Assert.All(places.Zip(places.Skip(1), (a, b) => b - a), gap => Assert.Equal(3, gap, 0.01));
        Assert.True(layout.Figures.Coverage > 0.95);
        Assert.DoesNotContain(layout.Notes, n => n.Contains("straight", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(110)]
    [InlineData(290)]
    public void ABearingAskedFor_IsTheOneLaid(double bearing)
    {
        FieldSurvey survey = Survey((x, _) => 60 - (0.05 * x), new LayoutOptions { Spacing = 3, Pattern = LinePattern.Straight, Bearing = bearing });
        RipLayout layout = RipLayoutDesigner.Design(survey, cancellationToken: TestContext.Current.CancellationToken);
        Assert.NotEmpty(layout.Lines);
        Assert.All(layout.Lines, l =>
        {
            Coordinate[] c = l.Line.Coordinates;
            Assert.Equal(110, ((Math.Atan2(c[^1].X - c[0].X, c[^1].Y - c[0].Y) * 180 / Math.PI) + 360) % 180, 0.05);
        });
        Assert.Contains("asked for", layout.Guides[0].Reason, StringComparison.Ordinal);
    }

    // Half of the ground falls north, half east, both by 5 %: along either contour one half holds 2 % and the other breaks it.
    [Fact]
    public void WhatIsHeld_IsTheShareOfGroundWithinTheLimit()
    {
        FieldSurvey survey = Survey((x, y) => 60 - (0.05 * (x < 150 ? y : x)), new LayoutOptions { Spacing = 3 });
        (double bearing, double held) = StraightLines.BestBearing(survey, TestContext.Current.CancellationToken);
        Assert.Equal(0.5, held, 0.05);
        Assert.True(bearing % 90 is < 30 or > 60);
        Assert.Null(StraightLines.Note(survey, 0.5, TestContext.Current.CancellationToken));
    }

    [Fact]
    public void WhereTheLandHasLittleToSay_StraightLinesAreSpokenOf_AndOnlyThere()
    {
        // Knobs of 15 cm: slopes of 1.9 % at most.
        FieldSurvey survey = Survey((x, y) => 60 + (0.15 * Math.Sin(x / 11) * Math.Sin(y / 13)), new LayoutOptions { Spacing = 3 });
        string? said = StraightLines.Note(survey, 0.52, TestContext.Current.CancellationToken);
        Assert.Contains("Only 52 % of what drifts here", said, StringComparison.Ordinal);
        Assert.Contains("over 100 % of this ground", said, StringComparison.Ordinal);
        Assert.Contains("No line drifts here", StraightLines.Note(survey, double.NaN, TestContext.Current.CancellationToken), StringComparison.Ordinal);
        Assert.NotNull(StraightLines.Note(survey, 0.649, TestContext.Current.CancellationToken));
        Assert.Null(StraightLines.Note(survey, 0.65, TestContext.Current.CancellationToken));

        // A plan says it, as long as it is not straight itself: on a plane no line drifts.
        FieldSurvey plane = Survey((x, _) => 60 - (0.05 * x), new LayoutOptions { Spacing = 3, Pattern = LinePattern.Parallel, DesignFall = 0 });
        Assert.Contains(RipLayoutDesigner.Design(plane, cancellationToken: TestContext.Current.CancellationToken).Notes, n => n.StartsWith("No line drifts here; straight lines", StringComparison.Ordinal));
        RipLayout even = RipLayoutDesigner.Design(survey, cancellationToken: TestContext.Current.CancellationToken);
        Assert.Equal(!(even.Figures.ToRidgeShare >= 0.65), even.Notes.Any(n => n.Contains("pattern straight", StringComparison.Ordinal)));
    }

    [Fact]
    public void OneKeyline_IsPlannedAsItIsCompared()
    {
        FieldSurvey survey = Survey((x, y) => 60 - (0.05 * y) + (0.0008 * (x - 150) * (x - 150)), new LayoutOptions { Spacing = 3, Pattern = LinePattern.OneKeyline });
        RipLayout layout = RipLayoutDesigner.Design(survey, cancellationToken: TestContext.Current.CancellationToken);
        PatternLayout compared = LayoutComparison.Run(survey, cancellationToken: TestContext.Current.CancellationToken).Single(p => p.Pattern == LayoutPattern.OneKeyline);
        Assert.Single(layout.Guides);
        Assert.Equal(compared.Detail, layout.Guides[0].Reason);
        Assert.NotEmpty(layout.Lines);
        Assert.Equal(compared.Layout.Lines.Select(l => l.Line.AsText()), layout.Lines.Select(l => l.Line.AsText()));
        Assert.All(layout.Lines, l => Assert.Equal(Math.Round(l.Offset / 3), l.Offset / 3, 1e-6));
        Assert.Single(RipLayoutDesigner.PriceList(survey, cancellationToken: TestContext.Current.CancellationToken));
    }

    [Fact]
    public void WhatThesePatternsCannotHold_IsRefused()
    {
        ElevationGrid ground = FieldGround.Of((x, _) => 60 - (0.05 * x), 300, 300);
        FieldArea pinned = new(FieldGround.Box(60, 60, 240, 240)) { PinnedGuides = [new PinnedGuide(FieldGround.Line((70, 70), (70, 230)))] };
        Assert.All((LinePattern[])[LinePattern.Straight, LinePattern.OneKeyline], pattern =>
            Assert.Contains("Pinned lines", Assert.Throws<GroundDataException>(() => KeylinePlanner.Design(ground, pinned, new LayoutOptions { Spacing = 3, Pattern = pattern }, cancellationToken: TestContext.Current.CancellationToken)).Message, StringComparison.Ordinal));
        Assert.All((LayoutOptions[])
            [
                new() { Spacing = 3, Bearing = -1 }, new() { Spacing = 3, Bearing = 360 }, new() { Spacing = 3, Bearing = double.PositiveInfinity },
                new() { Spacing = 3, Pattern = LinePattern.Straight, MostGuides = 3 }, new() { Spacing = 3, Pattern = LinePattern.OneKeyline, MostGuides = 3 },
            ],
            options => Assert.Throws<ArgumentOutOfRangeException>(options.Validate));
        new LayoutOptions { Spacing = 3, Bearing = 359.5 }.Validate();
    }

    private static FieldSurvey Survey(Func<double, double, double> z, LayoutOptions options)
    {
        ElevationGrid ground = FieldGround.Of(z, 300, 300);
        ElevationGrid smoothed = GaussianSmoothing.Apply(ground, 4);
        return FieldSurvey.Prepare(new GroundReading(ground, smoothed, 4, LandformReader.Read(smoothed)), new FieldArea(FieldGround.Box(60, 60, 240, 240)), options, cancellationToken: TestContext.Current.CancellationToken);
    }
}
