using Keyline.Elevation;
using Keyline.Field;
using Keyline.Layout;
using Keyline.Layout.Even;
using Keyline.Layout.Parallels;
using Keyline.Planar;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Layout.Even;

/// <summary>Whole patterns on ground where the right lines are known.</summary>
public sealed class EvenPatternTests
{
    [Theory]
    [InlineData(0.02, 0.031, 0.044)]
    [InlineData(0.1, -0.05, 0.012)]
    [InlineData(0.3, 0.02, -0.06)]
    public void Plane_GivesExactParallels_AndNoEnds(double tolerance, double east, double south)
    {
        Polygon area = FieldGround.Box(0, 0, 160, 120);
        (List<EvenLine> lines, EvenPart part) = Lay(area, (_, _) => new XY(east, south), [], tolerance);
        XY normal = new XY(east, -south).Unit();
        double[] places = [.. lines.Select(l => l.Path.Points.Average(p => p.Dot(normal))).Order()];
        Assert.All(lines, l => Assert.InRange(l.Path.Points.Max(p => Math.Abs(p.Dot(normal) - l.Path.Points[0].Dot(normal))), 0, 3e-3));
        Assert.All(places.Zip(places.Skip(1), (a, b) => b - a), gap => Assert.Equal(3, gap, 3e-3));
        Assert.All(lines, l => Assert.InRange(Ends(l).Max(e => Depth(area, e)), 0, 0.01));
        Assert.Equal(0, part.Residues);
        Assert.True(lines.Count > 30);
    }

    [Theory]
    [InlineData(0.02)]
    [InlineData(0.2)]
    public void Cone_GivesCircles_AndNoEnds(double tolerance)
    {
        Geometry area = FieldGround.Factory.CreatePoint(new Coordinate(0, 0)).Buffer(140, 64).Difference(FieldGround.Factory.CreatePoint(new Coordinate(0, 0)).Buffer(70, 64));
        (List<EvenLine> lines, EvenPart part) = Lay(area, (x, y) => new XY(x, -y).Unit() * 0.05, [], tolerance, 0.05);
        double[] radii = [.. lines.Select(l => l.Path.Points.Average(p => p.Norm)).Order()];
        Assert.All(lines, l => Assert.True(l.Path.Closed || Ends(l).All(e => Depth(area, e) < 0.01)));
        Assert.All(lines, l => Assert.InRange(l.Path.Points.Max(p => p.Norm) - l.Path.Points.Min(p => p.Norm), 0, 0.015));

        // A thousandth of the spacing, on the mean and at every bearing.
        Assert.All(radii.Zip(radii.Skip(1), (a, b) => b - a), gap => Assert.Equal(3, gap, 3e-3));
        LinePath[] circles = [.. lines.Where(l => l.Path.Closed).Select(l => l.Path).OrderBy(p => p.Points.Average(q => q.Norm))];
        Assert.All(circles.Zip(circles.Skip(1)), pair => Assert.All(Enumerable.Range(0, 48), k => Assert.Equal(3, RadiusAt(pair.Second, k * Math.PI / 24) - RadiusAt(pair.First, k * Math.PI / 24), 3e-3)));
        Assert.Equal(0, part.Residues);
        Assert.Equal(23, lines.Count(l => l.Path.Closed), 1.0);
    }

    // Where a ray from the middle meets a line around it, no chord's sag counted.
    private static double RadiusAt(LinePath circle, double bearing)
    {
        XY ray = new(Math.Cos(bearing), Math.Sin(bearing));
        for (int i = 0; i < circle.Count; i++)
        {
            (XY a, XY b) = (circle.Points[i], circle.Points[(i + 1) % circle.Count]);
            double left = (ray.X * a.Y) - (ray.Y * a.X), right = (ray.X * b.Y) - (ray.Y * b.X);
            if ((left <= 0) != (right <= 0) && a.Dot(ray) > 0)
            {
                return a.Norm + (left / (left - right) * (b.Norm - a.Norm));
            }
        }

        return double.NaN;
    }

    [Fact]
    public void Crest_IsCoveredLikeTheFlanks()
    {
        // A roof: downhill turns round at x = 50, level lines run alike on both sides.
        (List<EvenLine> lines, EvenPart part) = Lay(FieldGround.Box(0, 0, 100, 90), (x, _) => new XY(x < 50 ? -0.04 : 0.04, 0), [], 0.1);
        double[] places = [.. lines.Select(l => l.Path.Points.Average(p => p.X)).Order()];
        Assert.All(places.Zip(places.Skip(1), (a, b) => b - a), gap => Assert.Equal(3, gap, 0.02));
        Assert.Equal(0, part.Residues);
        Assert.InRange(lines.Count, 32, 34);
    }

