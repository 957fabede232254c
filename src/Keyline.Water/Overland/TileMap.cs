using Keyline.Elevation;

namespace Keyline.Water;

/// <summary>The grid in tiles: how deep water stands and how fast it runs in each, and which of them must be stepped often.</summary>
internal sealed class TileMap
{
    public const int Rows = 16;
    public const int Columns = 32;

    private static readonly int[] Parts = [1, 2, 3, 4, 6, 8, 12, 16];

    // What a tile's face costs more when stepped often, and how much faster water may get before it is looked at again.
    private const double DearPart = 1.15;
    private const double Margin = 1.2;

    // The crest of a flow down a slope runs faster than its water: Manning's equation.
    private const double CrestSpeed = 5.0 / 3;

    public TileMap(GridFrame frame, double storage)
    {
        _storage = storage;
        Down = ((frame.Rows - 1) / Rows) + 1;
        Across = ((frame.Columns - 1) / Columns) + 1;
        Deepest = new double[Down * Across];
        Fast = new bool[Down * Across];
        Live = new bool[Down * Across];
        Flowed = new bool[Down * Across];
        Speed = new float[Down * Across];
    }

    private readonly double _storage;

    public int Down { get; }

    public int Across { get; }

    /// <summary>Depth of the deepest water, metres.</summary>
    public double[] Deepest { get; }

    /// <summary>Whether the tile is stepped in parts.</summary>
    public bool[] Fast { get; }

    /// <summary>Whether water may run over its faces.</summary>
    public bool[] Live { get; }

    /// <summary>Whether its faces held flow.</summary>
    public bool[] Flowed { get; }

    /// <summary>Greatest speed over its faces, metres a second.</summary>
    public float[] Speed { get; }

    /// <summary>How many tiles are fast.</summary>
    public int FastCount { get; private set; }

    /// <summary>Number of the tile of a cell.</summary>
    public int Of(int row, int column) => (row / Rows * Across) + (column / Columns);

    /// <summary>Whether a tile, which may lie beside the grid, is fast.</summary>
    public bool IsFast(int down, int across) => (uint)down < (uint)Down && (uint)across < (uint)Across && Fast[(down * Across) + across];

    /// <summary>Marks live and fast tiles.</summary>
    /// <param name="cell">Metres.</param>
    /// <param name="courant">Share of a cell a crest may cross in a step.</param>
    /// <param name="longest">Longest step, seconds.</param>
    /// <returns>The step of the whole grid, and into how many the fast tiles part it.</returns>
    public (double Step, int Parts) Plan(double cell, double courant, double longest)
    {
        int live = 0;
        for (int r = 0; r < Down; r++)
        {
            for (int c = 0; c < Across; c++)
            {
                int t = (r * Across) + c;
                Live[t] = Runs(t) || (r > 0 && Runs(t - Across)) || (r < Down - 1 && Runs(t + Across)) || (c > 0 && Runs(t - 1)) || (c < Across - 1 && Runs(t + 1));
                live += Live[t] ? 1 : 0;
            }
        }

        // No crest may outrun what a face's waves are slowed to.
        double[] steps = [.. Speed.Select((v, t) => Runs(t) && v > 0 ? courant * cell / (CrestSpeed * Margin * v) : double.PositiveInfinity)];
        double shortest = Math.Min(longest, steps.Min());
        double best = double.PositiveInfinity;
        double step = shortest;
        int parts = 1;
        foreach (int m in Parts)
        {
            double whole = Math.Min(m * shortest, longest);
            double often = steps.Count(s => s < whole);
            double cost = ((live - often) / whole) + (DearPart * often / shortest);
            if (cost < best * (1 - 1e-9))
            {
                (best, step, parts) = (cost, whole, m);
            }
        }

        FastCount = 0;
        for (int t = 0; t < Fast.Length; t++)
        {
            Fast[t] = parts > 1 && steps[t] < step;
            FastCount += Fast[t] ? 1 : 0;
        }

        return (step, parts);
    }

    /// <summary>The longest runs of tiles of a band that are wanted.</summary>
    public IEnumerable<(int Start, int End)> Stretches(int band, Func<int, bool> wanted)
    {
        int first = band * Across;
        for (int c = 0; c < Across; c++)
        {
            int start = c;
            while (c < Across && wanted(first + c))
            {
                c++;
            }

            if (c > start)
            {
                yield return (start, c);
            }
        }
    }

    // Water no deeper than what stands on rough ground does not run.
    private bool Runs(int tile) => Deepest[tile] > _storage;
}
