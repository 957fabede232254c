using System.Diagnostics;
using System.Globalization;
using Keyline.Console.Cli;

namespace Keyline.Fuzzing;

/// <summary>Output folders with faults made on purpose: at every change of the disk in turn the run is killed, before or after the change
/// or in the middle of it, or the change fails, or everything does from there on, or the disk is full.</summary>
/// <remarks>After each, another run goes into the folder. What must hold: between the two the user's own and changed files are as
/// they were, every old file is whole somewhere; after the second run's beginning the folder is wholly old or wholly new, and after its
/// end wholly its own, with nothing left over.</remarks>
internal static class Faults
{
    private static readonly string[] Ours = ["a.txt", "b.txt", "sub/c.txt", "sub/deep/d.txt", "e.txt"];

    private static readonly FileActions Unsettled = new WithoutWaiting();

    /// <summary>Makes so many faults.</summary>
    /// <returns>What was found, for a person; and whether nothing was lost.</returns>
    public static (string Said, bool Holds) Run(long count, ulong seed)
    {
        Stopwatch clock = Stopwatch.StartNew();
        Dictionary<Fault, long> made = [];
        long done = 0, standing = 0;
        for (ulong scene = 0; done < count; scene++)
        {
            foreach (Fault fault in Enum.GetValues<Fault>())
            {
                for (int at = 0; done < count; at++)
                {
                    string root = Directory.CreateTempSubdirectory("keyline-fault-").FullName;
                    try
                    {
                        if (!Try(root, new Dice((seed << 32) + scene), fault, at, out bool isNew, out string? lost))
                        {
                            break;
                        }

                        if (lost is not null)
                        {
                            return (string.Create(CultureInfo.InvariantCulture, $"seed {seed}, scene {scene}, {fault} at change {at}: {lost}"), false);
                        }

                        made[fault] = made.GetValueOrDefault(fault) + 1;
                        standing += isNew ? 1 : 0;
                        done++;
                    }
                    finally
                    {
                        Directory.Delete(root, recursive: true);
                    }
                }
            }
        }

        return (string.Create(CultureInfo.InvariantCulture,
            $"{done} faults in {clock.Elapsed.TotalSeconds:0.0} s, nothing lost; {standing} times the new files stood ({string.Join(", ", made.Select(m => $"{m.Value} {m.Key}"))})"), true);
    }

    // False where the run makes fewer changes than that.
    private static bool Try(string root, Dice dice, Fault fault, int at, out bool isNew, out string? lost)
    {
        string target = Path.Combine(root, "out");
        Dictionary<string, string> theirs = Scene(target, dice, out bool stood);
        Dictionary<string, string> before = Read(target);
        string[] written = [.. Ours.Where(_ => dice.Below(4) > 0), "always.txt"];
        Faulty disk = new(fault, at);
        Work(target, written, disk);
        (isNew, lost) = (false, null);
        if (!disk.WasMade)
        {
            return false;
        }

        disk.LetLocksGo();
        string everything = string.Join('\0', Everything(root));
        if (before.FirstOrDefault(b => b.Key != WrittenFiles.Name && !everything.Contains(b.Value, StringComparison.Ordinal) && theirs.ContainsKey(b.Key)) is { Key: not null } gone)
        {
            lost = $"{gone.Key} of the user is gone";
            return true;
        }

        // The next run begins, and gives up: the folder is wholly old or wholly new.
        Dictionary<string, string> between;
        using (OutputFolder next = OutputFolder.Begin(target, overwrite: true, [.. Ours, "always.txt"], Unsettled))
        {
            between = Read(target);
        }

        isNew = between.GetValueOrDefault(WrittenFiles.Name) != before.GetValueOrDefault(WrittenFiles.Name);
        bool whole = isNew ? written.All(n => between.ContainsValue("new " + n)) && !between.Any(b => b.Value.StartsWith("old ", StringComparison.Ordinal) && !theirs.ContainsKey(b.Key))
            : before.All(b => between.GetValueOrDefault(b.Key) == b.Value);
        if (!whole)
        {
            lost = $"neither old nor new: {string.Join(", ", between.Select(b => $"{b.Key} = {b.Value}"))}";
            return true;
        }

        using (OutputFolder last = OutputFolder.Begin(target, overwrite: true, [.. Ours, "always.txt"], Unsettled))
        {
            Write(last, ["a.txt", "always.txt"], "last");
            last.Commit();
        }

        Dictionary<string, string> after = Read(target);
        lost = theirs.FirstOrDefault(t => after.GetValueOrDefault(t.Key) != t.Value) is { Key: not null } changed ? $"{changed.Key} of the user is {after.GetValueOrDefault(changed.Key) ?? "gone"}"
            : after.Values.Any(v => v.StartsWith("new ", StringComparison.Ordinal)) ? "a new file was left by the run after"
            : Directory.EnumerateFileSystemEntries(root, "*", new EnumerationOptions { RecurseSubdirectories = true, AttributesToSkip = 0 }).Any(e => e.Contains("keyline-work", StringComparison.Ordinal)) ? "a work folder is left over"
            : !stood && Directory.GetFileSystemEntries(root).Length != 1 ? "something is left beside the folder"
            : null;
        return true;
    }

    // On its own, so that nothing holds on to what it opened.
    [System.Runtime.CompilerServices.MethodImpl(System.Runtime.CompilerServices.MethodImplOptions.NoInlining)]
    private static void Work(string target, string[] written, Faulty disk)
    {
        try
        {
            using OutputFolder folder = OutputFolder.Begin(target, overwrite: true, [.. Ours, "always.txt"], disk);
            Write(folder, written, "new");
            folder.Commit();
        }
        catch (Exception e) when (e is Killed or IOException or UsageException)
        {
            // As it should be.
        }
    }

