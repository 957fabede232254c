namespace Keyline.Water.Tests.Years;

public sealed class LayeredBalanceTests
{
    private const double Never = double.PositiveInfinity;

    private static (double[] Rain, double[] Reference) Days(int seed, int count)
    {
        Random random = new(seed);
        double[] rain = [.. Enumerable.Range(0, count).Select(_ => random.NextDouble() < 0.25 ? -0.008 * Math.Log(1 - random.NextDouble()) : 0)];
        double[] reference = [.. Enumerable.Range(0, count).Select(i => 0.004 + (0.003 * Math.Sin(i / 58.0)) + (0.001 * random.NextDouble()))];
        return (rain, reference);
    }

    /// <summary>One layer, no bare soil, drained in a day: the bucket of FAO-56 (equations 82 to 85), which is held against its examples beside this.</summary>
    [Fact]
    public void OneLayerUnderFullCover_IsTheBucket()
    {
        (double[] rain, double[] reference) = Days(5, 2000);
        LayeredSoil soil = LayeredSoil.Of([new SoilLayer(0.8, 0.12, 0.32, 0.45, Never)]);
        PlantCover cover = new() { Coefficient = 1, Cover = 1, RootDepth = 0.8, Ready = 0.4 };
        LayeredBalance balance = new(soil, cover, 1 - (0.055 / 0.16));
        SoilDay[] bucket = SoilWaterBalance.Run(new RootZone(0.32, 0.12, 0.8, 0.4), rain, reference, 0.055);
        for (int i = 0; i < rain.Length; i++)
        {
            LayeredDay day = balance.Step(rain[i], reference[i]);
            Assert.Equal(bucket[i].Used, day.Transpired, 1e-12);
            Assert.Equal(bucket[i].Drained, day.Drained, 1e-12);
            Assert.Equal(bucket[i].Depletion, (0.32 * 0.8) - day.Held, 1e-12);
            Assert.Equal(0, day.Evaporated + day.Excess);
        }

        Assert.Contains(bucket, b => b.Stress < 0.5);
        Assert.Contains(bucket, b => b.Drained > 0);
    }

    [Theory]
    [InlineData(SoilTexture.Sand, Never)]
    [InlineData(SoilTexture.Loam, Never)]
    [InlineData(SoilTexture.Clay, Never)]
    [InlineData(SoilTexture.ClayLoam, 0.001)]
    [InlineData(SoilTexture.SiltLoam, 0.0)]
    public void Balance_IsKept_AndEveryLayerStaysWithinItsBounds(SoilTexture texture, double limit)
    {
        (double[] rain, double[] reference) = Days((int)texture + 1, 11_000);
        rain = limit == 0 ? [.. rain.Select(r => 3 * r)] : rain;
        LayeredSoil soil = LayeredSoil.Of(LayeredSoil.Even(ClassHydraulics.Of(texture), 1.2).Layers, limit);
        LayeredBalance balance = new(soil, new PlantCover(), 0.3);
        double before = balance.Held;
        double intake = 0, gone = 0;
        LayeredDay all = default;
        for (int i = 0; i < rain.Length; i++)
        {
            LayeredDay day = balance.Step(rain[i], reference[i]);
            Assert.True(day.Transpired >= 0 && day.Evaporated >= 0 && day.Drained >= 0 && day.Excess >= 0);
            intake += rain[i];
            gone += day.Transpired + day.Evaporated + day.Drained + day.Excess;
            all = new LayeredDay(all.Transpired + day.Transpired, all.Evaporated + day.Evaporated, all.Drained + day.Drained, all.Excess + day.Excess, day.Held);
            for (int k = 0; k < soil.Layers.Count; k++)
            {
                double least = k == 0 ? soil.Layers[0].WiltingPoint / 2 : soil.Layers[k].WiltingPoint;
                Assert.InRange(balance.Moisture(k), least - 1e-12, soil.Layers[k].Saturation + 1e-12);
            }
        }

        Assert.Equal(intake, gone + balance.Held - before, 1e-9 * intake);
        Assert.True(all.Transpired > 0.15 * intake && all.Evaporated > 0.05 * intake);
        Assert.True(limit > 0 ? all.Drained > 0 : all.Drained == 0 && all.Excess > 0);
    }

