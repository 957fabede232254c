using Keyline.Field;

namespace Keyline.Fieldwork.Tests;

/// <summary>Draft and power. Coefficients: ASABE D497 table 1 (from memory and as transcribed in public code).</summary>
public sealed class DraftTests
{
    private static Implement Two(TipKind tip) => new() { Shanks = 2, ShankSpacing = 0.7, Depth = 0.74, Tip = tip };

    // A textbook example in SI units of the standard's equation: a chisel plough of 45 tools, 15 cm, 10 km/h, F = 0.7, A = 91, B = 5.4:
    // 68 512.5 N, and by P = D S / 3600 190.31 kW.
    [Fact]
    public void ChiselPlough_TextbookExample()
    {
        double newtons = SubsoilerDraft.Newtons(new DraftRow(91, 5.4, 0, 1, 0.7, 0.45, 0.5), SoilTexture.Medium, 45, 0.15, 10 / 3.6);
        Assert.Equal(68_512.5, newtons, 0.01);
        Assert.Equal(190.31, newtons * (10 / 3.6) / 1000, 0.01);
    }

    // Computed here from the standard's equation, two tools at 74 cm.
    [Theory]
    [InlineData(TipKind.Narrow, SoilTexture.Fine, 37_710, 38_843, 40_108)]
    [InlineData(TipKind.Narrow, SoilTexture.Medium, 26_397, 27_190, 28_076)]
    [InlineData(TipKind.Narrow, SoilTexture.Coarse, 16_970, 17_479, 18_049)]
    [InlineData(TipKind.Winged, SoilTexture.Fine, 49_195, 50_705, 52_392)]
    [InlineData(TipKind.Winged, SoilTexture.Medium, 34_437, 35_493, 36_674)]
    [InlineData(TipKind.Winged, SoilTexture.Coarse, 22_138, 22_817, 23_576)]
    public void TwoShanks_At74Centimetres(TipKind tip, SoilTexture soil, double at4, double at45, double at5)
    {
        foreach ((double speed, double expected) in new[] { (4, at4), (4.5, at45), (5, at5) })
        {
            Assert.Equal(expected, SubsoilerDraft.Newtons(Two(tip), soil, speed / 3.6), 1.0);
        }
    }

    // Drawbar power of the same, D S / 3.6.
    [Theory]
    [InlineData(TipKind.Narrow, SoilTexture.Fine, 41.9, 48.6, 55.7)]
    [InlineData(TipKind.Narrow, SoilTexture.Medium, 29.3, 34.0, 39.0)]
    [InlineData(TipKind.Narrow, SoilTexture.Coarse, 18.9, 21.8, 25.1)]
    [InlineData(TipKind.Winged, SoilTexture.Fine, 54.7, 63.4, 72.8)]
    [InlineData(TipKind.Winged, SoilTexture.Medium, 38.3, 44.4, 50.9)]
    [InlineData(TipKind.Winged, SoilTexture.Coarse, 24.6, 28.5, 32.7)]
    public void DrawbarPower_OfTheSame(TipKind tip, SoilTexture soil, double at4, double at45, double at5)
    {
        foreach ((double speed, double expected) in new[] { (4, at4), (4.5, at45), (5, at5) })
        {
            Machine machine = Hundred20(tip) with { SlowestSpeed = speed / 3.6, FastestSpeed = speed / 3.6, Tractor = new Tractor { Power = 500 } };
            Assert.Equal(expected, PullEstimate.Of(machine, soil).DrawbarNeeded.Usual, 0.05);
        }
    }

