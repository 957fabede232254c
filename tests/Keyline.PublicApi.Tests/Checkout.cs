namespace Keyline.PublicApi.Tests;

/// <summary>The checkout the tests run in.</summary>
internal static class Checkout
{
    public static string Root { get; } = Find();

    public static string PathOf(params string[] parts) => Path.Combine([Root, .. parts]);

    /// <summary>Tracked source files under a folder, without build output.</summary>
    public static IEnumerable<string> Sources(string folder) =>
        Directory.EnumerateFiles(PathOf(folder), "*.cs", SearchOption.AllDirectories)
            .Where(f => !f.Split(Path.DirectorySeparatorChar).Any(p => p is "bin" or "obj"))
            .Order(StringComparer.Ordinal);

    private static string Find()
    {
        DirectoryInfo? folder = new(AppContext.BaseDirectory);
        while (folder is not null && !File.Exists(Path.Combine(folder.FullName, "Keyline.sln")))
        {
            folder = folder.Parent;
        }

        return folder?.FullName ?? throw new InvalidOperationException("The tests must run inside the checkout.");
    }
}