    // An earlier run's folder or none, some of its files changed or taken away, and files of the user's own beside them.
    private static Dictionary<string, string> Scene(string target, Dice dice, out bool stood)
    {
        Dictionary<string, string> theirs = [];
        stood = dice.Below(4) > 0;
        if (!stood)
        {
            return theirs;
        }

        using (OutputFolder folder = OutputFolder.Begin(target, overwrite: true, [.. Ours, "always.txt"], Unsettled))
        {
            Write(folder, [.. Ours.Where(_ => dice.Below(4) > 0), "always.txt"], "old");
            folder.Commit();
        }

        foreach (string name in WrittenFiles.Below(target).Where(n => n != WrittenFiles.Name))
        {
            switch (dice.Below(6))
            {
                case 0:
                    File.WriteAllText(WrittenFiles.At(target, name), theirs[name] = "read in the field, " + name);
                    break;
                case 1:
                    File.Delete(WrittenFiles.At(target, name));
                    break;
            }
        }

        foreach (string name in new[] { "diary.txt", "sub/notes.txt" }.Where(_ => dice.Below(2) == 0))
        {
            string path = WrittenFiles.At(target, name);
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            File.WriteAllText(path, theirs[name] = "mine, " + name);
        }

        return theirs;
    }

    // Waiting for the disk proves nothing here and takes most of the time.
    private sealed class WithoutWaiting : FileActions
    {
        public override void Settle(string path)
        {
        }
    }

    private static void Write(OutputFolder folder, IEnumerable<string> names, string what)
    {
        foreach (string name in names)
        {
            using StreamWriter text = new(folder.Create(name));
            text.Write(what + " " + name);
        }
    }

    private static Dictionary<string, string> Read(string target) => WrittenFiles.Below(target)
        .Where(n => !n.StartsWith(".keyline-work/", StringComparison.Ordinal))
        .ToDictionary(n => n, n => File.ReadAllText(WrittenFiles.At(target, n)));

    private static IEnumerable<string> Everything(string root) => WrittenFiles.Below(root).Where(n => !n.EndsWith("/lock", StringComparison.Ordinal)).Select(n => File.ReadAllText(WrittenFiles.At(root, n)));
}

/// <summary>A fault made on purpose.</summary>
internal enum Fault
{
    /// <summary>The run is killed before the change.</summary>
    KilledBefore,

    /// <summary>The run is killed right after it.</summary>
    KilledAfter,

    /// <summary>The run is killed when half of it is done: half a file written, a file moved but still there.</summary>
    KilledWithin,

    /// <summary>The change fails once.</summary>
    FailsOnce,

    /// <summary>It fails, and so does every change after it, as on a disk that was pulled out.</summary>
    FailsOn,

    /// <summary>From here on nothing new can be written; names can be changed and files removed.</summary>
    Full,
}

/// <summary>The end of a run that was killed.</summary>
internal sealed class Killed : Exception
{
    public Killed()
        : base("killed")
    {
    }
}

/// <summary>A disk on which one change goes wrong.</summary>
internal sealed class Faulty(Fault fault, int at) : FileActions
{
    private readonly List<Stream> _open = [];
    private int _change;
    private bool _dead;

    /// <summary>Whether the run came as far as the fault.</summary>
    public bool WasMade { get; private set; }

    public override Stream Create(string path)
    {
        Stream? made = null;
        Change(() => made = base.Create(path), () => File.WriteAllText(path, "ha"), writes: true);
        _open.Add(made!);
        return new Chancy(made!, this);
    }

    public override void CreateFolder(string path) => Change(() => base.CreateFolder(path), () => { }, writes: !Directory.Exists(path));

    public override void Move(string from, string to) => Change(() => base.Move(from, to), () => File.Copy(from, to));

    public override void Replace(string from, string to) => Change(() => base.Replace(from, to), () => { });

    public override void MoveFolder(string from, string to) => Change(() => base.MoveFolder(from, to), () => { });

    public override void Settle(string path) => Change(() => { }, () => { }, writes: true);

    public override void Delete(string path) => Change(() => base.Delete(path), () => { });

    public override void DeleteFolder(string path) => Change(() => base.DeleteFolder(path), () => { });

    /// <summary>What the system does for a process that is no more: files are closed, and locks let go.</summary>
    public void LetLocksGo()
    {
        _open.ForEach(s => s.Dispose());
        GC.Collect();
        GC.WaitForPendingFinalizers();
    }

    public void Change(Action whole, Action half, bool writes = false)
    {
        if (_dead)
        {
            throw new Killed();
        }

        bool here = _change++ == at;
        WasMade |= here;
        switch (fault)
        {
            case Fault.KilledBefore when here:
                _dead = true;
                throw new Killed();
            case Fault.KilledAfter when here:
                _dead = true;
                whole();
                throw new Killed();
            case Fault.KilledWithin when here:
                _dead = true;
                half();
                throw new Killed();
            case Fault.FailsOnce when here:
            case Fault.FailsOn when WasMade:
            case Fault.Full when WasMade && writes:
                throw new IOException("made to fail");
            default:
                whole();
                return;
        }
    }

    private sealed class Chancy(Stream to, Faulty disk) : MemoryStream
    {
        private bool _closed;

        protected override void Dispose(bool disposing)
        {
            if (!_closed)
            {
                _closed = true;
                byte[] bytes = ToArray();
                disk.Change(() => to.Write(bytes), () => to.Write(bytes.AsSpan(0, bytes.Length / 2)), writes: true);
                to.Dispose();
            }

            base.Dispose(disposing);
        }
    }
}
