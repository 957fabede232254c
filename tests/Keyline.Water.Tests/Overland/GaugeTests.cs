using Keyline.Elevation;
using NetTopologySuite.Geometries;
using static Keyline.Water.Tests.Overland.Grounds;

namespace Keyline.Water.Tests.Overland;

/// <summary>What a gauge counts as water that comes in and goes out.</summary>
public sealed class GaugeTests
{
    private const double Flow = 0.01;

    private static Geometry Strip { get; } = new Envelope(20, 180, 29, 32).ToPolygon();

    /// <summary>Water that runs along a strip of three cells and weaves across its long sides every 5 m comes in by its end: three faces, for a minute. The edge's faces, worked here.</summary>
    [Fact]
    public void WaterThatWeavesAlongAStrip_CountsOnce()
    {
        GaugeReading r = Counted(Strip, (_, _) => Flow, (x, _) => -Flow * Math.Sin(Math.Tau * x / 10));
        Assert.Equal(3 * Flow * 60, r.Inflow, 0.001 * Flow * 60);
        Assert.Equal(r.Inflow, r.Outflow, 0.001 * r.Inflow);
        Assert.Equal(r.Inflow / 60, r.PeakInflow, 1e-9);
    }

    /// <summary>The same along a strip that lies askew, whose edge has steps: what runs along it, in at one face of a step and out at the next, is none of its water.</summary>
    [Theory]
    [InlineData(1)]
    [InlineData(0.5)]
    public void WaterAlongAStripThatLiesAskew_CountsOnce(double slope)
    {
        GaugeReading r = Counted(new LineString([new Coordinate(20, 10.5), new Coordinate(100, 10.5 + (80 * slope))]), (_, _) => Flow, (_, _) => -slope * Flow, 120);

        // In cells the strip's end is two to three faces wide either way.
        Assert.InRange(r.Inflow, 2 * Flow * 60, 3 * (1 + slope) * Flow * 60);
    }

    /// <summary>Over one long side water comes in along 80 m and goes out along the other 80; that is 48 m³ each, and neither is set against the other.</summary>
    [Fact]
    public void WaterThatComesInHere_IsNotSetAgainstWhatGoesOutThere()
    {
        GaugeReading r = Counted(Strip, (_, _) => 0, (x, row) => row < 31 ? 0 : x < 100 ? Flow : -Flow);
        Assert.Equal(80 * Flow * 60, r.Inflow, 1e-5);
        Assert.Equal(80 * Flow * 60, r.Outflow, 1e-5);
        GaugeReading through = Counted(Strip, (_, _) => 0, (_, _) => Flow);
        Assert.Equal(160 * Flow * 60, through.Inflow, 1e-5);
        Assert.Equal(160 * Flow * 60, through.Outflow, 1e-5);
    }

    /// <summary>Water over one side of a point comes in and over the other goes out: three faces of each, however small the place.</summary>
    [Fact]
    public void APoint_CountsWhatRunsThroughIt()
    {
        GaugeReading r = Counted(new Point(50.5, 30.5), (_, _) => Flow, (_, _) => 0);
        Assert.Equal((5.0, 1.8, 1.8), (r.Area, Math.Round(r.Inflow, 5), Math.Round(r.Outflow, 5)));
    }

    /// <summary>What comes in in one minute and goes out over the same edge in the next is counted both ways, and a peak is a minute's.</summary>
    [Fact]
    public void Minutes_AreCountedOnTheirOwn()
    {
        (GaugeCount count, FlowField field, TileMap tiles) = Begin(Strip, 60);
        foreach ((double flow, double seconds) in (ReadOnlySpan<(double, double)>)[(Flow, 60), (-3 * Flow, 60), (Flow, 20)])
        {
            Fill(field, (_, _) => 0, (_, row) => row < 31 ? 0 : flow);
            count.Take(field.FlowX[0], field.FlowY[0], seconds, tiles, false);
            count.Passed(seconds, seconds);
        }

        GaugeReading r = count.Reading(140);
        Assert.Equal(160 * Flow * 180, r.Inflow, 1e-4);
        Assert.Equal(160 * Flow * 80, r.Outflow, 1e-4);
        Assert.Equal((2, 3 * 160 * Flow, 160 * Flow), (r.Outflows.Count, Math.Round(r.PeakInflow, 5), Math.Round(r.PeakOutflow, 5)));
    }

