using Keyline.Elevation;
using NetTopologySuite.Geometries;
using static Keyline.Water.Tests.Overland.Grounds;

namespace Keyline.Water.Tests.Overland;

/// <summary>Flow held against closed forms.</summary>
public sealed class PublishedFlowTests
{
    /// <summary>800 m at 5 %, n 0.015, 10.8 mm/h: q = alpha (i t)^(5/3) with alpha 14.90711985 until 1765.9 s, 2.4 L/s a metre after.
    /// Wooding, Journal of Hydrology 3, 1965; values worked here.</summary>
    [Fact]
    public void KinematicPlane_OfALongSmoothSlope()
    {
        ElevationGrid ground = Of(3, 100, 8, (x, _) => 0.05 * (800 - x));
        WaterGauge gauge = new("all but the last", new Envelope(0, 791.99, 0, 24).ToPolygon());
        StormOptions options = new() { Roughness = 0.015, SurfaceStorage = 0, Recession = 0 };
        GaugeReading r = Assert.Single(StormRun.Run(ground, Sealed, DesignStorms.Steady(0.0108, 3600), null, [gauge], options).Gauges);
        double equilibrium = 10.8 * MmPerHour * 792 * 24;
        Assert.Equal(equilibrium, r.Outflows[^1], 0.003 * equilibrium);
        Assert.All(new[] { 5, 10, 15, 20 }, minute => Assert.Equal(24 * 14.90711985 * Math.Pow(10.8 * MmPerHour * ((minute * 60) + 30), 5.0 / 3), r.Outflows[minute], 0.03 * equilibrium));
    }

    /// <summary>A wide channel at 2 %, n 0.15, carries 0.24 m² a second 0.440020 m deep: Manning, worked here.</summary>
    [Fact]
    public void Face_OfAWideChannel_IsMannings()
    {
        float q = 0;
        FlowStep step = new(50, 1000, 9.80665 * 0.0225, 1, 0);
        for (int i = 0; i < 400; i++)
        {
            q = FlowRows.Face(0.440020, 20, 0.440020, 0, q, 0, 0, 0, step, out _);
        }

        Assert.Equal(0.24, q, 3e-6);
    }

    /// <summary>A front over a level bed, n 0.01, that runs 0.4 m/s: h = (7/3 n² u² (u t - x))^(3/7). Hunter and others, Advances in Water Resources 28, 2005.
    /// The plain equation without its neighbours' weight, which beside the wall behind the inlet would hold the first face back; over a dry bed the tip lags by some cells.</summary>
    [Fact]
    public void AdvancingFront_OverALevelBed_IsHunters()
    {
        const double n = 0.01, speed = 0.4;
        static double Depth(double x, double t) => speed * t > x ? Math.Pow(7.0 / 3 * n * n * speed * speed * ((speed * t) - x), 3.0 / 7) : 0;
        Assert.Equal(0.108377, Depth(50, 500), 1e-6);
        ElevationGrid ground = Of(3, 150, 2, (x, y) => y is > 2 and < 4 && x is > 2 and < 298 ? 0 : 9);
        FlowField field = FlowField.Of(ground);
        StormSteps steps = new(field, Sealed, null, [], new StormOptions { Roughness = n, SurfaceStorage = 0, LongestStep = 0.5, Weighting = 1 });
        int inlet = field.Index(1, 1);
        field.Depth[inlet] = Depth(0, 1);
        steps.Begin();
        for (double t = 1; t < 500;)
        {
            field.Depth[inlet] = Depth(0, t);
            t = steps.Go(t, 500, _ => 0, WorkThreads.Options(CancellationToken.None));
        }

        // The inlet's middle stands at x = 0 of the closed form.
        double At(double x) => field.Depth[inlet + (int)(x / 2)];
        Assert.Equal(Depth(10, 500), At(10), 2e-4);
        Assert.Equal(Depth(50, 500), At(50), 0.001);
        Assert.Equal(Depth(100, 500), At(100), 0.003);
        Assert.Equal(Depth(150, 500), At(150), 0.006);
        double front = Enumerable.Range(0, 148).Last(k => At(2 * k) > 0.01) * 2;
        Assert.InRange(front, 180, 204);
    }

    /// <summary>Rain r, land of L1 that takes in f1, then a strip of L2 that can take f2: max(0, (r - f1) L1 - (f2 - r) L2) a metre runs off.
    /// A steady balance, worked here.</summary>
    [Theory]
    [InlineData(30, 6, 40, 2.5, 0.5, 55)]
    [InlineData(30, 6, 150, 2.5, 0.5, 0)]
    [InlineData(50, 5, 100, 10, 2, 350)]
    [InlineData(50, 5, 300, 10, 2, 0)]
    public void RippedStrip_LetsThroughWhatItCannotTake(double rain, double land, double strip, double length, double width, double passes)
    {
        const double cell = 0.25;
        int columns = (int)Math.Round((length + width) / cell);
        ElevationGrid ground = Of(3, columns, cell, (x, _) => 0.05 * ((columns * cell) - x));
        SoilMap soils = SoilMap.Of(ground.Frame, Even(land), [(new Envelope(length, columns * cell, 0, 3 * cell).ToPolygon(), Even(strip))]);
        StormOptions options = new() { SurfaceStorage = 0, Recession = 0 };
        double off = Left(1.0) - Left(0.5);
        Assert.Equal(passes * 0.5, off, 0.02 * rain * length * 0.5);

        // Litres a metre of strip in some hours of rain.
        double Left(double hours) => StormRun.Run(ground, soils, DesignStorms.Steady(rain / 1000 * hours, 3600 * hours), null, null, options).Balance.Left / (3 * cell) * 1000;
    }

