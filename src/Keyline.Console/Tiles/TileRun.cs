using System.Collections.Concurrent;
using System.Diagnostics;
using System.Security.Cryptography;
using Keyline.Console.Cli;
using Keyline.Console.Commands;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Formats;

namespace Keyline.Console.Tiles;

/// <summary>Does one stage for a share of the tiles, and the join that follows it once all are done.</summary>
internal sealed class TileRun(TileRequest request, TileFolder folder, GridFrame frame, GroundCrs crs, RunContext context)
{
    private const int MostNamed = 5;

    private readonly TiledDrainage _tiles = new(frame, request.Side, new TileShelf(folder));

    /// <summary>Tiles done now.</summary>
    public int Made { get; private set; }

    /// <summary>Tiles of the stage that are done, by this task or another.</summary>
    public int Done { get; private set; }

    public int Count => _tiles.Count;

    public TiledDrainage Tiles => _tiles;

    /// <summary>Whether the stage is whole, its join included.</summary>
    public bool IsWhole { get; private set; }

    /// <summary>Does it.</summary>
    /// <exception cref="UsageException">The stage before is not whole.</exception>
    public void Run(ProgressLine progress)
    {
        TileStage stage = request.Stage!.Value;
        if (stage > TileStage.Fill)
        {
            Need(stage - 1, progress);
        }

        int[] all = [.. Enumerable.Range(0, Count)];
        ConcurrentQueue<int> due = new(all.Where(t => request.Share.Holds(t) && !IsDone(stage, t)));
        int wanted = due.Count, made = 0;
        WorkThreads.Together(context.Stop, [.. Enumerable.Range(0, Math.Min(request.AtOnce, Math.Max(wanted, 1))).Select(_ => (Action)(() =>
        {
            using Worker worker = new(request, folder, frame, crs);
            while (due.TryDequeue(out int tile))
            {
                context.Stop.ThrowIfCancellationRequested();
                progress.Show($"tile {made + 1} of {wanted}", (double)made / wanted);
                worker.Do(stage, tile, context.Stop);
                context.State.HasWritten = true;
                Interlocked.Increment(ref made);
            }
        }))]);
        Made = made;
        Done = all.Count(t => IsDone(stage, t));
        IsWhole = Done == Count && (stage == TileStage.Finish || Join(stage, progress));
    }

    /// <summary>Sees to it that a stage is whole.</summary>
    /// <exception cref="UsageException">Some of its tiles are not done.</exception>
    public void Need(TileStage stage, ProgressLine progress)
    {
        if (stage != TileStage.Finish && folder.IsJoined(stage))
        {
            return;
        }

        int[] missing = [.. Enumerable.Range(0, Count).Where(t => !IsDone(stage, t))];
        if (missing.Length > 0)
        {
            string named = string.Join(", ", missing.Take(MostNamed)) + (missing.Length > MostNamed ? " and so on" : "");
            throw new UsageException(FormattableString.Invariant(
                $"{missing.Length} of {Count} tiles are not {stage.Done()} yet ({(missing.Length == 1 ? "tile" : "tiles")} {named}): run {OptionSpec.Stage.Flag} {stage.Word()} first, which makes only what is missing, or wait for the tasks that are at it."));
        }

        // The last two tasks may not have seen each other's tile on a folder that is slow to tell.
        if (stage != TileStage.Finish)
        {
            Join(stage, progress);
        }
    }

    private bool IsDone(TileStage stage, int tile) =>
        folder.IsDone(stage, tile, TileResults.All.Where(r => r.Stage == stage && request.Choice.Wants(r.FileName)).Select(r => r.Name));

