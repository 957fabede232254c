using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Elevation;

/// <summary>Noise, steps, spikes and what stands on the ground, on ground made to hold a known amount of each.</summary>
public sealed class HeightQualityTests
{
    private static readonly ElevationGrid Smooth = Surfaces.Make(200, 240, 1.0, (x, y) => 250 + (4 * Math.Sin(x / 40)) + (3 * Math.Cos(y / 55)) + (0.02 * x));

    [Theory]
    [InlineData(0.01)]
    [InlineData(0.05)]
    [InlineData(0.2)]
    public void Noise_OfKnownSize_IsFound(double sigma)
    {
        ElevationGrid noisy = Surfaces.Changed(Smooth, (r, c, z) =>
            z + (float)(sigma * Scatter(r, c)));
        Assert.InRange(HeightNoise.Estimate(noisy), 0.95 * sigma, 1.08 * sigma);
    }

    [Fact]
    public void Noise_OfSmoothGround_IsNextToNothing() => Assert.InRange(HeightNoise.Estimate(Smooth), 0, 0.0005);

    [Fact]
    public void Noise_TreesAndHoles_DoNotCount()
    {
        ElevationGrid wooded = Surfaces.Changed(Smooth, (r, c, z) => r % 20 < 4 && c % 20 < 4 ? z + 8 : r == 100 ? float.NaN : z);
        Assert.InRange(HeightNoise.Estimate(wooded), 0, 0.002);
    }

    [Fact]
    public void Noise_TooFewCells_IsNotANumber() => Assert.Equal(double.NaN, HeightNoise.Estimate(Surfaces.Listed(2, 3, 1, 1, 2, 3, 4, 5, 6)));

    [Theory]
    [InlineData(1.0)]
    [InlineData(0.3048)]
    [InlineData(0.1)]
    [InlineData(0.01)]
    public void Step_OfRoundedHeights_IsFound(double step) =>
        Assert.Equal(step, HeightNoise.Step(Surfaces.Changed(Smooth, (_, _, z) => (float)(Math.Round(z / step) * step))));

    [Fact]
    public void Step_OfFineHeights_IsNothing() => Assert.Equal(0, HeightNoise.Step(Smooth));

    [Fact]
    public void Spikes_AreFoundWithTheirHeightAndTakenOut()
    {
        ElevationGrid spiked = Surfaces.Changed(Smooth, (r, c, z) => (r, c) switch { (50, 60) => z + 7, (80, 90) => z - 4, (0, 0) => z + 3, (120, 120) or (120, 121) => z + 5, _ => z });
        IReadOnlyList<HeightSpike> spikes = HeightSpikes.Find(spiked);

        // The corner has three neighbours, too few to judge it by.
        Assert.Equal([(50, 60), (80, 90), (120, 120), (120, 121)], spikes.Select(s => (s.Row, s.Column)));
        Assert.Equal(7, spikes[0].Above, 0.05);
        Assert.Equal(-4, spikes[1].Above, 0.05);
        Assert.Equal((spiked.Frame.CentreX(60), spiked.Frame.CentreY(50)), (spikes[0].X, spikes[0].Y));
        ElevationGrid without = HeightSpikes.Without(spiked, spikes);
        Assert.Equal(4, without.Heights.ToArray().Count(float.IsNaN));
        Assert.Empty(HeightSpikes.Find(without));
    }

    [Fact]
    public void Spikes_BankWallAndHouse_AreNotSpikes()
    {
        ElevationGrid built = Surfaces.Changed(Smooth, (r, c, z) =>
            c > 150 ? z + 6 : r == 100 ? z + 3 : r is >= 40 and < 60 && c is >= 40 and < 60 ? z + 5 : z);
        Assert.Empty(HeightSpikes.Find(built));
    }

