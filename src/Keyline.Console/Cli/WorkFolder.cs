namespace Keyline.Console.Cli;

/// <summary>The hidden folder that one run at a time works in: the new files, and while they change places the old ones.</summary>
/// <remarks>
/// <para>It has one name for each output, so that a second run finds the first at work, and the next run finds what a killed one left.
/// Whoever holds its lock works; the system lets go of the lock of a killed run.</para>
/// </remarks>
internal sealed class WorkFolder : IDisposable
{
    private const string LockName = "lock";
    private const int LongestName = 180;
    private const int Tries = 8;

    private readonly FileActions _actions;
    private readonly FileStream _lock;

    private WorkFolder(string path, FileStream locked, FileActions actions) => (Place, _lock, _actions) = (path, locked, actions);

    /// <summary>The folder.</summary>
    public string Place { get; }

    /// <summary>Where it is for an output that is there already.</summary>
    public static string Inside(string target) => Path.Combine(target, ".keyline-work");

    /// <summary>Where it is for an output still to be made.</summary>
    public static string Beside(string target)
    {
        string name = Path.GetFileName(target);
        return Path.Combine(
            Path.GetDirectoryName(target)!,
            System.Text.Encoding.UTF8.GetByteCount(name) <= LongestName ? $".{name}.keyline-work" : $".{ShortOf(name)}.keyline-work");
    }

    /// <summary>Takes the folder, made where it is not there yet.</summary>
    /// <returns>Null where another run has it.</returns>
    public static WorkFolder? Take(string path, FileActions actions)
    {
        for (int i = 0; i < Tries; i++)
        {
            actions.CreateFolder(path);
            FileStream locked;
            try
            {
                locked = new FileStream(Path.Combine(path, LockName), FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None, 1);
            }
            catch (DirectoryNotFoundException)
            {
                continue;
            }
            catch (IOException) when (File.Exists(Path.Combine(path, LockName)))
            {
                return null;
            }

            // Another run may have let go of the lock and removed it between our opening it and locking it.
            if (Holds(locked, Path.Combine(path, LockName)))
            {
                return new WorkFolder(path, locked, actions);
            }

            locked.Dispose();
        }

        return null;
    }

    /// <summary>Whether anything is left in the folder besides the lock.</summary>
    public bool HasLeftovers => Directory.EnumerateFileSystemEntries(Place).Any(e => Path.GetFileName(e) != LockName);

    /// <summary>Empties the folder and lets go of it.</summary>
    public void Dispose()
    {
        try
        {
            for (int i = 1; !Emptied(i == Tries) && i < Tries; i++)
            {
                // Work that is being stopped may still have made a file meanwhile.
                Thread.Sleep(5);
            }
        }
        finally
        {
            _lock.Dispose();
        }
    }

    private bool Emptied(bool isLast)
    {
        try
        {
            foreach (string entry in Directory.Exists(Place) ? Directory.GetFileSystemEntries(Place).Where(e => Path.GetFileName(e) != LockName) : [])
            {
                if (Directory.Exists(entry))
                {
                    _actions.DeleteTree(entry);
                }
                else
                {
                    _actions.Delete(entry);
                }
            }

            // Unlocked only once it is gone; Windows removes no open file.
            if (OperatingSystem.IsWindows())
            {
                _lock.Dispose();
            }

            _actions.Delete(Path.Combine(Place, LockName));
            _actions.DeleteFolder(Place);
            return true;
        }
        catch (DirectoryNotFoundException)
        {
            return true;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // What cannot be removed now is found by the next run.
            return isLast;
        }
    }

    /// <summary>Removes what was made in the folder after it was let go of; where a run has taken it meanwhile, nothing is touched.</summary>
    public void RemoveAgain()
    {
        try
        {
            if (Directory.Exists(Place) && !File.Exists(Path.Combine(Place, LockName)))
            {
                Directory.Delete(Place, true);
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // What cannot be removed now is found by the next run.
        }
    }

    /// <summary>Lets go of the folder and leaves what is in it.</summary>
    public void LetGo() => _lock.Dispose();

    // The file held and the file of that name are the same one if a time given to the one is found on the other.
    private static bool Holds(FileStream locked, string path)
    {
        try
        {
            File.SetLastWriteTimeUtc(locked.SafeFileHandle, DateTime.UnixEpoch.AddSeconds(2L * Random.Shared.Next(1, 800_000_000)));
            return File.Exists(path) && File.GetLastWriteTimeUtc(path) == File.GetLastWriteTimeUtc(locked.SafeFileHandle);
        }
        catch
        {
            locked.Dispose();
            throw;
        }
    }

    private static string ShortOf(string name) => Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(System.Text.Encoding.UTF8.GetBytes(name)))[..32];
}
