using Keyline.Field;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork.Tests;

/// <summary>Turns that exist: inside the field, off what is avoided, no tighter than the machine, and every one that is not is told.</summary>
public sealed class RowChangeTests
{
    // An 8 m radius and rows of 3.05 m: three tangent circles reach 20.9 m beyond the line's end (closed form, computed here), a half circle into a
    // row two radii off 8 m. To these come the tractor ahead of its axle and the axle ahead of the shanks.
    [Fact]
    public void HeadlandWidth_IsTheReachOfTheTurnsWithTheMachine()
    {
        Machine machine = Rows.Mounted(8);
        double half = HeadlandWidth.SkippingRows(machine), loop = HeadlandWidth.NextRow(machine, 3.05), reversing = HeadlandWidth.NextRowReversing(machine, 3.05);
        double ahead = machine.AxleToShank, corner = Math.Sqrt(Math.Pow(8 + (machine.Tractor.Width / 2), 2) + Math.Pow(machine.Tractor.FrontLength, 2));
        Assert.Equal(ahead + corner + DrivableGround.Clearance, half, 0.1);

        // The axle leaves "ahead" beyond the line's end and arrives as far inside the next: the outer circles lie that far apart in height.
        double apart = Math.Sqrt(Math.Pow(16 + 3.05, 2) + (4 * ahead * ahead)), middle = Math.Sqrt((16 * 16) - (apart * apart / 4)) * (16 + 3.05) / apart;
        Assert.Equal(middle + corner + DrivableGround.Clearance, loop, 0.1);
        Assert.InRange(reversing, 5, loop);
        Assert.True(double.IsNaN(HeadlandWidth.NextRowReversing(Rows.Trailed(), 3)));
        Assert.Equal(Math.Ceiling(2 * Math.Min(half, reversing)) / 2, HeadlandWidth.Automatic(machine, 3.05));
    }

    /// <summary>With the headland worked out, rows square to the fence have turns that fit, a little narrower and they have not.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void AutomaticHeadland_HasRoomForEveryTurn_AndLessHasNot(bool trailed)
    {
        Machine machine = trailed ? Rows.Trailed() : Rows.Mounted();
        double width = HeadlandWidth.Automatic(machine, 2.1);
        FieldArea field = new(Rows.Box(0, 0, 200, 200));
        RowChanges changes = new(machine, DrivableGround.Of(field));
        double apart = trailed ? 2 * machine.Implement.RadiusLifted : 2.1;
        RowChange fits = changes.Between(new Pose(100, 200 - width - 0.5, Math.PI / 2), new Pose(100 + apart, 200 - width - 0.5, -Math.PI / 2));
        Assert.True(fits.Fits);
        Assert.True(Rows.StaysWithin(new SweptOutline(machine), fits.Way, field));
        RowChange narrow = changes.Between(new Pose(100, 198, Math.PI / 2), new Pose(100 + apart, 198, -Math.PI / 2), withLinks: false);
        Assert.False(narrow.Fits);
        Assert.True(narrow.Taken!.Value.Y > 198);
    }

    public static TheoryData<int, bool> Seeds => new(from seed in Enumerable.Range(1, 3) from trailed in new[] { false, true } select (seed, trailed));

    /// <summary>Whatever the ends, a way that is said to fit stays in the field and off the pond, asked of the shapes themselves, starts and ends as it should
    /// and turns no tighter than the machine; and one that is said not to fit leaves them at the place told.</summary>
    [Theory, MemberData(nameof(Seeds))]
    public void NoDrawnTurn_LeavesTheField(int seed, bool trailed)
    {
        Random random = new(seed);
        Machine machine = trailed ? Rows.Trailed() : Rows.Mounted();
        FieldArea field = new(Rows.Box(0, 0, 120, 90), [new AvoidedArea(new Point(60, 45).Buffer(9), 4, "pond"), new AvoidedArea(new LineString([new Coordinate(20, 60), new Coordinate(45, 70)]), 2, "pipe")]);
        RowChanges changes = new(machine, DrivableGround.Of(field));
        SweptOutline outline = new(machine);
        int fitting = 0;
        for (int i = 0; i < 25; i++)
        {
            Pose exit = new(5 + (110 * random.NextDouble()), 5 + (80 * random.NextDouble()), random.NextDouble() * 7), entry = new(5 + (110 * random.NextDouble()), 5 + (80 * random.NextDouble()), random.NextDouble() * 7);
            RowChange change = changes.Between(exit, entry);
            Assert.Equal(exit.Ahead(machine.AxleToShank).X, change.Way.Start.X, 1e-9);
            Assert.Equal(entry.Ahead(machine.AxleToShank).X, change.Way.End.X, 1e-6);
            Assert.Equal(entry.Ahead(machine.AxleToShank).Y, change.Way.End.Y, 1e-6);
            Assert.All(change.Way.Pieces, p => Assert.True(Math.Abs(p.Bend) <= (1 / machine.Implement.RadiusLifted) + 1e-12));
            Assert.True(!trailed || change.Way.IsForward);
            Assert.True(change.Way.Changes <= 2);
            Assert.Equal(change.Fits, outline.FirstTaken(change.Way, changes.Ground) is null);
            if (change.Fits)
            {
                Assert.True(Rows.StaysWithin(outline, change.Way, field));
                fitting++;
            }
            else
            {
                Point at = new(change.Taken!.Value.X, change.Taken.Value.Y);
                Assert.True(!field.Boundary.Contains(at) || field.Boundary.Boundary.Distance(at) < 1.3 || field.Avoided.Any(a => a.Shape.Distance(at) < 1.3));
            }
        }

        Assert.True(fitting > 4, $"{fitting}");
    }

