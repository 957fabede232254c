using System.Collections.Concurrent;

namespace Keyline.Console.Cli;

/// <summary>A folder written whole or not at all: files wait in a hidden work folder and take their places together at the end.</summary>
/// <remarks>
/// <para>Promises: only files that the list of an earlier run names, and that still hold what it wrote, are replaced; one that was
/// changed since stays, and the new one goes beside it under another name. Old files are kept until the new ones stand. One run at a
/// time works on a folder. What a killed run left is taken back or finished, and removed, by the next.</para>
/// </remarks>
internal sealed class OutputFolder : IDisposable
{
    /// <summary>How the sentence begins that another run is at work on a folder.</summary>
    public const string IsBusy = "Another run is writing";

    // On a busy machine making a folder has taken most of a second; leaving none behind is worth more than the rest of it.
    private const int MillisecondsToBegin = 2000;
    private const int LongestName = 255;
    private const int LooksBack = 4;
    private const int MillisecondsBetweenLooks = 15;
    private static readonly Lock Beginning = new();
    private static readonly ConcurrentDictionary<OutputFolder, bool> Open = [];

    private readonly string _shown;
    private readonly string? _createdAbove;
    private readonly bool _stood;
    private readonly WorkFolder _work;
    private readonly FileActions _actions;
    private readonly IReadOnlyCollection<string> _ours;
    private readonly byte[] _listBefore;
    private readonly Dictionary<string, string> _names = new(StringComparer.Ordinal);
    private readonly List<string> _kept = [];
    private readonly Lock _ending = new();
    private bool _committed;
    private bool _ended;

    private OutputFolder(string target, string shown, bool stood, WorkFolder work, string? createdAbove, IReadOnlyCollection<string> ours, FileActions actions)
    {
        (Target, _shown, _stood, _work, _createdAbove, _ours, _actions) = (target, shown, stood, work, createdAbove, ours, actions);
        _listBefore = ListBytes(target);
        Open[this] = true;
    }

    /// <summary>Full path of the folder once it is in place.</summary>
    public string Target { get; }

    /// <summary>Where files are written until <see cref="Commit"/>.</summary>
    public string Partial => FolderExchange.NewIn(_work.Place);

    /// <summary>What of the folder was left as it is, sentences for the user.</summary>
    public IReadOnlyList<string> Kept => _kept;

    /// <summary>Begins, so that a folder that cannot be written is found before the work.</summary>
    /// <param name="path">The folder to write.</param>
    /// <param name="overwrite">Whether it may be there already, and files of an earlier run be replaced.</param>
    /// <param name="ours">The files a run writes, relative, with forward slashes.</param>
    /// <param name="actions">How the disk is changed; null for as usual.</param>
    /// <exception cref="UsageException">The folder exists and may not be written, or cannot be.</exception>
    public static OutputFolder Begin(string path, bool overwrite, IReadOnlyCollection<string> ours, FileActions? actions = null)
    {
        actions ??= FileActions.Disk;
        try
        {
            string target = Followed(Path.TrimEndingDirectorySeparator(Path.GetFullPath(path)));
            if (Path.GetDirectoryName(target) is not { } parent)
            {
                throw new UsageException($"The output folder {path} is the root of a drive: give a folder with --out.");
            }

            // The folder is worked on under a shorter name, so that a name no disk takes would be found out only when all is done.
            if (System.Text.Encoding.UTF8.GetByteCount(Path.GetFileName(target)) > LongestName)
            {
                throw new UsageException(FormattableString.Invariant($"The name of the output folder {UserText.Cut(path)} is longer than the {LongestName} bytes that a disk takes: choose a shorter one with --out."));
            }

            if (File.Exists(target))
            {
                throw new UsageException($"The output {path} is a file: give a folder with --out.");
            }

            bool stands = Directory.Exists(target);
            if (stands && !Directory.Exists(WorkFolder.Inside(target)))
            {
                CheckMayWrite(target, path, overwrite, ours);
            }

            if (Directory.Exists(WorkFolder.Beside(target)))
            {
                // Taken even where the folder stands: a run may be at work on it, or have been killed, from before it was made.
                using WorkFolder beside = Take(WorkFolder.Beside(target), target, path, actions);
            }

            // From the first folder made until this one is known as open the program does not end, or what was made would stay behind.
            using Lock.Scope beginning = Beginning.EnterScope();
            string? createdAbove = FirstMissing(parent);
            actions.CreateFolder(parent);
            WorkFolder work = Take(stands ? WorkFolder.Inside(target) : WorkFolder.Beside(target), target, path, actions);
            try
            {
                if (stands)
                {
                    CheckMayWrite(target, path, overwrite, ours);
                }

                actions.CreateFolder(FolderExchange.NewIn(work.Place));
                return new OutputFolder(target, path, stands, work, createdAbove, ours, actions);
            }
            catch
            {
                work.Dispose();
                RemoveAbove(target, createdAbove, actions);
                throw;
            }
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new UsageException($"The output folder {path} cannot be written ({OneLine(error.Message)}): choose another with --out.");
        }
    }

