using System.Text.RegularExpressions;
using Keyline.Check;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Report.Tests;

/// <summary>Where a finding lies: along its line, and beside what.</summary>
public sealed partial class FindingPlaceTests
{
    // Three lines run east, 100 m long, at 0, 10 and 45 m north; a fourth, 20 m north, only from 70 m on.
    private static readonly RipLine[] Lines = [Line("R001", 0, 100, 0), Line("R002", 0, 100, 10), Line("R003", 0, 100, 45), Line("R004", 70, 100, 20)];

    [Fact]
    public void Along_IsMeasuredFromTheStart()
    {
        Assert.Equal((false, true, null), (new FindingPlace(Lines).IsLast(Found("R004", 70.2, 20, "left")), new FindingPlace(Lines).IsLast(Found("R004", 99.8, 20, "left")), new FindingPlace(Lines).IsLast(Found("R004", 85, 20, "left"))));
        Assert.Equal(30, new FindingPlace(Lines).Along(Found("R002", 30, 10, "left")), 1e-9);
        Assert.Equal(30, new FindingPlace(Lines).Along(Found("R002", 30, 14, "left")), 1e-9);
        Assert.Equal(double.NaN, new FindingPlace(Lines).Along(Found("R009", 30, 10, "left")));
    }

    // R002 is driven eastward: its left is north. R004 starts at 70 m, R003 lies 35 m off all along, R001 10 m to the right.
    [Theory]
    [InlineData("left", 30, 20, 6, "R003", 35)]
    [InlineData("left", 75, 20, 6, "R004", 10)]
    [InlineData("left", 75, 20, 12, "R003", 35)]
    [InlineData("left", 75, 2, 12, "", 0)]
    [InlineData("right", 30, 20, 6, "R001", 10)]
    [InlineData("right", 30, 20, 12, "", 0)]
    public void Next_LiesBeyondTheReach_OnTheSideNamed(string side, double x, double length, double reach, string id, double distance)
    {
        (string Id, double Distance)? next = new FindingPlace(Lines).Next(Found("R002", x, 10, side) with { Length = length }, reach);
        Assert.Equal(id.Length > 0, next is not null);
        if (next is { } n)
        {
            Assert.Equal(id, n.Id);
            Assert.Equal(distance, n.Distance, 1e-6);
        }
    }

    [Fact]
    public void EveryFindingOfAPage_HasAPlaceAlongItsLine()
    {
        KeylinePlan plan = InventedPlan.Make();
        using MemoryStream stream = new();
        ReportPage.Write(stream, ReportPageTests.Content(plan));
        string page = System.Text.Encoding.UTF8.GetString(stream.ToArray()), findings = page[page.IndexOf("<section id=\"findings\"", StringComparison.Ordinal)..];
        findings = findings[..findings.IndexOf("</section>", StringComparison.Ordinal)];
        Assert.NotEmpty(plan.Layout.Findings);
        Assert.Equal(plan.Layout.Findings.Count, Starts().Count(findings));
    }

    private static LayoutFinding Found(string id, double x, double y, string side) => new(FindingKind.BareStrip, id, x, y, $"Line {id} has no line within 6.10 m on its {side} in places along 20 m, where the ground can be worked and 3.05 m was asked for.") { IsOnLeft = side == "left" };

    private static RipLine Line(string id, double from, double to, double y) => new()
    {
        Id = id, GuideId = "G01", Side = GuideSide.Upslope, Offset = 0, Sequence = 0, Line = new LineString([new Coordinate(from, y), new Coordinate(to, y)]), Measures = null!,
    };

    [GeneratedRegex("<span lang=\"en\">Line <bdi>[^<]*</bdi>, (?:<span class=\"q\"[^>]*>[^<]*</span> from its start|at its start|at its end)</span>")]
    private static partial Regex Starts();
}
