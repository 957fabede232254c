using Keyline.Planar;

namespace Keyline.Tests.Planar;

/// <summary>Shortest turns against closed forms, against each other and against driving about at random.</summary>
public sealed class TurnPathTests
{
    private const double Radius = 8;

    public static TheoryData<int> Seeds => [.. Enumerable.Range(1, 6)];

    [Theory, MemberData(nameof(Seeds))]
    public void EveryWay_ArrivesWhereAsked_NoTighterThanTheRadius(int seed)
    {
        Random random = new(seed);
        for (int i = 0; i < 200; i++)
        {
            Pose from = Any(random), to = Any(random);
            IReadOnlyList<TurnPath> forward = ForwardTurns.Between(from, to, Radius), either = ReversingTurns.Between(from, to, Radius);
            Assert.All(forward, w => Assert.True(w.IsForward && w.Changes == 0));
            Assert.All(forward.Concat(either), w =>
            {
                Assert.Equal(to.X, w.End.X, 1e-6);
                Assert.Equal(to.Y, w.End.Y, 1e-6);
                Assert.Equal(0, Math.IEEERemainder(w.End.Heading - to.Heading, 2 * Math.PI), 1e-7);
                Assert.All(w.Pieces, p => Assert.True(Math.Abs(p.Bend) <= (1 / Radius) + 1e-12));
            });
            Assert.Equal(forward.Min(w => w.Length), forward[0].Length);
            Assert.True(either[0].Length <= forward[0].Length + 1e-9);

            // The length alone, as the driving order reckons it, is a second writing of the forward words.
            Assert.Equal(ShortestTurn.Length(new XY(from.X, from.Y), Unit(from), new XY(to.X, to.Y), Unit(to), Radius), forward[0].Length, 1e-6);
        }
    }

    /// <summary>Nobody who drives arcs and straights of any lengths gets there on a shorter way: five pieces forward and backward, and five forward.</summary>
    [Theory, MemberData(nameof(Seeds))]
    public void NoDrivenWay_IsShorter(int seed)
    {
        Random random = new(seed);
        for (int i = 0; i < 700; i++)
        {
            double[] lengths = [.. Enumerable.Range(0, 5).Select(_ => ((2 * random.NextDouble()) - 1) * Math.PI * Radius * (random.Next(2) == 0 ? 0.3 : 1.2))];
            double[] curves = [.. lengths.Select(_ => (random.Next(3) - 1) / Radius)];
            Pose from = Any(random);
            TurnPath driven = new(from, lengths.Zip(curves, (l, c) => new TurnPiece(l, c)));
            Assert.True(ReversingTurns.Between(from, driven.End, Radius)[0].Length <= driven.Length + 1e-6, $"{ReversingTurns.Between(from, driven.End, Radius)[0].Length} for {string.Join(' ', driven.Pieces.Select(p => $"{p.Length / Radius:0.000}@{p.Bend * Radius:0}"))}");
            TurnPath ahead = new(from, lengths.Zip(curves, (l, c) => new TurnPiece(Math.Abs(l), c)));
            Assert.True(ForwardTurns.Between(from, ahead.End, Radius)[0].Length <= ahead.Length + 1e-6, $"{ForwardTurns.Between(from, ahead.End, Radius)[0].Length / Radius} over {ahead.Length / Radius} for {string.Join(' ', ahead.Pieces.Select(p => $"{p.Length / Radius:0.000}@{p.Bend * Radius:0}"))}");
        }
    }

    /// <summary>Brute force on a grid of poses 0.25 radii and 22.5 degrees apart: the fewest steps of an eighth of a turn or as far
    /// straight, forward and backward, by breadth first, never beat the formula, and come near it.</summary>
    [Fact]
    public void ReversingTurns_AgainstBruteForceOnAGrid()
    {
        const double step = Math.PI / 8, cell = 0.25;
        Dictionary<(int, int, int), double> best = [];
        PriorityQueue<(Pose At, double Length), double> open = new();
        open.Enqueue((new Pose(0, 0, 0), 0), 0);
        while (open.TryDequeue(out (Pose At, double Length) here, out _) && here.Length < 3.6)
        {
            if (!best.TryAdd(Cell(here.At), here.Length))
            {
                continue;
            }

            double shortest = ReversingTurns.Between(new Pose(0, 0, 0), here.At, 1)[0].Length;
            Assert.True(shortest <= here.Length + 1e-6, $"{here.At}: {shortest} above {here.Length}");
            foreach (double curve in new[] { -1.0, 0, 1 })
            {
                foreach (double way in new[] { step, -step })
                {
                    Pose next = new TurnPath(here.At, [new TurnPiece(way, curve)]).End;
                    open.Enqueue((next, here.Length + step), here.Length + step);
                }
            }
        }

        Assert.True(best.Count > 500);

        // Where the grid finds a way at all it is no more than some steps longer than the formula's.
        Assert.All([(2.0, 0.0, 0.0), (-1.5, 0, 0), (0, 0, Math.PI), (1, 1, Math.PI / 2)], goal =>
        {
            double exact = ReversingTurns.Between(new Pose(0, 0, 0), new Pose(goal.Item1, goal.Item2, goal.Item3), 1)[0].Length;
            Assert.InRange(best[Cell(new Pose(goal.Item1, goal.Item2, goal.Item3))], exact - (3 * cell), exact + (4 * step));
        });

        static (int, int, int) Cell(Pose p) => ((int)Math.Round(p.X / cell), (int)Math.Round(p.Y / cell), ((int)Math.Round(p.Heading / step) % 16 + 16) % 16);
    }

