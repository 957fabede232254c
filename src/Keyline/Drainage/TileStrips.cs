using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>The two outermost rows and columns of a tile that is filled within itself: what the tiles beside it need of it to be routed.</summary>
/// <remarks>A cell stands at its own height or at the level of its label, whichever is higher.</remarks>
internal sealed class TileStrips
{
    /// <summary>Cells from the rim inward.</summary>
    public const int Depth = 2;

    private readonly CellRange _range;
    private readonly CellRange[] _parts;
    private readonly float[][] _heights;
    private readonly int[][] _labels;

    private TileStrips(CellRange range)
    {
        int rows = Math.Min(Depth, range.Rows);
        int columns = Math.Min(Depth, range.Columns);
        _range = range;
        _parts =
        [
            new CellRange(0, 0, rows, range.Columns), new CellRange(range.Rows - rows, 0, rows, range.Columns),
            new CellRange(0, 0, range.Rows, columns), new CellRange(0, range.Columns - columns, range.Rows, columns),
        ];
        _heights = Array.ConvertAll(_parts, part => new float[part.CellCount]);
        _labels = Array.ConvertAll(_parts, part => new int[part.CellCount]);
    }

    /// <summary>Takes the strips of a tile that was just run.</summary>
    public static TileStrips Of(SpillTile run, float[] z, in CellTile tile)
    {
        TileStrips strips = new(tile.Range);
        for (int p = 0; p < strips._parts.Length; p++)
        {
            CellRange part = strips._parts[p];
            for (int i = 0; i < part.CellCount; i++)
            {
                int row = part.Row + (i / part.Columns);
                int column = part.Column + (i % part.Columns);
                strips._heights[p][i] = z[tile.At(row, column)];
                strips._labels[p][i] = run.LabelOf(z, tile, row, column);
            }
        }

        return strips;
    }

    public static TileStrips Read(PartReader from, CellRange range)
    {
        TileStrips strips = new(range);
        for (int p = 0; p < strips._parts.Length; p++)
        {
            from.Take<float>(strips._heights[p]);
            from.Take<int>(strips._labels[p]);
        }

        return strips;
    }

    public void Write(PartWriter to)
    {
        for (int p = 0; p < _parts.Length; p++)
        {
            to.Add<float>(_heights[p]);
            to.Add<int>(_labels[p]);
        }
    }

    /// <summary>Puts the filled heights of the strips into a window that reaches over them.</summary>
    public void CopyTo(float[] levels, HeightWindow window)
    {
        CellRange wide = window.Range;
        for (int p = 0; p < _parts.Length; p++)
        {
            CellRange part = _parts[p];
            int top = Math.Max(wide.Row, _range.Row + part.Row);
            int bottom = Math.Min(wide.Row + wide.Rows, _range.Row + part.Row + part.Rows);
            int left = Math.Max(wide.Column, _range.Column + part.Column);
            int right = Math.Min(wide.Column + wide.Columns, _range.Column + part.Column + part.Columns);
            for (int row = top; row < bottom; row++)
            {
                for (int column = left; column < right; column++)
                {
                    int at = ((row - _range.Row - part.Row) * part.Columns) + column - _range.Column - part.Column;
                    int label = _labels[p][at];
                    float height = _heights[p][at];

                    // A missing height stays missing: no comparison holds for it.
                    window.Heights[((row - wide.Row) * wide.Columns) + column - wide.Column] = label > 0 && height < levels[label] ? levels[label] : height;
                }
            }
        }
    }
}
