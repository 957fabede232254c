using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Check;

/// <summary>Runs along a line, their lengths, places and the limit that holds there.</summary>
public sealed class LineProfileTests
{
    private static readonly LineLimits Limits = new() { Spacing = 3, MaximumGrade = 2, MinimumLength = 0, MaximumSlope = 40, MaximumSideSlope = 40 };

    private static LayoutCheckResult Check(ElevationGrid ground, LineString line, LineLimits? limits = null, FieldArea? field = null) =>
        LayoutCheck.Run([new CheckedLine("L1", "", line)], ground, field, limits ?? Limits, null, TestContext.Current.CancellationToken);

    // Level but for two ramps of 5 %, 40 m long each.
    private static double TwoRamps(double x) => -0.05 * (Math.Clamp(x - 60, 0, 40) + Math.Clamp(x - 180, 0, 40));

    [Fact]
    public void EverySteepRun_IsReported()
    {
        LayoutFinding[] steep = [.. Check(FieldGround.Of((x, _) => TwoRamps(x), 300, 60), FieldGround.Line((20, 30), (280, 30))).Findings.Where(f => f.Kind == FindingKind.TooSteepAlongLine)];
        Assert.Equal(2, steep.Length);
        Assert.Equal([80, 200], steep.Select(f => f.X), (a, b) => Math.Abs(a - b) <= 3);
        Assert.All(steep, f => Assert.Equal((5.0, 2.0), (Math.Round(f.Value, 2), f.Limit)));

        // A base of 10 m is steeper than 2.5 % where more than half of it lies on a ramp: 40 m, give or take the sampling.
        Assert.All(steep, f => Assert.Equal(40, f.Length, 3.0));
    }

    [Fact]
    public void ASteepRunThatEndsAtMissingGround_IsReported()
    {
        ElevationGrid ground = FieldGround.Of((x, _) => x is > 98 and < 182 ? double.NaN : TwoRamps(x), 300, 60);
        LayoutFinding[] found = [.. Check(ground, FieldGround.Line((20, 30), (280, 30))).Findings];
        Assert.Equal(2, found.Count(f => f.Kind == FindingKind.TooSteepAlongLine));
        LayoutFinding missing = Assert.Single(found, f => f.Kind == FindingKind.OverMissingGround);
        Assert.Equal(84, missing.Length, 4.0);
        Assert.Equal(98, missing.X, 3.0);
    }

    [Fact]
    public void TheLimitToldIsTheOneThatHeldThere()
    {
        // NRCS practice 330, Contour Farming, older national text: 2 %, and 3 % within 150 ft (45.72 m) of a stable outlet. The
        // outlet stands by the second ramp.
        ElevationGrid ground = FieldGround.Of((x, y) => TwoRamps(x) + (0.1 * y), 300, 60);
        FieldArea field = new(FieldGround.Box(0, 0, 300, 60)) { Outlets = FieldGround.Line((200, 0), (200, 10)) };
        LineLimits ruled = Limits with { RowGrade = RowGradeRule.ContourFarming, Headland = 0 };
        LineString line = FieldGround.Line((20, 30), (280, 30));
        LayoutFinding[] steep = [.. Check(ground, line, ruled, field).Findings.Where(f => f.Kind == FindingKind.TooSteepAlongLine)];
        Assert.Equal([2.0, 3.0], steep.Select(f => f.Limit));
        Assert.Contains("steeper than the 3.0 % asked for", steep[1].Sentence, StringComparison.Ordinal);

        // A ramp of 2.8 % by the outlet holds the limit, and without the outlet does not.
        ElevationGrid gentle = FieldGround.Of((x, y) => (-0.028 * Math.Clamp(x - 180, 0, 40)) + (0.1 * y), 300, 60);
        Assert.Equal(1, Check(gentle, line, ruled, field).Measures[0].WithinGradeShare);
        Assert.True(Check(gentle, line, ruled, new FieldArea(field.Boundary)).Measures[0].WithinGradeShare < 0.9);
    }

    [Fact]
    public void WhereTheSlopeOfTheLandIsNotKnown_TheCapHolds()
    {
        // The land is known only close by the line; a rule of half the land's slope must not turn into a limit of nothing.
        ElevationGrid strip = FieldGround.Of((x, y) => Math.Abs(y - 30) < 2 ? -0.015 * x : double.NaN, 300, 60);
        LayoutCheckResult result = Check(strip, FieldGround.Line((20, 30), (280, 30)), Limits with { RowGrade = RowGradeRule.ContourFarming });
        Assert.Equal(1, result.Measures[0].WithinGradeShare);
        Assert.DoesNotContain(result.Findings, f => f.Kind == FindingKind.TooSteepAlongLine);
    }

    [Fact]
    public void LongestFall_IsAllOfTheStretchThatFalls()
    {
        // Falls 1 % from x = 50 to 150 and climbs from there on: the fall is 100 m long, whole bases counted.
        ElevationGrid ground = FieldGround.Of((x, _) => 0.01 * Math.Abs(x - 150), 300, 60);
        LayoutCheckResult result = Check(ground, FieldGround.Line((50, 30), (230, 30)), Limits with { CriticalLength = 90 });
        Assert.Equal(104, result.Measures[0].LongestFall, 3.0);
        LayoutFinding far = Assert.Single(result.Findings, f => f.Kind == FindingKind.FallsTooFar);
        Assert.Equal(100, far.X, 4.0);
        Assert.Equal((result.Measures[0].LongestFall, 90.0), (far.Length, far.Limit));

        // Whole lines that fall one way fall over their whole length.
        Assert.Equal(90, Check(ground, FieldGround.Line((50, 30), (140, 30))).Measures[0].LongestFall, 1e-6);
    }

    [Theory]
    [InlineData(20, 30, 280, 30)]
    [InlineData(20, 10, 280, 47.3)]
    public void AStraightLine_HasNoRadius(double x0, double y0, double x1, double y1)
    {
        LayoutCheckResult result = Check(FieldGround.Of((x, y) => 0.001 * y, 300, 60), FieldGround.Line((x0, y0), (x1, y1)), Limits with { MinimumRadius = 8 });
        Assert.Equal(double.PositiveInfinity, result.Measures[0].MinimumRadius);
        Assert.Equal(double.PositiveInfinity, result.Figures.MinimumRadius);
    }

    [Theory]
    [InlineData(30)]
    [InlineData(300)]
    [InlineData(3000)]
    public void ABentLine_HasOne(double radius)
    {
        LineString arc = FieldGround.Line([.. Enumerable.Range(0, 201).Select(i => (i - 100) / radius * 0.2).Select(t => (150 + (radius * Math.Sin(t)), 20 + (radius * (1 - Math.Cos(t)))))]);
        Assert.Equal(1, Check(FieldGround.Of((x, y) => 0.001 * y, 300, 60), arc).Measures[0].MinimumRadius / radius, 0.02);
    }

    [Fact]
    public void NoLines_AreNothingToCheck()
    {
        LayoutCheckResult result = LayoutCheck.Run([], FieldGround.Of((x, _) => x, 30, 30), new FieldArea(FieldGround.Box(2, 2, 28, 28)), Limits with { Headland = 0 }, null, TestContext.Current.CancellationToken);
        Assert.Equal((0, 0.0, 0.0), (result.Figures.LineCount, result.Figures.TotalLength, result.Figures.Coverage));
        Assert.Empty(result.Findings);
        Assert.True(double.IsNaN(result.Figures.SpacingWithin10Share));
    }
}