    // Closed forms, computed here: turning about on the spot takes three arcs of a third of a half turn when reversing is allowed
    // (Reeds and Shepp 1990, the word C|C|C), and 60 + 300 + 60 degrees forward (Dubins 1957, the word CCC).
    [Fact]
    public void AboutTurnOnTheSpot()
    {
        Pose at = new(3, 4, 0.7);
        Assert.Equal(Math.PI * Radius, ReversingTurns.Between(at, at.Reversed, Radius)[0].Length, 1e-6);
        Assert.Equal(7 * Math.PI / 3 * Radius, ForwardTurns.Between(at, at.Reversed, Radius)[0].Length, 1e-6);
    }

    // Into the next row: beside two radii and beyond, a half circle (or two quarters and a straight). Closer, three arcs whose outermost point
    // lies r + sqrt((2r)^2 - (r + d/2)^2) beyond the line's end: 20.9 m for 8 m and rows of 3.05 m.
    [Theory]
    [InlineData(16)]
    [InlineData(21.5)]
    public void RowChange_TwoRadiiAwayOrMore_IsAHalfCircle(double apart) =>
        Assert.Equal((Math.PI * Radius) + apart - (2 * Radius), ForwardTurns.Between(new Pose(0, 0, Math.PI / 2), new Pose(apart, 0, -Math.PI / 2), Radius)[0].Length, 1e-6);

    [Fact]
    public void RowChange_IntoTheNextRow_ReachesTwentyMetresOut()
    {
        const double apart = 3.05;
        TurnPath loop = ForwardTurns.Between(new Pose(0, 0, Math.PI / 2), new Pose(apart, 0, -Math.PI / 2), Radius)[0];
        double reach = loop.Sample(0.01).Max(p => p.Y);
        Assert.Equal(Radius + Math.Sqrt((4 * Radius * Radius) - Math.Pow(Radius + (apart / 2), 2)), reach, 0.001);
        Assert.Equal(20.9, reach, 0.05);
    }

    // Straight on and straight back are their own shortest ways; a shift aside by h backward and forward takes 2 arcs each way, C|C: here four
    // arcs of acos(1 - h / 4r) or fewer, so no more than that.
    [Fact]
    public void StraightWays_AndAShiftAside()
    {
        Assert.Equal(25, ForwardTurns.Between(new Pose(0, 0, 0), new Pose(25, 0, 0), Radius)[0].Length, 1e-9);
        TurnPath back = ReversingTurns.Between(new Pose(0, 0, 0), new Pose(-25, 0, 0), Radius)[0];
        Assert.Equal(25, back.Length, 1e-6);
        Assert.Equal(25, back.ReverseLength, 1e-6);
        double aside = ReversingTurns.Between(new Pose(0, 0, 0), new Pose(0, 2, 0), Radius)[0].Length;
        Assert.True(aside <= (4 * Radius * Math.Acos(1 - (2 / (4 * Radius)))) + 1e-6);
    }

    [Fact]
    public void Changes_AndReverseLength_AreCounted()
    {
        TurnPath path = new(new Pose(0, 0, 0), [new TurnPiece(5, 0), new TurnPiece(-3, 0.1), new TurnPiece(-2, 0), new TurnPiece(0, 0), new TurnPiece(4, 0)]);
        Assert.Equal(14, path.Length);
        Assert.Equal(5, path.ReverseLength);
        Assert.Equal(2, path.Changes);
        Assert.False(path.IsForward);
        Assert.Equal(path.End, path.Sample(0.5)[^1]);
        Assert.Equal(28, path.Then(path).Length);
    }

