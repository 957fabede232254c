using System.Text.Json;
using Keyline.Elevation;
using Keyline.Formats;

namespace Keyline.Console.Tests;

/// <summary>Drainage tile by tile, by tasks that share a folder: the bytes of one process, and what tasks that were killed or came too early leave.</summary>
public sealed class TileDrainageTests : IDisposable
{
    private static readonly string[] Names = ["filled.tif", "directions.tif", "area.tif"];
    private static readonly GridFrame Frame = new(600, 700, 2, 500_000, 4_000_000);

    private readonly string _work = Directory.CreateTempSubdirectory("keyline-tiles").FullName;

    private string Dem => Path.Combine(_work, "dem.tif");

    private string Shared => Path.Combine(_work, "shared");

    public TileDrainageTests() => WriteDem(Dem, new CellRange(0, 0, Frame.Rows, Frame.Columns));

    public void Dispose() => Directory.Delete(_work, true);

    // Lakes over the joints of tiles of 256, holes, and level floors.
    private static float Height(int row, int column)
    {
        double z = 50 + (6 * Math.Sin(column / 47.0)) + (5 * Math.Cos(row / 39.0)) + (0.01 * column);
        return ((row / 11 * 31) + (column / 13 * 17)) % 41 == 0 ? float.NaN
            : z < 46 ? 46
            : (float)(z + (0.2 * ((((row * 7919) + (column * 104_729)) & 1023) / 1024.0)));
    }

    private static void WriteDem(string path, CellRange part)
    {
        float[] z = new float[part.CellCount];
        for (int i = 0; i < z.Length; i++)
        {
            z[i] = Height(part.Row + (i / part.Columns), part.Column + (i % part.Columns));
        }

        GridFrame frame = new(part.Rows, part.Columns, Frame.CellSize, Frame.West + (part.Column * Frame.CellSize), Frame.North - (part.Row * Frame.CellSize));
        using FileStream stream = File.Create(path);
        GeoTiffWriter.Write(stream, ElevationGrid.Copy(frame, z), GroundCrs.FromEpsg(32613));
    }

    private CliResult Task(string stage, string shard = "1/1", string? dem = null, string tile = "256") =>
        Cli.Run("drainage", "--dem", dem ?? Dem, "--out", Shared, "--tile", tile, "--stage", stage, "--shard", shard);

    private CliResult Gather(string? dem = null) => Cli.Run("drainage", "--dem", dem ?? Dem, "--out", Shared, "--tile", "256", "--gather", "--json");

    private byte[][] OneProcess()
    {
        string alone = Path.Combine(_work, "alone");
        Assert.Equal(0, Cli.Run("drainage", "--dem", Dem, "--only", "filled,directions,area", "--quiet", "--out", alone).Exit);
        return Read(alone);
    }

    private static byte[][] Read(string folder) => [.. Names.Select(name => File.ReadAllBytes(Path.Combine(folder, name)))];

    [Theory]
    [InlineData("1/1")]
    [InlineData("2/2 1/2")]
    [InlineData("4/5 1/5 5/5 2/5 3/5")]
    public void Stages_ByTasksInAnyOrder_GiveTheBytesOfOneProcess(string order)
    {
        string[] shards = order.Split(' ');
        foreach (string stage in (string[])["fill", "route", "finish"])
        {
            foreach (string shard in shards)
            {
                CliResult task = Task(stage, shard);
                Assert.Equal((0, ""), (task.Exit, task.Error));
                Assert.Contains(shard == shards[^1] ? "The stage is whole" : "When the other tasks have done theirs", task.Output, StringComparison.Ordinal);
            }
        }

        CliResult gathered = Gather();
        Assert.Equal((0, ""), (gathered.Exit, gathered.Error));
        Assert.Equal(OneProcess(), Read(Shared));
        using JsonDocument printed = JsonDocument.Parse(gathered.Output);
        JsonElement area = printed.RootElement.GetProperty("files").EnumerateArray().Single(f => f.GetProperty("file").GetString() == "area.tif");
        Assert.Equal(4, area.GetProperty("least").GetDouble());
        using JsonDocument alone = JsonDocument.Parse(File.ReadAllText(Path.Combine(_work, "alone", "drainage.json")));
        Assert.Equal(alone.RootElement.GetProperty("files").ToString(), JsonDocument.Parse(File.ReadAllText(Path.Combine(Shared, "drainage.json"))).RootElement.GetProperty("files").ToString());
    }

