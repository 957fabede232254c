using CsCheck;

namespace Keyline.Water.Tests.Infiltration;

public sealed class InfiltrationTests
{
    private const double Hour = 3600;
    private const double Cm = 0.01;
    private const double CmPerHour = Cm / Hour;

    private static SoilColumn SiltLoam => SoilColumn.Uniform("silt loam", 0.65 * CmPerHour, 16.68 * Cm, 0.3402);

    /// <summary>Chow, Maidment and Mays 1988, example 4.3.1: silt loam 30 % full, an hour under water, 3.17 cm and 1.81 cm/h.</summary>
    [Fact]
    public void Depth_Chow431()
    {
        double f = GreenAmpt.Depth(0.65 * CmPerHour, 5.68134 * Cm, Hour);
        Assert.Equal(3.167214, f / Cm, 1e-6);
        Assert.Equal(1.815968, GreenAmpt.Rate(0.65 * CmPerHour, 5.68134 * Cm, f) / CmPerHour, 1e-6);
    }

    /// <summary>Examples 4.4.1 and 4.4.2 of the same: ponding after 10.5 h and 0.17 h; at 1 h of 5 cm/h 3.02 cm and 1.87 cm/h.</summary>
    [Fact]
    public void Ponding_Chow441And442()
    {
        double pull = 5.68134 * Cm;
        Assert.Equal(10.55106, GreenAmpt.PondingTime(0.65 * CmPerHour, pull, CmPerHour) / Hour, 1e-5);
        Assert.Equal(0.169787, GreenAmpt.PondingTime(0.65 * CmPerHour, pull, 5 * CmPerHour) / Hour, 1e-6);
        PointRun run = PointInfiltration.Run(DesignStorms.Steady(5 * Cm, Hour), SoilColumn.Uniform("x", 0.65 * CmPerHour, pull, 1), 0, Hour);
        Assert.Equal(3.017916, run.Taken / Cm, 1e-6);
        Assert.Equal(1.873649, GreenAmpt.Rate(0.65 * CmPerHour, pull, run.Taken) / CmPerHour, 1e-5);
        Assert.Equal(0.169787 * Hour, Assert.Single(run.PondedAt), 0.01);
    }

    /// <summary>Silty clay, K 0.05, 29.22 cm times 0.423 (1 - 0.45): computed here; a teaching sheet prints the same.</summary>
    [Theory]
    [InlineData(0.1, 0.264074, 1.337144)]
    [InlineData(0.2, 0.375425, 0.955378)]
    public void Depth_SiltyClay(double hours, double cm, double rate)
    {
        double pull = 29.22 * 0.23265 * Cm, taken = GreenAmpt.Depth(0.05 * CmPerHour, pull, hours * Hour);
        Assert.Equal(cm, taken / Cm, 1e-6);
        Assert.Equal(rate, GreenAmpt.Rate(0.05 * CmPerHour, pull, taken) / CmPerHour, 5e-6);
    }

    /// <summary>Suction 17 cm, room 0.34, K 0.65 cm/h: under 2.5 cm of water the front is 30 cm deep after 6.190414 h and the rate 1.0725 cm/h; rain of 1.5 cm/h stands
    /// after 4.42 cm, or 1.598723 cm where K is half. A course's problem (Oregon State University); answers computed here.</summary>
    [Fact]
    public void Depth_UnderAHead_AndPondingOfTwoSoils()
    {
        double pull = (17 + 2.5) * 0.34 * Cm;
        Assert.Equal(10.2, GreenAmpt.Depth(0.65 * CmPerHour, pull, 6.190414 * Hour) / Cm, 2e-6);
        Assert.Equal(1.0725, GreenAmpt.Rate(0.65 * CmPerHour, pull, 10.2 * Cm) / CmPerHour, 1e-9);
        Assert.Equal(4.42, GreenAmpt.PondingDepth(0.65 * CmPerHour, 17 * 0.34 * Cm, 1.5 * CmPerHour) / Cm, 1e-9);
        Assert.Equal(2.946667, GreenAmpt.PondingTime(0.65 * CmPerHour, 17 * 0.34 * Cm, 1.5 * CmPerHour) / Hour, 1e-6);
        Assert.Equal(1.065816, GreenAmpt.PondingTime(0.325 * CmPerHour, 17 * 0.34 * Cm, 1.5 * CmPerHour) / Hour, 1e-6);
        Assert.Equal(1.598723, GreenAmpt.PondingDepth(0.325 * CmPerHour, 17 * 0.34 * Cm, 1.5 * CmPerHour) / Cm, 1e-6);
    }

