using Keyline.Planar;

namespace Keyline.Tests.Layout;

/// <summary>
/// What offsetting a contour does to its grade, on ground that can be solved on paper. The expected numbers are the closed
/// forms of the surfaces named; the rule they show (work a valley downward from its guide and a ridge upward) is the one
/// quoted from P. A. Yeomans, Water for Every Farm.
/// </summary>
public sealed class OffsetLawTests
{
    private static LinePath Guide(Func<double, double> y, double from, double to, double step = 0.05)
    {
        List<XY> points = [];
        for (double x = from; x <= to + 1e-9; x += step)
        {
            points.Add(new XY(x, y(x)));
        }

        return new LinePath([.. points], false);
    }

    // Place on the offset line that belongs to the guide's station x: the guide point moved along its normal.
    private static XY Station(Func<double, double> y, Func<double, double> dy, double x, double d)
    {
        double s = dy(x);
        double n = Math.Sqrt(1 + (s * s));
        return new XY(x - (d * s / n), y(x) + (d / n));
    }

    [Theory]
    [InlineData(20, 0.05, 1e-5, new double[] { 0, 25, 50, 100 }, new double[] { 0, -0.01, -0.02, -0.04 }, new double[] { -1, -1.125, -1.5, -3 })]
    [InlineData(-20, 0.05, 1e-5, new double[] { 0, 25, 50, 100 }, new double[] { 0, 0.01, 0.02, 0.04 }, new double[] { 1, 1.125, 1.5, 3 })]
    [InlineData(-20, 0.3, -1e-5, new double[] { 50 }, new double[] { -0.02 }, new double[] { 5.5 })]
    public void StraightGuide_SlopeChangingOutward_GradeIsMinusOffsetTimesChange(double downhill, double s0, double s2, double[] x, double[] grade, double[] height)
    {
        // z = -s(x) y with s = s0 + s2 x^2, guide y = 0, downhill = +y, which is left of travel here.
        static double Slope(double s0, double s2, double x) => s0 + (s2 * x * x);
        LinePath guide = Guide(_ => 0, -120, 120, 0.5);
        SegmentBins index = new(new NetTopologySuite.Geometries.Envelope(-130, 130, -50, 50), 8);
        index.Add(guide, 0);
        LinePath line = Assert.Single(ParallelLines.Offset(guide, downhill, index));
        for (int i = 0; i < x.Length; i++)
        {
            XY here = line.Points.MinBy(p => Math.Abs(p.X - x[i]));
            Assert.Equal(x[i], here.X, 6);
            Assert.Equal(downhill, here.Y, 6);
            Assert.Equal(height[i], -Slope(s0, s2, here.X) * here.Y, 9);
            double ahead = -Slope(s0, s2, here.X + 0.01) * downhill;
            double behind = -Slope(s0, s2, here.X - 0.01) * downhill;
            Assert.Equal(grade[i], (ahead - behind) / 0.02, 9);
        }
    }

    // Trough z = .002 x^2 - .05 y (guide y = .04 x^2) and its mirror, the ridge; stations x = 0, 5, ..., 30 on the guide.
    // Downhill is +y. A positive distance is left of travel, which is +y for a guide drawn toward +x.
    [Theory]
    [InlineData(1, 5, new double[] { -0.25, -0.2624, -0.3006, -0.3610, -0.4357, -0.5190, -0.6074 })]
    [InlineData(1, -5, new double[] { 0.25, 0.2762, 0.3397, 0.42, 0.5077, 0.599, 0.6926 })]
    [InlineData(-1, -5, new double[] { 0.25, 0.2624, 0.3006, 0.361, 0.4357, 0.519, 0.6074 })]
    [InlineData(-1, 5, new double[] { -0.25, -0.2762, -0.3397, -0.42, -0.5077, -0.599, -0.6926 })]
    public void TroughAndRidge_HeightsAlongTheOffset_AreAsWorkedOut(int shape, double d, double[] expected)
    {
        double a = 0.002 * shape;
        double Y(double x) => 0.04 * shape * x * x;
        LinePath guide = Guide(Y, -60, 60);
        SegmentBins index = new(new NetTopologySuite.Geometries.Envelope(-70, 70, -160, 160), 8);
        index.Add(guide, 0);
        LinePath line = Assert.Single(ParallelLines.Offset(guide, d, index));
        for (int k = 0; k < expected.Length; k++)
        {
            XY place = Station(Y, x => 0.08 * shape * x, 5 * k, d);
            Assert.Equal(expected[k], (a * place.X * place.X) - (0.05 * place.Y), 3);
            Assert.InRange(Distance(line, place), 0, 0.002);
        }
    }