    // The same ground in four files whose joints are not those of the tiles.
    [Fact]
    public void Stages_FolderOfFiles_GiveTheBytesOfOneFile()
    {
        string folder = Directory.CreateDirectory(Path.Combine(_work, "dems")).FullName;
        WriteDem(Path.Combine(folder, "a.tif"), new CellRange(0, 0, 300, 310));
        WriteDem(Path.Combine(folder, "b.tif"), new CellRange(0, 300, 310, 400));
        WriteDem(Path.Combine(folder, "c.tif"), new CellRange(300, 0, 300, 310));
        WriteDem(Path.Combine(folder, "d.tif"), new CellRange(290, 300, 310, 400));
        Assert.All((string[])["fill", "route", "finish"], stage => Assert.Equal(0, Task(stage, dem: folder).Exit));
        Assert.Equal(0, Gather(folder).Exit);
        Assert.Equal(OneProcess(), Read(Shared));
    }

    [Fact]
    public void Stage_Again_MakesOnlyWhatIsMissing()
    {
        Assert.StartsWith("9 tiles filled now", Task("fill").Output, StringComparison.Ordinal);
        Assert.StartsWith("0 tiles filled now; 9 of 9 are.", Task("fill").Output, StringComparison.Ordinal);
        string part = Path.Combine(Shared, "parts", "strips-000004.bin");
        byte[] before = File.ReadAllBytes(part);
        DateTime other = File.GetLastWriteTimeUtc(Path.Combine(Shared, "parts", "strips-000005.bin"));
        File.Delete(part);
        Assert.StartsWith("1 tile filled now; 9 of 9 are.", Task("fill").Output, StringComparison.Ordinal);
        Assert.Equal(before, File.ReadAllBytes(part));
        Assert.Equal(other, File.GetLastWriteTimeUtc(Path.Combine(Shared, "parts", "strips-000005.bin")));
    }

    // What a killed task can leave: files without the record of their tile, half a file under its passing name, tiles without their join.
    [Fact]
    public void Stage_AfterATaskWasKilled_GoesOn()
    {
        Task("fill");
        Task("route");
        File.Delete(Path.Combine(Shared, "done", "route-000003.json"));
        File.Delete(Path.Combine(Shared, "done", "route-joined.json"));
        File.WriteAllBytes(Path.Combine(Shared, "parts", "flow-000003.bin.elsewhere-77.new"), [1, 2, 3]);
        File.WriteAllBytes(Path.Combine(Shared, "filled", "r001-c000.tif"), [1, 2, 3]);
        Assert.StartsWith("1 tile routed now; 9 of 9 are.", Task("route").Output, StringComparison.Ordinal);
        File.Delete(Path.Combine(Shared, "done", "route-joined.json"));
        Assert.Equal((0, ""), (Task("finish").Exit, ""));
        Assert.Equal(0, Gather().Exit);
        Assert.Equal(OneProcess(), Read(Shared));
    }

    [Fact]
    public void Stage_BeforeItsTime_SaysWhatIsMissing()
    {
        Assert.Contains("No tiles were begun", Refused(Task("route")), StringComparison.Ordinal);
        Assert.False(Directory.Exists(Shared));
        Task("fill", "1/2");
        Assert.Contains("4 of 9 tiles are not filled yet (tiles 1, 3, 5, 7): run --stage fill first", Refused(Task("route")), StringComparison.Ordinal);
        Task("fill", "2/2");
        Assert.Contains("9 of 9 tiles are not routed yet (tiles 0, 1, 2, 3, 4 and so on)", Refused(Task("finish")), StringComparison.Ordinal);
        Assert.Contains("are not routed yet", Refused(Gather()), StringComparison.Ordinal);
    }

