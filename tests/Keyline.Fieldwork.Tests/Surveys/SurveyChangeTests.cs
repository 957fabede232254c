using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork.Tests;

/// <summary>Two surveys of invented ground whose change, shift and noise are known.</summary>
public sealed class SurveyChangeTests
{
    private const double Noise = 0.02;

    // Rolling ground, and lines every 3 m on the western half; a cut along the third from 20 to 45 m.
    private static readonly WorkLine[] Lines = [.. Enumerable.Range(0, 10).Select(i => new WorkLine($"R{i + 1}", new LineString([new(20, 60.5 + (3 * i)), new(90, 60.5 + (3 * i))])))];

    private static Polygon Yard => new(new LinearRing([new(100, 10), new(140, 10), new(140, 60), new(100, 60), new(100, 10)]));

    private static double Ground(double x, double y) => 100 + (0.03 * x) + (0.02 * y) + (2 * Math.Sin(x / 18)) + (1.5 * Math.Cos(y / 15));

    private static double Cut(double x, double y, double depth) => Math.Abs(y - 66.5) < 0.6 && x >= 40 && x <= 65 ? -depth : 0;

    private static ElevationGrid Survey(ulong seed, double east = 0, double north = 0, double up = 0, double depth = 0, double noise = Noise, double cell = 1, double corner = 0, Func<double, double, double>? ground = null)
    {
        SeededDraws draws = new(seed);
        int side = (int)(150 / cell);
        GridFrame f = new(side, side, cell, corner, corner + 150);
        return ElevationGrid.Copy(f, [.. Enumerable.Range(0, side * side).Select(i =>
        {
            double x = f.CentreX(i % side) - east, y = f.CentreY(i / side) - north;
            return (float)((ground ?? Ground)(x, y) + Cut(x, y, depth) + up + (noise * draws.Bell()));
        })]);
    }

    [Fact]
    public void ShiftNoiseAndCut_AreFound()
    {
        SurveyChange change = SurveyChange.Of(Survey(1), Survey(2, 0.42, -0.27, 0.055, 0.15), Lines);
        Assert.Equal(0.42, change.Shift.East, 0.01);
        Assert.Equal(-0.27, change.Shift.North, 0.01);
        Assert.Equal(0.055, change.Shift.Up, 0.002);
        Assert.False(change.Shift.IsLevelOnly);
        Assert.False(change.IsJudgedByAll);

        // Between cell centres heights are means of four, which calms the second survey's noise; the level is 1.96 times what is found.
        Assert.InRange(change.Noise, Noise * 1.05, Noise * Math.Sqrt(2) * 1.03);
        Assert.Equal(1.959964 * change.Noise, change.DetectionLevel, 1e-6);
        CutStretch cut = Assert.Single(LineIncision.Of(change, Lines));
        Assert.Equal("R3", cut.Line);
        Assert.Equal(20, cut.From, 1.6);
        Assert.Equal(45, cut.To, 1.6);
        Assert.InRange(cut.MeanDepth, 0.08, 0.16);
        Assert.InRange(cut.GreatestDepth, cut.MeanDepth, 0.25);
        Assert.Equal(cut.MeanDepth * (cut.To - cut.From) * 1, cut.Volume, 1e-9);
        Assert.Equal(cut.To - cut.From, cut.Shape.Length, 1e-6);

        // A row of 26 cells went down by 15 cm.
        Assert.True(change.Lost.IsTold);
        Assert.Equal(26 * 0.15, change.Lost.Volume, change.Lost.Error);
        Assert.InRange(change.Lost.Error, 0.3, 1.5);
        Assert.InRange(change.Lost.Area, 10, 60);
        Assert.False(change.Gained.IsTold);
        string said = new SurveyWords(change, []).Sentences()[2];
        Assert.Contains("m³ of earth went (give or take", said, StringComparison.Ordinal);
        Assert.Contains("no earth can be said to have come", said, StringComparison.Ordinal);
    }

    // Where nothing changed one place in twenty lies beyond the level, and no stretch of a line does.
    [Fact]
    public void NothingChanged_NothingIsTold()
    {
        SurveyChange change = SurveyChange.Of(Survey(3), Survey(4), Lines);
        Assert.Equal(Noise * Math.Sqrt(2), change.Noise, 0.03 * Noise);
        double beyond = change.Change.Values.ToArray().Count(c => Math.Abs(c) > change.DetectionLevel) / (double)change.Change.Values.Length;
        Assert.InRange(beyond, 0.045, 0.055);
        Assert.Empty(LineIncision.Of(change, Lines));
        Assert.False(change.Lost.IsTold);
        Assert.False(change.Gained.IsTold);
        Assert.Contains("no earth can be said to have gone", new SurveyWords(change, []).Sentences()[2], StringComparison.Ordinal);
        Assert.Contains("No stretch of a line", string.Join(' ', new SurveyWords(change, []).Sentences()), StringComparison.Ordinal);
    }

