using System.Diagnostics;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Planar;

/// <summary>Segments in bins against looking at every segment, and diagonal lines against level ones.</summary>
public sealed class SegmentBinsTests
{
    private static readonly Envelope Extent = new(0, 100, 0, 100);

    // Some run beyond the extent, some have no length, some run along the sides of bins.
    private static (XY A, XY B)[] Segments(Random random) =>
    [
        .. Enumerable.Range(0, 120).Select(_ => (At(random), At(random))),
        (new XY(10, 10), new XY(10, 10)), (new XY(0, 20), new XY(100, 20)), (new XY(30, -50), new XY(30, 150)), (new XY(0, 0), new XY(100, 100)), (new XY(-40, 50), new XY(-20, 70)),
    ];

    private static XY At(Random random) => new((random.NextDouble() * 140) - 20, (random.NextDouble() * 140) - 20);

    [Fact]
    public void Questions_HaveTheAnswersOfThePlainSearch()
    {
        Random random = new(3);
        (XY A, XY B)[] segments = Segments(random);
        SegmentBins bins = new(Extent, 5);
        for (int i = 0; i < segments.Length; i++)
        {
            bins.Add(segments[i].A, segments[i].B, i);
        }

        List<int> near = [];
        List<double> cuts = [];
        for (int trial = 0; trial < 400; trial++)
        {
            XY p = At(random);
            double radius = random.NextDouble() * 8;
            int[] within = [.. Enumerable.Range(0, segments.Length).Where(i => SegmentBins.SquareDistance(p, segments[i].A, segments[i].B) < radius * radius)];
            Assert.Equal(within.Length > 0, bins.AnyWithin(p, radius));
            bins.Collect(p, radius, near);
            Assert.Empty(within.Except(near));

            XY q = p + new XY((random.NextDouble() - 0.5) * 60, (random.NextDouble() - 0.5) * 60);
            NetTopologySuite.Algorithm.RobustLineIntersector meet = new();
            int[] met = [.. Enumerable.Range(0, segments.Length).Where(i =>
            {
                meet.ComputeIntersection(C(p), C(q), C(segments[i].A), C(segments[i].B));
                return meet.HasIntersection;
            })];
            Assert.Equal(met, bins.Meeting(p, q, -1).Select(m => m.Owner).Distinct().Order());
            cuts.Clear();
            bins.CutsAlong(p, q, cuts);
            Assert.Equal(met.Length, cuts.Count);
        }

        static Coordinate C(XY p) => new(p.X, p.Y);
    }

    // Frozen or not, near and far, in empty and full surroundings.
    [Fact]
    public void AnyWithin_Frozen_IsAsBefore()
    {
        Random random = new(8);
        foreach (int count in new[] { 1, 3, 12, 60 })
        {
            (XY A, XY B)[] segments = [.. Enumerable.Range(0, count).Select(_ => (At(random), At(random)))];
            for (int i = 0; i < count; i += 2)
            {
                segments[i].B = segments[i].A + ((segments[i].B - segments[i].A) * 0.03);
            }

            SegmentBins bins = new(Extent, 5);
            for (int i = 0; i < count; i++)
            {
                bins.Add(segments[i].A, segments[i].B, i);
            }

            bins.Freeze();
            for (int trial = 0; trial < 400; trial++)
            {
                XY p = At(random);
                double radius = random.NextDouble() * (trial % 2 == 0 ? 6 : 40);
                Assert.Equal(segments.Any(s => SegmentBins.SquareDistance(p, s.A, s.B) < radius * radius), bins.AnyWithin(p, radius));
            }
        }
    }

    // Plain twin: all segments in turn. A nearest point straight ahead is on neither side.
    [Fact]
    public void Nearest_IsThatOfThePlainSearch()
    {
        Random random = new(5);
        (XY A, XY B)[] segments = Segments(random);
        int[] groups = [.. segments.Select((_, i) => i % 3)];
        SegmentBins bins = new(Extent, 5);
        for (int i = 0; i < segments.Length; i++)
        {
            bins.Add(segments[i].A, segments[i].B, i);
        }

        for (int trial = 0; trial < 400; trial++)
        {
            XY p = At(random), direction = (At(random) - At(random)).Unit();
            double radius = random.NextDouble() * 12;
            int self = random.Next(segments.Length);
            (int Owner, XY Away)[] near = [.. segments.Select((s, i) => (i, Foot(p, s.A, s.B) - p)).Where(s => s.i != self && s.Item2.Norm <= radius)];
            double Least(Func<(int Owner, XY Away), bool> which) => near.Where(which).Select(s => s.Away.Norm).DefaultIfEmpty(double.PositiveInfinity).Min();
            (double any, double same, double left, double right) = bins.Nearest(p, direction, radius, self, groups);
            Assert.Equal(Least(_ => true), any, 1e-9);
            Assert.Equal(Least(s => groups[s.Owner] == groups[self]), same, 1e-9);
            Assert.Equal(Least(s => direction.Cross(s.Away) > 0), left, 1e-9);
            Assert.Equal(Least(s => direction.Cross(s.Away) < 0), right, 1e-9);
        }

        SegmentBins ahead = new(Extent, 5);
        ahead.Add(new XY(60, 50), new XY(70, 50), 0);
        ahead.Add(new XY(50, 50), new XY(51, 50), 1);
        Assert.Equal((10.0, double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity), ahead.Nearest(new XY(50, 50), new XY(1, 0), 10, 1, [0, 1]));
        Assert.Equal((10.0, 10.0, 10.0, double.PositiveInfinity), ahead.Nearest(new XY(50, 50), new XY(0, -1), 10, 1, [1, 1]));
    }

