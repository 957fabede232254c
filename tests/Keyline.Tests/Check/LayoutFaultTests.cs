using Keyline.Tests.Support;
using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Check;

/// <summary>Good lines are never accused, and every planted fault is found, at its place.</summary>
public sealed class LayoutFaultTests
{
    // z = 0.05 y: a line along x is level, and land falls 5 % toward south everywhere.
    private static readonly ElevationGrid Slope = FieldGround.Of((_, y) => 0.05 * y, 300, 300);

    private static readonly LineLimits Options = new()
    {
        Spacing = 3, MaximumGrade = 2, Headland = 6, MinimumRadius = 8, MinimumLength = 30, MaximumSlope = 15, MaximumSideSlope = 8, CriticalLength = 150,
    };

    private static readonly FieldArea Field = new(
        FieldGround.Box(20, 20, 280, 280),
        [new AvoidedArea(FieldGround.Factory.CreatePoint(new Coordinate(150, 230)), 10, "the pond", isWet: true), new AvoidedArea(FieldGround.Box(60, 240, 70, 250), 5, "the shed")]);

    // Metres between where a fault was planted and where it is said to be.
    private const double Near = 4.0;

    private static LineString[] Good() => [.. Enumerable.Range(0, 50).Select(i => FieldGround.Line((30, 40 + (3 * i)), (270, 40 + (3 * i))))];

    private static LayoutFinding[] Find(IEnumerable<LineString> lines, ElevationGrid? ground = null, LineLimits? options = null, FieldArea? field = null, Grid<float>? position = null) =>
        [.. LayoutCheck.Run([.. lines.Select((l, i) => new CheckedLine($"L{i}", "G1", l))], ground ?? Slope, field ?? Field, options ?? Options, position).Findings];

    [Fact]
    public void GoodLines_AreNotAccused() => Assert.Empty(Find(Good(), field: new FieldArea(FieldGround.Box(24, 34, 276, 193))));

    // A line that climbs the slope at a gentle angle, bent once along a wide arc: nothing wrong with it either.
    [Fact]
    public void GoodBentLines_AreNotAccused()
    {
        LineString[] arcs = [.. Enumerable.Range(0, 12).Select(k => FieldGround.Line([.. Enumerable.Range(0, 60).Select(i => (30 + (4.0 * i), 60 + (3.0 * k) + (2 * Math.Sin(i / 10.0)))) ]))];
        Coordinate[] rim = [.. Shifted(arcs[0], -7.5), .. Shifted(arcs[^1], 7.5).Reverse()];
        Polygon around = FieldGround.Factory.CreatePolygon([.. rim, rim[0].Copy()]);
        Assert.Empty(Find(arcs, field: new FieldArea(around)));

        static Coordinate[] Shifted(LineString line, double up) =>
            [new(line.StartPoint.X - 7, line.StartPoint.Y + up), .. line.Coordinates.Select(c => new Coordinate(c.X, c.Y + up)), new(line.EndPoint.X + 7, line.EndPoint.Y + up)];
    }

    public static TheoryData<string, FindingKind, double, double> Faults() => new()
    {
        { "too steep along the line", FindingKind.TooSteepAlongLine, 200, 220 },
        { "steep for 15 m only", FindingKind.TooSteepAlongLine, 150, 200 },
        { "a corner", FindingKind.TurnTooTight, 150, 200 },
        { "a loop tighter than the radius", FindingKind.TurnTooTight, 155, 205 },
        { "two lines cross", FindingKind.LinesCross, 100, 100 },
        { "a line ends on another", FindingKind.LinesCross, 100, 100 },
        { "a line crosses itself", FindingKind.LinesCross, 80, 200 },
        { "too close to its neighbour", FindingKind.TooClose, 150, 100 },
        { "the same line twice", FindingKind.TooClose, 150, 100 },
        { "a gap of one spacing and a third", FindingKind.SpacingOff, 150, 187 },
        { "two thirds of a spacing", FindingKind.SpacingOff, 150, 189 },
        { "outside the field", FindingKind.OutsideField, 290, 200 },
        { "in the headland", FindingKind.InHeadland, 277, 200 },
        { "in the pond's setback", FindingKind.InAvoidedArea, 150, 225 },
        { "through the shed", FindingKind.InAvoidedArea, 65, 245 },
        { "too short", FindingKind.TooShort, 110, 200 },
        { "over missing ground", FindingKind.OverMissingGround, 150, 200 },
        { "over steep land", FindingKind.OnSteepLand, 150, 200 },
        { "steep across the line", FindingKind.SideSlopeTooSteep, 150, 200 },
        { "falls too far without an outlet", FindingKind.FallsTooFar, 150, 205 },
        { "too level", FindingKind.TooLevel, 150, 200 },
        { "leads water to the pond", FindingKind.DrainsToWet, 138, 230 },
        { "leads water to the valley", FindingKind.DriftsToValley, 150, 203 },
    };

