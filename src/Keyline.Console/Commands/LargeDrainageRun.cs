using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Drainage;
using Keyline.Formats;

namespace Keyline.Console.Commands;

/// <summary><c>keyline drainage --memory</c>: a GeoTIFF larger than memory, tile by tile, through scratch files in the output folder.</summary>
internal static class LargeDrainageRun
{
    private const string Scratch = "scratch";
    private static readonly string[] Files = ["filled.tif", "directions.tif", "area.tif"];

    // Beyond the tiles themselves go the program, the blocks kept while reading, and a row of tiles while writing.
    private const long Beside = 192L << 20;

    private static readonly OptionSpec[] NotHere =
        [OptionSpec.ChannelArea, OptionSpec.CutDepth, OptionSpec.CutLength, OptionSpec.Shared, OptionSpec.Outlets, OptionSpec.HollowDepth, OptionSpec.FillHoles, OptionSpec.DropSpikes];

    public static int Run(Arguments arguments, long bytes, FileChoice choice, IReadOnlyCollection<string> names, string list, RunContext context)
    {
        if (Array.Find(NotHere, arguments.Has) is { } other)
        {
            throw new UsageException($"{arguments[OptionSpec.Memory]!.Where} makes filled heights, directions and area only: leave {other.Flag} out, or work on a part that fits in memory.");
        }

        if (arguments[OptionSpec.Only] is { } only && !choice.WantsAny(Files))
        {
            throw new UsageException($"{arguments[OptionSpec.Memory]!.Where} makes filled heights, directions and area only, and {only.Where} names none of them: leave one of the two out.");
        }

        if (bytes <= Beside)
        {
            throw new UsageException($"{arguments[OptionSpec.Memory]!.Where} is {arguments[OptionSpec.Memory]!.Text.Trim()}: give more than {Beside >> 20} MB.");
        }

        GroundRequest request = GroundRequest.From(arguments, "drainage");
        string dem = request.SingleFile(arguments[OptionSpec.Memory]!.Where);
        Setting target = arguments.Need(OptionSpec.Out, "drainage", "The folder to write");
        using OutputFolder folder = OutputFolder.Begin(target.Text, arguments.Has(OptionSpec.Overwrite), names);
        RasterView made;
        using (ProgressLine progress = new(context, arguments.Has(OptionSpec.Quiet)))
        {
            progress.Show("opening the ground");
            using GeoTiffGridSource ground = GeoTiffGridSource.Open(dem, request.Options);
            RasterOrigin origin = new(Path.GetFileName(dem), [PlanInput.Of("dem", dem)], ground.Crs, ground.Frame, ground.Notes);
            made = Work(ground, new RasterFolder(folder, origin, progress, context.Stop), folder, bytes, choice, list, progress, context.Stop);
        }

        Directory.Delete(Path.Combine(folder.Partial, Scratch), true);
        return RasterCommand.Commit(made, folder, arguments, context);
    }

    private static RasterView Work(
        GeoTiffGridSource ground, RasterFolder rasters, OutputFolder folder, long bytes, FileChoice choice, string list, ProgressLine progress, CancellationToken stop)
    {
        string scratch = Path.Combine(folder.Partial, Scratch);
        Directory.CreateDirectory(scratch);
        using RawGridStore<float> filled = new(Path.Combine(scratch, "filled"), ground.Frame);
        using RawGridStore<byte> directions = new(Path.Combine(scratch, "directions"), ground.Frame);
        using RawGridStore<double> area = new(Path.Combine(scratch, "area"), ground.Frame);
        LargeDrainage.Run(
            ground,
            new LargeDrainageStores { Filled = filled, Directions = directions, Area = area },
            new LargeDrainageOptions { MaximumBytes = bytes - Beside },
            new Share(progress),
            stop);
        if (choice.Wants(Files[0]))
        {
            rasters.Write(Files[0], "heights with hollows filled", "m", filled, float.NaN, heights: true);
        }

        if (choice.Wants(Files[1]))
        {
            rasters.Write(Files[1], "way down, clockwise from north", "degrees", DirectionDegrees.Of(directions), float.NaN, recur: true);
        }

        if (choice.Wants(Files[2]))
        {
            rasters.Write(Files[2], "ground that drains through", "m2", area, double.NaN, recur: true);
        }

        return rasters.Finish(list, new LargeDrainageSettings(bytes));
    }

    private sealed class Share(ProgressLine progress) : IProgress<double>
    {
        public void Report(double value) => progress.Show("routing water", value);
    }
}
