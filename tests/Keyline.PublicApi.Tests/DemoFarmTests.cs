namespace Keyline.PublicApi.Tests;

/// <summary>The demo farm in the repository is what its program makes.</summary>
public sealed class DemoFarmTests
{
    [Theory]
    [InlineData("dem.tif")]
    [InlineData("field.geojson")]
    [InlineData("avoid.geojson")]
    [InlineData("soil.geojson")]
    [InlineData("penetrometer.csv")]
    [InlineData("spade.csv")]
    [InlineData("eca.csv")]
    public void MadeAgain_HasTheSameBytes(string name)
    {
        string folder = Directory.CreateTempSubdirectory("demo-farm").FullName;
        try
        {
            DemoFarm.FarmFiles.Write(folder);
            byte[] expected = File.ReadAllBytes(Checkout.PathOf("testdata", "farms", "three-hollows", name));
            Assert.Equal(expected, File.ReadAllBytes(Path.Combine(folder, name)));
        }
        finally
        {
            Directory.Delete(folder, true);
        }
    }
}
