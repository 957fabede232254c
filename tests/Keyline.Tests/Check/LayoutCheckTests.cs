using Keyline.Tests.Support;
using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Check;

/// <summary>The check measures what is there and finds planted faults, on planes whose grades follow from their equation.</summary>
public sealed class LayoutCheckTests
{
    private static readonly LineLimits Options = new() { Spacing = 3, MaximumGrade = 2, Headland = 0, MinimumRadius = 8, MinimumLength = 30 };

    // z = 0.05 y: a line along x is level; one that climbs 1 in y for 2 in x has the grade 0.05 * 1 / sqrt(5) = 2.236 %.
    private static readonly ElevationGrid Slope = FieldGround.Of((_, y) => 0.05 * y, 200, 200);

    private static LayoutCheckResult Check(params LineString[] lines) => Check(null, lines);

    private static LayoutCheckResult Check(FieldArea? field, params LineString[] lines) =>
        LayoutCheck.Run([.. lines.Select((l, i) => new CheckedLine($"L{i + 1}", "G1", l))], Slope, field, Options);

    [Fact]
    public void LevelParallelLines_AreNotAccused()
    {
        LineString[] lines = [.. Enumerable.Range(0, 20).Select(i => FieldGround.Line((20, 50 + (3 * i)), (180, 50 + (3 * i))))];
        LayoutCheckResult result = Check(new FieldArea(FieldGround.Box(20, 50, 180, 107)), lines);
        Assert.Empty(result.Findings);
        Assert.Equal(20 * 160, result.Figures.TotalLength, 6);
        Assert.Equal(1, result.Figures.WithinGradeShare);
        Assert.Equal(3, result.Figures.MedianSpacing, 6);
        Assert.Equal(1, result.Figures.SpacingWithinShare);
        Assert.Equal(1, result.Figures.Coverage);
        Assert.Equal(0, result.Figures.Crossings);
    }

    [Fact]
    public void Grade_OfAClimbingLine_IsTheOneOfThePlane()
    {
        LayoutCheckResult result = Check(FieldGround.Line((20, 50), (120, 100)));
        Assert.Equal(0.05 / Math.Sqrt(5) * 100, result.Measures[0].MeanGrade, 3);
        Assert.Equal(0, result.Measures[0].WithinGradeShare);
    }

    [Fact]
    public void TooSteepLine_IsFound()
    {
        LayoutFinding finding = Assert.Single(Check(FieldGround.Line((20, 50), (100, 130))).Findings);
        Assert.Equal(FindingKind.TooSteepAlongLine, finding.Kind);
        Assert.Equal("L1", finding.LineId);
        Assert.Contains("3.5 %", finding.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void CrossingLines_AreFoundWhereTheyCross()
    {
        LayoutFinding finding = Check(FieldGround.Line((20, 50), (120, 50)), FieldGround.Line((70, 40), (75, 80))).Findings.Single(f => f.Kind == FindingKind.LinesCross);
        Assert.Equal(50, finding.Y, 6);
        Assert.InRange(finding.X, 70, 75);
    }

    [Fact]
    public void SelfCrossingLine_IsFound() =>
        Assert.Contains(Check(FieldGround.Line((20, 50), (100, 50), (100, 90), (60, 90), (60, 30))).Findings, f => f.Kind == FindingKind.LinesCross);

    [Fact]
    public void LinesTooClose_AreFound() =>
        Assert.Contains(Check(FieldGround.Line((20, 50), (120, 50)), FieldGround.Line((20, 51), (120, 51))).Findings, f => f.Kind == FindingKind.TooClose);

    [Fact]
    public void TightTurn_IsFound()
    {
        Coordinate[] arc = [.. Enumerable.Range(0, 60).Select(i => new Coordinate(100 + (5 * Math.Cos(i * 0.05)), 100 + (5 * Math.Sin(i * 0.05))))];
        LineString line = FieldGround.Factory.CreateLineString([new Coordinate(105, 60), .. arc, new Coordinate(95, 60)]);
        LayoutCheckResult result = Check(line);
        Assert.Single(result.Findings, f => f.Kind == FindingKind.TurnTooTight);
        Assert.InRange(result.Measures[0].MinimumRadius, 4.5, 5.1);
    }

    [Fact]
    public void LineOutsideField_InSetback_TooShort_AreFound()
    {
        FieldArea field = new(FieldGround.Box(30, 30, 170, 170), [new AvoidedArea(FieldGround.Factory.CreatePoint(new Coordinate(100, 100)), 10, "the dam")]);
        LayoutFinding[] found = [.. Check(field, FieldGround.Line((10, 50), (120, 50)), FieldGround.Line((60, 95), (140, 95)), FieldGround.Line((60, 120), (80, 120))).Findings];
        Assert.Equal(20, double.Parse(found.Single(f => f.Kind == FindingKind.OutsideField).Sentence.Split(' ')[3], System.Globalization.CultureInfo.InvariantCulture), 0);
        Assert.Contains("the dam", found.Single(f => f.Kind == FindingKind.InAvoidedArea).Sentence, StringComparison.Ordinal);
        Assert.Equal("L3", found.Single(f => f.Kind == FindingKind.TooShort).LineId);
    }

    [Fact]
    public void LineOverMissingGround_IsFound()
    {
        ElevationGrid holed = FieldGround.Of((x, y) => Math.Abs(x - 100) < 5 ? double.NaN : 0.05 * y, 200, 200);
        LayoutCheckResult result = LayoutCheck.Run([new CheckedLine("L1", "", FieldGround.Line((20, 50), (180, 50)))], holed, null, Options);
        Assert.Contains(result.Findings, f => f.Kind == FindingKind.OverMissingGround && f.X is > 90 and < 100);
    }

    [Fact]
    public void Drift_TowardTheRidge_IsToldFromDriftTowardTheValley()
    {
        // Position rises with x. A line that loses height toward +x drifts toward the ridge.
        ElevationGrid fall = FieldGround.Of((x, _) => -0.01 * x, 200, 200);
        float[] toward = [.. Enumerable.Range(0, 200 * 200).Select(i => (i % 200) / 200f)];
        float[] away = [.. toward.Select(p => 1 - p)];
        CheckedLine line = new("L1", "", FieldGround.Line((20, 50), (180, 50)));
        Assert.Equal(1, LayoutCheck.Run([line], fall, null, Options, Grid.Copy<float>(fall.Frame, toward)).Figures.ToRidgeShare);
        Assert.Equal(0, LayoutCheck.Run([line], fall, null, Options, Grid.Copy<float>(fall.Frame, away)).Figures.ToRidgeShare);
    }
}