    /// <summary>50 m at 5 %, n 0.1, of which 45 mm/h run off, then a strip that takes in 300 mm/h under 50 mm/h of rain: the last water is gone 9.0 m into the strip.
    /// Along a characteristic of the kinematic equation, worked here.</summary>
    [Fact]
    public void RunOn_IsGoneWhereTheStripHasTakenIt()
    {
        ElevationGrid ground = Of(3, 80, 1, (x, _) => 0.05 * (80 - x));
        SoilMap soils = SoilMap.Of(ground.Frame, Even(5), [(new Envelope(50, 80, 0, 3).ToPolygon(), Even(300))]);
        StormResult r = StormRun.Run(ground, soils, DesignStorms.Steady(0.05, 3600), null, null, new StormOptions { Roughness = 0.1, SurfaceStorage = 0, Recession = 0 });
        int last = Enumerable.Range(0, 80).Last(c => r.Standing[1, c] > 2e-5);
        Assert.InRange(last - 50 + 1, 8, 10);
        Assert.Equal(0, r.Balance.Left, 1e-6);
    }

    /// <summary>18.4 L of air a metre under 24 mm/h over 3 m that soil takes none of fill in 0.256 h, and hold no more then. Worked here.</summary>
    [Fact]
    public void Slot_FillsInItsTime()
    {
        ElevationGrid ground = Of(36, 60, 1, (x, y) => 0.08 * y);
        WaterLine[] lines = Across(3, 1, 59, 1.5, 34.5);
        StormOptions options = new() { SurfaceStorage = 0, Recession = 60, Roughness = 0.03, Rip = new Rip { FurrowDepth = 0, RidgeHeight = 0, ConductivityRatio = 1 } };
        Assert.InRange(Held(0.20), 0.9 * 0.024 * 3 * 0.20, 1.01 * 0.024 * 3 * 0.20);
        Assert.Equal(0.0184, Held(0.30), 2e-4);

        // Square metres in a line in the middle of the slope.
        double Held(double hours)
        {
            LineWater line = StormRun.Run(ground, Sealed, DesignStorms.Steady(0.024 * hours, 3600 * hours), lines, null, options).Lines[5];
            return line.Held / line.Length;
        }
    }

    /// <summary>Over the field what one rip gains thins out with the spacing: a strip's 32 mm at 6 m are 8 mm of field (Pikul and others 1996, worked here).
    /// Where there is water for all of them, twice the spacing is half the gain.</summary>
    [Fact]
    public void Gain_ThinsOutWithTheSpacing()
    {
        ElevationGrid ground = Of(60, 60, 1, (x, y) => 0.05 * y);
        Hyetograph rain = DesignStorms.Steady(0.06, 3600);
        double none = Kept(null);
        double six = Kept(Across(6, 2, 58, 3, 57)) - none, twelve = Kept(Across(12, 2, 58, 6, 54)) - none;
        Assert.InRange(six / twelve, 1.7, 2.2);

        double Kept(WaterLine[]? lines)
        {
            WaterBalance b = StormRun.Run(ground, Tight, rain, lines, null, new StormOptions { Recession = 600 }).Balance;
            return b.Soil + b.Rips;
        }
    }

    /// <summary>The gain lies at the rips: within 1.5 m below them in winter wheat (Pikul and others 1996), right under furrows in Utah (Gifford and others 1977), none
    /// between trenches there (Doty 1970). Land between lines takes in no more than before.</summary>
    [Fact]
    public void Gain_LiesAtTheLines()
    {
        ElevationGrid ground = Of(60, 60, 1, (x, y) => 0.05 * y);
        Hyetograph rain = DesignStorms.Steady(0.04, 3600);
        WaterLine[] lines = Across(6, 2, 58, 3.5, 57.5);
        Grid<float> with = StormRun.Run(ground, Tight, rain, lines).TakenIn, without = StormRun.Run(ground, Tight, rain).TakenIn;
        double at = 0, between = 0;
        int away = 0;
        for (int r = 6; r < 54; r++)
        {
            double north = with.Frame.CentreY(r), gain = 0;
            for (int c = 6; c < 54; c++)
            {
                gain += (with[r, c] - without[r, c]) / 48;
            }

            double nearest = lines.Min(l => Math.Abs(l.Line.StartPoint.Y - north));
            at += nearest < 0.6 ? gain / 8 : 0;
            (between, away) = nearest > 1.6 ? (between + gain, away + 1) : (between, away);
        }

        Assert.True(at > 0.015, $"{1000 * at:0.0} mm at the lines");
        Assert.InRange(between / away, -0.002, 0.0005);
    }

    private static SoilColumn Even(double millimetresAnHour) => SoilColumn.Uniform("even", millimetresAnHour * MmPerHour, 0, 0);
}
