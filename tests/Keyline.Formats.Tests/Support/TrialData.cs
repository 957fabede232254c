namespace Keyline.Formats.Tests.Support;

/// <summary>Finds elevation files that are not part of the repository; tests that need them say why they skip.</summary>
internal static class TrialData
{
    private static readonly string? Root = Find();

    /// <summary>Path of a file, or a skipped test.</summary>
    public static string File(params string[] parts)
    {
        string? path = Root is null ? null : Path.Combine([Root, .. parts]);
        if (path is null || !System.IO.File.Exists(path))
        {
            Assert.Skip($"The trial data file {string.Join('/', parts)} is not here; set KEYLINE_TRIAL_DATA to its folder.");
        }

        return path;
    }

    /// <summary>Path of a schema beside the trial data, or a skipped test.</summary>
    public static string Schema(string name)
    {
        string? path = Root is null ? null : Path.Combine(Root, "..", "schemas", name);
        if (path is null || !System.IO.File.Exists(path))
        {
            Assert.Skip($"The schema {name} is not here.");
        }

        return path;
    }

    private static string? Find()
    {
        string? given = Environment.GetEnvironmentVariable("KEYLINE_TRIAL_DATA");
        if (!string.IsNullOrEmpty(given))
        {
            return Directory.Exists(given) ? given : null;
        }

        for (DirectoryInfo? at = new(AppContext.BaseDirectory); at is not null; at = at.Parent)
        {
            if (System.IO.File.Exists(Path.Combine(at.FullName, "Keyline.sln")))
            {
                string beside = Path.Combine(at.FullName, "..", "shared", "data");
                return Directory.Exists(beside) ? beside : null;
            }
        }

        return null;
    }
}