    // Closed forms: a quarter turn left and right of 8 m, straight ahead, behind, and along a heading.
    [Fact]
    public void Pieces_LeadWhereArcsAndStraightsDo()
    {
        Pose start = new(3, 4, 0);
        Assert.Equal(new Pose(3 + (5 * Math.Cos(0.3)), 4 + (5 * Math.Sin(0.3)), 0.3), new Pose(3, 4, 0.3).Ahead(5));
        Near(11, 12, Math.PI / 2, new TurnPiece(4 * Math.PI, 1.0 / 8));
        Near(11, -4, -Math.PI / 2, new TurnPiece(4 * Math.PI, -1.0 / 8));
        Near(-5, 12, -Math.PI / 2, new TurnPiece(-4 * Math.PI, 1.0 / 8));
        Near(-3, 4, 0, new TurnPiece(-6, 0));
        Assert.Equal("(1.5, 2) heading 0.25", new Pose(1.5, 2, 0.25).ToString());

        void Near(double x, double y, double heading, TurnPiece piece)
        {
            Pose end = new TurnPath(start, [piece]).End;
            Assert.Equal((x, y, heading), (Math.Round(end.X, 9), Math.Round(end.Y, 9), end.Heading));
        }
    }

    // 10 m in steps of at most 3 m are four of 2.5 m, 2 m are one; pieces' ends are among them, and a piece of no length is none.
    [Fact]
    public void Sample_StepsEvenlyAlongEachPiece()
    {
        TurnPath path = new(new Pose(0, 0, 0), [new TurnPiece(10, 0), new TurnPiece(1e-10, 0), new TurnPiece(-2, 0), new TurnPiece(3, 0)]);
        Assert.Equal(3, path.Pieces.Count);
        Assert.Equal([0.0, 2.5, 5, 7.5, 10, 8, 11], path.Sample(3).Select(p => p.X));
        Assert.Equal([0.0, 2.5, 5, 7.5, 10, 8, 11], path.ToLine(3).Coordinates.Select(c => c.X));
        Assert.Equal(20 + 1 + 4 + 6, path.ToLine().NumPoints);
        Assert.True(new TurnPath(new Pose(0, 0, 0), [new TurnPiece(10, 0)]).IsForward);
        TurnPath none = new(new Pose(5, 6, 1), []);
        Assert.Equal((0.0, 0, true), (none.Length, none.Changes, none.IsForward));
        Assert.Equal([5.0, 5], none.ToLine().Coordinates.Select(c => c.X));
        Assert.Throws<ArgumentOutOfRangeException>(() => path.Sample(0));
        Assert.Throws<ArgumentNullException>(() => path.Then(null!));
        Assert.Throws<ArgumentNullException>(() => new TurnPath(default, null!));
        Assert.Throws<ArgumentOutOfRangeException>(() => ForwardTurns.Between(default, default, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => ReversingTurns.Between(default, default, 0));
    }

    // Where words are just there: poses that an arc, an S or a straight of no length join. The radius of 0 turns on the spot.
    [Fact]
    public void Lengths_WhereWordsBegin()
    {
        Assert.Equal(25, ShortestTurn.Length(new XY(0, 0), new XY(1, 0), new XY(7, 24), new XY(0, 1), 0));
        Assert.Equal(25, ShortestTurn.Length(new XY(0, 0), new XY(1, 0), new XY(7, 24), new XY(0, 1), -1));
        Assert.Equal(0, ShortestTurn.Length(new XY(2, 3), new XY(0.6, 0.8), new XY(2, 3), new XY(0.6, 0.8), Radius), 1e-9);
        Assert.Equal(0, ForwardTurns.Between(new Pose(2, 3, 1), new Pose(2, 3, 1), Radius)[0].Length, 1e-9);
        foreach (int side in new[] { 1, -1 })
        {
            foreach (double turn in new[] { 0.4, 1.3, 2.2, 3.1, 4.5 })
            {
                // One arc; one arc and its mirror, an S; three arcs.
                Same(turn * Radius, [new TurnPiece(turn * Radius, side / Radius)]);
                Same(1.5 * turn * Radius, turn > 2 ? null : [new TurnPiece(turn * Radius, side / Radius), new TurnPiece(turn / 2 * Radius, -side / Radius)]);
                Same((0.3 + 4 + 0.5) * Radius, [new TurnPiece(0.3 * Radius, side / Radius), new TurnPiece(4 * Radius, -side / Radius), new TurnPiece(0.5 * Radius, side / Radius)]);
            }
        }

        static void Same(double length, TurnPiece[]? pieces)
        {
            for (double heading = 0; pieces is not null && heading < 6; heading += 0.37)
            {
                Pose from = new(3, -2, heading), to = new TurnPath(from, pieces).End;
                Assert.Equal(length, ForwardTurns.Between(from, to, Radius)[0].Length, 1e-5);
                Assert.Equal(length, ShortestTurn.Length(new XY(from.X, from.Y), Unit(from), new XY(to.X, to.Y), Unit(to), Radius), 1e-5);
            }
        }
    }

    private static Pose Any(Random random) => new((random.NextDouble() - 0.5) * 60, (random.NextDouble() - 0.5) * 60, random.NextDouble() * 12);

    private static XY Unit(Pose pose) => new(Math.Cos(pose.Heading), Math.Sin(pose.Heading));
}
