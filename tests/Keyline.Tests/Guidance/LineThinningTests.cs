using CsCheck;
using Keyline.Guidance;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Guidance;

public sealed class LineThinningTests
{
    // A line walked with turns of up to a quarter of a circle and steps of up to 3 m; sometimes it doubles back on itself.
    private static readonly Gen<LineString> Walks =
        from steps in Gen.Select(Gen.Double[0.01, 3], Gen.Double[-1.5, 1.5], Gen.Double[-1, 1]).Array[1, 200]
        select Walk(steps);

    [Fact]
    public void Thin_AnyLine_KeepsEveryPointWithinTheError() =>
        Gen.Select(Walks, Gen.Double[0.001, 1], Gen.Double[1, 60]).Sample((line, tolerance, gap) =>
        {
            LineString thin = LineThinning.Thin(line, tolerance, gap);
            foreach (Coordinate c in line.Densify())
            {
                Assert.True(thin.Distance(new Point(c)) <= tolerance + 1e-9, "strayed");
            }

            for (int i = 1; i < thin.NumPoints; i++)
            {
                Assert.True(thin.GetCoordinateN(i).Distance(thin.GetCoordinateN(i - 1)) <= gap + 1e-9, "gap");
            }

            Assert.Equal(line.StartPoint.Coordinate, thin.StartPoint.Coordinate);
            Assert.Equal(line.EndPoint.Coordinate, thin.EndPoint.Coordinate);
        });

    [Fact]
    public void Thin_VerticesKept_AreVerticesGiven() =>
        Walks.Sample(line =>
        {
            HashSet<(double, double, double)> given = [.. line.Coordinates.Select(c => (c.X, c.Y, c.Z))];
            Assert.All(LineThinning.Thin(line, 0.05).Coordinates, c => Assert.Contains((c.X, c.Y, c.Z), given));
        });

    [Fact]
    public void Thin_StraightLine_KeepsOnlyItsEndsAndTheGap()
    {
        LineString line = new([.. Enumerable.Range(0, 201).Select(i => new CoordinateZ(i, 2 * i, 100 + i))]);
        Assert.Equal(2, LineThinning.Thin(line, 0.02, double.PositiveInfinity).NumPoints);
        LineString thin = LineThinning.Thin(line);

        // 447.2 m in pieces of 50 m at most: nine at least, and halving makes sixteen.
        Assert.InRange(thin.NumPoints, 10, 17);
        Assert.Equal(thin.Coordinates.Select(c => 100 + c.X), thin.Coordinates.Select(c => c.Z));
    }

    [Fact]
    public void Thin_LongEdge_IsFilledWithHeightsBetween()
    {
        LineString thin = LineThinning.Thin(new LineString([new CoordinateZ(0, 0, 10), new CoordinateZ(120, 0, 13)]), 0.02, 50);
        Assert.Equal(new[] { 0.0, 40, 80, 120 }, thin.Coordinates.Select(c => c.X));
        Assert.Equal(new[] { 10.0, 11, 12, 13 }, thin.Coordinates.Select(c => c.Z));
    }

    // Sagitta of an arc: a chord over angle t on radius R strays by R (1 - cos(t / 2)); geometry, no further source.
    [Fact]
    public void Thin_Circle_KeepsAsManyChordsAsItsSagittaAllows()
    {
        const double radius = 100;
        LineString line = new([.. Enumerable.Range(0, 3601).Select(i => new Coordinate(radius * Math.Cos(i * Math.PI / 1800), radius * Math.Sin(i * Math.PI / 1800)))]);
        int least = (int)Math.Ceiling(Math.PI / Math.Acos(1 - (0.02 / radius)));
        Assert.InRange(LineThinning.Thin(line, 0.02, 50).NumPoints - 1, least, 2 * least);
    }

    [Theory]
    [InlineData(-0.01, 50)]
    [InlineData(double.NaN, 50)]
    [InlineData(0.02, 0)]
    [InlineData(0.02, double.NaN)]
    public void Thin_AbsurdLimits_AreRefused(double tolerance, double gap) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => LineThinning.Thin(new LineString([new Coordinate(0, 0), new Coordinate(1, 1)]), tolerance, gap));

    private static LineString Walk((double Step, double Turn, double Rise)[] steps)
    {
        double x = 500_000, y = 4_000_000, z = 100, heading = 0;
        List<Coordinate> path = [new CoordinateZ(x, y, z)];
        foreach ((double step, double turn, double rise) in steps)
        {
            heading += turn;
            x += step * Math.Cos(heading);
            y += step * Math.Sin(heading);
            z += rise;
            path.Add(new CoordinateZ(x, y, z));
        }

        return new LineString([.. path]);
    }
}

internal static class LineStringExtensions
{
    /// <summary>Vertices and three points within each edge.</summary>
    public static IEnumerable<Coordinate> Densify(this LineString line)
    {
        for (int i = 1; i < line.NumPoints; i++)
        {
            Coordinate a = line.GetCoordinateN(i - 1), b = line.GetCoordinateN(i);
            for (int k = 0; k < 4; k++)
            {
                yield return new Coordinate(a.X + (k / 4.0 * (b.X - a.X)), a.Y + (k / 4.0 * (b.Y - a.Y)));
            }
        }

        yield return line.EndPoint.Coordinate;
    }
}
