using System.Text.RegularExpressions;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Formats;
using Keyline.PublicApi.Tests.Examples;

namespace Keyline.PublicApi.Tests;

/// <summary>What the documents print compiles, runs, and is the same text.</summary>
public sealed partial class DocumentedExamplesTests
{
    [Theory]
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

    /// <summary>What CI and <see cref="PackageTests"/> build and run from the packed packages is what a reader can paste.</summary>
    [Fact]
    public void Readmes_ShowOneWholeProgram()
    {
        foreach (string readme in new[] { "README.md", "src/Keyline/README.md", "src/Keyline.Formats/README.md", "src/Keyline.Report/README.md", "src/Keyline.Fieldwork/README.md", "src/Keyline.Water/README.md", "src/Keyline.Gdal/README.md" })
        {
            string program = Example(readme);
            Assert.StartsWith("using Keyline", program, StringComparison.Ordinal);
            Assert.Contains("Console.WriteLine(", program, StringComparison.Ordinal);
            Assert.InRange(program.Split('\n').Length, 6, 20);
        }
    }

    /// <summary>The only block of C# in a page.</summary>
    internal static string Example(string document) =>
        Assert.Single(CSharp().Matches(File.ReadAllText(Checkout.PathOf(document.Split('/'))).ReplaceLineEndings("\n"))).Groups[1].Value;

    [Fact]
    public void Readme_NamesOnlyFilesThatExist()
    {
        foreach (string document in new[] { "README.md", "DEVELOPERS.md", "docs/terrain.md", "docs/work.md", "docs/performance.md" })
        {
            string text = File.ReadAllText(Checkout.PathOf(document.Split('/')));
            foreach (Match link in Regex.Matches(text, @"\]\(([^)#:]+)\)"))
            {
                Assert.True(Path.Exists(Path.Combine(Path.GetDirectoryName(Checkout.PathOf(document.Split('/')))!, link.Groups[1].Value)), $"{document} points to {link.Groups[1].Value}, which is not there.");
            }
        }
    }

    [GeneratedRegex("^```csharp\n(.*?)\n```$", RegexOptions.Multiline | RegexOptions.Singleline)]
    private static partial Regex CSharp();
}
