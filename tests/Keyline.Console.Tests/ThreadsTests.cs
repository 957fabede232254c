namespace Keyline.Console.Tests;

/// <summary>The number of threads changes the time, never a byte.</summary>
public sealed class ThreadsTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Theory]
    [InlineData("plan", "--field FIELD --spacing 3m --compare --price-list")]
    [InlineData("drainage", "--shared")]
    [InlineData("terrain", "--calm 5m")]
    [InlineData("landform", "")]
    public void Threads_OneOrTwo_GiveTheSameBytes(string command, string options)
    {
        string[] words = [command, "--dem", _farm.Dem, .. options.Replace("FIELD", _farm.Field, StringComparison.Ordinal).Split(' ', StringSplitOptions.RemoveEmptyEntries)];
        foreach (string count in new[] { "1", "2" })
        {
            CliResult run = Cli.Run([.. words, "--threads", count, "--out", _farm.At("t" + count)]);
            Assert.True(run.Exit is 0 or 3, run.Error);
        }

        string[] files = Directory.GetFiles(_farm.At("t1"), "*", SearchOption.AllDirectories);
        Assert.True(files.Length > 3);
        Assert.All(files, file => Assert.Equal(File.ReadAllBytes(file), File.ReadAllBytes(Path.Combine(_farm.At("t2"), Path.GetRelativePath(_farm.At("t1"), file)))));
    }
}