    /// <summary>The plain twin: millimetres, one bucket after the other, written from the same equations in another order of words.</summary>
    [Theory]
    [InlineData(1, Never)]
    [InlineData(2, 0.0015)]
    [InlineData(3, 0.0)]
    public void Balance_IsThatOfThePlainTwin(int seed, double limit)
    {
        (double[] rain, double[] reference) = Days(seed, 3000);
        SoilHydraulics loam = ClassHydraulics.Of(SoilTexture.Loam), clay = ClassHydraulics.Of(SoilTexture.Clay);
        LayeredSoil soil = LayeredSoil.Of(LayeredSoil.Even(loam, 1.0, clay, 0.4).Layers, limit);
        Assert.Equal(clay.FieldCapacity, soil.Layers[4].FieldCapacity);
        Assert.Equal(loam.FieldCapacity, soil.Layers[3].FieldCapacity);
        PlantCover cover = new() { RootDepth = 0.75, Cover = 0.3 };
        LayeredBalance balance = new(soil, cover, 0.6);
        Plain plain = new(soil, cover, 0.6);
        for (int i = 0; i < rain.Length; i++)
        {
            LayeredDay day = balance.Step(rain[i], reference[i]);
            (double t, double e, double d, double x) = plain.Step(1000 * rain[i], 1000 * reference[i]);
            Assert.Equal(t, 1000 * day.Transpired, 1e-9);
            Assert.Equal(e, 1000 * day.Evaporated, 1e-9);
            Assert.Equal(d, 1000 * day.Drained, 1e-9);
            Assert.Equal(x, 1000 * day.Excess, 1e-9);
        }
    }

    /// <summary>Wet to the floor, no rain, 5 mm a day: the top dries first, what lies deeper later; roots of a linear share draw three quarters from the upper half. Computed here.</summary>
    [Fact]
    public void Soil_DriesFromTheTop()
    {
        LayeredSoil soil = LayeredSoil.Even(ClassHydraulics.Of(SoilTexture.Loam), 1.0);
        LayeredBalance balance = new(soil, new PlantCover(), 1);
        Assert.Equal(0.75, new PlantCover().RootsAbove(0.5), 1e-12);
        for (int i = 0; i < 25; i++)
        {
            balance.Step(0, 0.005);
        }

        double[] moisture = [.. Enumerable.Range(0, 10).Select(balance.Moisture)];
        Assert.All(Enumerable.Range(1, 9), k => Assert.True(moisture[k] > moisture[k - 1]));
        Assert.Equal(3, soil.At(0.4));
        Assert.Equal(4, soil.At(0.401));
        Assert.Equal(9, soil.At(3));
    }

    /// <summary>Full layers left to themselves for a day lose the share 0.0866 K^0.35 of what is above field capacity (K in mm a day: loam 371.4, so 0.687; clay 27.5, so 0.276). Computed here.</summary>
    [Theory]
    [InlineData(SoilTexture.Loam, 0.687)]
    [InlineData(SoilTexture.Clay, 0.276)]
    [InlineData(SoilTexture.Sand, 1)]
    public void Layer_DrainsAsItConducts(SoilTexture texture, double share)
    {
        SoilLayer l = LayeredSoil.Even(ClassHydraulics.Of(texture), 0.3).Layers[0];
        LayeredBalance balance = new(LayeredSoil.Of([l]), new PlantCover(), 1);
        LayeredDay day = balance.Step((l.Saturation - l.FieldCapacity) * l.Thickness, 0);
        Assert.Equal(share, day.Drained / ((l.Saturation - l.FieldCapacity) * l.Thickness), 1e-3);
    }

