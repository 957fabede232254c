using System.Text.Json;

namespace Keyline.PublicApi.Tests;

/// <summary>Every package that the tool is built on stands in the list of licences.</summary>
public sealed class LicencesTests
{
    [Fact]
    public void EveryPackage_IsListed()
    {
        string restored = Path.Combine(Checkout.Root, "src", "Keyline.Console", "obj", "project.assets.json");
        if (!File.Exists(restored))
        {
            Assert.Skip("The console was not restored in this checkout.");
        }

        using JsonDocument assets = JsonDocument.Parse(File.ReadAllBytes(restored));
        string[] packages = [.. assets.RootElement.GetProperty("libraries").EnumerateObject()
            .Where(l => l.Value.GetProperty("type").GetString() == "package").Select(l => l.Name.Split('/')[0])
            .Where(n => !n.StartsWith("Microsoft.CodeAnalysis.", StringComparison.Ordinal))];
        Assert.True(packages.Length > 10, $"{packages.Length} packages");
        string[] listed = [.. File.ReadLines(Path.Combine(Checkout.Root, "docs", "licences.md"))
            .Where(l => l.StartsWith("| ", StringComparison.Ordinal)).SelectMany(l => l.Split('|')[1].Split(',', StringSplitOptions.TrimEntries))];
        Assert.Empty(packages.Except(listed, StringComparer.OrdinalIgnoreCase));
    }
}