    [Fact]
    public void Inspect_BareWoodedAndCoarseGround_AreToldApart()
    {
        Assert.Equal(GroundCover.Bare, GroundInspection.Inspect(Smooth).Cover);
        ElevationGrid wooded = Surfaces.Changed(Smooth, (r, c, z) => Math.Pow((r % 25) - 12, 2) + Math.Pow((c % 25) - 12, 2) < 20 ? z + 9 : z);
        Assert.Equal(GroundCover.Covered, GroundInspection.Inspect(wooded).Cover);
        ElevationGrid oneHouse = Surfaces.Changed(Smooth, (r, c, z) => r is >= 50 and < 65 && c is >= 50 and < 62 ? z + 5 : z);
        Assert.Equal(GroundCover.PartlyCovered, GroundInspection.Inspect(oneHouse).Cover);
        Assert.Equal(GroundCover.CannotTell, GroundInspection.Inspect(Surfaces.Make(50, 50, 10, (x, y) => x + y)).Cover);
    }

    [Fact]
    public void Inspect_CountsAndRange()
    {
        GroundReport report = GroundInspection.Inspect(Surfaces.Changed(Smooth, (r, c, z) => r == 20 && c is >= 30 and < 33 ? float.NaN : (r, c) == (5, 5) ? 300 : (r, c) == (9, 9) ? 200 : z));
        Assert.Equal((200 * 240) - 3, report.KnownCells);
        Assert.Equal((200.0, 300.0), (report.Lowest, report.Highest));
        Assert.Equal(3, Assert.Single(report.Voids).Cells);
        Assert.Equal(2, report.Spikes.Count);
    }

    [Theory]
    [InlineData(1.0, 3.0, "cell", GroundGrade.Good)]
    [InlineData(5.0, 3.0, "cell", GroundGrade.WithCare)]
    [InlineData(30.0, 3.0, "cell", GroundGrade.NotGoodEnough)]
    [InlineData(1.0, 3.0, "noise", GroundGrade.Good)]
    public void Judge_OfSmoothGround(double cell, double spacing, string about, GroundGrade expected)
    {
        GroundReport report = GroundInspection.Inspect(Surfaces.Make(60, 60, cell, (x, y) => 100 + (0.03 * x) - (0.01 * y)));
        Assert.Equal(expected, Assert.Single(GroundSuitability.Judge(report, spacing, 0.5), j => j.About == about).Grade);
    }

    [Fact]
    public void Judge_NoiseAgainstFall_IsTheGradeTwoSmoothedHeightsMake()
    {
        // 1 m cells of 1 m scatter, smoothed over 6 m: 1 / (2 sqrt(pi) 6) = 4.7 cm, over 10 m sqrt 2 of it, 0.66 %.
        ElevationGrid noisy = Surfaces.Changed(Smooth, (r, c, z) => z + (float)Scatter(r, c));
        GroundJudgement noise = Assert.Single(GroundSuitability.Judge(GroundInspection.Inspect(noisy), 3, 0.5), j => j.About == "noise");
        Assert.Equal(GroundGrade.NotGoodEnough, noise.Grade);
        Assert.Matches("leaves 0.6[4-9] %", noise.Sentence);
        Assert.Equal(GroundGrade.WithCare, Assert.Single(GroundSuitability.Judge(GroundInspection.Inspect(noisy), 3, 1.0), j => j.About == "noise").Grade);
    }

    [Fact]
    public void Change_MeanGreatestAndPlace()
    {
        ElevationGrid after = Surfaces.Changed(Smooth, (r, c, z) => (r, c) == (3, 4) ? z - 2 : r == 10 ? z + 0.5f : z);
        HeightChange change = HeightChange.Between(Smooth, after);
        Assert.Equal((2 + (240 * 0.5)) / (200 * 240), change.Mean, 1e-5);
        Assert.Equal(-2, change.Greatest, 1e-4);
        Assert.Equal((Smooth.Frame.CentreX(4), Smooth.Frame.CentreY(3)), (change.X, change.Y));
        Assert.Equal(0, change.Percentile95);
        Assert.Throws<ArgumentException>(() => HeightChange.Between(Smooth, Surfaces.Make(3, 3, 1, (x, y) => x)));
    }

    // Standard deviation 1: an even spread from -1 to 1 has 1 / sqrt 3, and four together are near enough to normal.
    private static double Scatter(int row, int column) =>
        Math.Sqrt(3.0 / 4) * (Noise.At(row, column, 1UL << 60) + Noise.At(row, column, 1UL << 61) + Noise.At(row, column, 1UL << 62) + Noise.At(row, column, 1UL << 63));
}
