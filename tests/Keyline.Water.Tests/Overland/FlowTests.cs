using CsCheck;
using Keyline.Elevation;
using NetTopologySuite.Geometries;
using static Keyline.Water.Tests.Overland.Grounds;

namespace Keyline.Water.Tests.Overland;

public sealed class FlowTests
{
    [Fact]
    public void Flow_VectorRow_IsTheScalarRow() => Gen.Select(Gen.Int[0, 70], Gen.Int[0, 1_000_000]).Sample((length, seed) =>
    {
        Random random = new(seed);
        const int away = 96;
        double[] depth = Values(() => random.Next(3) == 0 ? 0 : random.NextDouble() * 0.3);
        double[] bed = Values(() => random.Next(9) == 0 ? FlowRows.NoGround : random.NextDouble());
        float[] flow = Flows();
        float[] other = Flows();
        FlowStep step = new(0.1 + (4 * random.NextDouble()), 1, 0.06, 0.8, 0.001);
        foreach (int to in (int[])[1, away])
        {
            float[] plain = new float[3 * away];
            float[] vectors = new float[3 * away];
            float speed = FlowRows.Flow(depth, bed, flow, other, plain, (away, away + length, 1), away, to, step, false);
            float vectorSpeed = FlowRows.Flow(depth, bed, flow, other, vectors, (away, away + length, 1), away, to, step, true);
            Assert.InRange(vectorSpeed, speed, length % FlowRows.Block == 0 ? speed : float.MaxValue);
            Assert.Equal(plain.AsSpan(away, length).ToArray(), vectors.AsSpan(away, length).ToArray());
            double[] h = (double[])depth.Clone();
            double[] f = Values(() => random.NextDouble() * 0.05);
            (double[] h2, double[] f2) = ((double[])h.Clone(), (double[])f.Clone());
            SoilStep soil = SoilStep.Of(SoilColumn.Uniform("a", 1e-6, 0.2, 0.2).Over(SoilColumn.Uniform("b", 1e-7, 0.3, 0.1), 0.1), 3);
            IntakeRows.Fill(h, bed, plain, plain, away, away + length, away, 0.5, 0.001, false);
            IntakeRows.Fill(h2, bed, plain, plain, away, away + length, away, 0.5, 0.001, true);
            Assert.Equal(h, h2);
            IntakeRows.Soak(depth, f, away, away + length, soil, false);
            IntakeRows.Soak(h2 = (double[])depth.Clone(), f2 = (double[])f.Clone(), away, away + length, soil, false);
            (double[] h3, double[] f3) = ((double[])h2.Clone(), (double[])f2.Clone());
            IntakeRows.Soak(h2, f2, away, away + length, soil, false);
            IntakeRows.Soak(h3, f3, away, away + length, soil, true);
            Assert.Equal(h2, h3);
            Assert.Equal(f2, f3);
        }

        float[] Flows() => [.. Values(() => random.Next(4) == 0 ? 0 : random.NextDouble() - 0.5).Select(v => (float)v)];
        static double[] Values(Func<double> make) => [.. Enumerable.Range(0, 3 * away).Select(_ => make())];
    }, iter: 200);

    /// <summary>Uniform flow down 4 % is Manning's to three parts in a million, and where as much or more flows across, the speed of both brakes it.</summary>
    [Theory]
    [InlineData(0.002, 0)]
    [InlineData(0.05, 0)]
    [InlineData(0.7, 0)]
    [InlineData(0.05, 1)]
    [InlineData(0.05, 3)]
    public void Face_OfALongStep_IsMannings(double depth, double across)
    {
        float q = 0;
        FlowStep step = new(50, 1000, 9.80665 * 0.0064, 1, 0);
        for (int i = 0; i < 400; i++)
        {
            q = FlowRows.Face(depth, 40, depth, 0, q, 0, 0, (float)across * q, step, out _);
        }

        Assert.Equal(Math.Pow(depth, 5.0 / 3) * Math.Sqrt(0.04) / 0.08 / Math.Pow(1 + (across * across), 0.25), q, 3e-6 * q);
    }

