using Keyline.Elevation;
using NetTopologySuite.Geometries;
using static Keyline.Water.Tests.Overland.Grounds;

namespace Keyline.Water.Tests.Overland;

/// <summary>Dams, rock, driven ground and outlets: what each does with its water is known on paper.</summary>
public sealed class CoverTests
{
    private static Polygon Box(double x0, double y0, double x1, double y1) => new Polygon(new LinearRing([new(x0, y0), new(x1, y0), new(x1, y1), new(x0, y1), new(x0, y0)]));

    private static StormResult Run(ElevationGrid ground, SoilMap soils, CoveredGround[] grounds, WaterLine[]? lines = null, WaterGauge[]? gauges = null, StormOptions? options = null)
    {
        StormResult run = StormRun.Run(ground, soils.Covered(ground.Frame, grounds), DesignStorms.Steady(0.02, 1800), lines ?? [], gauges ?? [], options ?? new StormOptions { SurfaceStorage = 0, Recession = 7200 });
        Assert.InRange(Math.Abs(run.Balance.Error), 0, 1e-9);
        return run;
    }

    [Fact]
    public void Rock_LetsAllOfItsRainRunOff()
    {
        // A plane of a soil that would take in all, under rock.
        ElevationGrid plane = Of(20, 30, 1, (_, y) => 0.05 * y);
        SoilMap thirsty = SoilMap.Uniform(SoilColumn.Uniform("sand", double.PositiveInfinity, 0, 1));
        StormResult rock = Run(plane, thirsty, [new CoveredGround("rock", Box(-1, -1, 31, 21), GroundCover.TakesNothing)]);
        Assert.Equal((0, 0), (rock.Balance.Soil, rock.Balance.Dams));
        Assert.Equal(1, rock.Balance.Left / rock.Balance.Rain, 0.001);
        Assert.Equal(rock.Balance.Rain, Run(plane, thirsty, []).Balance.Soil, 1e-9);
    }

    [Fact]
    public void Dam_BelowRock_StoresTheRocksRainAndItsOwn()
    {
        // A basin that falls from all sides to a dam of 6 by 6 m; nothing leaves it.
        ElevationGrid basin = Of(30, 30, 1, (x, y) => 0.06 * Math.Max(Math.Abs(x - 15), Math.Abs(y - 15)));
        CoveredGround[] both = [new CoveredGround("rock", Box(-1, -1, 31, 31), GroundCover.TakesNothing), new CoveredGround("dam", Box(12, 12, 18, 18), GroundCover.Dam)];
        StormResult run = Run(basin, Tight, both);
        DamReading dam = Assert.Single(run.Dams);
        Assert.Equal(("dam", 36), (dam.Name, dam.Area));
        Assert.Equal(0.02 * 900, run.Balance.Rain, 1e-9);
        Assert.Equal(run.Balance.Rain, dam.Stored + run.Balance.Standing, 1e-9);
        Assert.Equal(1, dam.Stored / run.Balance.Rain, 0.001);
        Assert.Equal((0, dam.Stored), (run.Balance.Soil, run.Balance.Dams));
        Assert.All(Enumerable.Range(12, 6), r => Assert.Equal(0, run.TakenIn[r, 15]));

        // Soil instead of rock: only what it does not take gets there.
        StormResult soil = Run(basin, Tight, [both[1]]);
        Assert.Equal(soil.Balance.Rain, soil.Dams[0].Stored + soil.Balance.Soil + soil.Balance.Standing, 1e-9);
        Assert.InRange(soil.Dams[0].Stored, 0.1 * dam.Stored, 0.9 * dam.Stored);
    }

