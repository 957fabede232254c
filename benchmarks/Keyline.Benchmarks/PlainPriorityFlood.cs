using Keyline.Elevation;

namespace Keyline.Benchmarks;

/// <summary>The flood with one queue for everything (Barnes, Lehman and Mulla 2014, algorithm 1) on .NET's own queue: what
/// filling is measured against.</summary>
internal static class PlainPriorityFlood
{
    public static ElevationGrid Fill(ElevationGrid ground)
    {
        GridFrame frame = ground.Frame;
        float[] z = ground.Heights.ToArray();
        bool[] closed = new bool[z.Length];
        PriorityQueue<int, float> open = new();
        for (int i = 0; i < z.Length; i++)
        {
            if (!float.IsNaN(z[i]) && IsOutlet(z, frame, i / frame.Columns, i % frame.Columns))
            {
                closed[i] = true;
                open.Enqueue(i, z[i]);
            }
        }

        while (open.TryDequeue(out int cell, out _))
        {
            (int row, int column) = (cell / frame.Columns, cell % frame.Columns);
            for (int r = Math.Max(row - 1, 0); r <= Math.Min(row + 1, frame.Rows - 1); r++)
            {
                for (int c = Math.Max(column - 1, 0); c <= Math.Min(column + 1, frame.Columns - 1); c++)
                {
                    int next = (r * frame.Columns) + c;
                    if (!closed[next] && !float.IsNaN(z[next]))
                    {
                        closed[next] = true;
                        z[next] = Math.Max(z[next], z[cell]);
                        open.Enqueue(next, z[next]);
                    }
                }
            }
        }

        return ElevationGrid.Copy(frame, z);
    }

    private static bool IsOutlet(float[] z, GridFrame frame, int row, int column)
    {
        for (int r = row - 1; r <= row + 1; r++)
        {
            for (int c = column - 1; c <= column + 1; c++)
            {
                if (!frame.Contains(r, c) || float.IsNaN(z[(r * frame.Columns) + c]))
                {
                    return true;
                }
            }
        }

        return false;
    }
}