    /// <summary>A pan of 0.5 mm/h passes on 12 mm a day and no more: what comes above that stands back up, and at last does not go in.</summary>
    [Fact]
    public void Pan_HoldsWaterUp()
    {
        SoilHydraulics loam = ClassHydraulics.Of(SoilTexture.Loam);
        LayeredSoil soil = LayeredSoil.Even(loam, 0.6, loam with { Conductivity = 0.5 / 3.6e6 }, 0.3);
        LayeredBalance balance = new(soil, new PlantCover(), 1);
        LayeredDay first = balance.Step(0.040, 0);
        Assert.True(balance.Moisture(3) > loam.FieldCapacity + 0.1 && first.Drained <= 0.0120001 && first.Excess == 0);
        LayeredDay second = balance.Step(0.080, 0);
        Assert.True(second.Excess > 0.02);
        Assert.Equal(loam.Saturation, balance.Moisture(0), 1e-12);
    }

    [Fact]
    public void Clay_StaysAboveFieldCapacityForDays_AndSandDoesNot()
    {
        Assert.True(After(SoilTexture.Clay, 2) > 1.02);
        Assert.True(After(SoilTexture.Sand, 2) < 1.0001);

        static double After(SoilTexture texture, int days)
        {
            LayeredSoil soil = LayeredSoil.Even(ClassHydraulics.Of(texture), 0.6);
            LayeredBalance balance = new(soil, new PlantCover(), 1);
            balance.Step(0.060, 0);
            for (int i = 1; i < days; i++)
            {
                balance.Step(0, 0);
            }

            return balance.Moisture(3) / soil.Layers[3].FieldCapacity;
        }
    }

    [Fact]
    public void Copy_GoesOnByItself()
    {
        LayeredBalance one = new(LayeredSoil.Even(ClassHydraulics.Of(SoilTexture.Loam), 0.5), new PlantCover());
        one.Step(0.01, 0.002);
        LayeredBalance two = one.Copy();
        double held = one.Held;
        two.Step(0.05, 0.001);
        Assert.Equal(held, one.Held);
        Assert.True(two.Held > held + 0.02);
    }

