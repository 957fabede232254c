namespace Keyline.Console.Cli;

/// <summary>Every way in which an output folder changes what is on the disk, each of which may fail or be the last thing a run does.</summary>
/// <remarks>A class of its own so that a trial can fail each of them in turn.</remarks>
internal class FileActions
{
    /// <summary>The disk itself.</summary>
    public static FileActions Disk { get; } = new();

    /// <summary>Makes a new file; one that is there already is an error.</summary>
    public virtual Stream Create(string path) => new FileStream(path, FileMode.CreateNew, FileAccess.Write, FileShare.None, 1 << 16);

    /// <summary>Makes a folder and those above it.</summary>
    public virtual void CreateFolder(string path) => Directory.CreateDirectory(path);

    /// <summary>Gives a file another name, which nothing has yet.</summary>
    public virtual void Move(string from, string to) => File.Move(from, to);

    /// <summary>Gives a file another name, in one step, whatever had it.</summary>
    public virtual void Replace(string from, string to) => File.Move(from, to, overwrite: true);

    /// <summary>Gives a folder another name, which nothing has yet.</summary>
    public virtual void MoveFolder(string from, string to) => Directory.Move(from, to);

    /// <summary>Waits until a file is on the disk and not only on its way there.</summary>
    public virtual void Settle(string path)
    {
        using Microsoft.Win32.SafeHandles.SafeFileHandle file = File.OpenHandle(path, FileMode.Open, FileAccess.ReadWrite);
        RandomAccess.FlushToDisk(file);
    }

    /// <summary>Removes a file.</summary>
    public virtual void Delete(string path) => File.Delete(path);

    /// <summary>Removes an empty folder.</summary>
    public virtual void DeleteFolder(string path) => Directory.Delete(path);

    /// <summary>Removes a folder with all that is in it; links are removed, not followed.</summary>
    public void DeleteTree(string path)
    {
        if (!Directory.Exists(path))
        {
            return;
        }

        List<string> folders = [path];
        for (int i = 0; i < folders.Count; i++)
        {
            foreach (FileSystemInfo entry in new DirectoryInfo(folders[i]).EnumerateFileSystemInfos("*", Everything).ToArray())
            {
                if (entry is DirectoryInfo && entry.LinkTarget is null)
                {
                    folders.Add(entry.FullName);
                }
                else
                {
                    Delete(entry.FullName);
                }
            }
        }

        for (int i = folders.Count - 1; i >= 0; i--)
        {
            DeleteFolder(folders[i]);
        }
    }

    /// <summary>Removes a folder if nothing is in it.</summary>
    public void DeleteIfEmpty(string path)
    {
        if (Directory.Exists(path) && !Directory.EnumerateFileSystemEntries(path).Any())
        {
            DeleteFolder(path);
        }
    }

    /// <summary>How folders are listed: hidden files too, and what cannot be listed is an error.</summary>
    private static EnumerationOptions Everything { get; } = new() { AttributesToSkip = 0, IgnoreInaccessible = false };
}
