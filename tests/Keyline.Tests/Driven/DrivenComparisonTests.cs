using CsCheck;
using Keyline.Driven;
using Keyline.Elevation;
using Keyline.Guidance;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Driven;

/// <summary>Tracks with faults put into them on purpose: what is found must be what was planted.</summary>
public sealed class DrivenComparisonTests
{
    private const double Spacing = 3;

    // Parallel waves 3 m apart square to their middle line, 300 m long.
    private static readonly PlannedPath[] Waves = [.. Enumerable.Range(0, 6).Select(k => new PlannedPath($"R{k + 1:000}", k + 1, Wave(k * Spacing, 0, 300)))];

    private static readonly DrivenOptions Options = new() { Spacing = Spacing, Tolerance = 0.25 };

    [Fact]
    public void Compare_TheLinesThemselves_AreDrivenWholeWithoutError()
    {
        DrivenResult found = DrivenComparison.Compare(Waves, [Boustrophedon(Waves, _ => 0)], Options);
        Assert.Equal((6, 0, 0), (found.Figures.LinesWhole, found.Figures.LinesInPart, found.Figures.LinesLeft));
        Assert.Empty(found.Stretches);
        Assert.Equal(Waves.Select(w => w.Id), found.Passes.Select(p => p.LineId));
        Assert.Equal([false, true, false, true, false, true], found.Passes.Select(p => p.IsReversed));

        // Only the last metre before a turn is off.
        Assert.InRange(found.Figures.Error95, 0, 0.02);
        Assert.InRange(found.Figures.GreatestError, 0, 0.25);
        Assert.Equal(Spacing, found.Figures.MedianSpacing, 0.01);
        Assert.Null(found.Shift);
        Assert.InRange(found.Figures.Elsewhere, 10, 100);
        Assert.Equal(found.Figures.Planned, found.Figures.Driven, 1e-6);
    }

    [Theory]
    [InlineData(0.4)]
    [InlineData(-0.7)]
    public void Compare_OffsetToOneSide_IsTheErrorOfEveryPassAndASteadyShift(double right)
    {
        DrivenResult found = DrivenComparison.Compare(Waves, [Boustrophedon(Waves, _ => right)], Options);
        Assert.All(found.Passes, p => Assert.Equal(right, p.MeanError, 0.02));
        Assert.Equal(right, found.Shift!.Value.Right, 0.02);
        Assert.Equal((0.0, 0.0), (found.Shift.Value.East, found.Shift.Value.North));
        Assert.InRange(found.Shift.Value.Remaining, 0, 0.03);

        // Neighbours are driven opposite ways, so they come closer by twice the offset and part by twice as much, in turn.
        Assert.Equal(Spacing - (2 * Math.Abs(right)), found.Figures.Spacing05, 0.1);
        Assert.Equal(Spacing + (2 * Math.Abs(right)), found.Figures.Spacing95, 0.1);

        // Two or three of the five strips narrow by twice the offset, the others widen by it.
        double strip = Waves[0].Line.Length * 2 * Math.Abs(right);
        Assert.InRange(found.Figures.OverlapArea, 1.9 * strip, 3.1 * strip);
        Assert.InRange(found.Figures.GapArea, 1.9 * strip, 3.1 * strip);
        Assert.Equal(6, found.Stretches.Count(s => s.Kind == DrivenStretchKind.OffLine));
    }

    [Fact]
    public void Compare_AnImplementToOneSide_IsTakenIntoAccount()
    {
        DrivenResult found = DrivenComparison.Compare(Waves, [Boustrophedon(Waves, _ => -0.8)], Options with { ImplementOffset = 0.8 });
        Assert.InRange(found.Figures.Error95, 0, 0.05);
    }

    [Fact]
    public void Compare_AnotherDatum_IsFoundAsAShiftOnTheMap()
    {
        LineString track = Boustrophedon(Waves, _ => 0);
        LineString moved = new([.. track.Coordinates.Select(c => new CoordinateZ(c.X + 0.3, c.Y - 0.6, c.Z))]);
        SteadyShift shift = DrivenComparison.Compare(Waves, [moved], Options).Shift!.Value;
        Assert.Equal(0.3, shift.East, 0.05);
        Assert.Equal(-0.6, shift.North, 0.05);
        Assert.InRange(shift.Remaining, 0, 0.05);
    }