    // 120 horsepower at the engine, front assist on tilled soil: 89.484 kW, x 0.90 = 80.536, x 0.73 = 58.791 kW. Most shanks at 74 cm.
    [Theory]
    [InlineData(TipKind.Narrow, SoilTexture.Fine, 2.81, 2.42, 2.11)]
    [InlineData(TipKind.Narrow, SoilTexture.Medium, 4.01, 3.46, 3.02)]
    [InlineData(TipKind.Narrow, SoilTexture.Coarse, 6.24, 5.38, 4.69)]
    [InlineData(TipKind.Winged, SoilTexture.Fine, 2.15, 1.86, 1.62)]
    [InlineData(TipKind.Winged, SoilTexture.Medium, 3.07, 2.65, 2.31)]
    [InlineData(TipKind.Winged, SoilTexture.Coarse, 4.78, 4.12, 3.59)]
    public void MostShanks_Of120Horsepower(TipKind tip, SoilTexture soil, double at4, double at45, double at5)
    {
        PullEstimate pull = PullEstimate.Of(Hundred20(tip), soil, SoilSurface.Tilled);
        Assert.Equal(80.536, pull.PowerTakeOff, 0.001);
        Assert.Equal(58.791, pull.Drawbar, 0.001);
        foreach ((double speed, double expected) in new[] { (4, at4), (4.5, at45), (5, at5) })
        {
            Assert.Equal(expected, pull.MostShanks(speed / 3.6).Usual, 0.01);
        }
    }

    // What practitioners say, that two shanks at 29 inches are all that 120 horsepower pulls, lies inside the standard's range on fine
    // soil: at most 2.8 shanks, and with half as much draft again fewer than two. On medium soil only at the hard end.
    [Fact]
    public void TwoShanksAt29Inches_AreTheLimitOf120Horsepower_WithinTheStandardsRange()
    {
        DraftRange fine = PullEstimate.Of(Hundred20(TipKind.Narrow), SoilTexture.Fine, SoilSurface.Tilled).MostShanks(4 / 3.6);
        Assert.InRange(fine.Usual, 2, 3);
        Assert.InRange(fine.Most, 1.5, 2);
        DraftRange medium = PullEstimate.Of(Hundred20(TipKind.Narrow), SoilTexture.Medium, SoilSurface.Tilled).MostShanks(4.5 / 3.6);
        Assert.True(medium.Usual > 3);
        Assert.InRange(medium.Most, 2, 3);
        string said = string.Join(' ', PullEstimate.Of(Hundred20(TipKind.Narrow) with { SlowestSpeed = 4 / 3.6 }, SoilTexture.Fine, SoilSurface.Tilled).Sentences());
        Assert.Contains("not at all where it is hard", said, StringComparison.Ordinal);
        Assert.Contains("the standard leaves", said, StringComparison.Ordinal);
    }

    [Fact]
    public void MostDepthAndMostShanks_AreTheSameBalance()
    {
        Machine machine = Hundred20(TipKind.Winged);
        PullEstimate pull = PullEstimate.Of(machine, SoilTexture.Fine);
        double speed = 4.2 / 3.6, depth = pull.MostDepth(speed).Usual;
        Machine deeper = machine with { Implement = machine.Implement with { Depth = depth } };
        Assert.Equal(machine.Implement.Shanks, PullEstimate.Of(deeper, SoilTexture.Fine).MostShanks(speed).Usual, 1e-9);
        Assert.Equal(pull.Drawbar, SubsoilerDraft.Newtons(deeper.Implement, SoilTexture.Fine, speed) * speed / 1000, 1e-6);
    }

    [Fact]
    public void Speed_IsTheFastestWhosePowerIsThere()
    {
        PullEstimate pull = PullEstimate.Of(Hundred20(TipKind.Narrow), SoilTexture.Fine);
        Assert.InRange(pull.Speed.Usual, 3 / 3.6, 6 / 3.6);
        Assert.Equal(pull.Drawbar, pull.DrawbarNeeded.Usual, 1e-6);
        Assert.Equal(pull.DrawbarNeeded.Usual / 0.77 / 0.90, pull.EngineNeeded.Usual, 1e-9);
        Assert.True(pull.Speed.Least > pull.Speed.Usual && pull.Speed.Usual > pull.Speed.Most);
    }

