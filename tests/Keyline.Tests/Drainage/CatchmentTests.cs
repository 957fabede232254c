using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Drainage;

public sealed class CatchmentTests
{
    private static readonly ElevationGrid Ground = FastAgainstPlainTests.Lakes(120, 150, 21);
    private static readonly D8Directions Directions = D8Directions.Route(DepressionFilling.Fill(Ground));
    private static readonly Grid<double> Area = FlowAccumulation.Compute(Directions);

    private static Coordinate Centre(int cell) => new(Ground.Frame.CentreX(cell % 150), Ground.Frame.CentreY(cell / 150));

    private static int CellWithMost(Func<int, bool> where) => Enumerable.Range(0, 120 * 150)
        .Where(i => !double.IsNaN(Area.Values[i]) && where(i)).MaxBy(i => Area.Values[i]);

    // What the accumulation counts at a cell is what the catchment of that cell holds.
    [Fact]
    public void OfPoints_OnePoint_HoldsItsContributingArea()
    {
        int outlet = CellWithMost(_ => true);
        Grid<int> labels = Catchments.OfPoints(Directions, [Centre(outlet)]);
        Assert.Equal(Area.Values[outlet], 4 * labels.Values.ToArray().Count(l => l == 1));
        Geometry outline = Catchments.Outline(labels, 1);
        Assert.True(outline.IsValid);
        Assert.Equal(Area.Values[outlet], outline.Area, 6);
        Assert.True(Catchments.Outline(labels, 2).IsEmpty);
    }

    [Fact]
    public void OfPoints_OneUpstreamOfAnother_KeepsItsOwn()
    {
        int outlet = CellWithMost(_ => true);
        Grid<int> alone = Catchments.OfPoints(Directions, [Centre(outlet)]);
        int inner = CellWithMost(i => i != outlet && alone.Values[i] == 1 && Area.Values[i] < Area.Values[outlet] / 2);
        Grid<int> labels = Catchments.OfPoints(Directions, [Centre(outlet), Centre(inner), Centre(inner)]);
        Assert.Equal(Area.Values[inner], 4 * labels.Values.ToArray().Count(l => l == 2));
        Assert.Equal(Area.Values[outlet] - Area.Values[inner], 4 * labels.Values.ToArray().Count(l => l == 1));
        Assert.DoesNotContain(3, labels.Values.ToArray());
    }

    // Every cell under a line across the grid drains over it by itself, and so does all that drains into those cells.
    [Fact]
    public void OfLines_LineAcross_HoldsWhatWalksOverIt()
    {
        LineString line = new([new Coordinate(-200, 3), new Coordinate(10, 3.5), new Coordinate(200, -20)]);
        Grid<int> labels = Catchments.OfLines(Directions, [line]);
        HashSet<int> touched = [.. TouchedCells.Of(Ground.Frame, line)];
        Assert.InRange(touched.Count, 150, 200);
        for (int i = 0; i < labels.Values.Length; i++)
        {
            int at = float.IsNaN(Ground.Heights[i]) ? -1 : i;
            while (at >= 0 && !touched.Contains(at))
            {
                at = Directions.Receiver(at);
            }

            Assert.Equal(at >= 0 ? 1 : 0, labels.Values[i]);
        }
    }

    // The cells a line touches are those whose squares it crosses, by NetTopologySuite's own test.
    [Fact]
    public void TouchedCells_AnyLine_AreThoseItCrosses()
    {
        GridFrame frame = new(20, 30, 2, 5, 45);
        for (int k = 0; k < 40; k++)
        {
            LineString line = new([.. Enumerable.Range(0, 3).Select(i => new Coordinate(35 + (40 * Noise.At(k, i, 1)), 25 + (30 * Noise.At(k, i, 2))))]);
            HashSet<int> touched = [.. TouchedCells.Of(frame, line)];
            for (int cell = 0; cell < 600; cell++)
            {
                (double x, double y) = (frame.CentreX(cell % 30), frame.CentreY(cell / 30));
                Geometry square = GeometryFactory.Default.ToGeometry(new Envelope(x - 1, x + 1, y - 1, y + 1));
                Assert.Equal(square.Intersection(line).Length > 1e-9, touched.Contains(cell));
            }
        }
    }

    [Fact]
    public void Snap_BesideTheChannel_FindsIt()
    {
        int outlet = CellWithMost(i => i / 150 is > 5 and < 114 && i % 150 is > 5 and < 144);
        Coordinate centre = Centre(outlet);
        Coordinate snapped = Catchments.Snap(Area, new Coordinate(centre.X + 1.3, centre.Y - 2.2), 3);
        (int row, int column) = ((int)Math.Round(Ground.Frame.RowAt(snapped.Y)), (int)Math.Round(Ground.Frame.ColumnAt(snapped.X)));
        Assert.True(Area[row, column] >= Area.Values[outlet]);
        Assert.Throws<ArgumentException>(() => Catchments.Snap(Area, new Coordinate(1e6, 1e6), 3));
        Assert.Throws<ArgumentOutOfRangeException>(() => Catchments.Snap(Area, centre, -1));
    }

    [Fact]
    public void WrongCalls_AreRefused()
    {
        ArgumentException error = Assert.Throws<ArgumentException>(() => Catchments.OfPoints(Directions, [Centre(CellWithMost(_ => true)), new Coordinate(1e6, 0)]));
        Assert.Contains("Point 2", error.Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => Catchments.OfLines(Directions, [new LineString([new Coordinate(1e6, 0), new Coordinate(1e6, 9)])]));
        Assert.Throws<ArgumentOutOfRangeException>(() => Catchments.Outline(Catchments.OfPoints(Directions, []), 0));
        Assert.DoesNotContain(1, Catchments.OfPoints(Directions, []).Values.ToArray());
    }
}
