using System.Diagnostics;
using System.Globalization;
using System.IO.Compression;
using System.Reflection.Metadata;
using System.Text.RegularExpressions;
using System.Xml.Linq;

namespace Keyline.PublicApi.Tests;

/// <summary>The library as a package: what is in it, and a fresh project that uses it from a folder of packages.</summary>
public sealed class PackageTests : IDisposable
{
    private const string Program = """
        using Keyline;
        using Keyline.Elevation;
        using Keyline.Layout;
        using NetTopologySuite.Geometries;
        GridFrame frame = new(rows: 160, columns: 160, cellSize: 2, west: 500_000, north: 4_000_000);
        float[] metres = [.. from row in Enumerable.Range(0, 160) from column in Enumerable.Range(0, 160) select (float)(400 - (0.1 * row) - (1.5 * Math.Sin(Math.PI * column / 80.0)))];
        ElevationGrid ground = ElevationGrid.Copy(frame, metres);
        FieldArea field = new(GeometryFactory.Default.ToGeometry(new Envelope(500_040, 500_280, 3_999_720, 3_999_960)));
        KeylinePlan plan = KeylinePlanner.Design(ground, field, new LayoutOptions { Spacing = 3 });
        Console.WriteLine(FormattableString.Invariant($"{plan.Layout.Figures.LineCount} lines, {plan.Layout.Figures.TotalLength:F0} m, {plan.Layout.Figures.MedianSpacing:F2} m apart"));
        """;

    private readonly string _folder = Directory.CreateTempSubdirectory("keyline-package").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public void Package_HoldsReadmeDocumentsAndSymbols_AndAFreshProjectRunsOnIt()
    {
        string feed = Path.Combine(_folder, "feed");
        Dotnet(Checkout.Root, "pack", Checkout.PathOf("src", "Keyline"), "-c", Configuration, "--no-build", "--no-restore", "-o", feed);
        string package = Assert.Single(Directory.GetFiles(feed, "Keyline.*.nupkg"));
        string version = Path.GetFileNameWithoutExtension(package)["Keyline.".Length..];
        HoldsWhatItPromises(package);
        HoldsSymbols(Path.ChangeExtension(package, ".snupkg"));

        string project = Path.Combine(_folder, "fresh");
        Directory.CreateDirectory(project);
        File.WriteAllText(Path.Combine(project, "Program.cs"), Program);
        File.WriteAllText(Path.Combine(project, "fresh.csproj"), $"""
            <Project Sdk="Microsoft.NET.Sdk">
              <PropertyGroup>
                <OutputType>Exe</OutputType>
                <TargetFramework>net10.0</TargetFramework>
                <Nullable>enable</Nullable>
                <ImplicitUsings>enable</ImplicitUsings>
                <TreatWarningsAsErrors>true</TreatWarningsAsErrors>
                <NuGetAudit>false</NuGetAudit>
                <RestorePackagesPath>packages</RestorePackagesPath>
              </PropertyGroup>
              <ItemGroup><PackageReference Include="Keyline" Version="{version}" /></ItemGroup>
            </Project>
            """);

        // What the package depends on was restored to build these tests, so that folder serves as the second feed and no network is needed.
        File.WriteAllText(Path.Combine(project, "nuget.config"), $"""
            <configuration><packageSources><clear />
              <add key="feed" value="{feed}" />
              <add key="restored" value="{RestoredPackages}" />
            </packageSources></configuration>
            """);
        string said = Dotnet(project, "run", "-c", "Release");
        Match match = Regex.Match(said, @"(\d+) lines, (\d+) m, (\d\.\d\d) m apart");
        Assert.True(match.Success, said);

        // 240 m square less 6 m of headland all round, a line each 3 m: at most 76 lines' worth of 228 m, common arithmetic, and most of that.
        Assert.InRange(double.Parse(match.Groups[2].Value, CultureInfo.InvariantCulture), 0.85 * 228 * 228 / 3, 1.05 * 228 * 228 / 3);
        Assert.Equal("3.00", match.Groups[3].Value);
    }

    private static string Configuration { get; } = AppContext.BaseDirectory.Split(Path.DirectorySeparatorChar).Contains("Debug") ? "Debug" : "Release";

    private static string RestoredPackages { get; } = Environment.GetEnvironmentVariable("NUGET_PACKAGES")
        ?? Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.UserProfile), ".nuget", "packages");

    private static void HoldsWhatItPromises(string package)
    {
        using ZipArchive archive = ZipFile.OpenRead(package);
        Assert.Equal(File.ReadAllText(Checkout.PathOf("README.md")), Text(archive, "README.md"));
        XDocument documents = XDocument.Parse(Text(archive, "lib/net10.0/Keyline.xml"));
        Assert.Contains(documents.Descendants("member"), m => m.Attribute("name")?.Value == "T:Keyline.KeylinePlanner" && m.Element("summary") is not null);
        XElement metadata = XDocument.Parse(Text(archive, "Keyline.nuspec")).Root!.Elements().Single();
        XNamespace space = metadata.Name.Namespace;
        Assert.Equal("README.md", metadata.Element(space + "readme")?.Value);
        Assert.Equal("MIT", metadata.Element(space + "license")?.Value);
        string[] dependencies = [.. metadata.Descendants(space + "dependency").Select(d => d.Attribute("id")!.Value).Order(StringComparer.Ordinal)];
        Assert.Equal(["MathNet.Numerics", "NetTopologySuite"], dependencies);
        if (Path.Exists(Checkout.PathOf(".git")))
        {
            XElement? repository = metadata.Element(space + "repository");
            Assert.Equal("git", repository?.Attribute("type")?.Value);
            Assert.Matches("^[0-9a-f]{40}$", repository?.Attribute("commit")?.Value ?? "");
        }
    }

    private static void HoldsSymbols(string package)
    {
        using ZipArchive archive = ZipFile.OpenRead(package);
        using Stream packed = archive.GetEntry("lib/net10.0/Keyline.pdb")!.Open();
        MemoryStream unpacked = new();
        packed.CopyTo(unpacked);
        unpacked.Position = 0;
        using MetadataReaderProvider provider = MetadataReaderProvider.FromPortablePdbStream(unpacked);
        MetadataReader reader = provider.GetMetadataReader();
        Assert.Contains(reader.Documents, d => reader.GetString(reader.GetDocument(d).Name).EndsWith("KeylinePlanner.cs", StringComparison.Ordinal));
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
