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
    public void Overwrite_LostFiles_PutsTheOldBack()
    {
        Make("old");
        using (OutputFolder folder = OutputFolder.Begin(At("out"), overwrite: true, Ours))
        {
            // Somebody clears the hidden folder away before the swap.
            Directory.Delete(folder.Partial, recursive: true);
            Assert.ThrowsAny<IOException>(folder.Commit);
        }

        Assert.Equal("old", File.ReadAllText(At("out/a.txt")));
        Assert.Equal(["out"], Directory.GetFileSystemEntries(_root).Select(Path.GetFileName));
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

    private string At(string name) => Path.Combine(_root, name.Replace('/', Path.DirectorySeparatorChar));

    private void Make(string text)
    {
        using OutputFolder folder = OutputFolder.Begin(At("out"), overwrite: true, Ours);
        Fill(folder, text);
        folder.Commit();
    }

    private static void Fill(OutputFolder folder, string text)
    {
        foreach (string name in Ours)
        {
            using StreamWriter writer = new(folder.Create(name));
            writer.Write(text);
        }
    }
}
