using CsCheck;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Planar;

/// <summary>Paths against plain walks along them, and against what is known of straight lines and circles.</summary>
public sealed class LinePathTests
{
    private static readonly Gen<LinePath> Paths = Gen.Select(Gen.Double[-9, 9], Gen.Double[-9, 9]).Select(p => new XY(p.Item1, p.Item2)).Array[2, 12]
        .Select(Gen.Bool).Select((points, closed) => new LinePath(points, closed && points.Length > 2));

    private static LinePath Circle(int points, double radius, int turn = 1) =>
        new([.. Enumerable.Range(0, points).Select(i => new XY(7 + (radius * Math.Cos(2 * Math.PI * turn * i / points)), -3 + (radius * Math.Sin(2 * Math.PI * turn * i / points))))], true);

    [Fact]
    public void Coordinates_RepeatTheFirstOfAClosedPathAlone()
    {
        XY[] points = [new(1, 2), new(4, 6), new(4, 9)];
        LinePath open = new(points, false), closed = new(points, true);
        Assert.Equal([new Coordinate(1, 2), new Coordinate(4, 6), new Coordinate(4, 9)], open.ToCoordinates());
        Assert.Equal([new Coordinate(1, 2), new Coordinate(4, 6), new Coordinate(4, 9), new Coordinate(1, 2)], closed.ToCoordinates());
        Assert.Equal((2, 3), (open.SegmentCount, closed.SegmentCount));
        Assert.Equal((8, 8 + Math.Sqrt(58)), (open.Length(), closed.Length()));
        Assert.Equal((points[2], points[0]), (open.End(1), closed.End(2)));
    }

    // The plain twin: each point is looked for anew from the start, at its share of the length.
    [Fact]
    public void Resample_PutsPointsAtEqualDistancesAlongThePath() => Gen.Select(Paths, Gen.Double[0.3, 30]).Sample(
        (path, step) =>
        {
            double length = Enumerable.Range(0, path.SegmentCount).Sum(i => (path.End(i) - path.Points[i]).Norm);
            LinePath found = path.Resample(step);
            int pieces = (int)Math.Round(length / step);
            pieces = path.Closed ? Math.Max(8, pieces) : Math.Max(1, pieces);
            Assert.Equal(path.Closed, found.Closed);
            Assert.Equal(path.Closed ? pieces : pieces + 1, found.Count);
            for (int k = 0; k < found.Count; k++)
            {
                XY expected = Walk(path, length * k / pieces);
                Assert.Equal(0, (found.Points[k] - expected).Norm, 1e-9 * (1 + length));
            }
        },
        iter: 500);

    private static XY Walk(LinePath path, double way)
    {
        for (int i = 0; i < path.SegmentCount; i++)
        {
            XY along = path.End(i) - path.Points[i];
            if (way <= along.Norm)
            {
                return path.Points[i] + (along.Unit() * way);
            }

            way -= along.Norm;
        }

        return path.End(path.SegmentCount - 1);
    }

    [Fact]
    public void Resample_PointsThatLieOnOneAnother_AreNoPlaceToStop()
    {
        XY[] points = [new(0, 0), new(0, 0), new(3, 0), new(3, 0), new(3, 0), new(6, 0), new(6, 0)];
        Assert.Equal([0.0, 2, 4, 6], new LinePath(points, false).Resample(2).Points.Select(p => p.X));
        Assert.All(new LinePath([new(5, 5), new(5, 5)], false).Resample(1).Points, p => Assert.Equal(new XY(5, 5), p));
    }

    // Around a closed path, and past an open end by reflection in it: p(-k) = 2 p(0) - p(k). Farther than the path is long, its other end is reflected.
    [Fact]
    public void At_RunsAroundOrIsReflected()
    {
        XY[] points = [new(0, 1), new(2, 3), new(5, 4), new(9, 8)];
        LinePath open = new(points, false), closed = new(points, true);
        Assert.Equal(Enumerable.Range(-9, 19).Select(i => points[(i + 12) % 4]), Enumerable.Range(-9, 19).Select(closed.At));
        Assert.Equal(points, Enumerable.Range(0, 4).Select(open.At));
        Assert.Equal([new(-2, -1), new(-5, -2), new(-9, -6), new(-9, -6)], new[] { -1, -2, -3, -4 }.Select(open.At));
        Assert.Equal([new(13, 12), new(16, 13), new(18, 15), new(18, 15)], new[] { 4, 5, 6, 7 }.Select(open.At));
    }

