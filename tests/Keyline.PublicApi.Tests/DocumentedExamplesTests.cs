using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Formats;
using Keyline.PublicApi.Tests.Examples;

namespace Keyline.PublicApi.Tests;

/// <summary>What the documents print compiles, runs, and is the same text.</summary>
public sealed class DocumentedExamplesTests
{
    [Theory]
    [InlineData("README.md", "FirstPlan.cs")]
    [InlineData("docs/terrain.md", "FirstFlow.cs")]
    public void Document_ShowsExactlyTheCompiledExample(string document, string file)
    {
        string[] source = File.ReadAllLines(Checkout.PathOf("tests", "Keyline.PublicApi.Tests", "Examples", file));
        int begin = Array.FindIndex(source, l => l.Contains("example: begin", StringComparison.Ordinal));
        int end = Array.FindIndex(source, l => l.Contains("example: end", StringComparison.Ordinal));
        string example = string.Join('\n', source[(begin + 1)..end].Select(l => l.Length > 8 ? l[8..] : "")).TrimEnd();
        string text = File.ReadAllText(Checkout.PathOf(document.Split('/'))).ReplaceLineEndings("\n");
        Assert.Contains("```csharp\n" + example + "\n```", text, StringComparison.Ordinal);
        Assert.InRange(example.Split('\n').Length, 4, 10);
    }

    [Fact]
    public void Terrain_Example_DrainsTheOpenDataset()
    {
        ElevationGrid ground = ElevationReader.Read(Checkout.PathOf("testdata", "open", "bei", "dem.asc")).Grid;
        (Grid<double> area, IReadOnlyList<Depression> dams) = FirstFlow.Make(ground);
        Assert.True(area.Values.ToArray().Max() > 50_000);
        Assert.All(dams, dam => Assert.True(dam.Depth >= 0.3));
    }

    [Fact]
    public void Readme_Example_MakesAPlanOfTheOpenDataset()
    {
        KeylinePlan plan = FirstPlan.Make(Checkout.PathOf("testdata", "open", "bei", "dem.asc"), Checkout.PathOf("testdata", "open", "bei", "field.geojson"));
        Assert.True(plan.Layout.Lines.Count > 100);
        Assert.Equal(0, plan.Layout.Figures.Crossings);
        Assert.InRange(plan.Layout.Figures.MedianSpacing, 2.99, 3.01);
    }

    [Fact]
    public void Readme_NamesOnlyFilesThatExist()
    {
        foreach (string document in new[] { "README.md", "DEVELOPERS.md", "docs/terrain.md", "docs/performance.md" })
        {
            string text = File.ReadAllText(Checkout.PathOf(document.Split('/')));
            foreach (System.Text.RegularExpressions.Match link in System.Text.RegularExpressions.Regex.Matches(text, @"\]\(([^)#:]+)\)"))
            {
                Assert.True(Path.Exists(Path.Combine(Path.GetDirectoryName(Checkout.PathOf(document.Split('/')))!, link.Groups[1].Value)), $"{document} points to {link.Groups[1].Value}, which is not there.");
            }
        }
    }
}