    // Thirty pairs of surveys of ground that did not change, with lines over most of it: earth may be told in one of forty, stretches of lines in one of twenty.
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void NothingChanged_IsToldSeldom(bool withoutStableGround)
    {
        WorkLine[] many = [.. Enumerable.Range(0, 45).Select(i => new WorkLine($"R{i + 1}", new LineString([new(5, 5.5 + (2 * i)), new(145, 5.5 + (2 * i))])))];
        Polygon? stable = withoutStableGround ? new Polygon(new LinearRing([new(1, 140), new(9, 140), new(9, 149), new(1, 149), new(1, 140)])) : null;
        int lost = 0, gained = 0, cut = 0;
        for (ulong seed = 0; seed < 30; seed++)
        {
            SurveyChange change = SurveyChange.Of(Survey(100 + (2 * seed)), Survey(101 + (2 * seed)), many, stable);
            Assert.Equal(withoutStableGround, change.IsJudgedByAll);
            lost += change.Lost.IsTold ? 1 : 0;
            gained += change.Gained.IsTold ? 1 : 0;
            cut += LineIncision.Of(change, many).Count > 0 ? 1 : 0;
        }

        Assert.InRange(lost, 0, 3);
        Assert.InRange(gained, 0, 3);
        Assert.InRange(cut, 0, 4);
    }

    [Fact]
    public void StretchesCut_ComeDeepestFirst()
    {
        ElevationGrid before = Survey(1, noise: 0);
        float[] lowered = [.. before.Heights.ToArray()];
        for (int i = 0; i < 10; i++)
        {
            lowered[((150 - 61) * 150) + 30 + i] -= 0.2f;
            lowered[((150 - 76) * 150) + 30 + i] -= 0.4f;
        }

        IReadOnlyList<CutStretch> cut = LineIncision.Of(SurveyChange.Of(before, ElevationGrid.Copy(before.Frame, lowered), Lines, options: new SurveyChangeOptions { BeforeError = 0.03, AfterError = 0.04 }), Lines);
        Assert.Equal(["R6", "R1"], cut.Select(c => c.Line));
        Assert.Equal(0.4, cut[0].GreatestDepth, 1e-4);
    }

    // The same by hand, cell by cell, on surveys without noise or shift.
    [Fact]
    public void Earth_IsCountedBeyondTheLevel()
    {
        ElevationGrid before = Survey(1, noise: 0);
        float[] raised = [.. before.Heights.ToArray()];
        for (int i = 0; i < 400; i++)
        {
            raised[(60 * 150) + 100 + (i % 20) + (i / 20 * 150)] += i < 200 ? 0.5f : -0.25f;
        }

        SurveyChange change = SurveyChange.Of(before, ElevationGrid.Copy(before.Frame, raised), Lines, Yard, new SurveyChangeOptions { BeforeError = 0.03, AfterError = 0.04 });
        Assert.Equal(0.05, change.Noise, 1e-9); // root of 0.03 and 0.04 squared: Wheaton and others 2010, equation 1
        Assert.Equal(0.0979982, change.DetectionLevel, 1e-6);
        Assert.Equal(200 * 0.5, change.Gained.Volume, 0.01);
        Assert.Equal(200 * 0.25, change.Lost.Volume, 0.01);
        Assert.Equal(200, change.Gained.Area);
        Assert.Equal(0.0979982 * Math.Sqrt(200), change.Lost.Error, 1e-5);
        Assert.Equal(0, SurveyChange.Of(before, ElevationGrid.Copy(before.Frame, raised), Lines, Yard, new SurveyChangeOptions { BeforeError = 0.3, AfterError = 0.4 }).Gained.Volume);
    }

    [Fact]
    public void EvenGround_TellsNoShiftSideways()
    {
        SurveyChange change = SurveyChange.Of(Survey(1, ground: (x, y) => 0.02 * x), Survey(2, up: -0.3, ground: (x, y) => 0.02 * x), Lines);
        Assert.True(change.Shift.IsLevelOnly);
        Assert.Equal((0, 0), (change.Shift.East, change.Shift.North));
        Assert.Equal(-0.3, change.Shift.Up, 0.002);
        Assert.Contains("0.300 m below the first", new SurveyWords(change, []).Sentences()[0], StringComparison.Ordinal);
    }

    [Fact]
    public void OtherFrames_StableGround_AndGapsInLines()
    {
        // The second on cells of half a metre that begin elsewhere.
        SurveyChange change = SurveyChange.Of(Survey(1), Survey(2, depth: 0.15, cell: 0.5, corner: 0.2), Lines, new Polygon(new LinearRing([new(100, 10), new(140, 10), new(140, 140), new(100, 140), new(100, 10)])));
        Assert.InRange(change.StableCells, 40 * 130 * 0.97, 40 * 130);
        Assert.Equal("R3", Assert.Single(LineIncision.Of(change, Lines)).Line);
        Assert.Empty(LineIncision.Of(change, Lines, 30));

        // No ground out of reach: all of it tells.
        SurveyChange all = SurveyChange.Of(Survey(1), Survey(2), Lines, options: new SurveyChangeOptions { LineReach = 300 });
        Assert.True(all.IsJudgedByAll);
        Assert.Contains("on all ground", new SurveyWords(all, []).Sentences()[0], StringComparison.Ordinal);
    }

    [Fact]
    public void WhatDoesNotFit_IsRefused()
    {
        GridFrame far = new(20, 20, 1, 5000, 5000);
        Assert.Contains("no ground in common", Assert.Throws<GroundDataException>(() => SurveyChange.Of(Survey(1), ElevationGrid.Copy(far, new float[400]), Lines)).Message, StringComparison.Ordinal);
        Assert.Contains("beside the first", Assert.Throws<GroundDataException>(() => SurveyChange.Of(Survey(1, noise: 0), Survey(2, 6, 4, noise: 0), Lines)).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>(() => new SurveyChangeOptions { Confidence = 1 }.Validate());
        Assert.Throws<ArgumentOutOfRangeException>(() => new SurveyChangeOptions { AfterError = -1 }.Validate());
    }
}
