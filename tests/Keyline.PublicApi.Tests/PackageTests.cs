using System.Diagnostics;
using System.Globalization;
using System.IO.Compression;
using System.Reflection;
using System.Reflection.Metadata;
using System.Text.RegularExpressions;
using System.Xml.Linq;

namespace Keyline.PublicApi.Tests;

/// <summary>The libraries as packages: what is in them, and fresh projects that run their READMEs' examples from a folder of packages.</summary>
public sealed class PackageTests : IDisposable
{
    private static readonly string[] Packages = ["Keyline", "Keyline.Formats", "Keyline.Report", "Keyline.Fieldwork", "Keyline.Water"];

    private readonly string _folder = Directory.CreateTempSubdirectory("keyline-package").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public void Packages_HoldWhatTheyPromise_AndTheirReadmesExamplesRunOnThem()
    {
        string feed = Path.Combine(_folder, "feed");
        foreach (string name in Packages)
        {
            Dotnet(Checkout.Root, "pack", Checkout.PathOf("src", name), "-c", Configuration, "--no-build", "--no-restore", "-o", feed);
            string package = Path.Combine(feed, $"{name}.{Version}.nupkg");
            HoldsWhatItPromises(package, name);
            HoldsSymbols(Path.ChangeExtension(package, ".snupkg"), name);
        }

        // README of the core: 240 m square less 6 m of headland all round, a line each 3 m: at most 76 lines' worth of 228 m, common
        // arithmetic, and most of that.
        string said = RunExample(feed, "src/Keyline/README.md", ["Keyline"]);
        Match match = Regex.Match(said, @"(\d+) lines, (\d+) m, (\d\.\d\d) m apart");
        Assert.True(match.Success, said);
        Assert.InRange(double.Parse(match.Groups[2].Value, CultureInfo.InvariantCulture), 0.85 * 228 * 228 / 3, 1.05 * 228 * 228 / 3);
        Assert.InRange(double.Parse(match.Groups[3].Value, CultureInfo.InvariantCulture), 0.95 * 3, 1.05 * 3);

        // The front page's: a line a pass, each with a length, and together at least what the demo's workable ground over the spacing gives, in part.
        said = RunExample(feed, "README.md", ["Keyline", "Keyline.Formats"]);
        MatchCollection lines = Regex.Matches(said, @"^R\d+: (\d+) m, steepest \d+\.\d %", RegexOptions.Multiline);
        Assert.InRange(lines.Count, 100, 1000);
        Assert.InRange(lines.Sum(l => double.Parse(l.Groups[1].Value, CultureInfo.InvariantCulture)), 20_000, 100_000);
    }

    /// <summary>Once an API is shipped, the comparison with it cannot go missing unseen.</summary>
    [Fact]
    public void ShippedApi_IsHeldAsTextAndAsPackage()
    {
        foreach (string folder in Directory.GetDirectories(Checkout.PathOf("src")).Where(f => File.Exists(Path.Combine(f, "PublicAPI.Shipped.txt"))))
        {
            bool shipped = File.ReadLines(Path.Combine(folder, "PublicAPI.Shipped.txt")).Any(l => l.Length > 0 && !l.StartsWith('#'));
            string baseline = Path.Combine(folder, "PublicAPI.Shipped.nupkg");
            Assert.True(shipped == File.Exists(baseline), $"{Path.GetFileName(folder)} has its shipped API {(shipped ? "as text but not as package" : "not as text")}.");
            if (shipped)
            {
                using ZipArchive archive = ZipFile.OpenRead(baseline);
                Assert.NotNull(archive.GetEntry($"lib/net10.0/{Path.GetFileName(folder)}.dll"));
            }
        }
    }

    private string RunExample(string feed, string readme, string[] references)
    {
        string project = Path.Combine(_folder, readme.Replace('/', '-'));
        Directory.CreateDirectory(project);
        foreach (string file in new[] { "dem.tif", "field.geojson" })
        {
            File.Copy(Checkout.PathOf("testdata", "farms", "three-hollows", file), Path.Combine(project, file));
        }

        File.WriteAllText(Path.Combine(project, "Program.cs"), DocumentedExamplesTests.Example(readme));
        File.WriteAllText(Path.Combine(project, "fresh.csproj"), $"""
            <Project Sdk="Microsoft.NET.Sdk">
              <PropertyGroup>
                <OutputType>Exe</OutputType>
                <TargetFramework>net10.0</TargetFramework>
                <Nullable>enable</Nullable>
                <ImplicitUsings>enable</ImplicitUsings>
                <TreatWarningsAsErrors>true</TreatWarningsAsErrors>
                <NuGetAudit>false</NuGetAudit>
                <RestorePackagesPath>../packages</RestorePackagesPath>
              </PropertyGroup>
              <ItemGroup>{string.Concat(references.Select(r => $"""<PackageReference Include="{r}" Version="{Version}" />"""))}</ItemGroup>
            </Project>
            """);

        // What the packages depend on was restored to build these tests, so that folder serves as the second feed and no network is needed.
        File.WriteAllText(Path.Combine(project, "nuget.config"), $"""
            <configuration><packageSources><clear />
              <add key="feed" value="{feed}" />
              <add key="restored" value="{RestoredPackages}" />
            </packageSources></configuration>
            """);
        return Dotnet(project, "run", "-c", "Release");
    }