    [Theory]
    [InlineData(0.5, -0.8, 0)]
    [InlineData(0, 0, 0.9)]
    public void Compare_TakingTheShiftOff_JudgesTheRest(double east, double north, double right)
    {
        LineString track = Boustrophedon(Waves, _ => right);
        LineString moved = new([.. track.Coordinates.Select(c => new CoordinateZ(c.X + east, c.Y + north, c.Z))]);
        DrivenResult found = DrivenComparison.Compare(Waves, [moved], Options with { TakesOffShift = true });
        Assert.Equal((east, north, right), (Math.Round(found.TakenOff!.Value.East, 1), Math.Round(found.TakenOff.Value.North, 1), Math.Round(found.TakenOff.Value.Right, 1)));
        Assert.InRange(found.Figures.Error95, 0, 0.1);
        Assert.Empty(found.Stretches);
        Assert.Null(found.Shift);
    }

    [Fact]
    public void Compare_SkippedAndRepeatedStretches_AreFoundWhereTheyArePlanted()
    {
        // The second line is left, the third stops at 100 m and begins again at 180 m, the fifth is driven again from 50 to 120 m.
        LineString[] tracks = [Part(0, 0, 400), Part(2, 0, 100), Part(2, 180, 400), Part(3, 0, 400), Part(4, 0, 400), Part(5, 0, 400), Part(4, 50, 120)];
        DrivenResult found = DrivenComparison.Compare(Waves, tracks, Options);
        Assert.Equal(3, found.Stretches.Count);
        DrivenStretch left = found.Stretches[0], gap = found.Stretches[1], again = found.Stretches[2];
        Assert.Equal((DrivenStretchKind.Skipped, "R002"), (left.Kind, left.LineId));
        Assert.Equal((0, Waves[1].Line.Length), (left.From, left.To));
        Assert.Equal((DrivenStretchKind.Skipped, "R003"), (gap.Kind, gap.LineId));
        Assert.Equal(100, gap.From, 1.1);
        Assert.Equal(180, gap.To, 1.1);
        Assert.Equal((DrivenStretchKind.Repeated, "R005", 2.0), (again.Kind, again.LineId, again.Worst));
        Assert.Equal(50, again.From, 1.1);
        Assert.Equal(120, again.To, 1.1);
        Assert.Equal((4, 1, 1), (found.Figures.LinesWhole, found.Figures.LinesInPart, found.Figures.LinesLeft));
        Assert.Equal(70, found.Figures.Repeated, 2.0);
    }

    [Fact]
    public void Compare_LinesAfterTheLastOneDriven_AreNotYetReached()
    {
        // Lines 1, 2 and 4 of six are driven: the third is skipped, the fifth and sixth are still to come. The fourth goes 1 m off for 60 m.
        LineString aside = Beside(Waves[3].Line, s => s is > 100 and < 160 ? 1.0 : 0);
        DrivenResult found = DrivenComparison.Compare(Waves, [Part(1, 0, 400), Part(0, 0, 400), aside, Part(1, 0, 400)], Options);
        Assert.Equal([DrivenStretchKind.Skipped, DrivenStretchKind.Repeated, DrivenStretchKind.OffLine, DrivenStretchKind.NotReached, DrivenStretchKind.NotReached], found.Stretches.Select(s => s.Kind));
        Assert.Equal(["R003", "R002", "R004", "R005", "R006"], found.Stretches.Select(s => s.LineId));
        Assert.Equal(3, found.NotAsPlanned.Count());
        Assert.Equal((1, 2), (found.Figures.LinesLeft, found.Figures.LinesNotReached));
    }

    [Theory]
    [InlineData(0.03, DrivenStretchKind.SteepAsPlanned)]
    [InlineData(0.034, DrivenStretchKind.SteepAsPlanned)]
    [InlineData(0.04, DrivenStretchKind.TooSteep)]
    public void Compare_SteepWhereThePlanIs_IsCountedApart(double slope, DrivenStretchKind kind)
    {
        // Planned at 3 % where 2 % is asked for: driven at up to half a percent more it is the plan that is steep.
        PlannedPath line = new("R001", 1, new LineString([new CoordinateZ(0, 0, 10), new CoordinateZ(200, 0, 16)]));
        LineString track = new([.. Enumerable.Range(0, 201).Select(i => new CoordinateZ(i, 0.1, slope * i))]);
        DrivenResult found = DrivenComparison.Compare([line], [track], Options with { MaximumGrade = 2 });
        Assert.Equal(kind, Assert.Single(found.Stretches).Kind);
        Assert.Equal(kind == DrivenStretchKind.TooSteep ? 1 : 0, found.NotAsPlanned.Count());
    }

