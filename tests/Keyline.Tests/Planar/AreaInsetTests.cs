using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Planar;

/// <summary>Areas less and with a band along their outline, against NetTopologySuite's buffer of the whole outline as the slow twin.</summary>
public sealed class AreaInsetTests
{
    // Arcs are of chords: a sixteenth of a quadrant on a radius of 6 m falls short by 6 (1 - cos(pi/64)) = 7 mm; and corners are thinned by 1 mm.
    private const double Arc = 0.01;

    [Theory]
    [InlineData(-6, 300, 0.05)]
    [InlineData(6, 300, 0.05)]
    [InlineData(-3, 600, 0.02)]
    [InlineData(-20, 400, 0.3)]
    [InlineData(-6, 5000, 0)]
    public void ManyCorners_AsTheSlowTwin(double distance, int corners, double teeth)
    {
        Polygon area = Star(corners, teeth);
        Geometry slow = area.Buffer(distance, 16), fast = AreaInset.Of(area, distance);
        Assert.True(fast.IsValid);
        Assert.InRange(fast.SymmetricDifference(slow).Area, 0, Arc * (slow.Length + area.EnvelopeInternal.Width));
    }

    [Fact]
    public void AHoleAndTwoPieces_AsTheSlowTwin()
    {
        GeometryFactory factory = GeometryFactory.Default;
        Polygon ring = factory.CreatePolygon((LinearRing)Star(400, 0.04).ExteriorRing, [(LinearRing)Star(300, 0.04, 12).ExteriorRing]);
        Geometry far = Star(300, 0.05).Copy();
        far.Apply(NetTopologySuite.Geometries.Utilities.AffineTransformation.TranslationInstance(200, 0));
        MultiPolygon both = factory.CreateMultiPolygon([ring, (Polygon)far]);
        foreach (double distance in new[] { -5.0, 5.0 })
        {
            Geometry slow = both.Buffer(distance, 16);
            Assert.InRange(AreaInset.Of(both, distance).SymmetricDifference(slow).Area, 0, Arc * 2 * (slow.Length + 100));
        }
    }

    [Fact]
    public void FewCorners_AreExactlyTheBuffer()
    {
        Polygon area = Star(60, 0.1);
        Assert.True(area.Buffer(-6, 16).EqualsExact(AreaInset.Of(area, -6)));
    }

    [Fact]
    public void ALineOfManyCorners_AsTheSlowTwin()
    {
        LineString line = GeometryFactory.Default.CreateLineString([.. Enumerable.Range(0, 260).Select(i => new Coordinate(i * 0.1, i % 2))]);
        Geometry slow = line.Buffer(2, 16);
        Assert.InRange(AreaInset.Of(line, 2).SymmetricDifference(slow).Area, 0, Arc * slow.Length);
    }

    [Fact]
    public void TooNarrow_IsEmpty() => Assert.True(AreaInset.Of(Star(400, 0.05), -40).IsEmpty);

    private static Polygon Star(int corners, double teeth, double radius = 31)
    {
        Coordinate[] ring = [.. Enumerable.Range(0, corners).Select(i =>
        {
            double turn = 2 * Math.PI * i / corners, r = radius * (1 + (i % 2 == 1 ? teeth : 0));
            return new Coordinate(500_000 + (r * Math.Cos(turn)), 4_000_000 + (r * Math.Sin(turn)));
        })];
        return GeometryFactory.Default.CreatePolygon([.. ring, ring[0]]);
    }
}
