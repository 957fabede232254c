using Keyline.Field;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork.Tests;

/// <summary>What turns take, how they are joined to an order, what is told where none fits: each counted by hand.</summary>
public sealed class TurnsAndHoursTests
{
    private static readonly FieldArea Square = new(Rows.Box(0, 0, 200, 200));

    private static WorkLine[] Lines(params LineString[] lines) => [.. lines.Select((l, i) => new WorkLine(FormattableString.Invariant($"R{i + 1:000}"), l))];

    private static LineString Straight(double x0, double y0, double x1, double y1) => new([new Coordinate(x0, y0), new Coordinate(x1, y1)]);

    // 10 m forward at 5 km/h, 6 m backward at 3 km/h, 4 m forward again, with two changes of 3 s: 14 / 1.3889 + 6 / 0.8333 + 6 = 10.08 + 7.20 + 6.
    [Fact]
    public void Seconds_AreThoseOfBothSpeedsAndTheChanges()
    {
        Machine machine = Rows.Mounted() with { TurningSpeed = 5 / 3.6, ReversingSpeed = 3 / 3.6 };
        RowChanges changes = new(machine, DrivableGround.Of(Square));
        Assert.Equal(10.08 + 7.2 + 6, changes.Seconds(new TurnPath(new Pose(50, 50, 0), [new TurnPiece(10, 0), new TurnPiece(-6, 0), new TurnPiece(4, 0.1)])), 1e-9);
    }

    // A trailed implement comes straight into the row: over the axle's lead and one and a half times its own length at the least.
    [Fact]
    public void ATrailedImplement_RunsInStraight()
    {
        Machine machine = Rows.Trailed();
        RowChange change = new RowChanges(machine, DrivableGround.Of(Square)).Between(new Pose(80, 150, Math.PI / 2), new Pose(104, 150, -Math.PI / 2));
        Assert.True(change.Fits);
        Assert.Equal(0, change.Way.Pieces[^1].Bend);
        Assert.Equal(machine.AxleToShank + (1.5 * machine.Implement.HitchToShank), change.Way.Pieces[^1].Length, 1e-9);
    }

    // With a fence right behind the row's start and room only in the row, the tractor turns in the row and backs to its start.
    [Fact]
    public void WhereThereIsRoomOnlyInTheRow_ItIsEnteredBackward()
    {
        Machine machine = Rows.Mounted();
        FieldArea field = new(Rows.Box(0, 0, 60, 44));
        RowChange change = new RowChanges(machine, DrivableGround.Of(field)).Between(new Pose(12, 22, 0), new Pose(50, 4, Math.PI / 2), withLinks: false);
        Assert.True(change.Fits);
        Assert.Equal(RowChangeKind.Reversing, change.Kind);
        Assert.True(change.Way.Pieces[^1].Length < 0);
        Assert.True(Rows.StaysWithin(new SweptOutline(machine), change.Way, field));
    }

    // An outline is tested at every pose where it lacks room: a post that only the swinging nose meets, at places all along a long way.
    [Fact]
    public void ThePost_IsMetWhereverItStands()
    {
        Machine machine = Rows.Mounted();
        SweptOutline outline = new(machine);
        TurnPath way = new(new Pose(20, 100, 0), [new TurnPiece(160, 0)]);
        for (double x = 30; x < 178; x += 1.7)
        {
            DrivableGround ground = DrivableGround.Of(new FieldArea(Square.Boundary, [new AvoidedArea(new Point(x, 100 + (machine.Tractor.Width / 2) + 0.3), 0)]));
            Assert.False(outline.Keeps(way, ground), $"{x}");
        }
    }

    // A post that the nose runs into at the very end of a way, between its corners: there is no pose behind that would meet it too.
    [Fact]
    public void ThePostAtTheEnd_IsMet()
    {
        Machine machine = Rows.Mounted();
        SweptOutline outline = new(machine);
        DrivableGround ground = DrivableGround.Of(new FieldArea(Square.Boundary, [new AvoidedArea(new Point(100, 100), 0)]));
        for (double length = 20; length < 24; length += 0.1)
        {
            Assert.False(outline.Keeps(new TurnPath(new Pose(100 - length - machine.Tractor.FrontLength + 1, 100, 0), [new TurnPiece(length, 0)]), ground), $"{length}");
        }
    }

