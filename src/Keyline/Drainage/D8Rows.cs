using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Directions of a rectangle of cells by steepest drop; level ground is left without flow.</summary>
internal static class D8Rows
{
    /// <summary>Finds the directions of some cells. A cell with no lower neighbour that lies beside a missing one or on the
    /// edge drains outward.</summary>
    /// <param name="heights">Heights of the cells and of those around them.</param>
    /// <param name="cells">Which cells.</param>
    /// <param name="codes">Where the codes go.</param>
    /// <param name="offset">Place of the first code.</param>
    /// <param name="stride">Places from one row of codes to the next.</param>
    public static void Route(in HeightWindow heights, CellRange cells, byte[] codes, int offset, int stride)
    {
        int width = cells.Columns + 2;
        float[] north = new float[width];
        float[] here = new float[width];
        float[] south = new float[width];
        heights.CopyRow(cells.Row - 1, cells.Column - 1, north);
        heights.CopyRow(cells.Row, cells.Column - 1, here);
        for (int r = 0; r < cells.Rows; r++)
        {
            heights.CopyRow(cells.Row + r + 1, cells.Column - 1, south);
            Span<byte> row = codes.AsSpan(offset + (r * stride), cells.Columns);
            NeighbourRows.OfRow<SteepestDrop>(north, here, south, row);
            for (int c = row.IndexOf(FlowCode.None); c >= 0 && c < row.Length; c++)
            {
                if (row[c] == FlowCode.None && !float.IsNaN(here[c + 1]))
                {
                    row[c] = Outward(north.AsSpan(c, 3), here.AsSpan(c, 3), south.AsSpan(c, 3));
                }

                int next = row[(c + 1)..].IndexOf(FlowCode.None);
                if (next < 0)
                {
                    break;
                }

                c += next;
            }

            (north, here, south) = (here, south, north);
        }
    }

    /// <summary>The direction of the cell in the middle of three rows of three: the steepest drop, else outward, else no flow.</summary>
    public static byte OfCell(ReadOnlySpan<float> north, ReadOnlySpan<float> here, ReadOnlySpan<float> south)
    {
        byte code = SteepestDrop.OfCell(north, here, south);
        return code == FlowCode.None && !float.IsNaN(here[1]) ? Outward(north, here, south) : code;
    }

    private static byte Outward(ReadOnlySpan<float> north, ReadOnlySpan<float> here, ReadOnlySpan<float> south)
    {
        foreach (byte direction in FlowCode.SidesFirst)
        {
            int column = 1 + Neighbours.ColumnStep(direction);
            ReadOnlySpan<float> row = Neighbours.RowStep(direction) switch
            {
                < 0 => north,
                0 => here,
                _ => south,
            };
            if (float.IsNaN(row[column]))
            {
                return direction;
            }
        }

        return FlowCode.None;
    }
}
