using Keyline.PublicApi.Tests.Examples;

namespace Keyline.PublicApi.Tests;

/// <summary>What the documents print compiles, runs, and is the same text.</summary>
public sealed class DocumentedExamplesTests
{
    [Fact]
    public void Readme_ShowsExactlyTheCompiledExample()
    {
        string[] source = File.ReadAllLines(Checkout.PathOf("tests", "Keyline.PublicApi.Tests", "Examples", "FirstPlan.cs"));
        int begin = Array.FindIndex(source, l => l.Contains("example: begin", StringComparison.Ordinal));
        int end = Array.FindIndex(source, l => l.Contains("example: end", StringComparison.Ordinal));
        string example = string.Join('\n', source[(begin + 1)..end].Select(l => l.Length > 8 ? l[8..] : "")).TrimEnd();
        string readme = File.ReadAllText(Checkout.PathOf("README.md")).ReplaceLineEndings("\n");
        Assert.Contains("```csharp\n" + example + "\n```", readme, StringComparison.Ordinal);
        Assert.InRange(example.Split('\n').Length, 5, 10);
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
        foreach (string document in new[] { "README.md", "DEVELOPERS.md" })
        {
            string text = File.ReadAllText(Checkout.PathOf(document));
            foreach (System.Text.RegularExpressions.Match link in System.Text.RegularExpressions.Regex.Matches(text, @"\]\(([^)#:]+)\)"))
            {
                Assert.True(Path.Exists(Checkout.PathOf(link.Groups[1].Value)), $"{document} points to {link.Groups[1].Value}, which is not there.");
            }
        }
    }
}