    // The dam leaves a passage 8 m wide along the fence: cells with room for half the machine and half a metre lie in it; one of 3.5 m has none.
    [Theory]
    [InlineData(9, true)]
    [InlineData(3.5, false)]
    public void AWayRound_NeedsRoomForTheMachine(double passage, bool found)
    {
        Machine machine = Rows.Mounted();
        FieldArea field = new(Rows.Box(0, 0, 200, 120), [new AvoidedArea(Rows.Box(80, passage, 120, 120), 0, "dam")]);
        RowChange change = new RowChanges(machine, DrivableGround.Of(field)).Between(new Pose(60, 60, 0), new Pose(140, 60, 0));
        Assert.Equal(found, change.Fits);
        if (found)
        {
            Assert.Equal(RowChangeKind.Link, change.Kind);

            // About the shortest there is: down the one side, through, and up the other, with its bends.
            Assert.InRange(change.Way.Length, 150, 260);
        }
    }

    // Joined one way a turn fits and the other it does not: an order that may be driven about counts the worse.
    [Fact]
    public void NoBetterOrderIsPaidWithATurnThatDoesNotFit()
    {
        Random random = new(5);
        for (int k = 0; k < 6; k++)
        {
            LineString[] lines = [.. Enumerable.Range(0, 14).Select(_ =>
            {
                double x = 12 + (70 * random.NextDouble()), y = 12 + (70 * random.NextDouble()), turn = random.NextDouble() * 6.3;
                return Straight(x, y, Math.Clamp(x + (45 * Math.Cos(turn)), 5, 95), Math.Clamp(y + (45 * Math.Sin(turn)), 5, 95));
            })];
            FieldArea field = new(Rows.Box(0, 0, 100, 100), [new AvoidedArea(new Point(50, 50).Buffer(8), 1, "pond")]);
            WorkJob asGiven = WorkJob.Plan(Lines(lines), field, Rows.Mounted(), new WorkOptions { ImproveOrder = false }), improved = WorkJob.Plan(Lines(lines), field, Rows.Mounted());
            double Weight(WorkJob job) => (3600 * job.OrderHours) + (RowOrder.NoFit * job.Findings.Count(f => f.Kind == WorkFindingKind.TurnDoesNotFit));
            Assert.True(Weight(improved) <= Weight(asGiven) + 1e-6, $"{k}: {Weight(improved)} over {Weight(asGiven)}");
            Assert.True(improved.Findings.Count(f => f.Kind == WorkFindingKind.TurnDoesNotFit) <= asGiven.Findings.Count(f => f.Kind == WorkFindingKind.TurnDoesNotFit), $"{k}");
        }
    }

    // The gate lies 30 m from the start of the first line and 50 m from the end of the last: 80 m at the turning speed, among the links.
    [Fact]
    public void TheGate_IsComeFromAndGoneBackTo()
    {
        WorkLine[] lines = Lines(Straight(60, 40, 60, 160), Straight(80, 160, 80, 40));
        Machine machine = Rows.Mounted();
        WorkOptions options = new() { ImproveOrder = false };
        WorkJob without = WorkJob.Plan(lines, Square, machine, options), job = WorkJob.Plan(lines, Square, machine, options with { Gate = new Coordinate(30, 40) });
        Assert.Equal((30 + 50) / machine.TurningSpeed / 3600, job.Usual!.Links - without.Usual!.Links, 1e-9);
        Assert.Equal((30 + 50) / machine.TurningSpeed / 3600, job.OrderHours - without.OrderHours, 1e-9);
    }