    [Fact]
    public void DrivenGround_TakesInAsMuchLess()
    {
        // Flat ground of a soil without suction takes in at its conductivity: 20 mm fall in half an hour, 6 mm/h take 2.25 h to 13.5 mm.
        ElevationGrid flat = Of(20, 40, 1, (_, _) => 0);
        SoilMap soils = SoilMap.Of(flat.Frame, SoilColumn.Uniform("a", 6 * MmPerHour, 0, 0.2), [(Box(20, 0, 40, 20), SoilColumn.Uniform("b", 2 * MmPerHour, 0, 0.2))]);
        StormOptions still = new() { SurfaceStorage = 0.1, Recession = 5400 };
        StormResult run = Run(flat, soils, [new CoveredGround("headland", Box(0, 0, 40, 5), GroundCover.Trafficked) { Intake = 0.25 }], options: still);
        Assert.Equal((0.012, 0.004, 0.003, 0.001), (run.TakenIn[2, 5], run.TakenIn[2, 35], run.TakenIn[17, 5], run.TakenIn[17, 35]), (p, q) => Math.Abs(p.Item1 - q.Item1) < 1e-5 && Math.Abs(p.Item2 - q.Item2) < 1e-5 && Math.Abs(p.Item3 - q.Item3) < 1e-5 && Math.Abs(p.Item4 - q.Item4) < 1e-5);
        Assert.Throws<GroundDataException>(() => soils.Covered(flat.Frame, [new CoveredGround("headland", Box(0, 0, 40, 5), GroundCover.Trafficked) { Intake = 1.5 }]));
    }

    /// <summary>A rip that ends at a grassed waterway on the field's edge: what it delivers has left the field and come to the waterway, and is counted so.</summary>
    [Fact]
    public void Delivery_CountsAtTheEdgeOfTheFieldAndInTheOutlet()
    {
        ElevationGrid ground = Of(16, 124, 1, (x, y) => (0.06 * y) + (0.01 * (124 - x)));
        Polygon waterway = Box(104, 0, 122, 16);
        WaterGauge[] gauges = [new WaterGauge("field", Box(2, 3, 102, 13)), new WaterGauge("waterway", waterway)];
        WaterLine[] lines = [Line("L", 12, 8.5, 102, 8.5)];
        StormOptions options = new() { Rip = new Rip { AirShare = 0, FurrowDepth = 0.1 }, SurfaceStorage = 0, Recession = 7200 };
        StormResult run = Run(ground, Sealed, [], lines, gauges, options with { Outlets = [new WaterOutlet("waterway", waterway)] });
        double delivered = run.Deliveries.Single(d => !d.IsStart).Volume;
        Assert.InRange(delivered, 0.02 * 90 * 7, 0.02 * 90 * 8.5);
        Assert.InRange(run.Gauges[1].Inflow, delivered, run.Balance.Rain);

        // All of the field's rain has left it, the delivered with the rest.
        Assert.Equal(1, (run.Gauges[0].Outflow - run.Gauges[0].Inflow) / (0.02 * 1000), 0.01);
        StormResult alone = Run(ground, Sealed, [], lines, gauges, options);
        Assert.Empty(alone.Deliveries);
        Assert.Equal(1, (alone.Gauges[0].Outflow - alone.Gauges[0].Inflow) / (0.02 * 1000), 0.01);
        Assert.InRange(alone.Gauges[1].Inflow, 0, 0.9 * run.Gauges[1].Inflow);
    }

    [Fact]
    public void Holes_AreFoundWithTheirGreatest()
    {
        ElevationGrid ground = Of(20, 30, 2, (x, y) => (x is > 20 and < 28 && y is > 10 and < 16) || (x is > 40 and < 42 && y is > 30 and < 32) || x > 58 ? float.NaN : y);
        UnknownGround unknown = UnknownGround.In(ground, Box(2, 2, 56, 38))!;
        Assert.Equal((4 * 3) + 1, unknown.Cells);
        Assert.Equal((52, 2, 48), (unknown.Area, unknown.Holes, unknown.GreatestArea));
        Assert.InRange(unknown.X, 21, 27);
        Assert.InRange(unknown.Y, 11, 15);
        Assert.Null(UnknownGround.In(ground, Box(2, 2, 18, 38)));
    }
}
