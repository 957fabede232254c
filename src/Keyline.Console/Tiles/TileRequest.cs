using System.Security.Cryptography;
using System.Text;
using Keyline.Console.Cli;
using Keyline.Console.Commands;
using Keyline.Formats;

namespace Keyline.Console.Tiles;

/// <summary>Which stage of a large drainage is to be done, over which elevation, and for which tiles.</summary>
internal sealed class TileRequest
{
    private const int DefaultSide = 4096;

    // What needs the whole ground at once is not made tile by tile.
    private static readonly OptionSpec[] NotHere =
    [
        OptionSpec.ChannelArea, OptionSpec.CutDepth, OptionSpec.CutLength, OptionSpec.Shared, OptionSpec.Outlets, OptionSpec.HollowDepth, OptionSpec.FillHoles, OptionSpec.DropSpikes,
        OptionSpec.Surface, OptionSpec.Cell, OptionSpec.KeepSuspects, OptionSpec.Memory, OptionSpec.Overwrite,
    ];

    public required GroundRequest Ground { get; init; }

    public required string OutPath { get; init; }

    /// <summary>The stage; null where the files of the tiles are only gathered.</summary>
    public required TileStage? Stage { get; init; }

    /// <summary>Cells along the side of a tile.</summary>
    public required int Side { get; init; }

    public required ShareChoice Share { get; init; }

    public required int AtOnce { get; init; }

    public required FileChoice Choice { get; init; }

    /// <summary>A digest of what the tiles are made from: the program's version, the options, and the length and time of change of every file.</summary>
    public required string Key { get; init; }

    /// <summary>Whether a call asks for work tile by tile.</summary>
    public static bool IsAsked(Arguments arguments) =>
        ((OptionSpec[])[OptionSpec.Stage, OptionSpec.Tile, OptionSpec.Shard, OptionSpec.Gather, OptionSpec.AtOnce]).Any(arguments.Has);

    /// <summary>Reads a request.</summary>
    /// <exception cref="UsageException">Something is missing or does not go together.</exception>
    public static TileRequest From(Arguments arguments, FileChoice choice)
    {
        Setting? stage = arguments[OptionSpec.Stage];
        if (stage is null == !arguments.Has(OptionSpec.Gather))
        {
            throw new UsageException(stage is null
                ? $"Tile by tile the work goes in stages: say which with {OptionSpec.Stage.Flag} fill, then route, then finish; {OptionSpec.Gather.Flag} then makes one file of each kind."
                : $"{OptionSpec.Gather.Flag} puts finished tiles together and {stage.Where} makes them: keep one of them.");
        }

        if (Array.Find(NotHere, arguments.Has) is { } other)
        {
            throw new UsageException($"{(stage is null ? OptionSpec.Gather.Flag : stage.Where)} makes filled heights, directions and area of the elevation as it is, tile by tile: leave {other.Flag} out.");
        }

        if (arguments[OptionSpec.Only] is { } only && !choice.WantsAny([.. TileResults.All.Select(r => r.FileName)]))
        {
            throw new UsageException($"Tile by tile filled heights, directions and area are made, and {only.Where} names none of them: leave it out.");
        }

        int side = arguments.Whole(OptionSpec.Tile, GeoTiffWriter.TileSide, Drainage.TiledDrainage.MostSide) ?? DefaultSide;
        if (side % GeoTiffWriter.TileSide != 0)
        {
            throw new UsageException($"{arguments[OptionSpec.Tile]!.Where} is {side}: give a multiple of {GeoTiffWriter.TileSide}, as {DefaultSide}; that is how the files are cut within.");
        }

        GroundRequest ground = GroundRequest.From(arguments, "drainage");
        return new TileRequest
        {
            Ground = ground,
            OutPath = arguments.Need(OptionSpec.Out, "drainage", "The folder that all tasks share").Text,
            Stage = stage is null ? null : TileStages.Of(stage),
            Side = side,
            Share = ShareChoice.From(arguments[OptionSpec.Shard]),
            AtOnce = arguments.Whole(OptionSpec.AtOnce, 1, 256) ?? 1,
            Choice = choice,
            Key = KeyOf(arguments, ground, side),
        };
    }

    private static string KeyOf(Arguments arguments, GroundRequest ground, int side)
    {
        StringBuilder text = new(FormattableString.Invariant($"{Product.Version}|{side}"));
        foreach (OptionSpec option in (OptionSpec[])[OptionSpec.Crs, OptionSpec.HeightUnit, OptionSpec.Missing])
        {
            text.Append('|').Append(arguments[option]?.Text.Trim());
        }

        foreach (string path in ground.Paths)
        {
            FileInfo[] files = Directory.Exists(path) ? [.. new DirectoryInfo(path).EnumerateFiles().OrderBy(f => f.Name, StringComparer.Ordinal)] : [new FileInfo(path)];
            foreach (FileInfo file in files)
            {
                text.Append(FormattableString.Invariant($"|{file.Name}|{file.Length}|{file.LastWriteTimeUtc.Ticks}"));
            }
        }

        return Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text.ToString())));
    }
}