    /// <summary>Planted: a post one and a half metres off the tractor's flank on a straight way, and just beyond it.</summary>
    [Theory]
    [InlineData(1.0, true)]
    [InlineData(1.9, false)]
    public void SweptOutline_FindsAPlantedPost(double aside, bool struck)
    {
        Machine machine = Rows.Mounted();
        FieldArea field = new(Rows.Box(-50, -50, 50, 50), [new AvoidedArea(new Point(5, aside + 0.3), 0)]);
        TurnPath way = new(new Pose(0, 0, 0), [new TurnPiece(12, 0)]);
        Assert.Equal(struck, new SweptOutline(machine).FirstTaken(way, DrivableGround.Of(field)) is not null);
    }

    // The nose swings out: on an arc of radius r the front corner runs on a circle of sqrt((r + w/2)^2 + f^2) (geometry, computed here).
    [Fact]
    public void SweptOutline_NoseRunsOnItsOwnCircle()
    {
        Machine machine = Rows.Mounted(8);
        TurnPath circle = new(new Pose(8, 0, Math.PI / 2), [new TurnPiece(2 * Math.PI * 8, 1.0 / 8)]);
        double expected = Math.Sqrt(Math.Pow(8 + (machine.Tractor.Width / 2), 2) + Math.Pow(machine.Tractor.FrontLength, 2));
        Assert.Equal(expected, new SweptOutline(machine).Along(circle).Max(p => Math.Sqrt((p.X * p.X) + (p.Y * p.Y))), 0.02);
    }

    // Round a long circle a trailer settles so that its own axle runs on sqrt(R^2 + hitch^2 - length^2) (two right triangles, computed here); its outer
    // rear corner on the circle that follows from that.
    [Fact]
    public void TrailedImplement_CutsTheCornerAsATractrixDoes()
    {
        Machine machine = Rows.Trailed(10);
        double hitch = machine.Tractor.HitchLength, pole = machine.Implement.HitchToShank, settled = Math.Sqrt((100 + (hitch * hitch)) - (pole * pole));
        TurnPath circle = new(new Pose(10, 0, Math.PI / 2), [new TurnPiece(6 * Math.PI * 10, 0.1)]);
        (double X, double Y)[] last = [.. new SweptOutline(machine).Along(circle).TakeLast(20)];
        double half = machine.Implement.WidthOverAll / 2, behind = machine.Implement.LengthOverAll - pole;
        double rear = Math.Sqrt(Math.Pow(settled - half, 2) + (behind * behind));
        Assert.Equal(Math.Min(rear, settled - half), last.Min(p => Math.Sqrt((p.X * p.X) + (p.Y * p.Y))), 0.15);
    }

    /// <summary>Round a pond that no turn gets past a way round is found, forward and clear of it.</summary>
    [Fact]
    public void WhereATurnDoesNotFit_AWayRoundIsDrawn()
    {
        Machine machine = Rows.Mounted();
        FieldArea field = new(Rows.Box(0, 0, 200, 120), [new AvoidedArea(Rows.Box(80, 20, 120, 100), 2, "dam")]);
        RowChange change = new RowChanges(machine, DrivableGround.Of(field)).Between(new Pose(70, 60, 0), new Pose(150, 60, 0));
        Assert.True(change.Fits);
        Assert.True(Rows.StaysWithin(new SweptOutline(machine), change.Way, field));
        Assert.True(change.Way.Length > 100);
    }

    /// <summary>The quick test of an outline says what the plain one does that asks for every point, and the room left at a place is never more than there is.</summary>
    [Theory, MemberData(nameof(Seeds))]
    public void QuickTests_SayWhatPlainOnesDo(int seed, bool trailed)
    {
        Random random = new(seed);
        Machine machine = trailed ? Rows.Trailed() : Rows.Mounted();
        DrivableGround ground = DrivableGround.Of(new FieldArea(Rows.Box(0, 0, 120, 90), [new AvoidedArea(new Point(60, 45).Buffer(9), 4, "pond")]));
        SweptOutline outline = new(machine);
        int kept = 0, left = 0;
        for (int i = 0; i < 400; i++)
        {
            Pose start = new(120 * random.NextDouble(), 90 * random.NextDouble(), random.NextDouble() * 7);
            TurnPath way = new(start, [new TurnPiece(20 * random.NextDouble(), (random.NextDouble() - 0.5) / 4), new TurnPiece((trailed ? 1 : -1) * 12 * random.NextDouble(), (random.NextDouble() - 0.5) / 4)]);
            bool plain = outline.FirstTaken(way, ground) is null, quick = outline.Keeps(way, ground);

            // The quick test asks for corners at places between besides, so that it may find what the plain one steps over by a hair.
            Assert.True(plain || !quick);
            (kept, left) = (kept + (quick ? 1 : 0), left + (plain && !quick ? 1 : 0));
            double room = ground.RoomAt(start.X, start.Y), angle = 7 * random.NextDouble(), far = room * random.NextDouble();
            Assert.Equal(ground.IsFree(start.X, start.Y), room >= 0);
            Assert.True(room < 0 || ground.IsFree(start.X + (far * Math.Cos(angle)), start.Y + (far * Math.Sin(angle))));
        }

        Assert.True(kept > 60 && left < 4, $"{kept} {left}");
    }