    /// <summary>Ends every folder that is being written, for a program that has to stop at once; one that is changing places is waited for.</summary>
    public static void AbandonAll()
    {
        // One that is just being made is waited for, as long as a disk should take for it.
        if (Beginning.TryEnter(MillisecondsToBegin))
        {
            Beginning.Exit();
        }

        OutputFolder[] open = [.. Open.Keys];
        foreach (OutputFolder folder in open)
        {
            folder.Dispose();
        }

        // Work that does not know yet that it is stopped may have made its folder anew.
        for (int i = 0; i < LooksBack; i++)
        {
            Thread.Sleep(MillisecondsBetweenLooks);
            foreach (OutputFolder folder in open)
            {
                folder._work.RemoveAgain();
            }
        }
    }

    /// <summary>Makes a file in the folder, and the folders above it.</summary>
    public Stream Create(string relative)
    {
        string path = WrittenFiles.At(Partial, relative);
        lock (_ending)
        {
            // The program may be ending while the work still goes on.
            if (_ended)
            {
                throw new OperationCanceledException();
            }

            _actions.CreateFolder(Path.GetDirectoryName(path)!);
            return _actions.Create(path);
        }
    }

    /// <summary>The name that a file got, another where one that was changed since has its own.</summary>
    public string NameOf(string relative) => _names.GetValueOrDefault(relative, relative);

    /// <summary>Puts the finished files in their places.</summary>
    /// <param name="context">Told of what was left as it was, and that something is written now; may be null.</param>
    /// <exception cref="UsageException">Another run, or somebody, wrote there meanwhile; nothing was changed.</exception>
    public void Commit(RunContext? context = null)
    {
        lock (_ending)
        {
            if (_ended)
            {
                throw new OperationCanceledException();
            }

            string[] fresh = WrittenFiles.Below(Partial);
            foreach (string name in fresh)
            {
                _actions.Settle(WrittenFiles.At(Partial, name));
            }

            if (Directory.Exists(Target) != _stood || File.Exists(Target))
            {
                throw new UsageException(_stood
                    ? $"The output folder {_shown} was taken away while the work was done, so nothing was written: run it again."
                    : $"The output folder {_shown} was made by someone else while the work was done; it was left alone and nothing was written: choose another with --out.");
            }

            if (!ListBytes(Target).AsSpan().SequenceEqual(_listBefore))
            {
                throw new UsageException($"Another run wrote into {_shown} while the work was done; its files were left alone and nothing was written: run it again, or choose another folder with --out.");
            }

            List<string> leaving = Arrange(fresh);
            FolderExchange exchange = new(Target, _work.Place, _actions);
            if (_stood || !MovedWhole())
            {
                exchange.Run(leaving);
            }

            _committed = true;
            if (context is not null)
            {
                context.State.HasWritten = true;
                _kept.ForEach(context.Error.WriteLine);
            }
        }

        Dispose();
    }

    /// <summary>The folder as it was asked for.</summary>
    public override string ToString() => _shown;

    /// <summary>Removes everything written, unless it was committed.</summary>
    public void Dispose()
    {
        lock (_ending)
        {
            if (_ended)
            {
                return;
            }

            _ended = true;
            Open.TryRemove(this, out _);
            try
            {
                if (!_committed)
                {
                    new FolderExchange(Target, _work.Place, _actions).Mend();
                }

                _work.Dispose();
                if (!_committed)
                {
                    RemoveAbove(Target, _createdAbove, _actions);
                }
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                // The next run mends it.
                _work.LetGo();
            }
        }
    }

