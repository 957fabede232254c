using Keyline.Elevation;

namespace Keyline.Benchmarks;

/// <summary>The flood with one queue for everything (Barnes, Lehman and Mulla 2014, algorithm 1): what filling is measured
/// against. The ground must have no missing cells.</summary>
internal static class PlainPriorityFlood
{
    public static ElevationGrid Fill(ElevationGrid ground)
    {
        GridFrame frame = ground.Frame;
        float[] z = ground.Heights.ToArray();
        bool[] closed = new bool[z.Length];
        PriorityQueue<int, (float Height, int Cell)> open = new();
        for (int i = 0; i < z.Length; i++)
        {
            (int row, int column) = (i / frame.Columns, i % frame.Columns);
            if (row == 0 || column == 0 || row == frame.Rows - 1 || column == frame.Columns - 1)
            {
                closed[i] = true;
                open.Enqueue(i, (z[i], i));
            }
        }

        while (open.TryDequeue(out int cell, out _))
        {
            (int row, int column) = (cell / frame.Columns, cell % frame.Columns);
            for (int r = row - 1; r <= row + 1; r++)
            {
                for (int c = column - 1; c <= column + 1; c++)
                {
                    int next = (r * frame.Columns) + c;
                    if (frame.Contains(r, c) && !closed[next])
                    {
                        closed[next] = true;
                        z[next] = Math.Max(z[next], z[cell]);
                        open.Enqueue(next, (z[next], next));
                    }
                }
            }
        }

        return ElevationGrid.Copy(frame, z);
    }
}