    [Theory]
    [InlineData(20, 1)] // a short swerve toward the neighbour stays an error of the line
    [InlineData(150, 3)] // a long one is a pass along the neighbour
    public void Compare_Swerve_IsAnErrorWhenShortAndAnotherPassWhenLong(double length, int passes)
    {
        LineString line = Waves[2].Line;
        LineString track = Beside(line, s => 2.0 * Math.Clamp(Math.Min(s - 100, 100 + length - s) / 5, 0, 1));
        DrivenResult found = DrivenComparison.Compare(Waves, [track], Options);
        Assert.Equal(passes, found.Passes.Count);
        Assert.Equal(passes == 1, found.Stretches.Any(s => s.Kind == DrivenStretchKind.OffLine && s.Worst > 1.9));
    }

    [Theory]
    [InlineData(6.0)]
    [InlineData(12.0)]
    [InlineData(25.0)]
    public void Compare_AWayAcrossTheLines_IsNoPass(double degrees)
    {
        PlannedPath[] straight = [.. Enumerable.Range(0, 6).Select(k => new PlannedPath($"R{k + 1:000}", k + 1, new LineString([new(0, k * Spacing), new(300, k * Spacing)])))];
        double ahead = 1 / Math.Tan(degrees * Math.PI / 180);
        LineString way = new([.. Enumerable.Range(0, 21).Select(i => new Coordinate(100 + (ahead * i), i - 2))]);
        DrivenResult found = DrivenComparison.Compare(straight, [way], Options);
        Assert.Empty(found.Passes);
        Assert.Equal(way.Length, found.Figures.Elsewhere, 1.5);
    }

    [Fact]
    public void Compare_AShortRunFarOffALineThatWasDriven_IsAWayAcross()
    {
        LineString across = Part(2, 80, 100);
        LineString aside = new([.. across.Coordinates.Select(c => new Coordinate(c.X, c.Y + 1.2))]);
        DrivenResult found = DrivenComparison.Compare(Waves, [Part(2, 0, 400), Part(3, 0, 400), aside], Options);
        Assert.Equal(2, found.Passes.Count);
        Assert.Equal(0, found.Figures.Repeated);

        // On the line it is work, and done twice.
        Assert.Equal(20, DrivenComparison.Compare(Waves, [Part(2, 0, 400), Part(3, 0, 400), across], Options).Figures.Repeated, 1.1);
    }

    [Fact]
    public void Compare_Grades_AreThoseOfTheHeights()
    {
        // A straight line 200 m long that rises 1.5 % for 100 m and then 3 %; 2 % is allowed.
        PlannedPath line = new("R001", 1, new LineString([new CoordinateZ(0, 0, 10), new CoordinateZ(200, 0, 14)]));
        LineString track = new([.. Enumerable.Range(0, 201).Select(i => new CoordinateZ(i, 0.1, i < 100 ? 0.015 * i : 1.5 + (0.03 * (i - 100))))]);
        DrivenResult found = DrivenComparison.Compare([line], [track], Options with { MaximumGrade = 2 });
        DrivenPass pass = Assert.Single(found.Passes);
        Assert.Equal(3, pass.MaximumGrade, 1e-6);
        Assert.Equal(2, pass.PlannedMaximumGrade, 1e-6);
        DrivenStretch steep = Assert.Single(found.Stretches);
        Assert.Equal(DrivenStretchKind.TooSteep, steep.Kind);
        Assert.Equal(100, steep.From, 8.0);
        Assert.Equal(200, steep.To, 1.0);

        // The ground given goes before the heights of the track.
        GridFrame frame = new(30, 100, 10, -50, 150);
        float[] slope = [.. Enumerable.Range(0, 3000).Select(i => (float)(0.01 * ((i % 100) * 10)))];
        Assert.Equal(1, DrivenComparison.Compare([line], [track], Options, ElevationGrid.TakeOver(frame, slope)).Figures.MaximumGrade, 0.01);
    }