    private static string Version { get; } = typeof(KeylinePlan).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()!.InformationalVersion.Split('+')[0];

    private static string Configuration { get; } = AppContext.BaseDirectory.Split(Path.DirectorySeparatorChar).Contains("Debug") ? "Debug" : "Release";

    private static string RestoredPackages { get; } = Environment.GetEnvironmentVariable("NUGET_PACKAGES")
        ?? Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.UserProfile), ".nuget", "packages");

    private static void HoldsWhatItPromises(string package, string name)
    {
        using ZipArchive archive = ZipFile.OpenRead(package);
        Assert.Equal(File.ReadAllText(Checkout.PathOf("src", name, "README.md")), Text(archive, "README.md"));
        Assert.Equal(File.ReadAllText(Checkout.PathOf("LICENSE")), Text(archive, "LICENSE"));
        using (Stream icon = archive.GetEntry("icon.png")!.Open())
        {
            byte[] head = new byte[8];
            icon.ReadExactly(head);
            Assert.Equal([0x89, (byte)'P', (byte)'N', (byte)'G', 0x0d, 0x0a, 0x1a, 0x0a], head);
        }

        XDocument documents = XDocument.Parse(Text(archive, $"lib/net10.0/{name}.xml"));
        Assert.Contains(documents.Descendants("member"), m => m.Attribute("name")!.Value.StartsWith($"T:{name}.", StringComparison.Ordinal) && m.Element("summary") is not null);
        XElement metadata = XDocument.Parse(Text(archive, $"{name}.nuspec")).Root!.Elements().Single();
        XNamespace space = metadata.Name.Namespace;
        Assert.Equal("README.md", metadata.Element(space + "readme")?.Value);
        Assert.Equal("icon.png", metadata.Element(space + "icon")?.Value);
        Assert.Equal(name == "Keyline.Report" ? "MIT AND Apache-2.0" : "MIT", metadata.Element(space + "license")?.Value);
        foreach (string said in new[] { "title", "description", "tags" })
        {
            Assert.True(metadata.Element(space + said)?.Value.Length > 10, $"{name} has no {said}.");
        }

        Assert.Equal(["net10.0"], metadata.Descendants(space + "group").Select(g => g.Attribute("targetFramework")!.Value));
        if (name == "Keyline")
        {
            string[] dependencies = [.. metadata.Descendants(space + "dependency").Select(d => d.Attribute("id")!.Value).Order(StringComparer.Ordinal)];
            Assert.Equal(["MathNet.Numerics", "NetTopologySuite"], dependencies);
        }

        if (Path.Exists(Checkout.PathOf(".git")))
        {
            XElement? repository = metadata.Element(space + "repository");
            Assert.Equal("git", repository?.Attribute("type")?.Value);
            Assert.Matches("^[0-9a-f]{40}$", repository?.Attribute("commit")?.Value ?? "");
        }
    }

    private static void HoldsSymbols(string package, string name)
    {
        using ZipArchive archive = ZipFile.OpenRead(package);
        using Stream packed = archive.GetEntry($"lib/net10.0/{name}.pdb")!.Open();
        MemoryStream unpacked = new();
        packed.CopyTo(unpacked);
        unpacked.Position = 0;
        using MetadataReaderProvider provider = MetadataReaderProvider.FromPortablePdbStream(unpacked);
        MetadataReader reader = provider.GetMetadataReader();
        Assert.Contains(reader.Documents, d => reader.GetString(reader.GetDocument(d).Name).EndsWith(name switch { "Keyline" => "KeylinePlanner.cs", "Keyline.Formats" => "ElevationReader.cs", "Keyline.Water" => "DesignStorms.cs", "Keyline.Fieldwork" => "PullEstimate.cs", _ => "PlanMap.cs" }, StringComparison.Ordinal));
    }

    private static string Text(ZipArchive archive, string name)
    {
        ZipArchiveEntry? entry = archive.GetEntry(name);
        Assert.True(entry is not null, $"{name} is not in the package.");
        using StreamReader reader = new(entry.Open());
        return reader.ReadToEnd();
    }

    private static string Dotnet(string folder, params string[] arguments)
    {
        ProcessStartInfo start = new("dotnet", arguments) { WorkingDirectory = folder, RedirectStandardOutput = true, RedirectStandardError = true };
        foreach (string name in start.Environment.Keys.Where(k => k.StartsWith("MSBuild", StringComparison.OrdinalIgnoreCase)).ToArray())
        {
            start.Environment.Remove(name);
        }

        start.Environment["DOTNET_NOLOGO"] = "1";
        start.Environment["MSBUILDDISABLENODEREUSE"] = "1";
        using Process process = Process.Start(start)!;
        Task<string> error = process.StandardError.ReadToEndAsync();
        string output = process.StandardOutput.ReadToEnd() + error.GetAwaiter().GetResult();
        process.WaitForExit();
        Assert.True(process.ExitCode == 0, $"dotnet {string.Join(' ', arguments)} ended with {process.ExitCode}:\n{output}");
        return output;
    }
}
