using Keyline.Console.Cli;

namespace Keyline.Console.Tests;

/// <summary>A folder is written whole or not at all.</summary>
public sealed class OutputFolderTests : IDisposable
{
    private static readonly string[] Ours = ["a.txt", "sub/b.txt"];

    private readonly string _root = Directory.CreateTempSubdirectory("keyline-out-").FullName;

    public void Dispose() => Directory.Delete(_root, recursive: true);

    [Fact]
    public void Commit_PutsEverythingInPlace()
    {
        using (OutputFolder folder = OutputFolder.Begin(At("x/y/out"), overwrite: false, Ours))
        {
            Fill(folder, "new");
            Assert.False(Directory.Exists(At("x/y/out")));
            folder.Commit();
        }

        Assert.Equal("new", File.ReadAllText(At("x/y/out/sub/b.txt")));
        Assert.Equal(["out"], Directory.GetFileSystemEntries(At("x/y")).Select(Path.GetFileName));
    }

    [Fact]
    public void Dispose_WithoutCommit_RemovesTheFilesAndTheFoldersAbove()
    {
        using (OutputFolder folder = OutputFolder.Begin(At("x/y/out"), overwrite: false, Ours))
        {
            Fill(folder, "new");
        }

        Assert.Empty(Directory.GetFileSystemEntries(_root));
    }

    // 255 bytes of UTF-8 is what ext4, APFS and NTFS take at least; an umlaut has two.
    [Theory]
    [InlineData('a', 255, true)]
    [InlineData('a', 256, false)]
    [InlineData('\u00fc', 127, true)]
    [InlineData('\u00fc', 128, false)]
    public void ANameThatNoDiskTakes_IsRefusedBeforeTheWork(char letter, int letters, bool taken)
    {
        string path = At("x/" + new string(letter, letters));
        if (!taken)
        {
            Assert.Contains("longer than the 255 bytes that a disk takes", Assert.Throws<UsageException>(() => OutputFolder.Begin(path, overwrite: false, Ours)).Message, StringComparison.Ordinal);
            Assert.Empty(Directory.GetFileSystemEntries(_root));
            return;
        }

        using OutputFolder folder = OutputFolder.Begin(path, overwrite: false, Ours);
        Fill(folder, "new");
        folder.Commit();
        Assert.True(File.Exists(Path.Combine(path, "a.txt")));
    }

    [Fact]
    public void Dispose_WithoutCommit_KeepsFoldersThatWereThere()
    {
        Directory.CreateDirectory(At("mine"));
        using (OutputFolder folder = OutputFolder.Begin(At("mine/y/out"), overwrite: false, Ours))
        {
            Fill(folder, "new");
        }

        Assert.Equal(["mine"], Directory.GetFileSystemEntries(_root).Select(Path.GetFileName));
        Assert.Empty(Directory.GetFileSystemEntries(At("mine")));
    }

    [Fact]
    public void Overwrite_KeepsTheOldUntilTheNewIsWhole()
    {
        Make("old");
        using (OutputFolder folder = OutputFolder.Begin(At("out"), overwrite: true, Ours))
        {
            Fill(folder, "new");
            Assert.Equal("old", File.ReadAllText(At("out/a.txt")));
        }

        Assert.Equal("old", File.ReadAllText(At("out/a.txt")));
        Make("newer");
        Assert.Equal("newer", File.ReadAllText(At("out/a.txt")));
        Assert.Equal(["out"], Directory.GetFileSystemEntries(_root).Select(Path.GetFileName));
    }

    [Fact]
    public void Overwrite_FailingInTheMiddle_PutsTheOldBack()
    {
        Make("old");
        using (OutputFolder folder = OutputFolder.Begin(At("out"), overwrite: true, Ours, new FailsToPlace("b.txt")))
        {
            Fill(folder, "new");
            Assert.ThrowsAny<IOException>(() => folder.Commit());
        }

        Assert.Equal("old", File.ReadAllText(At("out/a.txt")));
        Assert.Equal("old", File.ReadAllText(At("out/sub/b.txt")));
        Assert.Equal(["out"], Directory.GetFileSystemEntries(_root).Select(Path.GetFileName));
        Assert.Equal([WrittenFiles.Name, "a.txt", "sub/b.txt"], WrittenFiles.Below(At("out")));
    }