    [Fact]
    public void Compare_ABreakInTheLog_IsNotDriven()
    {
        LineString track = new([.. Waves[0].Line.Coordinates.Where(c => c.X < 100 || c.X > 180)]);
        DrivenStretch gap = DrivenComparison.Compare(Waves[..1], [track], Options).Stretches[0];
        Assert.Equal(DrivenStretchKind.Skipped, gap.Kind);
        Assert.InRange(gap.To - gap.From, 78, 92);
    }

    [Fact]
    public void Compare_StandingStill_AddsNothing()
    {
        Random chance = new(1);
        List<Coordinate> fixes = [.. Waves[0].Line.Coordinates];
        Coordinate stop = fixes[150];
        fixes.InsertRange(150, Enumerable.Range(0, 300).Select(_ => new Coordinate(stop.X + (0.1 * chance.NextDouble()), stop.Y + (0.1 * chance.NextDouble()))));
        DrivenResult found = DrivenComparison.Compare(Waves, [new LineString([.. fixes])], Options);
        Assert.Single(found.Passes);
        Assert.InRange(found.Figures.OnLines + found.Figures.Elsewhere, Waves[0].Line.Length - 1, Waves[0].Line.Length + 1);
    }

    [Fact]
    public void Compare_NoTrackToSpeakOf_IsRefused()
    {
        Assert.Contains("shorter than two metres", Assert.Throws<GroundDataException>(() => DrivenComparison.Compare(Waves, [new LineString([new(0, 0), new(1, 0)])], Options)).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => DrivenComparison.Compare(Waves, [Waves[0].Line], Options with { WidestAngle = 90 }));
    }

    // The plain twin looks at every segment for every sample, and at every pair of states.
    [Fact]
    public void Matching_AnyTrack_IsAsByThePlainTwin() =>
        Gen.Select(Gen.Int[1, 5], Gen.Double[-1, 1], Gen.Double[5, 60], Gen.Double[0.5, 4], Gen.Int[0, 1000]).Sample(
            (count, slant, period, reach, seed) =>
            {
                Random chance = new(seed);
                PlannedPath[] lines = [.. Enumerable.Range(0, count).Select(k => new PlannedPath($"{k}", k + 1, Wave(k * 2.5, 0, 60 + (10 * k))))];
                LineString track = new([.. Enumerable.Range(0, 60).Select(i => new Coordinate(i * 1.3, (slant * i / 10) + (2 * Math.Sin(i * 6 / period)) + chance.NextDouble()))]);
                TrackSamples samples = TrackSamples.Of(track, 50, 0).Single();
                PlannedIndex index = new(lines, reach);
                double cosine = Math.Cos(30 * Math.PI / 180);
                List<PlannedPlace> found = [];
                List<int> near = [];
                List<PlannedPlace>[] fast = new List<PlannedPlace>[samples.Count], plain = new List<PlannedPlace>[samples.Count];
                for (int i = 0; i < samples.Count; i++)
                {
                    index.Near(samples.At[i], samples.Direction[i], reach, cosine, found, near);
                    fast[i] = [.. found];
                    plain[i] = [.. Enumerable.Range(0, index.Count).Select(s => index.Place(s, samples.At[i], samples.Direction[i], reach, cosine)).OfType<PlannedPlace>()
                        .GroupBy(p => p.Line).Select(g => g.OrderBy(p => Math.Abs(p.Right)).ThenBy(p => p.Station).First()).OrderBy(p => p.Line)];
                    Assert.Equal(plain[i], fast[i]);
                }

                PlannedPlace?[] chosen = TrackMatching.Cheapest(fast, index.Lengths, reach);
                Assert.Equal(LeastCost(plain, index.Lengths, reach), Cost(chosen, index.Lengths, reach), 1e-9);
            },
            iter: 300);

    [Fact]
    public void Compare_AnyCores_GivesTheSame()
    {
        LineString track = Boustrophedon(Waves, s => 0.3 * Math.Sin(s / 9));
        DrivenResult one = DrivenComparison.Compare(Waves, [track], Options), two = DrivenComparison.Compare(Waves, [track], Options);
        Assert.Equal(one.Figures, two.Figures);
        Assert.Equal(one.Lines, two.Lines);
    }