    /// <summary>A trough that weaves about a watched line lets each litre in about once: no more than fell beside the strip, where each turn counted alone would make several of it.
    /// Turned by a right angle, ground and place give the same.</summary>
    [Fact]
    public void ATroughAlongABoundary_IsCountedOnce_AndTheSameTurned()
    {
        Hyetograph rain = DesignStorms.Steady(0.03, 1200);
        StormOptions options = new() { Recession = 900 };
        StormResult along = StormRun.Run(Of(60, 120, 1, Height), Sealed, rain, null, [new WaterGauge("boundary", Place((x, y) => new Coordinate(x, y)))], options);
        StormResult turned = StormRun.Run(Of(120, 60, 1, (x, y) => Height(120 - y, x)), Sealed, rain, null, [new WaterGauge("boundary", Place((x, y) => new Coordinate(y, 120 - x)))], options);
        GaugeReading r = along.Gauges[0];
        Assert.InRange(r.Inflow, 0.5 * along.Balance.Rain, 1.15 * along.Balance.Rain);
        Assert.Equal(r.Inflow, turned.Gauges[0].Inflow, 0.02 * r.Inflow);
        Assert.Equal(r.Outflow, turned.Gauges[0].Outflow, 0.02 * r.Outflow);

        static double Height(double x, double y) => (0.03 * (120 - x)) + (0.04 * Math.Abs(y - 30 - (2.5 * Math.Sin(x / 2.5))));
        static LineString Place(Func<double, double, Coordinate> at) => new([at(5, 30.2), at(115, 30.2)]);
    }

    [Fact]
    public void Edge_GivesEachFaceOnce_AndParts20Metres()
    {
        // A frame of 50 by 30 cells with a hole of 10 by 6: two rings.
        GridFrame frame = new(40, 60, 1, 0, 40);
        int[] cells = [.. Enumerable.Range(0, (int)frame.CellCount).Where(i => i / 60 is >= 5 and < 35 && i % 60 is >= 5 and < 55 && !(i / 60 is >= 12 and < 18 && i % 60 is >= 20 and < 30))];
        (List<(int Cell, int Side, int Stretch)> faces, int stretches) = GaugeEdge.Of(frame, cells);
        Assert.Equal((2 * (50 + 30)) + (2 * (10 + 6)), faces.Count);
        Assert.Equal(faces.Count, faces.Select(f => (f.Cell, f.Side)).Distinct().Count());
        ILookup<int, (int Cell, int Side, int Stretch)> by = faces.ToLookup(f => f.Stretch);
        Assert.Equal(stretches, by.Count);
        Assert.All(by, s => Assert.True(s.Count() is 25 or 15 or 10 or 6 && s.Select(f => f.Side).Distinct().Count() == 1, "A stretch of a straight side faces one way."));
        Assert.Equal((2 * (2 + 2)) + 4, stretches);
    }

    private static GaugeReading Counted(Geometry place, Func<double, int, double> east, Func<double, int, double> south, int rows = 60)
    {
        (GaugeCount count, FlowField field, TileMap tiles) = Begin(place, rows);
        Fill(field, east, south);
        for (int i = 0; i < 12; i++)
        {
            count.Take(field.FlowX[0], field.FlowY[0], 5, tiles, false);
            count.Passed(5, 5 * (i + 1));
        }

        return count.Reading(60);
    }

    private static (GaugeCount Count, FlowField Field, TileMap Tiles) Begin(Geometry place, int rows)
    {
        FlowField field = FlowField.Of(Of(rows, 200, 1, (_, _) => 0));
        return (new GaugeCount(new WaterGauge("place", place), field), field, new TileMap(field.Frame, 0.001));
    }

    // Flow over west faces by x of the face and row, and over north faces by x of the cell and row.
    private static void Fill(FlowField field, Func<double, int, double> east, Func<double, int, double> south)
    {
        for (int r = 0; r < field.Frame.Rows; r++)
        {
            for (int c = 0; c < field.Frame.Columns; c++)
            {
                field.FlowX[0][field.Index(r, c)] = (float)east(c, r);
                field.FlowY[0][field.Index(r, c)] = (float)south(c + 0.5, r);
            }
        }
    }
}
