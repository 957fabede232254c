using Keyline.Elevation;
using Keyline.Layout.Parallels;
using Keyline.Planar;

namespace Keyline.Tests.Layout.Parallels;

/// <summary>The nearest segment of each cell against every segment tried for every cell.</summary>
public sealed class NearestSegmentsTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    public void Distances_AreThoseOfTryingEverySegment(int seed)
    {
        Random random = new(seed);
        GridFrame frame = new(40, 55, 3, 100, 500);
        LinePath[] paths = [.. Enumerable.Range(0, 3).Select(_ => Wander(random, frame))];
        NearestSegments nearest = NearestSegments.Compute(frame, paths);
        int ends = 0;
        int exact = 0;
        double worst = 0;
        for (int cell = 0; cell < frame.CellCount; cell++)
        {
            XY p = new(frame.CentreX(cell % frame.Columns), frame.CentreY(cell / frame.Columns));
            (double best, XY along) = Plain(paths, p);
            Assert.True(nearest.Distance(cell) >= best - 1e-9);
            worst = Math.Max(worst, (nearest.Distance(cell) - best) / frame.CellSize);
            if (nearest.Distance(cell) <= best + 1e-9)
            {
                exact++;
                Assert.True((nearest.Direction(cell) - along).Norm < 1e-9 || best < 1e-9 || nearest.Direction(cell).Unit().Dot(along.Unit()) > 0.8);
            }

            ends += nearest.IsBeyondEnd(cell) ? 1 : 0;
        }

        Assert.InRange(worst, 0, 0.1);
        Assert.InRange(exact, 0.99 * frame.CellCount, frame.CellCount);
        Assert.InRange(ends, 1, (int)frame.CellCount - 1);
    }

    [Fact]
    public void BeyondEnd_IsTheHalfPlanePastAnOpenEnd_AndNeverPastARing()
    {
        GridFrame frame = new(30, 60, 2, 0, 60);
        LinePath line = new([.. Enumerable.Range(0, 41).Select(i => new XY(40 + i, 30))], false);
        NearestSegments nearest = NearestSegments.Compute(frame, [line]);
        for (int cell = 0; cell < frame.CellCount; cell++)
        {
            double x = frame.CentreX(cell % frame.Columns);
            Assert.Equal(x < 40 || x > 80, nearest.IsBeyondEnd(cell));
        }

        LinePath ring = new([.. Enumerable.Range(0, 48).Select(i => new XY(60 + (20 * Math.Cos(i * Math.PI / 24)), 30 + (20 * Math.Sin(i * Math.PI / 24))))], true);
        NearestSegments round = NearestSegments.Compute(frame, [ring]);
        Assert.All(Enumerable.Range(0, (int)frame.CellCount), cell => Assert.False(round.IsBeyondEnd(cell)));
    }

    private static LinePath Wander(Random random, GridFrame frame)
    {
        XY p = new(frame.West + (random.NextDouble() * 150), frame.North - (random.NextDouble() * 110));
        double heading = random.NextDouble() * 6.28;
        List<XY> points = [];
        for (int i = 0; i < 70; i++)
        {
            points.Add(p);
            heading += (random.NextDouble() - 0.5) * 0.2;
            p += new XY(Math.Cos(heading), Math.Sin(heading));
        }

        return PathFairing.Fair(new LinePath([.. points], false).Resample(1).Smooth(7), 8).Resample(1);
    }

    private static (double Distance, XY Along) Plain(LinePath[] paths, XY p)
    {
        double best = double.PositiveInfinity;
        XY along = default;
        foreach (LinePath path in paths)
        {
            for (int i = 0; i < path.SegmentCount; i++)
            {
                XY a = path.Points[i], u = path.End(i) - a;
                double t = Math.Clamp((p - a).Dot(u) / u.Dot(u), 0, 1);
                double d = (p - a - (u * t)).Norm;
                if (d < best)
                {
                    (best, along) = (d, u);
                }
            }
        }

        return (best, along);
    }
}
