namespace Keyline.Console.Cli;

/// <summary>A folder written whole or not at all: files go to a hidden sibling that takes the folder's name at the end.</summary>
/// <remarks>An earlier folder of that name is kept until the new one stands in its place. A folder that holds anything
/// but the files of an earlier run is never replaced.</remarks>
internal sealed class OutputFolder : IDisposable
{
    private readonly string _shown;
    private readonly string? _createdAbove;
    private bool _committed;

    private OutputFolder(string target, string shown, string partial, string? createdAbove)
    {
        Target = target;
        _shown = shown;
        Partial = partial;
        _createdAbove = createdAbove;
    }

    /// <summary>Full path of the folder once it is in place.</summary>
    public string Target { get; }

    /// <summary>Where files are written until <see cref="Commit"/>.</summary>
    public string Partial { get; }

    /// <summary>Makes the hidden sibling, so that a folder that cannot be written is found before the work.</summary>
    /// <param name="path">The folder to write.</param>
    /// <param name="overwrite">Whether an earlier run's folder may be replaced.</param>
    /// <param name="ours">The files a run writes, relative, with forward slashes.</param>
    /// <exception cref="UsageException">The folder exists and may not be replaced, or cannot be written.</exception>
    public static OutputFolder Begin(string path, bool overwrite, IReadOnlyCollection<string> ours)
    {
        string target = Path.TrimEndingDirectorySeparator(Path.GetFullPath(path));
        string? parent = Path.GetDirectoryName(target);
        if (parent is null)
        {
            throw new UsageException($"The output folder {path} is the root of a drive: give a folder with --out.");
        }

        if (File.Exists(target))
        {
            throw new UsageException($"The output {path} is a file: give a folder with --out.");
        }

        if (Directory.Exists(target))
        {
            CheckMayReplace(target, path, overwrite, ours);
        }

        try
        {
            string? createdAbove = FirstMissing(parent);
            Directory.CreateDirectory(parent);
            string partial = Path.Combine(parent, $".{Path.GetFileName(target)}.partial-{Guid.NewGuid():N}");
            OutputFolder folder = new(target, path, partial, createdAbove);
            try
            {
                Directory.CreateDirectory(partial);
            }
            catch
            {
                folder.Dispose();
                throw;
            }

            return folder;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new UsageException($"The output folder {path} cannot be written ({OneLine(error.Message)}): choose another with --out.");
        }
    }

    /// <summary>Makes a file in the folder, and the folders above it.</summary>
    public FileStream Create(string relative)
    {
        string path = Path.Combine(Partial, relative.Replace('/', Path.DirectorySeparatorChar));
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        return new FileStream(path, FileMode.CreateNew, FileAccess.Write, FileShare.None, 1 << 16);
    }

    /// <summary>Puts the finished folder in its place.</summary>
    public void Commit()
    {
        string? old = null;
        if (Directory.Exists(Target))
        {
            old = Path.Combine(Path.GetDirectoryName(Target)!, $".{Path.GetFileName(Target)}.old-{Guid.NewGuid():N}");
            Directory.Move(Target, old);
        }

        try
        {
            Directory.Move(Partial, Target);
            _committed = true;
        }
        catch
        {
            if (old is not null)
            {
                Directory.Move(old, Target);
            }

            throw;
        }

        if (old is not null)
        {
            Directory.Delete(old, recursive: true);
        }
    }

    /// <summary>The folder as it was asked for.</summary>
    public override string ToString() => _shown;

    /// <summary>Removes everything written, unless it was committed.</summary>
    public void Dispose()
    {
        if (_committed)
        {
            return;
        }

        if (Directory.Exists(Partial))
        {
            Directory.Delete(Partial, recursive: true);
        }

        // Folders made above the output go too, as long as nobody else has put anything there.
        string? parent = Path.GetDirectoryName(Target);
        while (_createdAbove is not null && parent is not null && parent.Length >= _createdAbove.Length
            && Directory.Exists(parent) && !Directory.EnumerateFileSystemEntries(parent).Any())
        {
            Directory.Delete(parent);
            parent = Path.GetDirectoryName(parent);
        }
    }

    private static void CheckMayReplace(string target, string shown, bool overwrite, IReadOnlyCollection<string> ours)
    {
        if (!overwrite)
        {
            throw new UsageException($"The output folder {shown} exists already: choose another with --out, or add --overwrite to replace the plan in it.");
        }

        foreach (string file in Directory.EnumerateFiles(target, "*", SearchOption.AllDirectories))
        {
            string relative = Path.GetRelativePath(target, file).Replace(Path.DirectorySeparatorChar, '/');
            if (!ours.Contains(relative))
            {
                throw new UsageException($"The output folder {shown} holds {relative}, which is no part of a plan, so it is not replaced: choose another with --out, or move that file.");
            }
        }
    }

    private static string? FirstMissing(string folder)
    {
        string? missing = null;
        for (string? at = folder; at is not null && !Directory.Exists(at); at = Path.GetDirectoryName(at))
        {
            missing = at;
        }

        return missing;
    }

    private static string OneLine(string message) => message.ReplaceLineEndings(" ").Trim().TrimEnd('.');
}
