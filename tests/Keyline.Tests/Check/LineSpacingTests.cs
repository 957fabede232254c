using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Planar;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Check;

/// <summary>Spacing to whatever line lies next, each side by itself.</summary>
public sealed class LineSpacingTests
{
    private static readonly ElevationGrid Slope = FieldGround.Of((_, y) => 0.05 * y, 300, 300);

    private static readonly LineLimits Limits = new() { Spacing = 3, Headland = 0, MinimumLength = 0, MinimumRadius = 0 };

    private static LayoutCheckResult Check(IEnumerable<LineString> lines, FieldArea? field = null, Func<int, string>? guide = null, LineLimits? limits = null) =>
        LayoutCheck.Run([.. lines.Select((l, i) => new CheckedLine($"L{i}", guide?.Invoke(i) ?? "G1", l))], Slope, field, limits ?? Limits, null, TestContext.Current.CancellationToken);

    private static LineString Level(double y, double from = 30, double to = 270) => FieldGround.Line((from, y), (to, y));

    [Fact]
    public void AlternatingSpacings_AreTold_ThoughTheNearestLineIsAlwaysRight()
    {
        // 3.00 and 4.45 m in turn: to each line the nearest other is 3.00 m off.
        LayoutCheckResult result = Check(Enumerable.Range(0, 20).Select(i => Level(50 + (7.45 * (i / 2)) + (3 * (i % 2)))));
        Assert.InRange(result.Figures.SpacingWithin10Share, 20.0 / 38 - 1e-9, 20.0 / 38 + 1e-9);
        Assert.Equal(result.Figures.SpacingWithin10Share, result.Figures.SpacingWithin25Share, 12);
        Assert.Equal(1, result.Figures.SpacingWithinShare);

        // Nine strips too wide, each told once, with its width, along its whole length, in its middle.
        LayoutFinding[] found = [.. result.Findings.Where(f => f.Kind is FindingKind.SpacingOff or FindingKind.BareStrip)];
        Assert.Equal(9, found.Length);
        Assert.All(found, f => Assert.Equal((FindingKind.SpacingOff, 4.45, 3.0), (f.Kind, Math.Round(f.Value, 6), f.Limit)));
        Assert.All(found, f => Assert.Equal(240, f.Length, 1e-6));
        Assert.All(found, f => Assert.Equal(150, f.X, 4.0));
        Assert.All(found, f => Assert.False(f.BreaksLimit));

        // Told by the southern line of each pair, which runs east: on its left; run west, on its right.
        Assert.All(found, f => Assert.True(f.IsOnLeft == true && f.Sentence.Contains(" on its left", StringComparison.Ordinal)));
        LayoutFinding[] west = [.. Check(Enumerable.Range(0, 20).Select(i => Level(50 + (7.45 * (i / 2)) + (3 * (i % 2)), 270, 30))).Findings.Where(f => f.Kind is FindingKind.SpacingOff)];
        Assert.Equal(9, west.Length);
        Assert.All(west, f => Assert.True(f.IsOnLeft == false && f.Sentence.Contains(" on its right", StringComparison.Ordinal)));
        Assert.False(AskedLimits.Hold(result.Findings, result.Figures));
    }

    [Fact]
    public void LinesAllTooFarApart_AreTold()
    {
        LayoutCheckResult result = Check(Enumerable.Range(0, 20).Select(i => Level(50 + (5 * i))));
        Assert.Equal((0.0, 0.0), (result.Figures.SpacingWithin10Share, result.Figures.SpacingWithin25Share));
        Assert.Equal(19, result.Findings.Count(f => f.Kind == FindingKind.BareStrip && Math.Abs(f.Value - 5) < 1e-6));
        Assert.All(result.Measures.Skip(1), m => Assert.Equal(5, m.SpacingRight, 1e-6));
        Assert.False(AskedLimits.Hold(result.Findings, result.Figures));
    }