    private static XY Foot(XY p, XY a, XY b)
    {
        double square = (b - a).Dot(b - a), t = square > 0 ? (p - a).Dot(b - a) / square : 0;
        return t <= 0 ? a : t >= 1 ? b : a + ((b - a) * t);
    }

    [Fact]
    public void SquareDistance_BesideAndBeyondBothEnds()
    {
        XY a = new(1, 1), b = new(5, 1);
        Assert.Equal([9.0, 4, 8, 1], new[] { new XY(3, 4), new XY(-1, 1), new XY(7, 3), new XY(5, 0) }.Select(p => SegmentBins.SquareDistance(p, a, b)));
        Assert.Equal(25, SegmentBins.SquareDistance(new XY(4, 5), a, a));
    }

    // Two lines cross a path at a quarter and three quarters; one along it and one beside it do not; one met in its end counts, and owners up to
    // the one given are left out.
    [Fact]
    public void CutsAndMeetings_AreWhereTheyAre()
    {
        SegmentBins bins = new(Extent, 5);
        bins.Add(new XY(30, 10), new XY(30, 90), 0);
        bins.Add(new XY(50, 50), new XY(70, 90), 1);
        bins.Add(new XY(20, 50), new XY(80, 50), 2);
        bins.Add(new XY(75, 51), new XY(60, 60), 3);
        bins.Add(new XY(75, 49.5), new XY(75, 20), 4);
        List<double> cuts = [];
        bins.CutsAlong(new XY(10, 50), new XY(90, 50), cuts);
        Assert.Equal([0.25, 0.5], cuts.Order());
        Assert.Equal([(0, new Coordinate(30, 50)), (1, new Coordinate(50, 50))], bins.Meeting(new XY(10, 50), new XY(90, 50), -1).Where(m => m.Owner != 2).Distinct().OrderBy(m => m.Owner));
        Assert.Equal([2], bins.Meeting(new XY(10, 50), new XY(90, 50), 1).Select(m => m.Owner).Distinct());
        Assert.Equal((new XY(50, 50), new XY(70, 90), 1), bins.Segment(1));

        // To its very ends on both, and not beyond.
        cuts.Clear();
        bins.CutsAlong(new XY(30, 90), new XY(30.1, 95), cuts);
        bins.CutsAlong(new XY(25, 95), new XY(30, 90), cuts);
        Assert.Equal([0.0, 1], cuts);
        cuts.Clear();
        bins.CutsAlong(new XY(20, 90.01), new XY(40, 90.01), cuts);
        bins.CutsAlong(new XY(20, 40), new XY(29.99, 40), cuts);
        bins.CutsAlong(new XY(30.01, 40), new XY(49, 40), cuts);
        bins.CutsAlong(new XY(20, 9.99), new XY(40, 9.99), cuts);
        Assert.Empty(cuts);
    }

    // So many bins that memory holds, however large the extent is to the bin.
    [Fact]
    public void AHugeExtent_HasWiderBins_AndTheSameAnswers()
    {
        SegmentBins bins = new(new Envelope(0, 1e6, 0, 1e6), 0.5);
        bins.Add(new XY(0, 0), new XY(1e6, 1e6), 7);
        Assert.True(bins.AnyWithin(new XY(500_000, 500_001), 0.8));
        Assert.False(bins.AnyWithin(new XY(500_000, 500_001), 0.7));
    }

    [Fact]
    public void DiagonalLines_CostWhatLevelOnesDo()
    {
        // 263 lines, each of two points, as far apart whichever way they run.
        (double levelTime, long levelMemory) = Cost(k => (new XY(0, k * 2.28), new XY(600, k * 2.28)));
        (double slantTime, long slantMemory) = Cost(k => (new XY(0, k * 2.55), new XY(600, 300 + (k * 2.55))));
        Assert.True(slantMemory < 3 * levelMemory, $"{levelMemory} bytes level, {slantMemory} diagonal");
        Assert.True(slantTime < (6 * levelTime) + 0.05, FormattableString.Invariant($"{levelTime} s level, {slantTime} s diagonal"));

        static (double Seconds, long Bytes) Cost(Func<int, (XY A, XY B)> line)
        {
            List<double> seconds = [];
            long bytes = 0;
            for (int round = 0; round < 5; round++)
            {
                long before = GC.GetAllocatedBytesForCurrentThread();
                Stopwatch watch = Stopwatch.StartNew();
                SegmentBins bins = new(new Envelope(0, 600, 0, 971), 3);
                for (int k = 0; k < 263; k++)
                {
                    (XY a, XY b) = line(k);
                    bins.Add(a, b, k);
                }

                for (int k = 0; k < 263; k++)
                {
                    (XY a, XY b) = line(k);
                    Assert.Empty(bins.Meeting(a, b, k));
                }

                seconds.Add(watch.Elapsed.TotalSeconds);
                bytes = GC.GetAllocatedBytesForCurrentThread() - before;
            }

            return (seconds.Order().ElementAt(2), bytes);
        }
    }
}
