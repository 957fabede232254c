using CsCheck;
using Keyline.Field;
using Keyline.Guidance;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Guidance;

public sealed class GuidancePreparationTests
{
    private static readonly Gen<PlannedPath> Wavy = Gen.Select(Gen.Int[20, 300], Gen.Double[20, 80], Gen.Double[0.5, 8]).Select((n, period, height) =>
        new PlannedPath("R001", 1, new LineString([.. Enumerable.Range(0, n).Select(i => new Coordinate(i * 1.5, height * Math.Sin(i * 1.5 / period)))])));

    // 10,000 lines: every planned point within the error of the parts, no gap exceeded, no part too long, overlap kept.
    [Fact]
    public void Prepare_AnyLine_KeepsErrorGapPointsAndOverlap() =>
        Gen.Select(Wavy, Gen.Double[0.005, 0.2], Gen.Double[5, 60], Gen.Int[3, 40]).Sample(
            (path, tolerance, gap, most) =>
            {
                GuidanceOptions options = new() { Tolerance = tolerance, GreatestGap = gap, MostPoints = most, Overlap = 6 };
                GuidanceSet set = GuidancePreparation.Prepare([path], options);
                MultiLineString parts = new([.. set.Lines.Select(l => l.Path)]);
                Assert.All(path.Line.Coordinates, c => Assert.True(parts.Distance(new Point(c)) <= tolerance + 1e-9, "strayed"));
                for (int i = 0; i < set.Lines.Count; i++)
                {
                    Coordinate[] at = set.Lines[i].Path.Coordinates;
                    Assert.True(at.Length <= most, "too many points");
                    Assert.True(at.Zip(at.Skip(1)).All(p => p.First.Distance(p.Second) <= gap + 1e-9), "gap");
                    if (i > 0)
                    {
                        Coordinate[] before = set.Lines[i - 1].Path.Coordinates;
                        int shared = Array.FindIndex(before, c => c.Equals2D(at[0]));
                        Assert.True(shared >= 0 && before.Length - shared >= 2, "no overlap");
                        Assert.True(shared == 1 || new LineString(before[shared..]).Length >= 6, "short overlap");
                    }
                }
            },
            iter: 10_000);

    [Fact]
    public void Prepare_DividedLine_KeepsItsNumber()
    {
        PlannedPath path = new("R012", 12, new LineString([.. Enumerable.Range(0, 200).Select(i => new Coordinate(i, 5 * Math.Sin(i / 8.0)))]));
        GuidanceSet set = GuidancePreparation.Prepare([path], new GuidanceOptions { MostPoints = 20 });
        Assert.Equal(Enumerable.Range(1, set.Lines.Count).Select(i => FormattableString.Invariant($"R012-{i}")), set.Lines.Select(l => l.Name));
        Assert.True(set.Lines.Count > 2);
        Assert.All(set.Lines, l => Assert.Equal((12, "R012"), (l.Sequence, l.SourceId)));
        Assert.Equal(1, set.Figures.DividedLines);
    }

    [Fact]
    public void Prepare_Leads_AreStraightAndStayInTheField()
    {
        // The boundary lies 5 m past the end; a pole with 3 m to keep clear stands 10 m before the start.
        FieldArea field = new(new Polygon(new LinearRing([new(-50, -50), new(105, -50), new(105, 50), new(-50, 50), new(-50, -50)])), [new AvoidedArea(new Point(-10, 0), 3)]);
        GuidanceSet set = GuidancePreparation.Prepare([new PlannedPath("R1", 1, new LineString([new(0, 0), new(50, 0), new(100, 0)]))], new GuidanceOptions { LeadIn = 20, LeadOut = 12 }, field);
        Coordinate[] at = set.Lines[0].Path.Coordinates;
        Assert.Equal(-7, at[0].X, 0.05);
        Assert.Equal(105, at[^1].X, 1e-9);
        Assert.Equal((0.0, 0.0, 2), (at[0].Y, at[^1].Y, set.Figures.LeadsCut));
        Assert.True(set.Lines[0].IsStraight);
    }

    // A circle's parallel is a circle: geometry. Driven counter-clockwise, the right is outside.
    [Theory]
    [InlineData(1.2, 98.8)]
    [InlineData(-0.7, 100.7)]
    public void Prepare_ImplementToOneSide_ShiftsTheTractorToTheOther(double right, double radius)
    {
        LineString arc = new([.. Enumerable.Range(0, 201).Select(i => new Coordinate(100 * Math.Cos(i * 0.01), 100 * Math.Sin(i * 0.01)))]);
        GuidanceSet set = GuidancePreparation.Prepare([new PlannedPath("R1", 1, arc)], new GuidanceOptions { ImplementOffset = right, Tolerance = 0.005 });
        Assert.All(Assert.Single(set.Lines).Path.Coordinates, c => Assert.Equal(radius, Math.Sqrt((c.X * c.X) + (c.Y * c.Y)), 0.01));
    }

    [Fact]
    public void Prepare_Shanks_LieEvenlyAboutTheLine()
    {
        GuidanceSet set = GuidancePreparation.Prepare(
            [new PlannedPath("R1", 1, new LineString([new(0, 0), new(100, 0)]))], new GuidanceOptions { Follows = FollowedLine.Shanks, Shanks = new ShankSet(3, 0.5) });
        Assert.Equal(["R1.1", "R1.2", "R1.3"], set.Lines.Select(l => l.Name));
        double[] across = [.. set.Lines.Select(l => l.Path.Coordinates[0].Y)];
        Assert.Equal(0.5, across[0], 1e-9);
        Assert.Equal(0, across[1], 1e-9);
        Assert.Equal(-0.5, across[2], 1e-9);
    }

    // A clothoid's curvature grows evenly along it: that is its definition. Rate 1/2000 per m2, drawn by small steps.
    [Fact]
    public void Steering_OfAClothoid_IsItsRate()
    {
        const double step = 0.05, rate = 1 / 2000.0;
        List<Coordinate> at = [new(0, 0)];
        for (double s = 0; s < 120; s += step)
        {
            double heading = rate * (s + (step / 2)) * (s + (step / 2)) / 2;
            at.Add(new Coordinate(at[^1].X + (step * Math.Cos(heading)), at[^1].Y + (step * Math.Sin(heading))));
        }

        SteeringDemand demand = SteeringDemand.Of(new LineString([.. at]));
        Assert.Equal(rate, demand.CurvatureRate, 0.02 * rate);
        Assert.Equal(rate * 116, demand.Curvature, 0.02 * rate * 116);
        Assert.Equal(SteeringDemand.EasySteering, demand.SteeringRate(demand.SpeedFor()), 1e-9);
        Assert.Equal(0, SteeringDemand.Of(new LineString([new(0, 0), new(100, 40)])).CurvatureRate, 1e-9);
    }

    [Theory]
    [InlineData(2, 0, 0)]
    [InlineData(100, -1, 0)]
    [InlineData(100, 0, double.NaN)]
    public void Prepare_AbsurdOptions_AreRefused(int most, double lead, double offset) => Assert.Throws<ArgumentException>(() =>
        GuidancePreparation.Prepare([], new GuidanceOptions { MostPoints = most, LeadIn = lead, ImplementOffset = offset }));
}