    [Fact]
    public void Overwrite_WithATrailingSlash_IsTheSameFolder()
    {
        Make("old");
        using OutputFolder folder = OutputFolder.Begin(At("out") + Path.DirectorySeparatorChar, overwrite: true, Ours);
        Assert.Equal(At("out"), folder.Target);
    }

    [Fact]
    public void Existing_WithoutOverwrite_IsRefused()
    {
        Make("old");
        Assert.Throws<UsageException>(() => OutputFolder.Begin(At("out"), overwrite: false, Ours));
    }

    [Fact]
    public void Existing_ButEmpty_IsWritten()
    {
        Directory.CreateDirectory(At("out"));
        using OutputFolder folder = OutputFolder.Begin(At("out"), overwrite: false, Ours);
        Fill(folder, "new");
        folder.Commit();
        Assert.Equal([WrittenFiles.Name, "a.txt", "sub/b.txt"], WrittenFiles.Below(At("out")));
    }

    [Fact]
    public void Overwrite_LeavesWhatIsNotOurs()
    {
        Make("old");
        File.WriteAllText(At("out/diary.txt"), "mine");
        File.WriteAllText(At("out/sub/notes.txt"), "mine too");
        Make("new");
        Assert.Equal("new", File.ReadAllText(At("out/sub/b.txt")));
        Assert.Equal("mine", File.ReadAllText(At("out/diary.txt")));
        Assert.Equal("mine too", File.ReadAllText(At("out/sub/notes.txt")));
    }

    [Fact]
    public void Overwrite_AFileOfOurNameThatWeDidNotWrite_IsRefused()
    {
        Directory.CreateDirectory(At("out"));
        File.WriteAllText(At("out/a.txt"), "mine");
        UsageException refused = Assert.Throws<UsageException>(() => OutputFolder.Begin(At("out"), overwrite: true, Ours));
        Assert.Contains("holds the file a.txt, which keyline did not write there", refused.Message, StringComparison.Ordinal);
        Assert.Equal(["a.txt"], Directory.GetFileSystemEntries(At("out")).Select(Path.GetFileName));
    }

    [Fact]
    public void Overwrite_AChangedFile_StaysAndTheNewOneGoesBeside()
    {
        Make("old");
        File.AppendAllText(At("out/a.txt"), ", and 1.35 read");
        (IReadOnlyList<string> kept, string name) = Make("new");
        Assert.Equal("old, and 1.35 read", File.ReadAllText(At("out/a.txt")));
        Assert.Equal("new", File.ReadAllText(At("out/a-2.txt")));
        Assert.Equal("a-2.txt", name);
        Assert.Contains("a.txt in", Assert.Single(kept), StringComparison.Ordinal);

        // The one beside is ours until it is changed too.
        Make("newer");
        Assert.Equal("newer", File.ReadAllText(At("out/a-2.txt")));
        File.AppendAllText(At("out/a-2.txt"), " 1.40");
        Make("newest");
        Assert.Equal(["a-2.txt", "a-3.txt", "a.txt"], WrittenFiles.Below(At("out")).Where(n => n.StartsWith('a')));
        Assert.Equal("newer 1.40", File.ReadAllText(At("out/a-2.txt")));
        Assert.Equal("newest", File.ReadAllText(At("out/a-3.txt")));
    }

    [Fact]
    public void Overwrite_ByAnotherCommand_LeavesTheFirstOnesFiles()
    {
        Make("old");
        using (OutputFolder folder = OutputFolder.Begin(At("out"), overwrite: true, ["c.txt"]))
        {
            using (StreamWriter writer = new(folder.Create("c.txt")))
            {
                writer.Write("other");
            }

            folder.Commit();
        }

        Assert.Equal("old", File.ReadAllText(At("out/a.txt")));
        Make("new");
        Assert.Equal(["new", "other"], new[] { "out/a.txt", "out/c.txt" }.Select(n => File.ReadAllText(At(n))));
    }

