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