    // Rows 1.4 m apart are turned into with a reverse: its seconds count as turning as those of a forward turn do.
    [Fact]
    public void TurnsWithAReverse_CountAsTurning()
    {
        WorkJob job = WorkJob.Plan(Lines([.. Rows.North(4, 1.4, 14).Select((r, i) => i % 2 == 0 ? r : (LineString)r.Reverse())]), Square, Rows.Mounted(), new WorkOptions { ImproveOrder = false });
        WorkStop[] backed = [.. job.Stops.Where(s => s.Change?.Kind == RowChangeKind.Reversing)];
        Assert.NotEmpty(backed);
        Assert.Equal(job.Stops.Sum(s => s.Change is { Kind: not RowChangeKind.Link } c ? c.Seconds : 0) / 3600, job.Usual!.Turning, 1e-12);
        Assert.True(job.Usual.Turning >= backed.Sum(s => s.Change!.Seconds) / 3600);
        Assert.Equal(0, job.Usual.Links);
    }

    // An open line along the fence, driven last: from the end that is reached sooner.
    [Theory]
    [InlineData(20, 180, false)]
    [InlineData(180, 20, true)]
    public void TheLastLine_IsEnteredAtTheNearerEnd(double from, double to, bool reversed)
    {
        WorkJob job = WorkJob.Plan(Lines(Straight(30, 20, 30, 170)), Square, Rows.Mounted(), new WorkOptions { ImproveOrder = false, Last = [new WorkLine("H01", Straight(from, 190, to, 190), "", true)] });
        Assert.Equal(reversed, job.Stops[^1].Reversed);
        Assert.Equal(20, job.Stops[^1].Course.StartPoint.X);
    }

    // Rows that end 1 m from the fence: no turn, but a few metres less of the one leave room, and the place and width of it are told; with the line really so much shorter it turns.
    [Fact]
    public void WhereNoTurnFits_WhatWouldHelpIsTold_AndHelps()
    {
        LineString[] rows = Rows.North(2, 3, 1);
        LineString[] driven = [rows[0], (LineString)rows[1].Reverse()];
        WorkJob job = WorkJob.Plan(Lines(driven), Square, Rows.Mounted(), new WorkOptions { ImproveOrder = false });
        string said = Assert.Single(job.Findings, f => f.Kind == WorkFindingKind.TurnDoesNotFit).Sentence;
        System.Text.RegularExpressions.Match match = System.Text.RegularExpressions.Regex.Match(said, "^No turn from R001 to R002 keeps the machine in the field: (?:lift (\\d+) m before the end of R001)?(?: and )?(?:let down (\\d+) m into R002)? and it turns, or widen the headland there to ([\\d.]+) m\\.$");
        Assert.True(match.Success, said);
        double Metres(int group) => match.Groups[group].Success ? double.Parse(match.Groups[group].Value, System.Globalization.CultureInfo.InvariantCulture) : 0;
        LineString[] shorter = [Straight(20, 1, 20, 199 - Metres(1)), Straight(23, 199 - Metres(2), 23, 1)];
        Assert.Empty(WorkJob.Plan(Lines(shorter), Square, Rows.Mounted(), new WorkOptions { ImproveOrder = false }).Findings);
        Assert.Equal(1 + Math.Max(Metres(1), Metres(2)), Metres(3));

        // Two metres less of that do not: it is the least of those tried.
        LineString[] less = [Straight(20, 1, 20, 199 - Math.Max(0, Metres(1) - 2)), Straight(23, 199 - Math.Max(0, Metres(2) - 2), 23, 1)];
        Assert.NotEmpty(WorkJob.Plan(Lines(less), Square, Rows.Mounted(), new WorkOptions { ImproveOrder = false }).Findings);
        Assert.Equal(said, Assert.Single(job.With(job.Machine with { Implement = job.Machine.Implement with { Depth = 0.3 } }).Findings).Sentence);
    }

