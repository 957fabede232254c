using Keyline.Elevation;

namespace Keyline.Landform;

/// <summary>Where the catchments of neighbouring valleys meet.</summary>
/// <remarks>
/// <para>Units: metres. Missing: belongs to no catchment. Ground that drains to no valley parts none.</para>
/// <para>Cost: O(n); 6 bytes a cell while it runs.</para>
/// <para>Source: own; each cell takes the valley that the drainage tree leads it to.</para>
/// </remarks>
internal static class CatchmentDivides
{
    /// <summary>Cells at the border between the catchments of two valleys, and those within a width of it in metres.</summary>
    public static bool[] Find(DrainageTree tree, List<Stem> valleys, double width)
    {
        GridFrame f = tree.Frame;
        int[] basin = new int[tree.Area.Length];
        foreach (Stem s in valleys)
        {
            for (int i = 0; i < s.OwnCells; i++)
            {
                basin[s.Cells[i]] = s.Id + 1;
            }
        }

        for (int i = tree.Order.Length - 1; i >= 0; i--)
        {
            int c = tree.Order[i];
            int to = tree.Downstream[c];
            if (basin[c] == 0 && to >= 0)
            {
                basin[c] = basin[to];
            }
        }

        bool[] divide = new bool[basin.Length];
        for (int r = 0; r < f.Rows; r++)
        {
            for (int c = 0; c < f.Columns; c++)
            {
                int at = (r * f.Columns) + c;
                bool right = c + 1 < f.Columns && Differ(basin[at], basin[at + 1]);
                bool below = r + 1 < f.Rows && Differ(basin[at], basin[at + f.Columns]);
                divide[at] = right || below;
            }
        }

        return Widen(f, divide, (int)Math.Ceiling(width / f.CellSize));
    }

    private static bool Differ(int a, int b) => a != b && a > 0 && b > 0;

    private static bool[] Widen(GridFrame f, bool[] cells, int by)
    {
        bool[] across = new bool[cells.Length];
        bool[] wide = new bool[cells.Length];
        for (int r = 0; r < f.Rows; r++)
        {
            for (int c = 0; c < f.Columns; c++)
            {
                if (cells[(r * f.Columns) + c])
                {
                    int from = (r * f.Columns) + Math.Max(0, c - by);
                    int to = (r * f.Columns) + Math.Min(f.Columns - 1, c + by);
                    across.AsSpan(from, to - from + 1).Fill(true);
                }
            }
        }

        for (int r = 0; r < f.Rows; r++)
        {
            for (int k = Math.Max(0, r - by); k <= Math.Min(f.Rows - 1, r + by); k++)
            {
                for (int c = 0; c < f.Columns; c++)
                {
                    wide[(r * f.Columns) + c] |= across[(k * f.Columns) + c];
                }
            }
        }

        return wide;
    }

    /// <summary>Cells within a number of cells of a valley line.</summary>
    public static bool[] NearValleys(GridFrame f, List<Stem> valleys, int by)
    {
        bool[] cells = new bool[checked((int)f.CellCount)];
        foreach (Stem s in valleys)
        {
            foreach (int c in s.Cells)
            {
                cells[c] = true;
            }
        }

        return Widen(f, cells, by);
    }
}