    [Fact]
    public void Soils_ThatDoNotAddUp_AreRefused()
    {
        Assert.Contains("Layer 1", Assert.Throws<GroundDataException>(() => LayeredSoil.Of([new SoilLayer(0.1, 0.3, 0.2, 0.4, 1)])).Message, StringComparison.Ordinal);
        Assert.Contains("0 layers", Assert.Throws<GroundDataException>(() => LayeredSoil.Of([])).Message, StringComparison.Ordinal);
        Assert.Contains("-1 m deep", Assert.Throws<GroundDataException>(() => LayeredSoil.Even(ClassHydraulics.Of(SoilTexture.Loam), -1)).Message, StringComparison.Ordinal);
        LayeredSoil soil = LayeredSoil.Even(ClassHydraulics.Of(SoilTexture.Loam), 1);
        Assert.Contains("cover is 2", Assert.Throws<GroundDataException>(() => new LayeredBalance(soil, new PlantCover { Cover = 2 })).Message, StringComparison.Ordinal);
        Assert.Contains("200 % full", Assert.Throws<GroundDataException>(() => new LayeredBalance(soil, new PlantCover(), 2)).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>(() => new LayeredBalance(soil, new PlantCover()).Step(-1, 0));
    }

    /// <summary>Saxton and Rawls, Soil Science Society of America Journal 70, 2006, table 3: wilting point and field capacity by class, percent.</summary>
    [Theory]
    [InlineData(SoilTexture.Sand, 5, 10)]
    [InlineData(SoilTexture.Loam, 14, 28)]
    [InlineData(SoilTexture.SiltyClay, 27, 41)]
    [InlineData(SoilTexture.Clay, 30, 42)]
    public void Classes_HoldWhatTheTableSays(SoilTexture texture, double wilting, double capacity)
    {
        SoilHydraulics h = ClassHydraulics.Of(texture);
        Assert.Equal(wilting, 100 * h.WiltingPoint, 0.5);
        Assert.Equal(capacity, 100 * h.FieldCapacity, 0.5);
        Assert.Equal(SoilTexture.Loam, ClassHydraulics.Nearest(0.42, 0.19));
    }

    private sealed class Plain(LayeredSoil soil, PlantCover cover, double start)
    {
        private readonly List<double> _water = [.. soil.Layers.Select(l => 1000 * l.Thickness * (l.WiltingPoint + (start * (l.FieldCapacity - l.WiltingPoint))))];

        public (double T, double E, double D, double X) Step(double rain, double et0)
        {
            List<double> pull = [];
            double above = 0;
            for (int k = 0; k < _water.Count; k++)
            {
                SoilLayer l = soil.Layers[k];
                double from = Math.Max(1 - (above / cover.RootDepth), 0), to = Math.Max(1 - ((above + l.Thickness) / cover.RootDepth), 0);
                double share = (from * from) - (to * to);
                double depletion = (l.FieldCapacity * l.Thickness * 1000) - _water[k];
                double taw = (l.FieldCapacity - l.WiltingPoint) * l.Thickness * 1000;
                double raw = cover.Ready * taw;
                double ks = depletion > raw ? Math.Max((taw - depletion) / (taw - raw), 0) : 1;
                pull.Add(Math.Min(share * ks * cover.Coefficient * et0, Math.Max(taw - depletion, 0)));
                above += l.Thickness;
            }

            _water[0] += rain;
            SoilLayer top = soil.Layers[0];
            double tew = 1000 * (top.FieldCapacity - (top.WiltingPoint / 2)) * top.Thickness, rew = Math.Min(1000 * cover.ReadyEvaporation, tew);
            double de = Math.Max((1000 * top.FieldCapacity * top.Thickness) - _water[0], 0);
            double kr = de <= rew ? 1 : Math.Max(tew - de, 0) / (tew - rew);
            double ke = Math.Min(kr * (cover.Most - cover.Coefficient), (1 - cover.Cover) * cover.Most);
            double e = Math.Min(ke * et0, Math.Max(tew - de, 0));
            _water[0] -= e;
            double t = 0, down = 0;
            for (int k = 0; k < _water.Count; k++)
            {
                SoilLayer l = soil.Layers[k];
                double drawn = k == 0 ? Math.Min(pull[0], Math.Max(_water[0] - (1000 * l.WiltingPoint * l.Thickness), 0)) : pull[k];
                t += drawn;
                _water[k] = _water[k] - drawn + down;
                double full = 1000 * l.Saturation * l.Thickness, mmDay = l.Conductivity * 86.4e6;
                double tau = Math.Min(0.0866 * Math.Exp(0.35 * Math.Log(mmDay)), 1), span = l.Saturation - l.FieldCapacity;
                double theta = Math.Min(_water[k], full) / (1000 * l.Thickness);
                double lost = theta > l.FieldCapacity ? tau * span * (Math.Exp(theta - l.FieldCapacity) - 1) / (Math.Exp(span) - 1) : 0;
                down = Math.Min(mmDay, (1000 * l.Thickness * lost) + Math.Max(_water[k] - full, 0));
                _water[k] -= down;
            }

            double d = Math.Min(down, 1000 * soil.DrainageLimit), x = down - d;
            for (int k = _water.Count - 1; k >= 0; k--)
            {
                _water[k] += x;
                x = Math.Max(_water[k] - (1000 * soil.Layers[k].Saturation * soil.Layers[k].Thickness), 0);
                _water[k] -= x;
            }

            return (t, e, d, x);
        }
    }
}