    [Theory]
    [InlineData(8, false)]
    [InlineData(10, true)]
    public void OneWideStrip_BreaksNoLimit_WhereNineTenthsOfTheLengthStandEvenly(int even, bool holds)
    {
        // As many strips of 3 m as named, and one of 4.4 m: two sides of each strip are judged.
        LayoutCheckResult result = Check(Enumerable.Range(0, even + 2).Select(i => Level(50 + (3 * i) + (i > even ? 1.4 : 0))));
        Assert.Equal(even / (even + 1.0), result.Figures.SpacingWithin25Share, 1e-9);
        Assert.Contains(result.Findings, f => f.Kind is FindingKind.SpacingOff && !f.BreaksLimit);
        Assert.Equal(holds, AskedLimits.IsEven(result.Figures));
        Assert.Equal(holds, AskedLimits.Hold(result.Findings, result.Figures));
    }

    [Fact]
    public void OneLineAlone_IsNotCalledUneven()
    {
        LayoutCheckResult result = Check([Level(100)]);
        Assert.False(double.IsFinite(result.Figures.SpacingWithin25Share));
        Assert.True(AskedLimits.IsEven(result.Figures));
    }

    [Fact]
    public void EvenLines_DoNotHold_WhereOneCrosses()
    {
        LayoutCheckResult result = Check([.. Enumerable.Range(0, 30).Select(i => Level(50 + (3 * i))), FieldGround.Line((150, 45), (150, 60))]);
        Assert.Contains(result.Findings, f => f.Kind is FindingKind.LinesCross && f.BreaksLimit);
        Assert.False(AskedLimits.Hold(result.Findings, result.Figures));
    }

    [Theory]
    [InlineData(2.75, 1, 1)]
    [InlineData(3.25, 1, 1)]
    [InlineData(2.65, 0, 1)]
    [InlineData(3.35, 0, 1)]
    [InlineData(3.70, 0, 1)]
    [InlineData(2.20, 0, 0)]
    [InlineData(3.80, 0, 0)]
    [InlineData(8.90, 0, 0)]
    public void Shares_AreOfATenthAndAQuarter(double apart, double close, double fair)
    {
        LayoutFigures figures = Check([Level(50), Level(50 + apart), Level(50 + (2 * apart))]).Figures;
        Assert.Equal((close, fair), (figures.SpacingWithin10Share, figures.SpacingWithin25Share));
    }