    [Fact]
    public void Commit_WhereSomebodyMadeTheFolderMeanwhile_LeavesIt()
    {
        using (OutputFolder folder = OutputFolder.Begin(At("out"), overwrite: true, Ours))
        {
            Fill(folder, "new");
            Directory.CreateDirectory(At("out"));
            File.WriteAllText(At("out/a.txt"), "theirs");
            Assert.Contains("made by someone else", Assert.Throws<UsageException>(() => folder.Commit()).Message, StringComparison.Ordinal);
        }

        Assert.Equal(["a.txt"], WrittenFiles.Below(At("out")));
        Assert.Equal("theirs", File.ReadAllText(At("out/a.txt")));
        Assert.Equal(["out"], Directory.GetFileSystemEntries(_root).Select(Path.GetFileName));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void TwoRuns_TheSecondIsTold(bool stands)
    {
        if (stands)
        {
            Make("old");
        }

        using OutputFolder first = OutputFolder.Begin(At("out"), overwrite: true, Ours);
        Assert.Contains("Another run is writing", Assert.Throws<UsageException>(() => OutputFolder.Begin(At("out"), overwrite: true, Ours)).Message, StringComparison.Ordinal);
        Fill(first, "new");
        first.Commit();
        Assert.Equal("new", File.ReadAllText(At("out/a.txt")));
    }

    [Fact]
    public void Links_AreFollowedAndStay()
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("Making a link needs rights that a Windows user may not have.");
        }

        Make("old");
        Directory.CreateSymbolicLink(At("link"), At("out"));
        Directory.CreateSymbolicLink(At("dangling"), At("elsewhere"));
        foreach ((string link, string to) in new[] { ("link", "out"), ("dangling", "elsewhere") })
        {
            using OutputFolder folder = OutputFolder.Begin(At(link), overwrite: true, Ours);
            Fill(folder, "through");
            folder.Commit();
            Assert.NotNull(new DirectoryInfo(At(link)).LinkTarget);
            Assert.Equal("through", File.ReadAllText(At(to + "/a.txt")));
        }
    }

    [Fact]
    public void AKilledRunsLeftovers_AreRemovedByTheNext()
    {
        foreach (string left in new[] { WorkFolder.Beside(At("out")), WorkFolder.Inside(At("mine")) })
        {
            Directory.CreateDirectory(Path.Combine(left, "new", "sub"));
            File.WriteAllText(Path.Combine(left, "new", "sub", "b.txt"), "half");
            File.WriteAllText(Path.Combine(left, "lock"), "");
        }

        foreach (string name in new[] { "out", "mine" })
        {
            using OutputFolder folder = OutputFolder.Begin(At(name), overwrite: false, Ours);
            Fill(folder, "new");
            folder.Commit();
            Assert.Equal([WrittenFiles.Name, "a.txt", "sub/b.txt"], WrittenFiles.Below(At(name)));
        }

        Assert.Equal(["mine", "out"], Directory.GetFileSystemEntries(_root).Select(Path.GetFileName).Order());
    }

    [Fact]
    public void ListThatLeadsOutside_IsNotFollowed()
    {
        Make("old");
        File.WriteAllText(At("outside.txt"), "mine");
        string list = At("out/" + WrittenFiles.Name);
        File.WriteAllText(list, File.ReadAllText(list).Replace("a.txt", "../outside.txt", StringComparison.Ordinal));
        Assert.Throws<UsageException>(() => OutputFolder.Begin(At("out"), overwrite: true, ["../outside.txt", .. Ours]));
        Assert.Equal("mine", File.ReadAllText(At("outside.txt")));
    }

    private string At(string name) => Path.Combine(_root, name.Replace('/', Path.DirectorySeparatorChar));

    private (IReadOnlyList<string> Kept, string NameOfA) Make(string text)
    {
        using OutputFolder folder = OutputFolder.Begin(At("out"), overwrite: true, Ours);
        Fill(folder, text);
        folder.Commit();
        return (folder.Kept, folder.NameOf("a.txt"));
    }

    private static void Fill(OutputFolder folder, string text)
    {
        foreach (string name in Ours)
        {
            using StreamWriter writer = new(folder.Create(name));
            writer.Write(text);
        }
    }

    private sealed class FailsToPlace(string name) : FileActions
    {
        public override void Move(string from, string to)
        {
            if (from.Contains(Path.Combine(".keyline-work", "new"), StringComparison.Ordinal) && Path.GetFileName(to) == name)
            {
                throw new IOException("Pulled out.");
            }

            base.Move(from, to);
        }
    }
}
