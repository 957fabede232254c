using System.Diagnostics;
using Keyline.Drainage;
using Keyline.Elevation;

namespace Keyline.Benchmarks;

/// <summary>Times drainage in tiles, all stages and joins, with parts kept in memory.</summary>
internal static class TiledTimes
{
    private const int Side = 256;

    /// <summary>Nanoseconds of processor time a cell of a grid of some side.</summary>
    public static double PerCell(int side)
    {
        RepeatedGround ground = new(side);
        TiledDrainage tiles = new(ground.Frame, Side, new Shelf());
        TimeSpan cpu = Process.GetCurrentProcess().TotalProcessorTime;
        for (int t = 0; t < tiles.Count; t++)
        {
            tiles.Fill(t, ground);
        }

        tiles.JoinLevels();
        for (int t = 0; t < tiles.Count; t++)
        {
            tiles.Route(t);
        }

        tiles.JoinFlow();
        for (int t = 0; t < tiles.Count; t++)
        {
            tiles.Finish(t);
        }

        return (Process.GetCurrentProcess().TotalProcessorTime - cpu).TotalNanoseconds / side / side;
    }

    private sealed class Shelf : IDrainageShelf
    {
        private readonly Dictionary<(DrainagePart, int), byte[]> _parts = [];

        public void Put(DrainagePart part, int tile, ReadOnlySpan<byte> bytes) => _parts[(part, tile)] = bytes.ToArray();

        public byte[] Take(DrainagePart part, int tile) => _parts[(part, tile)];

        public void Take(DrainagePart part, int tile, Span<byte> bytes) => _parts[(part, tile)].CopyTo(bytes);
    }
}
