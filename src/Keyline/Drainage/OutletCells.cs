using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Cells through which water leaves the ground: those on the grid's edge and beside missing ground that reaches it.</summary>
/// <remarks>
/// <para>Units: none. Missing: holes of missing cells within the ground are no outlets.</para>
/// <para>Cost: O(n), 1 byte a cell beyond the result.</para>
/// <para>Source: own.</para>
/// </remarks>
internal static class OutletCells
{
    public static bool[] Find(GridFrame f, float[] z, CancellationToken cancellationToken)
    {
        bool[] outside = Outside(f, z, cancellationToken);
        bool[] outlet = new bool[z.Length];
        for (int r = 0; r < f.Rows; r++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            for (int c = 0; c < f.Columns; c++)
            {
                int at = (r * f.Columns) + c;
                outlet[at] = !float.IsNaN(z[at])
                    && (r == 0 || c == 0 || r == f.Rows - 1 || c == f.Columns - 1
                        || outside[at - 1] || outside[at + 1] || outside[at - f.Columns] || outside[at + f.Columns]);
            }
        }

        return outlet;
    }

    /// <summary>Missing cells joined to the grid's edge through missing cells.</summary>
    private static bool[] Outside(GridFrame f, float[] z, CancellationToken cancellationToken)
    {
        bool[] outside = new bool[z.Length];
        Queue<int> queue = new();
        void Reach(int r, int c)
        {
            int at = (r * f.Columns) + c;
            if (f.Contains(r, c) && !outside[at] && float.IsNaN(z[at]))
            {
                outside[at] = true;
                queue.Enqueue(at);
            }
        }

        for (int r = 0; r < f.Rows; r++)
        {
            Reach(r, 0);
            Reach(r, f.Columns - 1);
        }

        for (int c = 0; c < f.Columns; c++)
        {
            Reach(0, c);
            Reach(f.Rows - 1, c);
        }

        for (int done = 0; queue.TryDequeue(out int at); done++)
        {
            cancellationToken.ThrowIfCancellationRequested(done);
            int r = at / f.Columns;
            int c = at - (r * f.Columns);
            Reach(r - 1, c);
            Reach(r + 1, c);
            Reach(r, c - 1);
            Reach(r, c + 1);
        }

        return outside;
    }
}