    [Theory]
    [MemberData(nameof(Faults))]
    public void PlantedFault_IsFoundAtItsPlace(string fault, FindingKind kind, double x, double y)
    {
        ElevationGrid? ground = null;
        LineLimits? options = null;
        Grid<float>? position = null;
        LineString line;
        switch (fault)
        {
            case "too steep along the line": line = FieldGround.Line((180, 200), (220, 240)); break;
            case "steep for 15 m only": line = FieldGround.Line((60, 192), (140, 192), (141, 192.5), (158, 207), (159, 207.5), (250, 207.5)); options = Options with { MinimumRadius = 0 }; break;
            case "a corner": line = FieldGround.Line((60, 200), (150, 200), (150, 215)); options = Options with { MaximumGrade = 90, MinimumFall = 0 }; break;
            case "a loop tighter than the radius": line = FieldGround.Line([(60, 200), (150, 200), .. Enumerable.Range(1, 30).Select(i => (150 + (5 * Math.Sin(i * Math.PI / 30)), 205 - (5 * Math.Cos(i * Math.PI / 30)))), (60, 210)]); break;
            case "two lines cross": line = FieldGround.Line((99, 70), (101, 130)); break;
            case "a line ends on another": line = FieldGround.Line((100, 40.5), (100, 100)); break;
            case "a line crosses itself": line = FieldGround.Line((60, 200), (120, 200), (120, 220), (80, 220), (80, 195)); break;
            case "too close to its neighbour": line = FieldGround.Line((60, 101), (240, 101)); break;
            case "the same line twice": line = FieldGround.Line((30, 100), (270, 100)); break;
            case "a gap of one spacing and a third": line = FieldGround.Line((30, 191), (270, 191)); break;
            case "two thirds of a spacing": line = FieldGround.Line((30, 189), (270, 189)); break;
            case "outside the field": line = FieldGround.Line((200, 200), (292, 200)); break;
            case "in the headland": line = FieldGround.Line((200, 200), (278, 200)); break;
            case "in the pond's setback": line = FieldGround.Line((100, 225), (200, 225)); break;
            case "through the shed": line = FieldGround.Line((30, 245), (120, 245)); break;
            case "too short": line = FieldGround.Line((100, 200), (120, 200)); break;
            case "over missing ground": line = FieldGround.Line((60, 200), (240, 200)); ground = FieldGround.Of((gx, gy) => Math.Abs(gx - 150) < 3 && gy > 195 ? double.NaN : 0.05 * gy, 300, 300); break;
            case "over steep land": line = FieldGround.Line((60, 200), (240, 200)); ground = FieldGround.Of((_, gy) => 0.05 * gy + (gy > 192 ? 0.2 * (gy - 192) : 0), 300, 300); options = Options with { MaximumSideSlope = 45 }; break;
            case "steep across the line": line = FieldGround.Line((60, 200), (240, 200)); ground = FieldGround.Of((_, gy) => 0.05 * gy + (gy > 192 ? 0.2 * (gy - 192) : 0), 300, 300); options = Options with { MaximumSlope = 90 }; break;
            case "falls too far without an outlet": line = FieldGround.Line((50, 200), (250, 210)); break;
            case "too level": line = FieldGround.Line((60, 200), (240, 200)); options = Options with { MinimumFall = 0.2 }; break;
            case "leads water to the pond": line = FieldGround.Line((60, 237), (138, 231)); break;
            case "leads water to the valley":
                line = FieldGround.Line((80, 200), (220, 210));
                position = Grid.Copy<float>(Slope.Frame, [.. Enumerable.Range(0, 90_000).Select(i => (i % 300) / 300f)]);
                break;
            default: throw new ArgumentOutOfRangeException(nameof(fault), fault, "No such fault.");
        }

        LayoutFinding[] found = [.. Find([.. Good(), line], ground, options, null, position).Where(f => f.Kind == kind && (f.LineId == "L50" || kind is FindingKind.LinesCross or FindingKind.TooClose or FindingKind.SpacingOff or FindingKind.BareStrip))];
        Assert.NotEmpty(found);
        Assert.True(found.Any(f => Math.Abs(f.X - x) <= Near && Math.Abs(f.Y - y) <= Near), string.Join(' ', found.Select(f => FormattableString.Invariant($"{f.X:F1},{f.Y:F1}"))));
        Assert.All(found, f => Assert.True(kind is FindingKind.LinesCross or FindingKind.OverMissingGround || (double.IsFinite(f.Value) && double.IsFinite(f.Limit) && !(f.Value == f.Limit))));
        Assert.All(found, f => Assert.True(kind is FindingKind.LinesCross or FindingKind.DrainsToWet || f.Length > 0));
        Assert.All(found, f => Assert.StartsWith("Line L", f.Sentence, StringComparison.Ordinal));
        Assert.All(found, f => Assert.EndsWith(".", f.Sentence, StringComparison.Ordinal));
    }