    private bool Join(TileStage stage, ProgressLine progress)
    {
        if (folder.IsJoined(stage))
        {
            return true;
        }

        progress.Show(stage == TileStage.Fill ? "joining the levels" : "joining the flow");
        long from = Stopwatch.GetTimestamp();
        TileShelf shelf = new(folder);
        TiledDrainage tiles = new(frame, request.Side, shelf);
        if (stage == TileStage.Fill)
        {
            tiles.JoinLevels(context.Stop);
        }
        else
        {
            tiles.JoinFlow(context.Stop);
        }

        folder.RecordJoin(stage, new TileRecord(folder.Key, shelf.TakePut(), Stopwatch.GetElapsedTime(from).TotalSeconds, Peak()));
        return true;
    }

    private static double Peak()
    {
        using Process self = Process.GetCurrentProcess();
        return self.PeakWorkingSet64 / 1e6;
    }

    /// <summary>What one thread does tiles with.</summary>
    private sealed class Worker : IDisposable
    {
        private readonly TileRequest _request;
        private readonly TileFolder _folder;
        private readonly GroundCrs _crs;
        private readonly TileShelf _shelf;
        private readonly TiledDrainage _tiles;
        private GeoTiffMosaicSource? _ground;

        public Worker(TileRequest request, TileFolder folder, GridFrame frame, GroundCrs crs)
        {
            (_request, _folder, _crs, _shelf) = (request, folder, crs, new TileShelf(folder));
            _tiles = new TiledDrainage(frame, request.Side, _shelf);
        }

        public void Do(TileStage stage, int tile, CancellationToken stop)
        {
            long from = Stopwatch.GetTimestamp();
            List<TileFile> files = [];
            switch (stage)
            {
                case TileStage.Fill:
                    _ground ??= GeoTiffMosaicSource.Open(_request.Ground.Paths, _request.Ground.Options);
                    _tiles.Fill(tile, _ground);
                    break;
                case TileStage.Route:
                    Grid<float> filled = _tiles.Route(tile, stop);
                    Write(TileResults.Filled, tile, new HeldGrid<float>(filled), ValueRange.Of(filled.Values, float.NaN), files, stop);
                    break;
                default:
                    (Grid<byte> codes, Grid<double> area) = _tiles.Finish(tile);
                    (double least, double greatest, long missing) = ValueRange.Of(codes.Values, D8Directions.NoFlow);
                    Write(TileResults.Directions, tile, DirectionDegrees.Of(new HeldGrid<byte>(codes)), (DirectionDegrees.PerCode * least, DirectionDegrees.PerCode * greatest, missing), files, stop);
                    Write(TileResults.Area, tile, new HeldGrid<double>(area), ValueRange.Of(area.Values, double.NaN), files, stop);
                    break;
            }

            files.InsertRange(0, _shelf.TakePut());
            _folder.Record(stage, tile, new TileRecord(_folder.Key, files, Stopwatch.GetElapsedTime(from).TotalSeconds, Peak()));
        }

        public void Dispose() => _ground?.Dispose();

        private void Write<T>(TileResults results, int tile, IGridSource<T> values, (double, double, long) range, List<TileFile> files, CancellationToken stop)
            where T : unmanaged
        {
            if (!_request.Choice.Wants(results.FileName))
            {
                return;
            }

            string name = TileFolder.ResultName(results, _tiles, tile), digest = "";
            long length = 0;
            TileFolder.WriteWhole(_folder.At(name), stream =>
            {
                GeoTiffWriter.Write(stream, values, _crs, results.Options, stop);
                stream.Position = 0;
                (digest, length) = (Convert.ToHexStringLower(SHA256.HashData(stream)), stream.Length);
            });
            files.Add(new TileFile(name, length, digest) { Range = range });
        }
    }

    /// <summary>A grid in memory, read as one that is not.</summary>
    private sealed class HeldGrid<T>(Grid<T> grid) : IGridSource<T>
        where T : unmanaged
    {
        public GridFrame Frame => grid.Frame;

        public void Read(CellRange range, Span<T> values)
        {
            for (int r = 0; r < range.Rows; r++)
            {
                grid.Row(range.Row + r).Slice(range.Column, range.Columns).CopyTo(values[(r * range.Columns)..]);
            }
        }
    }
}