    // Which old files make room, what the new ones are called, and the list of them.
    private List<string> Arrange(string[] fresh)
    {
        WrittenFiles before = WrittenFiles.In(Target), after = new();
        List<string> leaving = [];
        foreach (WrittenFile file in before.Files)
        {
            bool replaced = _ours.Contains(file.InPlaceOf) || fresh.Contains(file.InPlaceOf);
            if (replaced && WrittenFiles.Stands(Target, file))
            {
                leaving.Add(file.Name);
            }
            else if (IsThere(file.Name))
            {
                after.Add(file);
            }
        }

        foreach (string name in fresh)
        {
            string path = WrittenFiles.At(Partial, name), called = name;
            if (IsThere(name) && !leaving.Contains(name))
            {
                called = FolderExchange.FreeName(name, n => (IsThere(n) && !leaving.Contains(n)) || after.Of(n) is not null || fresh.Contains(n));
                _actions.Move(path, WrittenFiles.At(Partial, called));
                _names[name] = called;
                _kept.Add($"{name} in {_shown} was changed since keyline wrote it, so it stays as it is; the new one is {called}.");
            }

            after.Add(new WrittenFile(called, WrittenFiles.Hash(WrittenFiles.At(Partial, called)), name));
        }

        string list = Path.Combine(Partial, WrittenFiles.Name);
        using (Stream stream = _actions.Create(list))
        {
            stream.Write(after.ToBytes());
        }

        _actions.Settle(list);
        return leaving;
    }

    private bool IsThere(string name)
    {
        string path = WrittenFiles.At(Target, name);
        return File.Exists(path) || Directory.Exists(path);
    }

    // Some network folders rename files but no folders.
    private bool MovedWhole()
    {
        try
        {
            _actions.MoveFolder(Partial, Target);
            return true;
        }
        catch (IOException) when (!Directory.Exists(Target) && Directory.Exists(Partial))
        {
            _actions.CreateFolder(Target);
            return false;
        }
    }

    private static WorkFolder Take(string place, string target, string shown, FileActions actions)
    {
        WorkFolder work = WorkFolder.Take(place, actions)
            ?? throw new UsageException($"{IsBusy} into {shown} now: wait for it, or choose another folder with --out.");
        try
        {
            if (work.HasLeftovers)
            {
                new FolderExchange(target, place, actions).Mend();
                actions.DeleteTree(FolderExchange.NewIn(place));
            }

            return work;
        }
        catch
        {
            work.LetGo();
            throw;
        }
    }

    private static void CheckMayWrite(string target, string shown, bool overwrite, IReadOnlyCollection<string> ours)
    {
        string work = WorkFolder.Inside(target);
        if (!overwrite && Directory.EnumerateFileSystemEntries(target).Any(e => e != work))
        {
            throw new UsageException($"The output folder {shown} exists already: choose another with --out, or add --overwrite to replace what an earlier run wrote in it.");
        }

        WrittenFiles list = WrittenFiles.In(target);
        if (ours.FirstOrDefault(n => (File.Exists(WrittenFiles.At(target, n)) || Directory.Exists(WrittenFiles.At(target, n))) && list.Of(n) is null) is { } foreign)
        {
            throw new UsageException($"The output folder {shown} holds the file {foreign}, which keyline did not write there (it is not in the list {WrittenFiles.Name}), so it is not replaced: choose another with --out, or move that file.");
        }
    }

    // A link that leads to nothing yet is followed as well: what it names is made.
    private static string Followed(string target)
    {
        FileSystemInfo link = new DirectoryInfo(target);
        return link.LinkTarget is null ? target : Path.TrimEndingDirectorySeparator(link.ResolveLinkTarget(returnFinalTarget: true)?.FullName ?? target);
    }

    private static byte[] ListBytes(string target)
    {
        string path = Path.Combine(target, WrittenFiles.Name);
        return File.Exists(path) ? File.ReadAllBytes(path) : [];
    }

    // Folders made above the output go too, as long as nobody else has put anything there.
    private static void RemoveAbove(string target, string? createdAbove, FileActions actions)
    {
        string? parent = Path.GetDirectoryName(target);
        while (createdAbove is not null && parent is not null && parent.Length >= createdAbove.Length
            && Directory.Exists(parent) && !Directory.EnumerateFileSystemEntries(parent).Any())
        {
            actions.DeleteFolder(parent);
            parent = Path.GetDirectoryName(parent);
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