    /// <summary>The way found is the quickest of all candidates, looked for plainly: each made, each tested, the least taken.</summary>
    [Theory, InlineData(1), InlineData(2)]
    public void TheWayFound_IsTheQuickestOfAllCandidates(int seed)
    {
        Random random = new(seed);
        Machine machine = Rows.Mounted();
        RowChanges changes = new(machine, DrivableGround.Of(new FieldArea(Rows.Box(0, 0, 70, 50))));
        SweptOutline outline = new(machine);
        double radius = machine.Implement.RadiusLifted;
        int kinds = 0;
        for (int i = 0; i < 40; i++)
        {
            Pose exit = new(6 + (58 * random.NextDouble()), 6 + (38 * random.NextDouble()), random.NextDouble() * 7), entry = new(6 + (58 * random.NextDouble()), 6 + (38 * random.NextDouble()), random.NextDouble() * 7);
            Pose from = exit.Ahead(machine.AxleToShank), to = entry.Ahead(machine.AxleToShank);
            List<TurnPath> all = [.. ForwardTurns.Between(from, to, radius), .. ReversingTurns.Between(from, to, radius).Where(RowChanges.IsOneReverse).Take(8)];
            foreach (double back in (double[])[3, 6, 10, 15, 22, 30])
            {
                TurnPath first = new(from, [new TurnPiece(-back, 0)]), last = new(to.Ahead(back), [new TurnPiece(-back, 0)]);
                all.AddRange(ForwardTurns.Between(first.End, to, radius).Take(2).Select(w => first.Then(w)));
                all.AddRange(ForwardTurns.Between(from, last.Start, radius).Take(2).Select(w => w.Then(last)));
            }

            double[] fitting = [.. all.Where(w => outline.Keeps(w, changes.Ground)).Select(changes.Seconds)];
            RowChange found = changes.Between(exit, entry, withLinks: false);
            Assert.Equal(fitting.Length > 0, found.Fits);
            Assert.Equal(fitting.Length > 0 ? fitting.Min() : changes.Seconds(all[0]), found.Seconds, 1e-12);
            Assert.True(changes.LeastBetween(exit, entry) <= found.Seconds);
            kinds |= !found.Fits ? 1 : found.Kind == RowChangeKind.Forward ? 2 : 4;
        }

        Assert.Equal(7, kinds);
    }

    /// <summary>One stretch backward, wherever it lies and of however many pieces; not none, and not two.</summary>
    [Theory]
    [InlineData(true, "5 -3 -2 4")]
    [InlineData(true, "-3 5")]
    [InlineData(true, "5 -3")]
    [InlineData(false, "5 3")]
    [InlineData(false, "-2 5 -3")]
    [InlineData(false, "1 -2 5 -3 1")]
    public void OneReverse_IsOneStretchBackward(bool one, string lengths) => Assert.Equal(
        one, RowChanges.IsOneReverse(new TurnPath(new Pose(0, 0, 0), lengths.Split(' ').Select(l => new TurnPiece(double.Parse(l, System.Globalization.CultureInfo.InvariantCulture), 0.1)))));

    [Fact]
    public void DrivableGround_IsTheFieldLessWhatIsAvoided()
    {
        FieldArea field = new(Rows.Box(0, 0, 60, 40), [new AvoidedArea(new Point(30, 20), 5), new AvoidedArea(Rows.Box(40, 10, 50, 20), 0)]);
        DrivableGround ground = DrivableGround.Of(field);
        Random random = new(3);
        int wrong = 0;
        for (int i = 0; i < 5000; i++)
        {
            double x = -5 + (70 * random.NextDouble()), y = -5 + (50 * random.NextDouble());
            Point at = new(x, y);
            double room = !field.Boundary.Contains(at) ? -1 : Math.Min(field.Boundary.Boundary.Distance(at), field.Avoided.Min(a => a.Shape.Distance(at)));
            if (ground.IsFree(x, y))
            {
                Assert.True(room > 0.1);
            }
            else
            {
                wrong += room > 0.95 ? 1 : 0;
            }
        }

        Assert.Equal(0, wrong);
    }
}