    [Fact]
    public void Trough_TenMetresDownhill_MeanGradesAreAsWorkedOut()
    {
        double[] expected = [-0.83, -1.77, -1.99, -1.89, -1.70, -1.51];
        double Y(double x) => 0.04 * x * x;
        for (int k = 0; k < expected.Length; k++)
        {
            XY from = Station(Y, x => 0.08 * x, 5 * k, 10);
            XY to = Station(Y, x => 0.08 * x, 5 * (k + 1), 10);
            double length = 0;
            XY last = from;
            for (int i = 1; i <= 500; i++)
            {
                XY p = Station(Y, x => 0.08 * x, (5 * k) + (i * 0.01), 10);
                length += (p - last).Norm;
                last = p;
            }

            static double Z(XY p) => (0.002 * p.X * p.X) - (0.05 * p.Y);
            Assert.InRange((Z(to) - Z(from)) / length * 100, expected[k] - 0.01, expected[k] + 0.01);
        }
    }

    [Fact]
    public void Trough_BeyondTheGuidesRadius_TheFoldIsTrimmed()
    {
        // Radius at the axis is 12.5 m, so at 20 m the raw offset turns back on itself there.
        LinePath guide = Guide(x => 0.04 * x * x, -60, 60, 0.5);
        SegmentBins index = new(new NetTopologySuite.Geometries.Envelope(-70, 70, -160, 200), 8);
        index.Add(guide, 0);
        LinePath line = Assert.Single(ParallelLines.Offset(guide, 20, index));
        for (int i = 1; i < line.Count; i++)
        {
            Assert.True(line.Points[i].X > line.Points[i - 1].X, "The offset runs steadily outward, with no swallowtail.");
        }

        Assert.All(line.Points, p => Assert.InRange(Distance(guide, p), 20 - 0.03, 21.5));
    }

    [Theory]
    [InlineData(12)]
    [InlineData(-12)]
    public void Plane_EveryOffsetOfAContour_IsAContour(double d)
    {
        LinePath guide = Guide(x => 0.75 * x, 0, 100, 1);
        SegmentBins index = new(new NetTopologySuite.Geometries.Envelope(-50, 150, -50, 150), 8);
        index.Add(guide, 0);
        LinePath line = Assert.Single(ParallelLines.Offset(guide, d, index));
        double Z(XY p) => (0.03 * p.X) - (0.04 * p.Y);
        double first = Z(line.Points[0]);
        Assert.All(line.Points, p => Assert.Equal(first, Z(p), 6));
    }

    [Theory]
    [InlineData(7.5, 92.5)]
    [InlineData(-7.5, 107.5)]
    public void Circle_Offsets_AreCircles(double d, double radius)
    {
        XY[] points = new XY[3600];
        for (int i = 0; i < points.Length; i++)
        {
            double t = 2 * Math.PI * i / points.Length;
            points[i] = new XY(100 * Math.Cos(t), 100 * Math.Sin(t));
        }

        LinePath guide = new(points, true);
        SegmentBins index = new(new NetTopologySuite.Geometries.Envelope(-120, 120, -120, 120), 8);
        index.Add(guide, 0);
        LinePath line = Assert.Single(ParallelLines.Offset(guide, d, index));
        Assert.True(line.Closed);
        Assert.All(line.Points, p => Assert.Equal(radius, p.Norm, 6));
    }

    private static double Distance(LinePath path, XY p)
    {
        double best = double.PositiveInfinity;
        for (int i = 0; i < path.SegmentCount; i++)
        {
            best = Math.Min(best, SegmentBins.SquareDistance(p, path.Points[i], path.End(i)));
        }

        return Math.Sqrt(best);
    }
}