    [Fact]
    public void Measures_SpacingClearanceSideSlope_AreThoseOfTheLines()
    {
        LayoutCheckResult result = LayoutCheck.Run([.. Good().Select((l, i) => new CheckedLine($"L{i}", "G1", l))], Slope, Field, Options);
        Assert.All(result.Measures.Skip(1).SkipLast(1), m => Assert.Equal((3.0, 3.0), (Math.Round(m.SpacingLeft, 9), Math.Round(m.SpacingRight, 9))));
        Assert.Equal(double.NaN, result.Measures[0].SpacingRight);
        Assert.Equal(10, result.Measures[20].Clearance, 9);
        Assert.Equal(Math.Atan(0.05) * 180 / Math.PI, result.Measures[20].SteepestSideSlope, 4);
        Assert.Equal(240, result.Figures.MedianLength, 6);
        Assert.Equal(100, result.Figures.LineEnds);
        Assert.Equal(0, result.Figures.InnerEnds);
    }

    // Falls west all along; west of 212 the land rises eastward to a ridge, so all but 8 of the 140 m lead to the valley.
    [Fact]
    public void DriftToTheValley_IsToldWithItsShare()
    {
        Grid<float> position = Grid.Copy<float>(Slope.Frame, [.. Enumerable.Range(0, 90_000).Select(i => 1 - (Math.Abs((i % 300) - 212) / 300f))]);
        LayoutFinding found = Assert.Single(Find([FieldGround.Line((80, 200), (220, 210))], position: position), f => f.Kind == FindingKind.DriftsToValley);
        Assert.InRange(found.Value, 0.91, 0.97);
        Assert.Equal(0.9, found.Limit, 9);
        Assert.Contains(FormattableString.Invariant($"along {100 * found.Value:F0} % of the {found.Length:F0} m of it that drift"), found.Sentence, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(191, "as far as 4.00 m")]
    [InlineData(189, "as near as 2.00 m")]
    public void ANeighbourOffItsPlace_IsToldAsFarOrNear(double y, string says) =>
        Assert.Contains(Find([.. Good(), FieldGround.Line((30, y), (270, y))]), f => f.Kind == FindingKind.SpacingOff && f.Sentence.Contains(says, StringComparison.Ordinal));

    // Two spacings are how near an outlet must lie.
    [Theory]
    [InlineData(5.8, true)]
    [InlineData(6.4, false)]
    public void AnOutletWithinTwoSpacings_TakesTheWaterOff(double off, bool taken)
    {
        FieldArea drained = new(Field.Boundary, Field.Avoided) { Outlets = FieldGround.Line((50 - off, 150), (50 - off, 250)) };
        Assert.Equal(taken, !Find([FieldGround.Line((50, 200), (250, 210))], field: drained).Any(f => f.Kind == FindingKind.FallsTooFar));
    }

    [Fact]
    public void AnOutletAtItsLowerEnd_TakesTheWaterOff()
    {
        LineString line = FieldGround.Line((50, 200), (250, 210));
        FieldArea drained = new(Field.Boundary, Field.Avoided) { Outlets = FieldGround.Line((48, 150), (48, 250)) };
        Assert.Contains(Find([line]), f => f.Kind == FindingKind.FallsTooFar);
        Assert.DoesNotContain(Find([line], field: drained), f => f.Kind == FindingKind.FallsTooFar);
    }
}