    /// <summary>Still water over an uneven bed stays still: nothing flows, the surface keeps its height.</summary>
    [Fact]
    public void StillLake_StaysStill()
    {
        ElevationGrid ground = Of(40, 50, 2, (x, y) => x < 4 || y < 4 || x > 96 || y > 76 ? 9 : 1 + Math.Sin(x / 5) * Math.Cos(y / 7));
        FlowField field = FlowField.Of(ground);
        for (int i = 0; i < field.Bed.Length; i++)
        {
            field.Depth[i] = field.Bed[i] < 2.5 ? 2.5 - field.Bed[i] : 0;
        }

        double before = FlowField.Sum(field.Depth);
        StormSteps steps = new(field, Sealed, null, [], new StormOptions());
        steps.Begin();
        for (double t = 0; t < 600;)
        {
            t = steps.Go(t, 600, _ => 0, WorkThreads.Options(CancellationToken.None));
        }

        Assert.Equal(before, FlowField.Sum(field.Depth), 1e-12 * before);
        Assert.Equal(0, steps.Left);
        Assert.All(field.FlowX[0].Concat(field.FlowY[0]), q => Assert.InRange(q, -1e-12f, 1e-12f));
        Assert.All(Enumerable.Range(0, field.Bed.Length).Where(i => field.Depth[i] > 0), i => Assert.Equal(2.5, field.Bed[i] + field.Depth[i], 1e-12));
    }

    /// <summary>Rain of 50 mm/h on 100 m at 4 %, n 0.1: it takes 916.9 s until the foot gets all of it, 1.389 L/s a metre, 12.73 mm deep; before, q = 2 (i t)^(5/3).
    /// Wooding, Journal of Hydrology 3, 1965.</summary>
    [Fact]
    public void KinematicPlane_RisesAndStaysAsWoodings()
    {
        ElevationGrid ground = Of(3, 100, 1, (x, _) => 0.04 * (100 - x));
        StormOptions options = new() { Roughness = 0.1, SurfaceStorage = 0, Recession = 0 };
        WaterGauge gauge = new("all but the last", new Envelope(0, 98.99, 0, 3).ToPolygon());
        GaugeReading r = Assert.Single(StormRun.Run(ground, Sealed, DesignStorms.Steady(0.05 / 3600 * 1800, 1800), null, [gauge], options).Gauges);
        double rain = 0.05 / 3600;
        Assert.Equal(3 * 99 * rain, r.Outflows[^1], 0.003 * 3 * 99 * rain);
        Assert.All(new[] { 4, 7, 10, 12 }, minute => Assert.Equal(3 * 2 * Math.Pow(rain * ((minute * 60) + 30), 5.0 / 3), r.Outflows[minute], 0.03 * 3 * 99 * rain));
        Grid<float> depth = StormRun.Run(ground, Sealed, DesignStorms.Steady(0.05 / 3600 * 1800, 1800), null, null, options).Standing;
        Assert.Equal(0.012734518 * Math.Pow(0.905, 0.6), depth[1, 90], 6e-5);
    }

    /// <summary>Two planes of 800 by 1000 m at 5 % to a channel of 20 m at 2 %, rain 10.8 mm/h for 90 min: 4.86 m³/s once all of it comes, and 26,244 m³ of rain.
    /// Overton and Brakensiek 1970; di Giammarco, Todini and Lamberti, Journal of Hydrology 175, 1996. The channel's roughness is the whole ground's here,
    /// since one roughness is set: the balance and the plateau do not depend on it.</summary>
    [Fact]
    public void TiltedV_ReachesItsPlateau_AndKeepsItsWater()
    {
        ElevationGrid ground = Of(50, 81, 20, (x, y) => (0.02 * y) + (x is > 800 and < 820 ? 0 : 0.05 * (Math.Abs(x - 810) - 10)));
        StormOptions options = new() { Roughness = 0.015, SurfaceStorage = 0, Recession = 14400, LongestStep = 20 };
        WaterGauge gauge = new("V", new Envelope(0, 1620, 20.01, 1000).ToPolygon());
        StormResult result = StormRun.Run(ground, Sealed, DesignStorms.Steady(0.0108 * 1.5, 5400), null, [gauge], options);
        Assert.Equal(26_244, result.Balance.Rain, 1e-6 * 26_244);
        Assert.InRange(Math.Abs(result.Balance.Error), 0, 1e-9);
        Assert.Equal(26_244, result.Balance.Left, 0.01 * 26_244);
        Assert.Equal(4.86 * 0.98, result.Gauges[0].Outflows[85], 0.01 * 4.86);
    }