    [Fact]
    public void BumpOnAPlane_WithEndsDearAndDirectionCheap_EndsNoLine()
    {
        static XY Fall(double x, double y)
        {
            double bump = 0.3 * Math.Exp(-(((x - 60) * (x - 60)) + ((y - 50) * (y - 50))) / 300);
            return new XY(0.05 + (bump * (x - 60) / 150), -bump * (y - 50) / 150);
        }

        Polygon area = FieldGround.Box(0, 0, 120, 100);
        EvenSettings settings = FieldMaker.Settings(0.1) with { DriftWorth = 0.003 };
        List<EvenLine> lines = [];
        EvenPart part = EvenPattern.LayPart(FieldMaker.Grid(area.EnvelopeInternal, Fall, 1), area, [], settings, null, lines, TestContext.Current.CancellationToken);
        Assert.Equal(0, part.Residues);
        Assert.All(lines, l => Assert.InRange(Ends(l).Max(e => Depth(area, e)), 0, 0.01));

        // With direction dear the same ground ends some.
        EvenPart dear = EvenPattern.LayPart(FieldMaker.Grid(area.EnvelopeInternal, Fall, 0.05), area, [], FieldMaker.Settings(0.02) with { DriftWorth = 30 }, null, [], TestContext.Current.CancellationToken);
        Assert.True(dear.Residues > 0);
    }

    [Fact]
    public void PartsSideBySide_AreThoseOneByOne_InTheirOrder()
    {
        ElevationGrid ground = FieldGround.Of((x, y) => 40 + (0.04 * x) + (0.3 * Math.Sin(y / 40)), 340, 260);
        LayoutOptions options = new() { Spacing = 3, Headland = 0 };
        (double X, double Y)[] corners = [(60, 60), (200, 60), (60, 160)];
        FieldArea field = new(FieldGround.Factory.CreateMultiPolygon([.. corners.Select(c => FieldGround.Box(c.X, c.Y, c.X + 80, c.Y + 50))]));
        FieldSurvey survey = FieldSurvey.Prepare(ground, field, options, cancellationToken: TestContext.Current.CancellationToken);
        EvenSettings settings = FieldMaker.Settings();
        EvenLayout whole = EvenPattern.Lay(survey.RasterOf, survey.Workable, [], settings, null, null, TestContext.Current.CancellationToken);
        List<EvenLine> one = [];
        foreach (Geometry part in GuideBlock.Split(survey.Workable))
        {
            one.AddRange(EvenPattern.Lay(survey.RasterOf, part, [], settings, null, null, TestContext.Current.CancellationToken).Lines);
        }

        Assert.Equal(corners.Length, whole.Parts.Count);
        Assert.NotEmpty(one);
        IEnumerable<XY[]> Points(IEnumerable<EvenLine> lines) => lines.Select(l => l.Path.Points.ToArray());
        Assert.Equal(Points(one), Points(whole.Lines));
        using (WorkThreads.Limit(1))
        {
            Assert.Equal(Points(whole.Lines), Points(EvenPattern.Lay(survey.RasterOf, survey.Workable, [], settings, null, null, TestContext.Current.CancellationToken).Lines));
        }
    }