    /// <summary>Philip's two terms, S = sqrt(2 K suction room) and a third to two thirds of K, stay just below Green and Ampt's hour of 3.165595 cm on silt loam and
    /// 1.135412 on clay loam: computed here.</summary>
    [Theory]
    [InlineData(0.65, 5.674536, 3.165595)]
    [InlineData(0.10, 5.70024, 1.135412)]
    public void Depth_OfAnHour_IsJustAbovePhilipsTwoTerms(double k, double pull, double cm)
    {
        double taken = GreenAmpt.Depth(k * CmPerHour, pull * Cm, Hour) / Cm, sorbed = Math.Sqrt(2 * k * pull);
        Assert.Equal(cm, taken, 1e-6);
        Assert.InRange(taken, sorbed + (2 * k / 3), sorbed + k);
    }

    [Fact]
    public void Depth_SolvesItsEquation() => Gen.Select(Gen.Double[-9, -3], Gen.Double[-6, 0], Gen.Double[-3, 7]).Sample((k, m, t) =>
    {
        double conductivity = Math.Pow(10, k);
        double pull = Math.Pow(10, m);
        double time = Math.Pow(10, t);
        double f = GreenAmpt.Depth(conductivity, pull, time);
        double miss = f - (pull * Math.Log(1 + (f / pull))) - (conductivity * time);
        Assert.InRange(Math.Abs(miss), 0, 1e-10 * Math.Max(f, conductivity * time));
    });

    /// <summary>Rain 1.5, 0.1 and 0.5 cm/h until 1, 4.5 and 6.5 h on K 0.044 cm/h, 22.4 cm, 0.249: the sample input of a program after
    /// Skaggs and Khaleel 1982; answers computed here with the exact equations.</summary>
    [Fact]
    public void ChangingRain_WithDetention()
    {
        PointRun run = PointInfiltration.Run(Sample, SampleSoil, 0.5 * Cm, 12 * Hour);
        Assert.Equal(0.11236923, run.PondedAt[0] / Hour, 1e-6);
        Assert.Equal(3.994, run.DriedAt[0] / Hour, 1e-3);
        Assert.Equal(4.5001, run.PondedAt[1] / Hour, 1.1e-4);
        Assert.Equal(9.689, run.DriedAt[1] / Hour, 1e-3);
        PointState first = run.States[1];
        Assert.Equal((0.7088058651, 0.5, 0.2911941), (Math.Round(first.Taken / Cm, 10), Math.Round(first.Standing / Cm, 10), Math.Round(first.Runoff / Cm, 7)));
        Assert.Equal(1.5588, run.States[2].Taken / Cm, 2e-4);
        Assert.Equal(1.9285, run.States[3].Taken / Cm, 2e-4);
        Assert.Equal(2.4285, run.Taken / Cm, 2e-4);
        Assert.Equal(0.4215, run.Runoff / Cm, 2e-4);
    }

    /// <summary>The same hour by hour: what is in the soil, and what stands.</summary>
    [Theory]
    [InlineData(2, 1.0348, 0.2740)]
    [InlineData(3, 1.2900, 0.1188)]
    [InlineData(5.5, 1.7511, 0.3077)]
    public void ChangingRain_HourByHour(double hours, double taken, double standing)
    {
        PointRun run = PointInfiltration.Run(Hyetograph.Of("sample", [0, .. new[] { 1, 4.5, 6.5, hours }.Order().Select(h => h * Hour)], [0, .. new[] { 1, 4.5, 6.5, hours }.Order().Select(h => Sample.By(h * Hour))]), SampleSoil, 0.5 * Cm, 7 * Hour);
        PointState state = run.States.Single(s => Math.Abs(s.Time - (hours * Hour)) < 1e-6);
        Assert.Equal((taken, standing), (state.Taken / Cm, state.Standing / Cm), (a, b) => Math.Abs(a.Item1 - b.Item1) < 2e-4 && Math.Abs(a.Item2 - b.Item2) < 2e-4);
        Assert.Equal(0.39023641, GreenAmpt.Rate(0.044 * CmPerHour, 22.4 * 0.249 * Cm, 0.7088058651 * Cm) / CmPerHour, 1e-7);
    }

