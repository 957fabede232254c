using System.Reflection;
using System.Text.RegularExpressions;
using System.Xml.Linq;

namespace Keyline.PublicApi.Tests;

/// <summary>The rules of DEVELOPERS.md that a machine can keep.</summary>
public sealed partial class HouseRulesTests
{
    private static readonly string[] Folders = ["Planar", "Elevation", "Terrain", "Drainage", "Landform", "Field", "Check", "Layout", "Guidance", "SetOut", "Driven"];

    private static readonly string[] TopLevel =
    [
        "README.md", "DEVELOPERS.md", "LICENSE", "src", "tests", "benchmarks", "testdata", "docs", "Keyline.sln",
        "Directory.Build.props", "Directory.Packages.props", "global.json",
    ];

    public static TheoryData<Assembly> Libraries => [typeof(KeylinePlan).Assembly, typeof(Formats.ElevationReader).Assembly, typeof(Report.PlanMap).Assembly, typeof(Fieldwork.PullEstimate).Assembly, typeof(Water.StormRun).Assembly];

    [Fact]
    public void Core_ReferencesItsTwoPackagesAndTheFramework()
    {
        string[] others = [.. typeof(KeylinePlan).Assembly.GetReferencedAssemblies().Select(a => a.Name!)
            .Where(n => !n.StartsWith("System", StringComparison.Ordinal) && n != "netstandard")
            .Where(n => n is not ("NetTopologySuite" or "MathNet.Numerics"))];
        Assert.Empty(others);
    }

    [Fact]
    public void Core_TouchesNoFilesConsoleClockOrChance()
    {
        string[] found = [.. Checkout.Sources("src/Keyline").Where(f => Forbidden().IsMatch(File.ReadAllText(f))).Select(Path.GetFileName)!];
        Assert.Empty(found);
        string[] assemblies = [.. typeof(KeylinePlan).Assembly.GetReferencedAssemblies().Select(a => a.Name!)];
        Assert.DoesNotContain("System.Console", assemblies);
        Assert.DoesNotContain(assemblies, a => a.StartsWith("System.IO", StringComparison.Ordinal) || a.StartsWith("System.Net", StringComparison.Ordinal));
    }

    [Fact]
    public void Core_AFolderUsesOnlyFoldersBeforeIt()
    {
        Assert.All(Folders, f => Assert.NotEmpty(Checkout.Sources($"src/Keyline/{f}")));
        Assert.Equal(Folders.Order(), Core.Uses.Keys.Select(HouseMap.RoomOf).Where(r => r.Length > 0).Distinct().Order());
        Assert.Empty(Core.OutOfOrder(Folders));
    }

    [Fact]
    public void Core_NoFilesUseEachOtherInACircle() => Assert.Empty(Core.Circles());

    [Fact]
    public void HouseMap_TellsWhatIsOutOfOrderAndGoesRound()
    {
        HouseMap map = HouseMap.Of(new Dictionary<string, string>
        {
            ["A/One.cs"] = "namespace X.A;\npublic sealed class One { Three? three; string s = \"Four // \"; } // Four",
            ["A/Two.cs"] = "namespace X.A;\ninternal static class Two { static void F(One one) { } }",
            ["B/Three.cs"] = "namespace X.B;\npublic readonly record struct Three(int Place) { object F() => typeof(Two); }",
            ["B/Four.cs"] = "namespace X.B;\npublic enum Four { One }",
        });
        Assert.Equal(["A/One.cs uses Three of B/Three.cs"], map.OutOfOrder(["A", "B"]));
        Assert.Equal(["A/One.cs, A/Two.cs, B/Three.cs"], map.Circles());
    }

    private static HouseMap Core => HouseMap.Of(Checkout.Sources("src/Keyline").ToDictionary(f => Path.GetRelativePath(Checkout.PathOf("src", "Keyline"), f).Replace('\\', '/'), File.ReadAllText));

    [Theory, MemberData(nameof(Libraries))]
    public void EveryPublicClass_IsSealedStaticOrAbstract(Assembly library) =>
        Assert.DoesNotContain(library.GetExportedTypes(), t => t is { IsClass: true, IsSealed: false, IsAbstract: false });