    private static double Cost(PlannedPlace?[] chosen, double[] lengths, double reach)
    {
        double sum = 0;
        for (int i = 0; i < chosen.Length; i++)
        {
            sum += State(chosen[i], reach) + (i > 0 ? Change(chosen[i - 1], chosen[i], lengths) : 0);
        }

        return sum;
    }

    private static double LeastCost(List<PlannedPlace>[] candidates, double[] lengths, double reach)
    {
        Dictionary<int, double> before = [];
        PlannedPlace?[] States(int i) => [null, .. candidates[i].Select(c => (PlannedPlace?)c)];
        for (int i = 0; i < candidates.Length; i++)
        {
            Dictionary<int, double> next = [];
            PlannedPlace?[] here = States(i);
            for (int s = 0; s < here.Length; s++)
            {
                next[s] = State(here[s], reach) + (i == 0 ? 0 : Enumerable.Range(0, before.Count).Min(b => before[b] + Change(States(i - 1)[b], here[s], lengths)));
            }

            before = next;
        }

        return before.Values.Min();
    }

    private static double State(PlannedPlace? at, double reach) => at is { } p ? Math.Min(1, 4 * p.Right * p.Right / (reach * reach)) : 1;

    private static double Change(PlannedPlace? a, PlannedPlace? b, double[] lengths)
    {
        bool goesOn = a is { } p && b is { } q ? p.Line == q.Line && p.Sense == q.Sense && Math.Abs(q.Station - p.Station - q.Sense) <= 3 : a is null && b is null;
        return goesOn ? 0 : Price(a, -1) + Price(b, 1);

        // A line is left where it ends and come onto where it begins, as driven.
        double Price(PlannedPlace? at, int sense) => at is not { } o ? 0 : (o.Sense == sense ? o.Station : lengths[o.Line] - o.Station) < 5 ? 1 : 4;
    }

    private static LineString Part(int line, double from, double to)
    {
        LineString whole = Waves[line].Line;
        return (LineString)new NetTopologySuite.LinearReferencing.LengthIndexedLine(whole).ExtractLine(from, Math.Min(to, whole.Length));
    }

    private static LineString Wave(double offset, double from, double to) => new([.. Enumerable.Range(0, (int)(to - from) + 1).Select(i =>
    {
        double x = from + i, slope = 0.4 * Math.Cos(x / 40), norm = Math.Sqrt(1 + (slope * slope));
        return new CoordinateZ(x - (slope * offset / norm), (16 * Math.Sin(x / 40)) + (offset / norm), double.NaN);
    })]);

    // All lines in turn, every other one backwards, with round turns between; to the right of travel by a function of the way along.
    private static LineString Boustrophedon(PlannedPath[] lines, Func<double, double> right)
    {
        List<Coordinate> all = [];
        for (int k = 0; k < lines.Length; k++)
        {
            LineString line = k % 2 == 0 ? lines[k].Line : (LineString)lines[k].Line.Reverse();
            Coordinate[] way = Beside(line, right).Coordinates;
            if (all.Count > 0)
            {
                Coordinate a = all[^1], b = way[0];
                double bulge = k % 2 == 1 ? 5 : -5;
                all.AddRange([new(a.X + bulge, a.Y - 1), new(a.X + (1.6 * bulge), (a.Y + b.Y) / 2), new(b.X + bulge, b.Y + 1)]);
            }

            all.AddRange(way);
        }

        return new LineString([.. all]);
    }

    private static LineString Beside(LineString line, Func<double, double> right)
    {
        Coordinate[] at = line.Coordinates;
        double along = 0;
        List<Coordinate> moved = [];
        for (int i = 0; i < at.Length; i++)
        {
            along += i > 0 ? at[i].Distance(at[i - 1]) : 0;
            Coordinate a = at[Math.Max(0, i - 1)], b = at[Math.Min(at.Length - 1, i + 1)];
            double n = a.Distance(b), off = right(along);
            moved.Add(new CoordinateZ(at[i].X + (off * (b.Y - a.Y) / n), at[i].Y - (off * (b.X - a.X) / n), double.NaN));
        }

        return new LineString([.. moved]);
    }
}