    [Fact]
    public void ChangingRain_WithoutDetention()
    {
        PointRun run = PointInfiltration.Run(Sample, SampleSoil, 0, 12 * Hour);
        Assert.Equal(0.7911941, run.States[1].Runoff / Cm, 2e-7);
        Assert.Equal(1.0588059, run.States[2].Taken / Cm, 2e-7);
        Assert.Equal(1.322806, run.Runoff / Cm, 2e-6);
    }

    /// <summary>Two showers of 5 cm/h with an hour between, no redistribution: computed here.</summary>
    [Fact]
    public void ChangingRain_SecondShowerFindsTheSoilAsLeft()
    {
        Hyetograph rain = Hyetograph.Of("two", [0, 0.5 * Hour, 1.5 * Hour, 2 * Hour], [0, 2.5 * Cm, 2.5 * Cm, 5 * Cm]);
        PointRun run = PointInfiltration.Run(rain, SiltLoam, 0, 2 * Hour);
        Assert.Equal(1.944527, run.States[1].Taken / Cm, 1e-3);
        Assert.Equal(3.016545, run.Taken / Cm, 1e-3);
        Assert.InRange(run.PondedAt[1] / Hour, 1.5, 1.5002);
    }

    [Fact]
    public void PointRun_AccountsForEveryDrop() => Gen.Select(Gen.Double[0, 0.02].Array[1, 12], Gen.Double[1e-7, 1e-5], Gen.Double[0.001, 0.1], Gen.Double[0, 0.01]).Sample((falls, k, pull, detention) =>
    {
        double sum = 0;
        Hyetograph rain = Hyetograph.Of("any", [0, .. falls.Select((_, i) => (i + 1) * 600.0)], [0, .. falls.Select(f => sum += f)]);
        PointRun run = PointInfiltration.Run(rain, SoilColumn.Uniform("x", k, pull, 1), detention, rain.Duration + 5000);
        PointState end = run.States[^1];
        Assert.Equal(sum, end.Taken + end.Standing + end.Runoff, 1e-12);
        Assert.All(run.States, s => Assert.True(s.Taken >= 0 && s.Standing >= 0 && s.Standing <= detention + 1e-12 && s.Runoff >= 0));
        Assert.True(end.Taken <= GreenAmpt.Depth(k, pull, end.Time) + 1e-12, "It takes in no more than it would under water all the time.");
    });

    /// <summary>A shower that begins to stand within a step too short for the clock keeps its water.</summary>
    [Fact]
    public void PointRun_PondingWithinATick_LosesNothing()
    {
        double[] falls = [0, 0, 0, 0.01028446296182873, 2.419e-68, 0, 1.0 / 56, 0.010707906001715268, 0];
        double sum = 0;
        Hyetograph rain = Hyetograph.Of("ticks", [0, .. falls.Select((_, i) => (i + 1) * 600.0)], [0, .. falls.Select(f => sum += f)]);
        PointState end = PointInfiltration.Run(rain, SoilColumn.Uniform("x", 3.831843837330158e-6, 0.09983765431549226, 1), 0.007330428898136443, rain.Duration + 5000).States[^1];
        Assert.Equal(sum, end.Taken + end.Standing + end.Runoff, 1e-12);
    }

    /// <summary>Loose 30 cm of 4 cm/h over a pan of 0.3 cm/h, front at 40 cm, suction 20 cm: 60 / (30/4 + 10/0.3) cm/h. Childs and Bybordi 1969.</summary>
    [Fact]
    public void LayeredRate_IsTheHarmonicOne()
    {
        SoilColumn soil = SoilColumn.Uniform("loose", 4 * CmPerHour, 10 * Cm, 0.3).Over(SoilColumn.Uniform("pan", 0.3 * CmPerHour, 20 * Cm, 0.2), 30 * Cm);
        Assert.Equal(1.469388, GreenAmpt.LayeredRate(soil, 40 * Cm, 0) / CmPerHour, 1e-6);
    }

    private static Hyetograph Sample => Hyetograph.Of("sample", [0, Hour, 4.5 * Hour, 6.5 * Hour], [0, 1.5 * Cm, 1.85 * Cm, 2.85 * Cm]);

    private static SoilColumn SampleSoil => SoilColumn.Uniform("sample", 0.044 * CmPerHour, 22.4 * Cm, 0.249);
}