    // The plain twin, from the definition: weights exp(-k^2 / 2 s^2) to three deviations, divided by their sum; then what was taken away, likewise.
    [Fact]
    public void Smooth_IsTheWeightedMeanTwiceOver() => Gen.Select(Paths, Gen.Double[0.4, 3]).Sample(
        (path, deviation) =>
        {
            XY[] once = Plain(path, deviation);
            XY[] back = Plain(new LinePath([.. path.Points.Zip(once, (p, q) => p - q)], path.Closed), deviation);
            LinePath found = path.Smooth(deviation);
            Assert.Equal(path.Closed, found.Closed);
            for (int i = 0; i < path.Count; i++)
            {
                Assert.Equal(0, (found.Points[i] - (once[i] + back[i])).Norm, 1e-9);
            }
        },
        iter: 300);

    private static XY[] Plain(LinePath path, double deviation)
    {
        int reach = (int)Math.Ceiling(3 * deviation);
        return [.. Enumerable.Range(0, path.Count).Select(i =>
        {
            XY sum = new(0, 0);
            double weights = 0;
            for (int k = -reach; k <= reach; k++)
            {
                double weight = Math.Exp(-Math.Pow(k / deviation, 2) / 2);
                sum += path.At(i + k) * weight;
                weights += weight;
            }

            return sum * (1 / weights);
        })];
    }

    // Closed form: a circle of n points is an eigenvector of the mean, with g = sum w cos(2 pi k / n) / sum w; twice over it keeps 1 - (1 - g)^2 of
    // its radius. A straight line with even points stays.
    [Fact]
    public void Smooth_CirclesShrinkByTheClosedForm_AndStraightLinesStay()
    {
        const int n = 40;
        const double deviation = 2.5;
        double[] weights = [.. Enumerable.Range(-8, 17).Select(k => Math.Exp(-k * k / (2 * deviation * deviation)))];
        double g = Enumerable.Range(-8, 17).Sum(k => weights[k + 8] * Math.Cos(2 * Math.PI * k / n)) / weights.Sum();
        double kept = 1 - ((1 - g) * (1 - g));
        Assert.InRange(kept, 0.9, 0.999);
        Assert.All(Circle(n, 12).Smooth(deviation).Points, p => Assert.Equal(12 * kept, (p - new XY(7, -3)).Norm, 1e-9));

        LinePath straight = new([.. Enumerable.Range(0, 20).Select(i => new XY(3 * i, 50 - i))], false);
        Assert.All(straight.Smooth(deviation).Points.Zip(straight.Points), p => Assert.Equal(0, (p.First - p.Second).Norm, 1e-9));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(-1)]
    public void TangentAndCurvature_OfACircle(int turn)
    {
        LinePath circle = Circle(48, 20, turn);
        for (int i = -5; i < 60; i++)
        {
            XY out_ = (circle.At(i) - new XY(7, -3)).Unit();
            Assert.Equal(0, (circle.Tangent(i) - (out_.Left * turn)).Norm, 1e-12);
            Assert.Equal(turn / 20.0, circle.CurvatureAt(i, 3), 1e-12);
            Assert.Equal(turn / 20.0, circle.CurvatureAt(i, 1), 1e-12);
        }

        LinePath arc = new(circle.Points[..12], false);
        Assert.Equal(Enumerable.Range(0, 12).Select(i => i is >= 3 and <= 8 ? Math.Round(turn / 20.0, 9) : 0), Enumerable.Range(0, 12).Select(i => Math.Round(arc.CurvatureAt(i, 3), 9)));
    }

    [Fact]
    public void Curvature_OfPointsOnOneAnother_IsNone()
    {
        LinePath path = new([new(0, 0), new(0, 0), new(0, 0), new(1, 0), new(2, 0)], false);
        Assert.Equal([0.0, 0, 0, 0, 0], Enumerable.Range(0, 5).Select(i => path.CurvatureAt(i, 1)));
    }

    [Fact]
    public void XY_IsAVector()
    {
        XY a = new(3, 4), b = new(-2, 1);
        Assert.Equal((new XY(1, 5), new XY(5, 3), new XY(6, 8)), (a + b, a - b, a * 2));
        Assert.Equal((5.0, -2.0, 11.0), (a.Norm, a.Dot(b), a.Cross(b)));
        Assert.Equal((new XY(-4, 3), new XY(0.6, 0.8), new XY(1, 0)), (a.Left, a.Unit(), new XY(0, 0).Unit()));
        Assert.Equal("(3, -2.5)", new XY(3, -2.5).ToString());
    }
}
