using CsCheck;
using Keyline.Planar;

namespace Keyline.Tests.Planar;

/// <summary>Cutting, rounding and offsetting paths.</summary>
public sealed class PathTests
{
    private static readonly Gen<(bool[] Keep, bool Closed)> Cuts = Gen.Select(Gen.Bool.Array[3, 24], Gen.Bool);

    // The plain twin: walk the points once (twice round a closed path) and collect unbroken stretches.
    [Fact]
    public void PathRuns_AreTheUnbrokenStretches() => Cuts.Sample(
        (keep, closed) =>
        {
            LinePath path = new([.. Enumerable.Range(0, keep.Length).Select(i => new XY(i, i * i))], closed);
            string[] found = [.. PathRuns.Where(path, keep).Select(r => (r.Closed ? "ring " : "") + string.Join(' ', r.Points.Select(p => p.X))).Order(StringComparer.Ordinal)];
            Assert.Equal(Plain(keep, closed).Order(StringComparer.Ordinal), found);
        },
        iter: 3000);

    private static IEnumerable<string> Plain(bool[] keep, bool closed)
    {
        int n = keep.Length;
        if (keep.All(k => k))
        {
            yield return (closed ? "ring " : "") + string.Join(' ', Enumerable.Range(0, n));
            yield break;
        }

        for (int i = 0; i < n; i++)
        {
            bool starts = keep[i] && (closed ? !keep[(i + n - 1) % n] : i == 0 || !keep[i - 1]);
            List<int> run = [];
            for (int k = i; starts && (closed || k < n) && keep[k % n]; k++)
            {
                run.Add(k % n);
            }

            if (run.Count >= 2)
            {
                yield return string.Join(' ', run);
            }
        }
    }

    // A corner of 40 degrees has room to be rounded to 8 m: all of it stays, and none of it turns tighter. The radius is taken
    // from a circle through points 3 m apart, by a formula of our own (circumradius: a b c / 4 area, Euclid).
    [Theory]
    [InlineData(25, 8)]
    [InlineData(40, 8)]
    [InlineData(40, 15)]
    [InlineData(-60, 8)]
    public void Fair_RoundsACornerToTheRadius_AndKeepsTheWholeLine(double degrees, double radius)
    {
        double angle = degrees * Math.PI / 180;
        XY[] points = [.. Enumerable.Range(-60, 121).Select(i => i <= 0 ? new XY(i, 0) : new XY(i * Math.Cos(angle), i * Math.Sin(angle)))];
        LinePath fair = PathFairing.Fair(new LinePath(points, false), radius);
        LinePath kept = Assert.Single(PathFairing.Drivable(fair, radius));
        Assert.Equal(points.Length, kept.Count);
        Assert.Equal(points[0], kept.Points[0]);
        Assert.Equal(points[^1], kept.Points[^1]);
        double tightest = Enumerable.Range(3, kept.Count - 6).Min(i => Circumradius(kept.Points[i - 3], kept.Points[i], kept.Points[i + 3]));
        Assert.InRange(tightest, radius, 1.35 * radius);
    }

    [Fact]
    public void Drivable_CutsOutWhatTurnsTighter_AndNothingElse()
    {
        LinePath sharp = new([.. Enumerable.Range(-30, 61).Select(i => i <= 0 ? new XY(i, 0) : new XY(0, i))], false);
        List<LinePath> pieces = PathFairing.Drivable(sharp, 8);
        Assert.Equal(2, pieces.Count);
        Assert.InRange(pieces.Sum(p => p.Length()), 60 - 12, 60 - 4);
        Assert.Equal(sharp.Points[0], pieces[0].Points[0]);
        Assert.Equal(sharp.Points[^1], pieces[1].Points[^1]);
        Assert.Same(sharp, Assert.Single(PathFairing.Drivable(sharp, 0)));
    }

    // Inside a bend the offset points fold back and are cut; the two runs meet in one corner, at the distance from both arms:
    // for arms square to each other, d from each.
    [Theory]
    [InlineData(4.4)]
    [InlineData(10.5)]
    public void Parallel_InsideABend_IsOneLineWithItsCorner(double distance)
    {
        LinePath guide = new([.. Enumerable.Range(-80, 161).Select(i => i <= 0 ? new XY(i, 0) : new XY(0, i))], false);
        SegmentBins level = new(new(-80, 80, -80, 80), 8);
        level.Add(guide, 0);
        LinePath inside = Assert.Single(ParallelLines.Offset(guide, distance, level));
        Assert.InRange(inside.Length(), (2 * (80 - distance)) - 1, (2 * (80 - distance)) + 0.1);
        Assert.InRange(inside.Points.Min(p => (p - new XY(-distance, distance)).Norm), 0, 0.05);
    }

    private static double Circumradius(XY p, XY q, XY r)
    {
        double area = Math.Abs((q - p).Cross(r - p)) / 2;
        return area > 1e-12 ? (q - p).Norm * (r - q).Norm * (r - p).Norm / (4 * area) : double.PositiveInfinity;
    }
}
