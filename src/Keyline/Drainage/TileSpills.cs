using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>A sill between two labels: water at one reaches the other when it stands this high. Label 0 is outside.</summary>
internal readonly record struct Sill(int A, int B, float Height);

/// <summary>What is known of a tile once it is filled within itself: its labels, the sills between them, and its rim.</summary>
internal sealed class TileSpills
{
    /// <summary>Sides of a tile: north, east, south, west.</summary>
    public const int Sides = 4;

    private readonly int[][] _rimLabels = [[], [], [], []];
    private readonly float[][] _rimHeights = [[], [], [], []];
    private readonly List<(int Row, int Column, float Height)> _pits = [];
    private readonly List<Sill> _sills = [];
    private readonly int _rows;
    private readonly int _columns;

    public TileSpills(in CellTile tile)
    {
        _rows = tile.Rows;
        _columns = tile.Columns;
        bool[] edge = [tile.OnNorth, tile.OnEast, tile.OnSouth, tile.OnWest];
        for (int side = 0; side < Sides; side++)
        {
            if (!edge[side])
            {
                _rimLabels[side] = new int[LengthOf(side)];
                _rimHeights[side] = new float[LengthOf(side)];
            }
        }
    }

    /// <summary>Labels of the tile, numbered from 1; the pit at the bottom of each.</summary>
    public IReadOnlyList<(int Row, int Column, float Height)> Pits => _pits;

    /// <summary>Sills between labels of this tile.</summary>
    public IReadOnlyList<Sill> Sills => _sills;

    public bool HasNeighbour(int side) => _rimLabels[side].Length > 0;

    /// <summary>Cells along a side.</summary>
    public int LengthOf(int side) => (side & 1) == 0 ? _columns : _rows;

    /// <summary>The k-th cell of a side, from west or north.</summary>
    public (int Row, int Column) CellOf(int side, int k) => side switch
    {
        0 => (0, k),
        1 => (k, _columns - 1),
        2 => (_rows - 1, k),
        _ => (k, 0),
    };

    public ReadOnlySpan<int> RimLabels(int side) => _rimLabels[side];

    /// <summary>Heights along a side before anything was raised; NaN for missing.</summary>
    public ReadOnlySpan<float> RimHeights(int side) => _rimHeights[side];

    /// <summary>What is known of a tile as another run wrote it.</summary>
    public static TileSpills Read(PartReader from, in CellTile tile)
    {
        TileSpills spills = new(tile);
        for (int side = 0; side < Sides; side++)
        {
            from.Take<int>(spills._rimLabels[side]);
            from.Take<float>(spills._rimHeights[side]);
        }

        spills._pits.AddRange(from.TakeMany<Pit>().Select(pit => (pit.Row, pit.Column, pit.Height)));
        spills._sills.AddRange(from.TakeMany<Sill>());
        return spills;
    }

    public void Write(PartWriter to)
    {
        for (int side = 0; side < Sides; side++)
        {
            to.Add<int>(_rimLabels[side]);
            to.Add<float>(_rimHeights[side]);
        }

        to.AddMany<Pit>([.. _pits.Select(pit => new Pit(pit.Row, pit.Column, pit.Height))]);
        to.AddMany<Sill>([.. _sills]);
    }

    public int AddLabel(int row, int column, float height)
    {
        _pits.Add((row, column, height));
        return _pits.Count;
    }

    public void AddSill(int a, int b, float height) => _sills.Add(new Sill(a, b, height));

    public void SetRim(int side, int k, int label, float height)
    {
        _rimLabels[side][k] = label;
        _rimHeights[side][k] = height;
    }

    private readonly record struct Pit(int Row, int Column, float Height);
}