    [Fact]
    public void Keyline_IsALineOfThePattern()
    {
        LinePath keyline = new LinePath([.. Enumerable.Range(0, 141).Select(k => new XY(k - 10, 45 + (6 * Math.Sin(k / 25.0))))], false).Resample(1);
        Polygon area = FieldGround.Box(0, 0, 120, 100);
        (List<EvenLine> lines, _) = Lay(area, (x, _) => new XY(0.05 * 6 / 25 * Math.Cos((x + 10) / 25) * -1, -0.05), [keyline], 0.1);
        double[] off = [.. keyline.Points.Where(p => p.X is > 2 and < 118).Select(p => lines.Min(l => Enumerable.Range(0, l.Path.SegmentCount).Min(i => SegmentBins.SquareDistance(p, l.Path.Points[i], l.Path.End(i))))).Select(Math.Sqrt).Order()];
        Assert.InRange(off[off.Length / 2], 0, 0.05);
        Assert.InRange(off[^1], 0, 0.2);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void MirroredOrTurnedGround_GivesMirroredOrTurnedLines(bool mirrored)
    {
        // A keyline settles where lines lie; the rest must follow it the same way round.
        const double Side = 96;
        LinePath keyline = new LinePath([.. Enumerable.Range(0, 97).Select(k => new XY(k, 49.3))], false);
        LinePath moved = new([.. keyline.Points.Select(Move)], false);
        Polygon area = FieldGround.Box(0, 0, Side, Side);
        static XY Ground(double x, double y) => new(0.004 * Math.Sin(x / 20), 0.05 + (0.004 * Math.Cos(y / 30)));
        (List<EvenLine> lines, _) = Lay(area, Ground, [keyline], 0.1);
        (List<EvenLine> other, _) = Lay(area, (x, y) => Moved(Ground, x, y), [moved], 0.1);
        Assert.InRange(other.Sum(l => l.Path.Length()) / lines.Sum(l => l.Path.Length()), 0.98, 1.02);

        // Along the very edge a line may fall in or out by a millimetre.
        foreach (XY p in lines.SelectMany(l => l.Path.Points).Where(p => p.X is > 6 and < Side - 6 && p.Y is > 6 and < Side - 6).Select(Move))
        {
            double off = Math.Sqrt(other.Min(l => Enumerable.Range(0, l.Path.SegmentCount).Min(i => SegmentBins.SquareDistance(p, l.Path.Points[i], l.Path.End(i)))));
            Assert.True(off < 0.15, FormattableString.Invariant($"{off:F3} m at {p.X:F1}, {p.Y:F1}"));
        }

        XY Move(XY p) => mirrored ? new XY(Side - p.X, p.Y) : new XY(Side - p.Y, p.X);

        XY Moved(Func<double, double, XY> ground, double x, double y)
        {
            if (mirrored)
            {
                XY f = ground(Side - x, y);
                return new XY(-f.X, f.Y);
            }

            // A quarter turn to the left: (x, y) came from (y, side - x); vectors here are east and south.
            XY g = ground(y, Side - x);
            return new XY(g.Y, -g.X);
        }
    }

    [Fact]
    public void SameGround_SameLines()
    {
        static XY Fall(double x, double y) => new(0.04 + (0.02 * Math.Sin(x / 9)), 0.03 * Math.Sin(y / 11));
        List<EvenLine> first = Lay(FieldGround.Box(0, 0, 200, 190), Fall, [], 0.1).Lines;
        List<EvenLine> second = Lay(FieldGround.Box(0, 0, 200, 190), Fall, [], 0.1).Lines;
        Assert.Equal(first.SelectMany(l => l.Path.Points).Select(p => (p.X, p.Y)), second.SelectMany(l => l.Path.Points).Select(p => (p.X, p.Y)));
    }

    [Fact]
    public void Lines_KeepTheirDistance_StayInside_AndTurnNoTighterThanTheRadius()
    {
        static XY Fall(double x, double y) => new(0.05 * Math.Sin(x / 23), 0.05 * Math.Cos(y / 17));
        Geometry area = FieldGround.Box(0, 0, 160, 150).Difference(FieldGround.Box(60, 60, 75, 90));
        List<EvenLine> lines = Lay(area, Fall, [], 0.1).Lines;
        Assert.True(lines.Count > 20);
        Geometry room = area.Buffer(0.01);
        for (int i = 0; i < lines.Count; i++)
        {
            LineString line = FieldGround.Factory.CreateLineString([.. lines[i].Path.Points.Select(p => new Coordinate(p.X, p.Y))]);
            Assert.True(room.Covers(line));
            Assert.True(line.IsSimple);
            Assert.All(Enumerable.Range(0, lines[i].Path.Count), k => Assert.InRange(Math.Abs(lines[i].Path.CurvatureAt(k, 3)), 0, 1 / 7.5));
            for (int j = 0; j < i; j++)
            {
                LineString other = FieldGround.Factory.CreateLineString([.. lines[j].Path.Points.Select(p => new Coordinate(p.X, p.Y))]);
                Assert.True(line.Distance(other) > 1.2);
            }
        }
    }

    private static (List<EvenLine> Lines, EvenPart Part) Lay(Geometry area, Func<double, double, XY> fall, IReadOnlyList<LinePath> keylines, double tolerance, double window = 1)
    {
        List<EvenLine> lines = [];
        EvenPart part = EvenPattern.LayPart(FieldMaker.Grid(area.EnvelopeInternal, fall, window), area, keylines, FieldMaker.Settings(tolerance), null, lines, TestContext.Current.CancellationToken);
        return (lines, part);
    }

    private static XY[] Ends(EvenLine line) => line.Path.Closed ? [] : [line.Path.Points[0], line.Path.Points[^1]];

    private static double Depth(Geometry area, XY p) => area.Boundary.Distance(FieldGround.Factory.CreatePoint(new Coordinate(p.X, p.Y)));
}
