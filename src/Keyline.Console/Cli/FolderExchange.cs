namespace Keyline.Console.Cli;

/// <summary>Changes old files of a folder for new ones so that, wherever it is cut off, the next run can finish it or take it back.</summary>
/// <remarks>
/// <para>In the work folder stand <c>new</c>, with the list of what will have been written, and from the first move on <c>old</c>. Old
/// files go to <c>old</c>; then the file <c>placing</c> is made; then new files go to their places; last of all their list replaces the
/// old list, in one step, which is the moment from which the new files stand. Before it everything is taken back, after it what is in
/// <c>old</c> is removed.</para>
/// </remarks>
internal sealed class FolderExchange(string target, string work, FileActions actions)
{
    private string Old => Path.Combine(work, "old");

    private string New => NewIn(work);

    private string Placing => Path.Combine(work, "placing");

    /// <summary>Where new files wait.</summary>
    public static string NewIn(string work) => Path.Combine(work, "new");

    /// <summary>Puts the new files in the place of old ones.</summary>
    /// <param name="leaving">Names of old files that make room.</param>
    public void Run(IReadOnlyCollection<string> leaving)
    {
        actions.CreateFolder(Old);
        foreach (string name in leaving)
        {
            string to = WrittenFiles.At(Old, name);
            actions.CreateFolder(Path.GetDirectoryName(to)!);
            actions.Move(WrittenFiles.At(target, name), to);
        }

        string[] coming = [.. WrittenFiles.Below(New).Where(n => n != WrittenFiles.Name)];
        using (StreamWriter names = new(actions.Create(Placing)))
        {
            names.Write(string.Join('\n', coming));
        }

        foreach (string name in coming)
        {
            string to = WrittenFiles.At(target, name);
            actions.CreateFolder(Path.GetDirectoryName(to)!);
            actions.Move(WrittenFiles.At(New, name), to);
        }

        actions.Replace(Path.Combine(New, WrittenFiles.Name), Path.Combine(target, WrittenFiles.Name));
        actions.DeleteTree(Old);
        RemoveEmpty(leaving);
    }

    /// <summary>Finishes what a run that was cut off had begun, or takes it back.</summary>
    public void Mend()
    {
        if (!Directory.Exists(Old))
        {
            return;
        }

        if (!File.Exists(Path.Combine(New, WrittenFiles.Name)))
        {
            // The new files stand.
            actions.DeleteTree(Old);
            return;
        }

        WrittenFiles coming = WrittenFiles.In(New);
        string[] back = WrittenFiles.Below(Old);
        if (File.Exists(Placing))
        {
            foreach (WrittenFile file in File.ReadAllLines(Placing).Select(coming.Of).OfType<WrittenFile>())
            {
                TakeBack(file);
            }

            actions.Delete(Placing);
        }

        foreach (string name in back)
        {
            PutBack(name);
        }

        actions.DeleteTree(Old);
        RemoveEmpty([.. coming.Files.Select(f => f.Name)]);
    }

    // A move that the system makes of a link and a removal may have left the file in both places.
    private void TakeBack(WrittenFile file)
    {
        string there = WrittenFiles.At(target, file.Name), waiting = WrittenFiles.At(New, file.Name);
        if (!WrittenFiles.Stands(target, file))
        {
            return;
        }

        if (File.Exists(waiting) && WrittenFiles.Hash(waiting) == file.Sha256)
        {
            actions.Delete(there);
            return;
        }

        actions.CreateFolder(Path.GetDirectoryName(waiting)!);
        actions.Move(there, waiting);
    }

    private void PutBack(string name)
    {
        string there = WrittenFiles.At(target, name), kept = WrittenFiles.At(Old, name);
        if (!File.Exists(there))
        {
            actions.CreateFolder(Path.GetDirectoryName(there)!);
            actions.Move(kept, there);
        }
        else if (WrittenFiles.Hash(there) == WrittenFiles.Hash(kept))
        {
            actions.Delete(kept);
        }
        else
        {
            // Somebody made a file of that name since: both stay.
            actions.Move(kept, WrittenFiles.At(target, FreeName(name, n => File.Exists(WrittenFiles.At(target, n)))));
        }
    }

    private void RemoveEmpty(IReadOnlyCollection<string> names)
    {
        foreach (string folder in names.Select(n => Path.GetDirectoryName(n.Replace('/', Path.DirectorySeparatorChar)) ?? "").Where(f => f.Length > 0).Distinct().OrderByDescending(f => f.Length))
        {
            string path = Path.Combine(target, folder);
            if (Directory.Exists(path) && new DirectoryInfo(path).LinkTarget is null)
            {
                actions.DeleteIfEmpty(path);
            }
        }
    }

    /// <summary>The first name like another that nothing has: "stakes-2.csv".</summary>
    public static string FreeName(string name, Func<string, bool> isTaken)
    {
        int dot = name.LastIndexOf('.');
        dot = dot > name.LastIndexOf('/') + 1 ? dot : name.Length;
        return Enumerable.Range(2, int.MaxValue - 2)
            .Select(i => FormattableString.Invariant($"{name[..dot]}-{i}{name[dot..]}"))
            .First(n => !isTaken(n));
    }
}
