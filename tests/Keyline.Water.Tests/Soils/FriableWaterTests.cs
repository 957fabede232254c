namespace Keyline.Water.Tests.Soils;

public sealed class FriableWaterTests
{
    /// <summary>Carsel and Parrish's loam (n 1.56) and clay loam (n 1.31) at the inflection of van Genuchten's curve, computed here from Dexter and Bird's formula.</summary>
    [Theory]
    [InlineData(SoilTexture.Loam, 0.29627, 0.34976, 0.43)]
    [InlineData(SoilTexture.ClayLoam, 0.30799, 0.34880, 0.41)]
    public void BestAndWettest_AreAtTheInflection(SoilTexture texture, double best, double wettest, double full)
    {
        Assert.Equal(best, full * FriableWater.Best(texture), 1e-5);
        Assert.Equal(wettest, full * FriableWater.Wettest(texture), 1e-5);
    }

    [Fact]
    public void EveryClass_IsWorkableBelowFull() => Assert.All(Enum.GetValues<SoilTexture>(), t => Assert.True(FriableWater.Best(t) < FriableWater.Wettest(t) && FriableWater.Wettest(t) < 1));
}
