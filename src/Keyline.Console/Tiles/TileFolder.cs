using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Drainage;
using Keyline.Formats;

namespace Keyline.Console.Tiles;

/// <summary>The folder that all tasks of a large drainage share: the tiles' files, the parts that stages leave for each other, and a record of each tile
/// and join that is done.</summary>
/// <remarks>Files take their places whole, and a record comes after the files it is of; so a task that was killed leaves nothing that counts, and two that
/// do the same tile put the same bytes.</remarks>
internal sealed class TileFolder(string path, string key)
{
    private const string MarkName = "tiles.json";

    public string Key => key;

    /// <summary>Opens the folder, or begins one.</summary>
    /// <exception cref="UsageException">It holds something else, or tiles of another source or size; or it cannot be written.</exception>
    public void Open(TileRequest request, TiledDrainage tiles, IReadOnlyList<string> files)
    {
        string mark = Path.Combine(path, MarkName);
        try
        {
            if (File.Exists(path))
            {
                throw new UsageException($"The output {path} is a file: give a folder with {OptionSpec.Out.Flag}.");
            }

            // Another task may be putting the mark there at this very moment.
            if (!File.Exists(mark) && Directory.Exists(path) && Directory.EnumerateFileSystemEntries(path).Any(e => !Path.GetFileName(e).StartsWith(MarkName, StringComparison.Ordinal)))
            {
                throw new UsageException($"The output folder {path} exists and no tiles were begun in it: choose another with {OptionSpec.Out.Flag}.");
            }

            if (!File.Exists(mark))
            {
                if (request.Stage != TileStage.Fill)
                {
                    throw new UsageException($"No tiles were begun in {path}: {OptionSpec.Stage.Flag} fill comes first; or check {OptionSpec.Out.Flag}.");
                }

                Directory.CreateDirectory(path);
                WriteJson(mark, json =>
                {
                    json.WriteString("version", Product.Version);
                    json.WriteString("key", key);
                    json.WriteString("source", string.Join(", ", files.Take(3).Select(Path.GetFileName)) + (files.Count > 3 ? FormattableString.Invariant($" and {files.Count - 3} more") : ""));
                    json.WriteNumber("tile", request.Side);
                    json.WriteNumber("rows", tiles.Frame.Rows);
                    json.WriteNumber("columns", tiles.Frame.Columns);
                });
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new UsageException($"The output folder {path} cannot be written ({e.Message.ReplaceLineEndings(" ").TrimEnd('.')}): choose another with {OptionSpec.Out.Flag}.");
        }

        CheckMark(mark, request.Side);
    }

    /// <summary>Whether a tile is done in a stage: its record is of this source, and every file it names is there.</summary>
    /// <param name="stage">The stage.</param>
    /// <param name="tile">The tile's number.</param>
    /// <param name="needed">Folders of results that must be among its files.</param>
    public bool IsDone(TileStage stage, int tile, IEnumerable<string> needed) =>
        TileRecord.Read(RecordPath(stage, tile)) is { } record && record.Key == key
        && record.Files.All(f => new FileInfo(Path.Combine(path, f.Name)) is { Exists: true } file && file.Length == f.Bytes)
        && needed.All(n => record.Files.Any(f => f.Name.StartsWith(n + "/", StringComparison.Ordinal)));

    public bool IsJoined(TileStage stage) => TileRecord.Read(JoinPath(stage)) is { } record && record.Key == key
        && record.Files.All(f => new FileInfo(Path.Combine(path, f.Name)) is { Exists: true } file && file.Length == f.Bytes);

    public TileRecord? RecordOf(TileStage stage, int tile) => TileRecord.Read(RecordPath(stage, tile));

    public void Record(TileStage stage, int tile, TileRecord record) => Write(RecordPath(stage, tile), record);

    public void RecordJoin(TileStage stage, TileRecord record) => Write(JoinPath(stage), record);

    /// <summary>The name of a part, from the folder.</summary>
    public static string PartName(DrainagePart part, int tile) => FormattableString.Invariant($"parts/{part.ToString().ToLowerInvariant()}-{tile:D6}.bin");

    /// <summary>The name of a tile's file, from the folder, by the row and column of the tile.</summary>
    public static string ResultName(TileResults results, TiledDrainage tiles, int tile) =>
        FormattableString.Invariant($"{results.Name}/r{tile / tiles.Across:D3}-c{tile % tiles.Across:D3}.tif");

    public string At(string name) => Path.Combine(path, name);

    /// <summary>Writes a file beside its place and moves it there.</summary>
    public static void WriteWhole(string path, Action<FileStream> write)
    {
        using Beside beside = new(path);
        write(beside.Stream);
        beside.Commit();
    }

    /// <summary>Writes bytes and more bytes beside their place and moves them there.</summary>
    public static void WriteWhole(string path, ReadOnlySpan<byte> head, ReadOnlySpan<byte> bytes)
    {
        using Beside beside = new(path);
        beside.Stream.Write(head);
        beside.Stream.Write(bytes);
        beside.Commit();
    }

    private static void Write(string to, TileRecord record) => WriteJson(to, record.Write);

    private static void WriteJson(string to, Action<Utf8JsonWriter> write) => WriteWhole(to, stream =>
    {
        using (Utf8JsonWriter json = new(stream, JsonText.Readable))
        {
            json.WriteStartObject();
            write(json);
            json.WriteEndObject();
        }

        stream.Write("\n"u8);
    });

    private string RecordPath(TileStage stage, int tile) => Path.Combine(path, "done", FormattableString.Invariant($"{stage.Word()}-{tile:D6}.json"));

    private string JoinPath(TileStage stage) => Path.Combine(path, "done", $"{stage.Word()}-joined.json");

    private void CheckMark(string mark, int side)
    {
        try
        {
            using FileStream stream = new(mark, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
            using JsonDocument document = JsonDocument.Parse(stream);
            JsonElement root = document.RootElement;
            int cut = root.GetProperty("tile").GetInt32();
            if (cut != side)
            {
                throw new UsageException($"The tiles in {path} are {cut} cells wide and {side} are asked for: add {OptionSpec.Tile.Flag} {cut}, or choose another folder with {OptionSpec.Out.Flag}.");
            }

            if (root.GetProperty("key").GetString() != key)
            {
                throw new UsageException($"The tiles in {path} were begun from other elevation, options or version of the program (from {root.GetProperty("source").GetString()} by keyline {root.GetProperty("version").GetString()}), or the elevation was changed since: give the same again, or choose another folder with {OptionSpec.Out.Flag}.");
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or JsonException or KeyNotFoundException or InvalidOperationException)
        {
            throw new UsageException($"The file {MarkName} in {path} cannot be read, which says what the tiles are of: choose another folder with {OptionSpec.Out.Flag}.");
        }
    }

    // Tasks on several machines may share the folder, and a number of a process; one process never does a tile twice at once.
    private sealed class Beside : IDisposable
    {
        private readonly string _path;
        private readonly string _name;
        private bool _committed;

        public Beside(string path)
        {
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            (_path, _name) = (path, FormattableString.Invariant($"{path}.{Environment.MachineName}-{Environment.ProcessId}.new"));
            Stream = new FileStream(_name, FileMode.Create, FileAccess.ReadWrite, FileShare.None, 1 << 16);
        }

        public FileStream Stream { get; }

        public void Commit()
        {
            Stream.Dispose();
            File.Move(_name, _path, overwrite: true);
            _committed = true;
        }

        public void Dispose()
        {
            Stream.Dispose();
            if (!_committed)
            {
                File.Delete(_name);
            }
        }
    }
}