    [Fact]
    public void TooMuch_IsToldWithWhatToChange()
    {
        Machine machine = Hundred20(TipKind.Winged) with { Tractor = new Tractor { Power = 45, Drive = DriveClass.TwoWheel } };
        PullEstimate pull = PullEstimate.Of(machine, SoilTexture.Fine);
        Assert.False(pull.IsPulled);
        string said = string.Join(' ', pull.Sentences());
        Assert.Contains("1 of 2 shanks", said, StringComparison.Ordinal);
        Assert.Contains("m of depth at the most", said, StringComparison.Ordinal);
        DraftRange depth = pull.MostDepth(machine.SlowestSpeed);
        Assert.InRange(depth.Usual, 0.3, 0.74);
    }

    // Five to seven tine widths: British Columbia's drainage handbook; 5 cm gives 25 to 35 cm, a wing of 30 cm 150 to 210 cm.
    [Fact]
    public void CriticalDepth_IsFiveToSevenWidths()
    {
        Assert.Equal(0.25, CriticalDepth.Shallowest(0.05), 1e-12);
        Assert.Equal(0.35, CriticalDepth.Deepest(0.05), 1e-12);
        Assert.Equal(1.5, CriticalDepth.Shallowest(CriticalDepth.WingWidth), 1e-12);
        Assert.Equal(2.1, CriticalDepth.Deepest(CriticalDepth.WingWidth), 1e-12);
        Implement tool = new() { Shanks = 1, ShankSpacing = 1, Depth = 0.4, TipWidth = 0.05 };
        Assert.Contains("it presses", CriticalDepth.Warning(tool), StringComparison.Ordinal);
        Assert.Contains("it may press", CriticalDepth.Warning(tool with { Depth = 0.3 }), StringComparison.Ordinal);
        Assert.Null(CriticalDepth.Warning(tool with { Depth = 0.25 }));
        Assert.Null(CriticalDepth.Warning(tool with { Tip = TipKind.Winged }));
    }

    // ASABE D497's figure of power relationships, as transcribed by the University of Arizona's extension.
    [Fact]
    public void DrawbarShares_AreTheFigures()
    {
        double[] front = [0.87, 0.77, 0.73, 0.65], four = [0.88, 0.78, 0.75, 0.70], two = [0.87, 0.72, 0.67, 0.55], track = [0.88, 0.79, 0.80, 0.78];
        foreach (SoilSurface surface in Enum.GetValues<SoilSurface>())
        {
            Assert.Equal(two[(int)surface], TractivePower.DrawbarShare(DriveClass.TwoWheel, surface));
            Assert.Equal(front[(int)surface], TractivePower.DrawbarShare(DriveClass.FrontAssist, surface));
            Assert.Equal(four[(int)surface], TractivePower.DrawbarShare(DriveClass.FourWheel, surface));
            Assert.Equal(track[(int)surface], TractivePower.DrawbarShare(DriveClass.Track, surface));
        }

        Assert.Equal((0.08, 0.10), TractivePower.BestSlip(SoilSurface.Firm));
        Tractor drawbar = new() { Power = 60, PowerMeasure = PowerMeasure.Drawbar };
        Assert.Equal(60, TractivePower.AtDrawbar(drawbar, SoilSurface.Soft), 1e-12);
        Assert.Equal(60 / 0.65, TractivePower.AtPowerTakeOff(drawbar, SoilSurface.Soft), 1e-12);
    }

    [Fact]
    public void GenericMachines_AreAllPossible_AndPullTheirShanksOnMediumSoil()
    {
        Assert.All(GenericMachines.All, machine => Assert.True(PullEstimate.Of(machine).IsPulled, machine.Name));
        Assert.Equal(GenericMachines.All.Count, GenericMachines.All.Select(m => m.Name).Distinct().Count());
        Assert.Same(GenericMachines.All[2], GenericMachines.Named("front-assist-90"));
    }

    private static Machine Hundred20(TipKind tip) => new()
    {
        Tractor = new Tractor { Power = 120 * 0.745699872, Drive = DriveClass.FrontAssist },
        Implement = Two(tip),
    };
}
