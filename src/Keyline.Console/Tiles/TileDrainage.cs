using System.Security.Cryptography;
using Keyline.Console.Cli;
using Keyline.Console.Commands;
using Keyline.Console.Views;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Formats;

namespace Keyline.Console.Tiles;

/// <summary><c>keyline drainage --stage</c> and <c>--gather</c>: ground larger than memory, tile by tile, by one task or many.</summary>
internal static class TileDrainage
{
    public static int Run(Arguments arguments, FileChoice choice, IReadOnlyCollection<string> names, string list, RunContext context)
    {
        TileRequest request = TileRequest.From(arguments, choice);
        using GeoTiffMosaicSource ground = GeoTiffMosaicSource.Open(request.Ground.Paths, request.Ground.Options);
        TileFolder folder = new(Path.GetFullPath(request.OutPath), request.Key);
        TileRun run = new(request, folder, ground.Frame, ground.Crs, context);
        folder.Open(request, run.Tiles, ground.Files);
        try
        {
            using ProgressLine progress = new(context, arguments.Has(OptionSpec.Quiet));
            if (request.Stage is null)
            {
                return Gather(request, folder, run, ground, names, list, progress, arguments, context);
            }

            run.Run(progress);
        }
        catch (OperationCanceledException) when (context.Stop.IsCancellationRequested)
        {
            context.State.SayStopped(context.Error, "Stopped; tiles that were done stay, and the same command goes on from there.");
            return ExitCode.StoppedBy(context.Signal());
        }

        Screen.Show(new TileView(request.Stage.Value, run.Made, run.Done, run.Count, run.IsWhole, request.OutPath), arguments, context);
        return ExitCode.Done;
    }

    // Coded tiles are copied as they are, so that the files are those that one process writes, and little is held.
    private static int Gather(
        TileRequest request, TileFolder folder, TileRun run, GeoTiffMosaicSource ground, IReadOnlyCollection<string> names, string list, ProgressLine progress, Arguments arguments, RunContext context)
    {
        TileResults[] wanted = [.. TileResults.All.Where(r => request.Choice.Wants(r.FileName))];
        foreach (TileStage stage in wanted.Select(r => r.Stage).Distinct())
        {
            run.Need(stage, progress);
        }

        RasterOrigin origin = new(Path.GetFileName(ground.Files[0]), [.. ground.Files.Select(f => PlanInput.Of("dem", f))], ground.Crs, ground.Frame, ground.Notes);
        RasterView made;
        using OutputFolder output = OutputFolder.Begin(request.OutPath, overwrite: true, names);
        RasterFolder rasters = new(output, origin, progress, context.Stop);
        foreach (TileResults results in wanted)
        {
            (double least, double greatest, long missing) = (double.PositiveInfinity, double.NegativeInfinity, 0);
            for (int t = 0; t < run.Count; t++)
            {
                TileFile file = folder.RecordOf(results.Stage, t)!.Files.Single(f => f.Name == TileFolder.ResultName(results, run.Tiles, t));
                (double low, double high, long gone) = file.Range!.Value;
                (least, greatest, missing) = (Math.Min(least, low), Math.Max(greatest, high), missing + gone);
            }

            rasters.WriteFrom(results.FileName, results.What, results.Unit, (least, greatest, missing), stream => Copy(stream, results, folder, run.Tiles, request.Side, ground, context.Stop));
        }

        made = rasters.Finish(list, new TiledDrainageSettings(request.Side));
        return RasterCommand.Commit(made, output, arguments, context);
    }

    private static void Copy(Stream to, TileResults results, TileFolder folder, TiledDrainage tiles, int side, GeoTiffMosaicSource ground, CancellationToken stop)
    {
        Stream OpenTile(int row, int column)
        {
            int tile = (row / side * tiles.Across) + (column / side);
            string name = TileFolder.ResultName(results, tiles, tile), path = folder.At(name);
            FileStream file = new(path, FileMode.Open, FileAccess.Read, FileShare.Read, 1 << 16);
            if (folder.RecordOf(results.Stage, tile)?.Files.FirstOrDefault(f => f.Name == name)?.Sha256 != Convert.ToHexStringLower(SHA256.HashData(file)))
            {
                file.Dispose();
                throw new GroundDataException($"{path} was changed since it was written: delete it, and run {OptionSpec.Stage.Flag} {results.Stage.Word()} again, which makes only what is missing.");
            }

            file.Position = 0;
            return file;
        }

        if (results == TileResults.Area)
        {
            GeoTiffWriter.WriteFromFiles<double>(to, ground.Frame, side, OpenTile, ground.Crs, results.Options, stop);
        }
        else
        {
            GeoTiffWriter.WriteFromFiles<float>(to, ground.Frame, side, OpenTile, ground.Crs, results.Options, stop);
        }
    }
}
