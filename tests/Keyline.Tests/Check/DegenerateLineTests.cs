using Keyline.Check;
using Keyline.Driven;
using Keyline.Elevation;
using Keyline.Guidance;
using Keyline.SetOut;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Check;

/// <summary>Lines that nothing can be measured along are refused in one sentence that names them, by every way in.</summary>
public sealed class DegenerateLineTests
{
    private static readonly ElevationGrid Slope = FieldGround.Of((_, y) => 0.05 * y, 200, 200);
    private static readonly LineString Good = FieldGround.Line((20, 50), (120, 60));
    private static readonly LineLimits Limits = new() { Spacing = 3, MinimumRadius = 8 };

    private static readonly Dictionary<string, Action<LineString>> WaysIn = new()
    {
        ["check"] = bad => LayoutCheck.Run([new CheckedLine("L1", "", Good), new CheckedLine("L2", "", bad)], Slope, null, Limits),
        ["check with landform"] = bad => KeylinePlanner.Check(Slope, [new CheckedLine("L1", "", Good), new CheckedLine("L2", "", bad)], null, Limits),
        ["certainty"] = bad => DriftCertainty.Of([Good, bad], Slope),
        ["guidance"] = bad => GuidancePreparation.Prepare([new PlannedPath("L1", 1, Good), new PlannedPath("L2", 2, bad)]),
        ["guidance set"] = bad => _ = new GuidanceSet([new GuidanceLine { Name = "L2", SourceId = "L2", Sequence = 1, Path = bad }]),
        ["stakes"] = bad => Staking.Along("L2", bad, new SetOutOptions(), null, Slope),
        ["refit"] = bad => GuideRefit.Fit(bad, [], 0, Slope),
        ["driven, planned"] = bad => DrivenComparison.Compare([new PlannedPath("L1", 1, Good), new PlannedPath("L2", 2, bad)], [Good], new DrivenOptions { Spacing = 3 }),
    };

    private static LineString Line(string kind) => kind switch
    {
        "no points" => LineString.Empty,
        "one point twice" => FieldGround.Line((30, 40), (30, 40)),
        "one point often" => FieldGround.Line((30, 40), (30, 40), (30, 40), (30, 40), (30, 40)),
        "no number" => FieldGround.Line((30, 40), (double.NaN, 50), (60, 70)),
        "no number at all" => FieldGround.Line((double.NaN, double.NaN), (double.NaN, double.NaN)),
        _ => FieldGround.Line((30, 40), (double.PositiveInfinity, 40)),
    };

    public static TheoryData<string, string> Cases()
    {
        TheoryData<string, string> cases = [];
        foreach (string way in WaysIn.Keys)
        {
            foreach (string kind in (string[])["no points", "one point twice", "one point often", "no number", "no number at all", "without end"])
            {
                cases.Add(way, kind);
            }
        }

        return cases;
    }

    [Theory]
    [MemberData(nameof(Cases))]
    public void AreRefusedInOneSentence(string way, string kind)
    {
        GroundDataException error = Assert.Throws<GroundDataException>(() => WaysIn[way](Line(kind)));
        Assert.StartsWith(way switch { "certainty" => "Line 2 ", "refit" => "The guide ", _ => "Line L2 " }, error.Message, StringComparison.Ordinal);
        Assert.Contains(kind is "no points" ? "has no points" : kind.StartsWith("one", StringComparison.Ordinal) ? "no length" : "no number", error.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', error.Message);
    }

    [Fact]
    public void ATrackWithANumberMissing_IsRefused_AndAFixAloneIsNot()
    {
        PlannedPath[] planned = [new PlannedPath("L1", 1, Good)];
        LineString driven = FieldGround.Line((20, 50), (60, 54), (100, 58), (120, 60));
        DrivenOptions options = new() { Spacing = 3 };
        Assert.Throws<GroundDataException>(() => DrivenComparison.Compare(planned, [driven, Line("no number")], options));
        Assert.Equal(
            DrivenComparison.Compare(planned, [driven], options).Figures.Driven,
            DrivenComparison.Compare(planned, [Line("one point twice"), driven, Line("no points")], options).Figures.Driven);
    }

    [Fact]
    public void PointsRepeatedAlongALine_ChangeNothing()
    {
        LineString twice = FieldGround.Line((20, 50), (20, 50), (70, 55), (70, 55), (70, 55), (120, 60), (120, 60));
        LineString once = FieldGround.Line((20, 50), (70, 55), (120, 60));
        LayoutCheckResult a = LayoutCheck.Run([new CheckedLine("L", "", twice)], Slope, null, Limits), b = LayoutCheck.Run([new CheckedLine("L", "", once)], Slope, null, Limits);
        Assert.Equal(b.Measures[0], a.Measures[0]);
        Assert.Equal(b.Findings.Select(f => f.Sentence), a.Findings.Select(f => f.Sentence));
    }

    [Fact]
    public void NoLinesAtAll_AreMeasuredAsNone() => Assert.Equal(0, LayoutCheck.Run([], Slope, null, Limits).Figures.LineCount);
}
