using Keyline.Layout;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Layout;

/// <summary>Ground parted among the lines that lie nearest to it, against distances taken plainly.</summary>
public sealed class ValleysAndRidgesTests
{
    [Fact]
    public void Zones_PartTheAreaWithoutGap_EachTheGroundNearestToItsLine()
    {
        Random random = new(7);
        for (int trial = 0; trial < 60; trial++)
        {
            double east = trial % 2 == 0 ? 0 : 612_000;
            double north = trial % 2 == 0 ? 0 : 4_713_000;
            Polygon area = FieldGround.Factory.CreatePolygon([new(east, north), new(east + 400, north + (trial * 2)), new(east + 350, north + 300), new(east, north + 280), new(east, north)]);
            List<LineString> lines = [];
            for (int k = 0; k < 2 + (trial % 6); k++)
            {
                // Lines join where another begins, run straight, cross or lie far outside the area.
                Coordinate from = k % 3 == 2 ? lines[k - 1].StartPoint.Coordinate : At();
                lines.Add(FieldGround.Factory.CreateLineString([from, At(), k % 2 == 0 ? new Coordinate(from.X, from.Y + 150) : At()]));
            }

            IReadOnlyList<Geometry> zones = ValleysAndRidges.Zones(lines, area, TestContext.Current.CancellationToken);
            Assert.Equal(lines.Count, zones.Count);
            Assert.Equal(area.Area, zones.Sum(z => z.Area), area.Area * 1e-6);
            for (int i = 0; i < 40; i++)
            {
                Point p = FieldGround.Factory.CreatePoint(new Coordinate(east + (random.NextDouble() * 350), north + (random.NextDouble() * 300)));
                double least = lines.Min(l => l.Distance(p));
                Assert.All(Enumerable.Range(0, zones.Count).Where(z => !zones[z].IsEmpty && zones[z].Distance(p) == 0 && area.Covers(p)), z => Assert.InRange(lines[z].Distance(p), least - 1e-9, Math.Sqrt((least * least) + 49) + 1.5));
            }

            Coordinate At() => new(east - 300 + (random.NextDouble() * 1000), north - 300 + (random.NextDouble() * 900));
        }
    }

    [Fact]
    public void OneLine_HasItAll()
    {
        Polygon area = FieldGround.Box(0, 0, 100, 100);
        Assert.Same(area, Assert.Single(ValleysAndRidges.Zones([FieldGround.Line((500, 500), (600, 600))], area, TestContext.Current.CancellationToken)));
    }
}
