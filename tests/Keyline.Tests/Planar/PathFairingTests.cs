using CsCheck;
using Keyline.Planar;

namespace Keyline.Tests.Planar;

/// <summary>Rounding of paths against a plain twin that looks at every point in every round.</summary>
public sealed class PathFairingTests
{
    private const int Arm = 3;

    // Walks of 1 m steps that now and then turn sharply; every second one a ring.
    private static readonly Gen<(LinePath Path, double Radius)> Walks = Gen.Select(Gen.Double[-0.35, 0.35].Array[5, 90], Gen.Int[0, 3], Gen.Double[3, 14]).Select((turns, kinks, radius) =>
    {
        XY at = new(0, 0);
        double heading = 0;
        List<XY> points = [at];
        for (int i = 0; i < turns.Length; i++)
        {
            heading += (turns[i] / 4) + (kinks > 0 && i % (17 * kinks) == 11 ? 0.7 : 0);
            at += new XY(Math.Cos(heading), Math.Sin(heading));
            points.Add(at);
        }

        return (new LinePath([.. points], turns.Length % 2 == 0), radius);
    });

    [Fact]
    public void Fair_IsThePlainTwin() => Walks.Sample(
        walk =>
        {
            LinePath fair = PathFairing.Fair(walk.Path, walk.Radius), plain = Plain(walk.Path, walk.Radius);
            Assert.Equal(plain.Points, fair.Points);
            Assert.Equal(walk.Path.Closed, fair.Closed);
        },
        iter: 120);

    [Fact]
    public void Drivable_IsEveryPointThatHasNoTightOneBesideIt() => Walks.Sample(
        walk =>
        {
            LinePath path = walk.Path;
            bool[] tight = [.. Enumerable.Range(0, path.Count).Select(i => Math.Abs(path.CurvatureAt(i, Arm)) * walk.Radius > 1.01)];
            bool Tight(int i) => path.Closed ? tight[(i + path.Count) % path.Count] : i >= 0 && i < path.Count && tight[i];
            bool[] keep = [.. Enumerable.Range(0, path.Count).Select(i => !Tight(i - 1) && !Tight(i) && !Tight(i + 1))];
            Assert.Equal(
                PathRuns.Where(path, keep).Select(r => (r.Closed, string.Join(' ', r.Points))),
                PathFairing.Drivable(path, walk.Radius).Select(r => (r.Closed, string.Join(' ', r.Points))));
        },
        iter: 120);

    [Fact]
    public void WithoutARadiusOrWithFourPoints_NothingIsDone()
    {
        LinePath four = new([new(0, 0), new(1, 0), new(1, 1), new(0, 1)], true), five = new([new(0, 0), new(1, 0), new(1, 1), new(0, 1), new(0, 0.5)], true);
        Assert.Same(four, PathFairing.Fair(four, 8));
        Assert.Same(five, PathFairing.Fair(five, 0));
        Assert.NotSame(five, PathFairing.Fair(five, 8));
        Assert.Same(four, Assert.Single(PathFairing.Drivable(four, 8)));
        Assert.Same(five, Assert.Single(PathFairing.Drivable(five, 0)));
        Assert.Empty(PathFairing.Drivable(five, 8));
    }

    private static LinePath Plain(LinePath line, double radius)
    {
        if (line.Count < 5)
        {
            return line;
        }

        XY[] points = [.. line.Points];
        LinePath path = new(points, line.Closed);
        int n = points.Length, reach = Math.Max((int)Math.Ceiling(radius * 0.7), Arm);
        for (int round = 0; round < 160; round++)
        {
            int[] tight = [.. Enumerable.Range(0, n).Where(i => Math.Abs(path.CurvatureAt(i, Arm)) > 1 / (radius * 1.03))];
            int Apart(int i, int j) => line.Closed ? Math.Min(Math.Abs(i - j), n - Math.Abs(i - j)) : Math.Abs(i - j);
            int[] moved = [.. Enumerable.Range(0, n).Where(i => (line.Closed || (i >= 2 && i < n - 2)) && tight.Any(t => Apart(i, t) <= reach))];
            XY[] next = [.. moved.Select(i => (points[i] * 0.4) + ((path.At(i - 2) + path.At(i + 2)) * 0.15) + ((path.At(i - 1) + path.At(i + 1)) * 0.15))];
            for (int k = 0; k < moved.Length; k++)
            {
                points[moved[k]] = next[k];
            }
        }

        return path;
    }
}