    [Fact]
    public void BareStripBetweenNeighbours_IsToldOnceWithItsPlace()
    {
        // One line of twenty is missing between x = 100 and 180.
        LineString[] lines = [.. Enumerable.Range(0, 20).SelectMany(i => i == 10 ? [Level(80, 30, 100), Level(80, 180, 270)] : (LineString[])[Level(50 + (3 * i))])];
        LayoutFinding strip = Assert.Single(Check(lines, guide: i => "G" + i).Findings, f => f.Kind == FindingKind.BareStrip);
        Assert.Equal((140.0, 6.0), (strip.X, Math.Round(strip.Value, 6)), (a, b) => Math.Abs(a.Item1 - b.Item1) < 4 && a.Item2 == b.Item2);
        Assert.Equal(77, strip.Y, 1e-6);
        Assert.InRange(strip.Length, 76, 84);
        Assert.Contains("bare strip of up to 6.00 m", strip.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void GroundBesideTheLastLine_CountsWhereItCanBeWorked()
    {
        LineString[] lines = [.. Enumerable.Range(0, 21).Select(i => Level(50 + (3 * i)))];
        FieldArea fits = new(FieldGround.Box(30, 48, 270, 112));
        Assert.Equal(1, Check(lines, fits).Figures.SpacingWithin10Share);
        Assert.Empty(Check(lines, fits).Findings);

        // 10 m more at the top: a side of one line in 42 has room and no neighbour.
        FieldArea larger = new(FieldGround.Box(30, 48, 270, 122));
        LayoutCheckResult result = Check(lines, larger);
        Assert.Equal(40.0 / 41, result.Figures.SpacingWithin10Share, 1e-9);
        LayoutFinding bare = Assert.Single(result.Findings);
        Assert.Equal((FindingKind.BareStrip, "L20", double.PositiveInfinity), (bare.Kind, bare.LineId, bare.Value));
        Assert.Equal((150.0, 110.0), (bare.X, bare.Y), (a, b) => Math.Abs(a.Item1 - b.Item1) < 4 && Math.Abs(a.Item2 - b.Item2) < 1e-6);

        // The same ground too steep to work is no bare strip.
        ElevationGrid steepAbove = FieldGround.Of((_, y) => (0.05 * y) + (y > 116 ? 0.4 * (y - 116) : 0), 300, 300);
        LayoutCheckResult steep = LayoutCheck.Run([.. lines.Select((l, i) => new CheckedLine($"L{i}", "", l))], steepAbove, larger, Limits with { MaximumSideSlope = 80 }, null, TestContext.Current.CancellationToken);
        Assert.Empty(steep.Findings);
        Assert.Equal(1, steep.Figures.SpacingWithin10Share);
    }

    [Fact]
    public void ALineThatEndsBesideAnother_IsNoNeighbourBeyondItsEnd()
    {
        // The second line ends at x = 100; from there on the next line lies 6 m off.
        LayoutFigures figures = Check([Level(50), Level(53, 30, 100), Level(56)]).Figures;
        Assert.InRange(figures.SpacingWithin10Share, 4 * 70 / 620.0, 4 * 75 / 620.0);
    }

    [Fact]
    public void ASpiral_HasItselfForANeighbour()
    {
        // r = 20 + 3 theta / 2 pi: each turn of the spiral lies 3 m outside the one before.
        LineString spiral = FieldGround.Line([.. Enumerable.Range(0, 1500).Select(i => i * 0.02).Select(t => (150 + ((20 + (3 * t / (2 * Math.PI))) * Math.Cos(t)), 150 + ((20 + (3 * t / (2 * Math.PI))) * Math.Sin(t))))]);
        LayoutFigures figures = Check([spiral]).Figures;
        Assert.Equal(1, figures.SpacingWithin10Share);
    }

    [Fact]
    public void AClosedLine_IsMeasuredAcrossItsJoin()
    {
        // Rings with their joins due east, 3 m apart; the ground rises 5 % to the north, so each ring climbs 5 % due east and west.
        LineString Ring(double radius) => FieldGround.Line([.. Enumerable.Range(0, 241).Select(i => (i % 240) * Math.PI / 120).Select(t => (150 + (radius * Math.Cos(t)), 150 + (radius * Math.Sin(t))))]);
        LayoutCheckResult result = Check([Ring(40), Ring(43), Ring(46)], limits: Limits with { MinimumRadius = 8 });
        Assert.Equal(0, result.Figures.LineEnds);
        Assert.All(result.Measures, m => Assert.InRange(m.MaximumGrade, 4.93, 5));
        Assert.InRange(result.Measures[0].MinimumRadius, 39, 41);

        // Steep to the east and to the west: two runs a ring, the first of them through the join.
        LayoutFinding[] steep = [.. result.Findings.Where(f => f.Kind == FindingKind.TooSteepAlongLine && f.LineId == "L0")];
        Assert.Equal(2, steep.Length);
        Assert.Equal(steep[0].Length, steep[1].Length, 4.0);
        Assert.Equal([110, 190], steep.Select(f => Math.Round(f.X)).Order(), (a, b) => Math.Abs(a - b) <= 1);
        Assert.All(steep, f => Assert.Equal(150, f.Y, 4.0));
    }

    [Fact]
    public void WithoutASpacing_NothingIsJudgedByOne()
    {
        LineLimits none = Limits with { Spacing = double.NaN };
        FieldArea field = new(FieldGround.Box(30, 40, 270, 122), [new AvoidedArea(FieldGround.Box(140, 60, 150, 61), 0, "the seep", isWet: true)]);
        LayoutCheckResult result = Check([Level(50), Level(50.4), Level(59)], field, limits: none);
        Assert.Empty(result.Findings);
        Assert.All(new[] { result.Figures.SpacingWithin10Share, result.Figures.SpacingWithin25Share, result.Figures.MedianSpacing, result.Figures.SpacingWithinShare, result.Figures.Coverage, result.Figures.InnerEndsPerKm }, v => Assert.True(double.IsNaN(v)));
        Assert.Null(result.Figures.InnerEnds);
        Assert.All(result.Measures, m => Assert.Equal((double.NaN, double.NaN), (m.SpacingLeft, m.SpacingRight)));

        // What needs a reach still has one: crossings, water led to wet ground, outlets at the end of a long fall.
        LineString toSeep = FieldGround.Line((40, 70), (138, 62));
        Assert.Contains(Check([toSeep], field, limits: none).Findings, f => f.Kind == FindingKind.DrainsToWet);
        Assert.Contains(Check([Level(50), FieldGround.Line((100, 45), (100, 60))], field, limits: none).Findings, f => f.Kind == FindingKind.LinesCross);
        Assert.Contains(Check([toSeep], field, limits: none with { CriticalLength = 50 }).Findings, f => f.Kind == FindingKind.FallsTooFar);
    }

    [Fact]
    public void InnerEnds_LieMoreThanTwoSpacingsFromTheEdgeOfWorkableGround()
    {
        FieldArea field = new(FieldGround.Box(20, 20, 280, 280), [new AvoidedArea(FieldGround.Box(150, 100, 160, 200), 0)]);
        LineString[] lines = [Level(50, 20, 100), Level(53, 25.9, 100), Level(56, 26.1, 100), Level(150, 20, 144.1), Level(153, 20, 143.9)];
        LayoutFigures figures = Check(lines, field).Figures;

        // Three east ends at x = 100, the west end at 26.1, the end at 143.9, which is 6.1 m from the avoided box.
        Assert.Equal(5, figures.InnerEnds);
        Assert.Equal(5 / (figures.TotalLength / 1000), figures.InnerEndsPerKm, 1e-9);
    }

    // The plain way: points every 5 cm along every line, all of them looked at.
    [Fact]
    public void NextLines_OnRandomLines_AreThoseThatThePlainSearchFinds()
    {
        Random random = new(5);
        LineString[] lines = [.. Enumerable.Range(0, 25).Select(_ =>
        {
            (double x, double y) = (20 + (random.NextDouble() * 60), 20 + (random.NextDouble() * 60));
            double heading = random.NextDouble() * 6;
            return FieldGround.Line([.. Enumerable.Range(0, 8).Select(_ =>
            {
                heading += random.NextDouble() - 0.5;
                (x, y) = (x + (6 * Math.Cos(heading)), y + (6 * Math.Sin(heading)));
                return (x, y);
            })]);
        })];
        CheckedLine[] given = [.. lines.Select((l, i) => new CheckedLine("L" + i, i % 2 == 0 ? "A" : "B", l))];
        LineIndex index = new(given, 3);
        (XY At, int Line)[] dots = [.. lines.SelectMany((l, i) => SampledLine.PathOf(l).Resample(0.05).Points.Select(p => (p, i)))];
        for (int line = 0; line < lines.Length; line++)
        {
            LinePath path = index.Paths[line].Resample(2);
            for (int k = 0; k < path.Count; k++)
            {
                XY p = path.Points[k];
                XY t = path.Tangent(k);
                NextLines next = index.Around(line, k * path.Length() / path.SegmentCount, p, t, 9, []);
                (XY At, int Line)[] others = [.. dots.Where(d => d.Line != line && (d.At - p).Norm <= 9)];
                Same(Least(others.Select(d => (d.At - p).Norm)), next.Any);
                Same(Least(others.Where(d => d.Line % 2 == line % 2).Select(d => (d.At - p).Norm)), next.SameGuide);
                Same(Least(others.Select(d => d.At - p).Where(v => t.Cross(v) >= 0 && Math.Abs(t.Dot(v)) <= (0.6 * t.Cross(v)) + 0.3).Select(v => v.Norm)), next.Left);
                Same(Least(others.Select(d => d.At - p).Where(v => t.Cross(v) <= 0 && Math.Abs(t.Dot(v)) <= (-0.6 * t.Cross(v)) + 0.3).Select(v => v.Norm)), next.Right);
            }
        }

        static double Least(IEnumerable<double> values) => values.DefaultIfEmpty(double.PositiveInfinity).Min();

        static void Same(double plain, double found) => Assert.True(Math.Abs(plain - found) < 0.1 || (double.IsInfinity(plain) && found > 8.9), $"{plain} {found}");
    }
}