    /// <summary>Rain 30 mm/h; above, 20 m take in 6 mm/h; below, a strip of 4 m takes in 100: q1 = 480 L/h a metre, 200 of 480 pass.
    /// A steady balance, computed here.</summary>
    [Fact]
    public void StripsOfUnlikeIntake_PassWhatTheyCannotTake()
    {
        ElevationGrid ground = Of(3, 24, 1, (x, _) => 0.05 * (24 - x));
        SoilColumn upper = SoilColumn.Uniform("upper", 6 * MmPerHour, 0, 0);
        SoilColumn strip = SoilColumn.Uniform("strip", 100 * MmPerHour, 0, 0);
        StormOptions options = new() { SurfaceStorage = 0, Recession = 0 };
        Hyetograph rain = DesignStorms.Steady(0.06, 7200);
        WaterBalance low = Steady(20, 24);
        WaterBalance high = Steady(0, 4);
        Assert.Equal(200.0 / 720, low.Left / low.Rain, 0.03);
        Assert.True(low.Left < high.Left, "A strip at the top catches only its own rain.");
        Assert.Equal(20.0 * 24 / 720, high.Left / high.Rain, 0.03);

        WaterBalance Steady(double from, double to) => StormRun.Run(ground, SoilMap.Of(ground.Frame, upper, [(new Envelope(from, to, 0, 3).ToPolygon(), strip)]), rain, null, null, options).Balance;
    }

    [Fact]
    public void TurnedAndMirroredGround_TakesInTheSame()
    {
        Hyetograph rain = DesignStorms.Steady(0.03, 1800);
        double whole = Taken((x, y) => Height(x, y));
        Assert.Equal(whole, Taken((x, y) => Height(y, x)), 5e-4 * whole);
        Assert.Equal(whole, Taken((x, y) => Height(64 - x, y)), 5e-4 * whole);
        Assert.Equal(whole, Taken((x, y) => Height(y, 64 - x)), 5e-4 * whole);

        double Taken(Func<double, double, double> height) => StormRun.Run(Of(64, 64, 1, height), Tight, rain).Balance.Soil;
        static double Height(double x, double y) => (0.06 * y) + (0.3 * Math.Sin(x / 6)) + (0.2 * Math.Cos((x + y) / 8));
    }

    [Fact]
    public void PartsOfAStep_ChangeLittle_AndBalance()
    {
        ElevationGrid ground = Of(96, 128, 1, (x, y) => (0.02 * y) + (Math.Abs(x - 64) * 0.05) + (y is > 20 and < 23 ? 0.4 * Math.Exp(-Math.Pow((x - 64) / 9, 2)) : 0));
        Hyetograph rain = DesignStorms.Steady(0.03, 1200);
        StormOptions options = new() { Recession = 600 };
        StormResult parted = StormRun.Run(ground, Tight, rain, null, null, options);
        StormResult whole = StormRun.Run(ground, Tight, rain, null, null, options with { LongestStep = 0.2 });
        Assert.InRange(Math.Abs(parted.Balance.Error), 0, 1e-9);
        Assert.True(parted.Steps < whole.Steps / 3);
        Assert.Equal(whole.Balance.Soil, parted.Balance.Soil, 0.01 * whole.Balance.Soil);
        Assert.Equal(whole.Balance.Left, parted.Balance.Left, 0.02 * whole.Balance.Left);
    }

    [Fact]
    public void Holes_AreOutside_AndGroundWithoutAnyIsRefused()
    {
        ElevationGrid holed = Of(30, 30, 1, (x, y) => x is > 12 and < 18 && y is > 12 and < 18 ? double.NaN : 0.05 * y);
        StormResult r = StormRun.Run(holed, Tight, DesignStorms.Steady(0.03, 900));
        Assert.Equal(900 - 36, (int)Math.Round(r.Balance.Rain / 0.03));
        Assert.InRange(Math.Abs(r.Balance.Error), 0, 1e-9);
        Assert.True(float.IsNaN(r.TakenIn[15, 15]));
        Assert.Contains("no known height", Assert.Throws<GroundDataException>(() => StormRun.Run(Of(3, 3, 1, (_, _) => double.NaN), Tight, DesignStorms.Steady(0.03, 900))).Message, StringComparison.Ordinal);
    }
}

internal static class Boxes
{
    public static Geometry ToPolygon(this Envelope box) => GeometryFactory.Default.ToGeometry(box);
}
