using Keyline.Elevation;
using Keyline.Terrain;
using Keyline.Tests.Support;
using NetTopologySuite.Algorithm;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Terrain;

/// <summary>Contours on surfaces whose level lines are known on paper.</summary>
public sealed class ContourLinesTests
{
    [Fact]
    public void Trace_Plane_EveryPointLiesOnItsLevel()
    {
        Func<double, double, double> plane = Surfaces.Plane(10, 0.125, 0.25);
        IReadOnlyList<ContourLine> lines = ContourLines.Trace(Surfaces.Make(20, 30, 2, plane), [9.3, 10, 11.25]);
        Assert.Equal(new[] { 9.3, 10, 11.25 }, lines.Select(l => l.Height));
        foreach (ContourLine line in lines)
        {
            Assert.False(line.IsClosed);
            Assert.All(line.Line.Coordinates, p =>
            {
                Assert.Equal(line.Height, plane(p.X, p.Y), 9);
                Assert.Equal(line.Height, p.Z);
            });

            // Uphill is up and to the right, so with high ground on the left the line runs south-eastward.
            Assert.True(line.Line.EndPoint.X > line.Line.StartPoint.X);
        }
    }

    [Theory]
    [InlineData(0.1, true)]
    [InlineData(-0.1, false)]
    public void Trace_Cone_GivesClosedCirclesWithHighGroundLeft(double slope, bool anticlockwise)
    {
        double[] levels = [.. new[] { 10.3, 20, 41.7 }.Select(radius => 100 - (slope * radius))];
        IReadOnlyList<ContourLine> lines = ContourLines.Trace(Surfaces.Make(101, 101, 1, Surfaces.Cone(100, slope)), levels);
        Assert.Equal(3, lines.Count);
        foreach (ContourLine line in lines)
        {
            double radius = (100 - line.Height) / slope;
            Assert.True(line.IsClosed);
            Assert.True(line.Line.IsClosed);
            Assert.True(line.Line.IsSimple);
            Assert.Equal(anticlockwise, Orientation.IsCCW(line.Line.Coordinates));

            // Along one side of a square a cone of radius R strays from the straight line by at most cell^2 / 8R.
            Assert.All(line.Line.Coordinates, p => Assert.InRange(Math.Sqrt((p.X * p.X) + (p.Y * p.Y)), radius - (0.13 / radius), radius + (0.13 / radius) + 1e-3));
        }
    }

    [Fact]
    public void Trace_ConeWithHole_LineEndsBesideTheHole()
    {
        ElevationGrid ground = Surfaces.Changed(Surfaces.Make(41, 41, 1, Surfaces.Cone(100, 0.1)), (r, c, z) => r == 20 && c == 30 ? float.NaN : z);
        ContourLine line = Assert.Single(ContourLines.Trace(ground, [98.95]));
        Assert.False(line.IsClosed);
        Coordinate hole = new(10, 0);
        Assert.InRange(line.Line.StartPoint.Coordinate.Distance(hole), 0.9, 1.6);
        Assert.InRange(line.Line.EndPoint.Coordinate.Distance(hole), 0.9, 1.6);
        Assert.All(line.Line.Coordinates, p => Assert.True(p.Distance(hole) > 0.9));
    }

    [Fact]
    public void Trace_Saddle_LinesMeetNowhere()
    {
        IReadOnlyList<ContourLine> lines = ContourLines.Trace(Surfaces.Make(40, 40, 1, Surfaces.Saddle(0.01)), [-0.5, -1e-3, 0, 1e-3, 0.5]);
        Assert.True(lines.Count >= 10);
        for (int i = 0; i < lines.Count; i++)
        {
            Assert.True(lines[i].Line.IsSimple);
            for (int j = 0; j < i; j++)
            {
                Assert.False(lines[i].Height.Equals(lines[j].Height) ? lines[i].Line.Crosses(lines[j].Line) : lines[i].Line.Intersects(lines[j].Line));
            }
        }
    }

    [Fact]
    public void Trace_LevelThroughCellCentres_RepeatsNoPoint()
    {
        ElevationGrid ground = Surfaces.Make(9, 9, 1, (x, y) => -Math.Round(Math.Max(Math.Abs(x), Math.Abs(y))));
        IReadOnlyList<ContourLine> lines = ContourLines.Trace(ground, [-2, 0]);
        ContourLine square = Assert.Single(lines);
        Assert.Equal(-2, square.Height);
        Assert.Equal(16, new Polygon(new LinearRing(square.Line.Coordinates)).Area);
        for (int i = 1; i < square.Line.NumPoints; i++)
        {
            Assert.False(square.Line.Coordinates[i].Equals2D(square.Line.Coordinates[i - 1]));
        }
    }

    [Fact]
    public void Trace_WrongCalls_AreRefused()
    {
        ElevationGrid ground = Surfaces.Make(3, 3, 1, Surfaces.Cone(1, 1));
        Assert.Empty(ContourLines.Trace(ground, []));
        Assert.Throws<ArgumentException>(() => ContourLines.Trace(ground, [double.NaN]));
        Assert.ThrowsAny<OperationCanceledException>(() => ContourLines.Trace(ground, [0.5], new CancellationToken(true)));
    }
}