    // A pipe from fence to fence lies between the two lines: no line shortened helps, and the sentence says what lies there.
    [Fact]
    public void WhatPartsTheField_IsNamed()
    {
        FieldArea field = new(Rows.Box(0, 0, 200, 200), [new AvoidedArea(Straight(100, -5, 100, 205), 2, "gas main")]);
        WorkJob job = WorkJob.Plan(Lines(Straight(80, 30, 80, 170), Straight(120, 170, 120, 30)), field, Rows.Mounted(), new WorkOptions { ImproveOrder = false });
        Assert.EndsWith("gas main lies between them; cross it, with the implement lifted, only where that is agreed, or go round by the road.", Assert.Single(job.Findings).Sentence, StringComparison.Ordinal);
    }

    // Rows cut in two by a pipe from fence to fence, given in pairs: each side is worked as a whole, so that the pipe is in the way once and not ten times.
    [Fact]
    public void APartedField_IsWorkedPartByPart()
    {
        FieldArea field = new(Rows.Box(0, 0, 200, 200), [new AvoidedArea(Straight(-5, 100, 205, 100), 2, "gas main")]);
        LineString[] halves = [.. Enumerable.Range(0, 10).SelectMany(i => (LineString[])[Straight(20 + (2.8 * i), 14, 20 + (2.8 * i), 97), Straight(20 + (2.8 * i), 103, 20 + (2.8 * i), 186)])];
        WorkJob job = WorkJob.Plan(Lines(halves), field, Rows.Mounted());
        bool[] south = [.. job.Stops.Select(s => s.Course.Centroid.Y < 100)];
        Assert.Equal(1, south.Zip(south.Skip(1)).Count(p => p.First != p.Second));
        Assert.True(south[0]);
        DrivableGround ground = DrivableGround.Of(field);
        GroundParts parts = GroundParts.Of(ground, TestContext.Current.CancellationToken);
        Assert.Equal((2, 1, 2, 0), (parts.Count, parts.PartOf(halves[0]), parts.PartOf(halves[1]), parts.PartOf(Straight(10, 100, 60, 100))));

        // A gap in it that a tractor passes joins the two; one of 2 m does not.
        Assert.Equal(1, GroundParts.Of(DrivableGround.Of(new FieldArea(field.Boundary, [new AvoidedArea(Straight(-5, 100, 190, 100), 2)])), TestContext.Current.CancellationToken).Count);
        Assert.Equal(2, GroundParts.Of(DrivableGround.Of(new FieldArea(field.Boundary, [new AvoidedArea(Straight(-5, 100, 198, 100), 2)])), TestContext.Current.CancellationToken).Count);
    }

    [Fact]
    public void TooSlowATractor_IsToldAWalk_AndTooLightOneItsWeight()
    {
        // Fine soil, one narrow tip 0.5 m deep: 226 + 1.8 S^2 N a cm; at 2.5 km/h 11.9 kN or 8.2 kW, which a drawbar of 8.5 kW pulls and at 3 km/h (12.1 kN, 10.1 kW) does not.
        Machine small = Rows.Mounted() with { Tractor = new Tractor { Power = 8.5, PowerMeasure = PowerMeasure.Drawbar, Mass = 3000 }, Implement = Rows.Mounted().Implement with { Shanks = 1, Depth = 0.5 } };
        string said = string.Join(' ', PullEstimate.Of(small, SoilTexture.Fine).Sentences());
        Assert.Contains("2.5 km/h if the implement may go so slowly", said, StringComparison.Ordinal);

        // Twice 0.5 m on medium soil take 0.7 (226 + 1.8 * 36) 100 = 20.4 kN at 6 km/h: 46 % of the weight of 4.5 t, 42 % of 5 t; the word is given from 45 % on.
        Machine At(double mass) => Rows.Mounted() with { Tractor = new Tractor { Power = 90, Mass = mass } };
        Assert.Contains("46 % of the tractor's weight", string.Join(' ', PullEstimate.Of(At(4500)).Sentences()), StringComparison.Ordinal);
        Assert.DoesNotContain("of the tractor's weight", string.Join(' ', PullEstimate.Of(At(5000)).Sentences()), StringComparison.Ordinal);
    }
}