    [Fact]
    public void Stage_OfAnotherSourceOrTile_IsRefused()
    {
        Task("fill");
        Assert.Contains("are 256 cells wide and 512 are asked for: add --tile 256", Refused(Task("fill", tile: "512")), StringComparison.Ordinal);
        string other = Path.Combine(_work, "other.tif");
        File.Copy(Dem, other);
        Assert.Contains("(from dem.tif by keyline ", Refused(Task("route", dem: other)), StringComparison.Ordinal);
        File.SetLastWriteTimeUtc(Dem, new DateTime(2020, 1, 2, 3, 4, 5, DateTimeKind.Utc));
        Assert.Contains("the elevation was changed since", Refused(Task("route")), StringComparison.Ordinal);
    }

    [Fact]
    public void Stage_DamagedPart_SaysHowToMend()
    {
        Task("fill");
        string part = Path.Combine(Shared, "parts", "heights-000002.bin");
        byte[] bytes = File.ReadAllBytes(part);
        bytes[^5] ^= 1;
        File.WriteAllBytes(part, bytes);
        Assert.Contains("heights-000002.bin is damaged: delete it, and run the stage fill again", Refused(Task("route")), StringComparison.Ordinal);
        File.Delete(part);
        Task("fill");
        Assert.Equal(0, Task("route").Exit);
    }

    [Fact]
    public void Gather_TileChangedSince_IsRefused()
    {
        Assert.All((string[])["fill", "route", "finish"], stage => Assert.Equal(0, Task(stage).Exit));
        string tile = Path.Combine(Shared, "area", "r002-c001.tif");
        byte[] bytes = File.ReadAllBytes(tile);
        bytes[^9] ^= 1;
        File.WriteAllBytes(tile, bytes);
        Assert.Contains("r002-c001.tif was changed since it was written", Refused(Gather()), StringComparison.Ordinal);
        Assert.False(File.Exists(Path.Combine(Shared, "filled.tif")));
    }

    [Theory]
    [InlineData("--stage fill --tile 300", "multiple of 256")]
    [InlineData("--stage begin", "write fill, route or finish")]
    [InlineData("--shard 1/2", "say which with --stage fill")]
    [InlineData("--stage fill --gather", "keep one of them")]
    [InlineData("--stage fill --shard 3/2", "as 3/8")]
    [InlineData("--stage fill --memory 1GB", "leave --memory out")]
    [InlineData("--stage fill --drop-spikes", "leave --drop-spikes out")]
    [InlineData("--stage fill --only order", "names none of them")]
    [InlineData("--gather", "No tiles were begun")]
    public void Stage_WrongOption_IsRefusedAndNothingIsWritten(string options, string told)
    {
        string sentence = Refused(Cli.Run(["drainage", "--dem", Dem, "--out", Shared, .. options.Split(' ')]));
        Assert.Contains(told, sentence, StringComparison.Ordinal);
        Assert.False(Directory.Exists(Shared));
    }

    [Fact]
    public void Stage_FolderOfSomethingElse_IsLeftAlone()
    {
        Directory.CreateDirectory(Shared);
        File.WriteAllText(Path.Combine(Shared, "notes.txt"), "mine");
        Assert.Contains("no tiles were begun in it", Refused(Task("fill")), StringComparison.Ordinal);
        Assert.Single(Directory.EnumerateFileSystemEntries(Shared));
    }

    [Fact]
    public void Stage_Only_WritesWhatIsAskedFor()
    {
        Assert.All((string[])["fill", "route", "finish"], stage => Assert.Equal(0, Cli.Run("drainage", "--dem", Dem, "--out", Shared, "--tile", "256", "--only", "area", "--stage", stage, "--at-once", "3").Exit));
        Assert.False(Directory.Exists(Path.Combine(Shared, "filled")) || Directory.Exists(Path.Combine(Shared, "directions")));

        // What is asked for later is made then.
        Assert.StartsWith("9 tiles finished now", Cli.Run("drainage", "--dem", Dem, "--out", Shared, "--tile", "256", "--only", "area,directions", "--stage", "finish").Output, StringComparison.Ordinal);
    }

    private static string Refused(CliResult run)
    {
        Assert.Equal(2, run.Exit);
        Assert.Single(run.Error.Trim().Split('\n'));
        return run.Error;
    }
}