    [Fact]
    public void EveryPublicAlgorithm_StatesUnitsCostAndSource()
    {
        Assembly core = typeof(KeylinePlan).Assembly;
        XDocument docs = XDocument.Load(Path.ChangeExtension(core.Location, ".xml"));
        Dictionary<string, string> remarks = docs.Descendants("member").ToDictionary(m => m.Attribute("name")!.Value, m => m.Element("remarks")?.Value ?? "");
        string[] silent = [.. core.GetExportedTypes()
            .Where(t => t is { IsAbstract: true, IsSealed: true } && t != typeof(Elevation.Grid) && t != typeof(Field.FieldFit))
            .Where(t => !new[] { "Units:", "Cost:", "Source:" }.All(remarks.GetValueOrDefault("T:" + t.FullName, "").Contains) && !IsMeasure(t))
            .Select(t => t.Name)];
        Assert.Empty(silent);

        // The check states definitions of its own; it has no paper behind it.
        static bool IsMeasure(Type t) => t == typeof(Check.LayoutCheck);
    }

    [Fact]
    public void EveryParallelLoop_KeepsToTheLimitOfThreads()
    {
        string[] loose = [.. Checkout.Sources("src").SelectMany(f => File.ReadAllText(f).Split("Parallel.For(").Skip(1)
            .Where(call => !call[..Math.Min(call.Length, 200)].Contains("WorkThreads.Options(", StringComparison.Ordinal) && !call[..Math.Min(call.Length, 60)].Contains(", parallel, ", StringComparison.Ordinal))
            .Select(call => Path.GetRelativePath(Checkout.Root, f) + ": " + call[..Math.Min(call.Length, 40)]))];
        Assert.Empty(loose);
        Assert.DoesNotContain(Checkout.Sources("src"), f => !f.EndsWith("WorkThreads.cs", StringComparison.Ordinal) && File.ReadAllText(f).Contains("new ParallelOptions", StringComparison.Ordinal));
    }

    [Fact]
    public void NoSourceFile_IsLongerThan400Lines()
    {
        string[] longFiles = [.. new[] { "src", "tests", "benchmarks" }.SelectMany(Checkout.Sources).Where(f => File.ReadLines(f).Count() > 400).Select(f => Path.GetRelativePath(Checkout.Root, f))];
        Assert.Empty(longFiles);
    }

    [Fact]
    public void TopLevel_HoldsTheFixedListAndDotfiles()
    {
        Assert.All(TopLevel, name => Assert.True(Path.Exists(Checkout.PathOf(name)), $"{name} is missing."));
        string[] extra = [.. Directory.EnumerateFileSystemEntries(Checkout.Root).Select(p => Path.GetFileName(p)!)
            .Where(n => !n.StartsWith('.') && !TopLevel.Contains(n) && n is not ("artifacts" or "TestResults" or "demo" or "feed" or "BenchmarkDotNet.Artifacts"))];
        Assert.Empty(extra);
    }

    [Fact]
    public void NoText_NamesAFolderOfSomebodysMachine()
    {
        string[] texts = [".cs", ".csproj", ".props", ".md", ".json", ".geojson", ".txt", ".py", ".R", ".sln", ".editorconfig", ""];
        string[] files = [.. TopLevel.Append(".ci").Append(".editorconfig").Select(n => Checkout.PathOf(n))
            .SelectMany(p => Directory.Exists(p) ? Directory.EnumerateFiles(p, "*", SearchOption.AllDirectories) : [p])
            .Where(f => !Path.GetRelativePath(Checkout.Root, f).Split(Path.DirectorySeparatorChar).Any(p => p is "bin" or "obj" or "TestResults"))
            .Where(f => texts.Contains(Path.GetExtension(f)))];
        Assert.True(files.Length > 100);
        Assert.Empty(files.Where(f => MachinePath().IsMatch(File.ReadAllText(f))).Select(f => Path.GetRelativePath(Checkout.Root, f)));
        Assert.Matches(MachinePath(), "read from " + string.Join('/', "", "home", "anna", "dem.tif"));
        Assert.DoesNotMatch(MachinePath(), "read from data/home/dem.tif");
    }

    [GeneratedRegex(@"(?<![\w.$}/-])/(home|root|work|mnt|tmp|Users|var)/\w|[A-Z]:\\Users\\\w")]
    private static partial Regex MachinePath();

    [GeneratedRegex(@"\b(System\.IO|Console\.|DateTime\.(Now|UtcNow|Today)|DateTimeOffset\.(Now|UtcNow)|new Random\(|Random\.Shared|Environment\.|Guid\.NewGuid|DllImport|LibraryImport|File\.|Directory\.)")]
    private static partial Regex Forbidden();
}
