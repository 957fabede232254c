using Keyline.Drainage;
using Keyline.Elevation;

namespace Keyline.Tests.Drainage;

/// <summary>Gives level ground directions that lead away from the higher ground around it and toward its ways out.</summary>
/// <remarks>
/// <para>Missing: has no flow and is not asked for any.</para>
/// <para>Promises: heights are not changed; level ground without a way out keeps no flow; no loops, because every step leads
/// to a lower step count.</para>
/// <para>Cost: linear in cells; about 12 bytes a cell where there is level ground, nothing otherwise.</para>
/// <para>Source: Barnes, Lehman and Mulla 2014, An efficient assignment of drainage direction over flat surfaces, Computers
/// and Geosciences 62, 128-135, algorithms 2 to 6; of equal neighbours a side one goes before a diagonal one.</para>
/// </remarks>
internal static class PlainFlatDrainage
{
    private const int CancellationStride = 1 << 14;

    /// <summary>Replaces no flow on level ground by directions.</summary>
    public static void Resolve(float[] z, GridFrame frame, byte[] codes, CancellationToken cancellationToken)
    {
        List<int> low = [];
        List<int> high = [];
        FindEdges(z, frame, codes, low, high);
        if (low.Count == 0)
        {
            return;
        }

        int[] flat = new int[z.Length];
        int flats = Label(z, frame, low, flat, cancellationToken);
        high.RemoveAll(cell => flat[cell] == 0);

        int[] steps = new int[z.Length];
        int[] farthest = new int[flats + 1];
        Spread(
            frame,
            codes,
            flat,
            high,
            (cell, round) =>
            {
                steps[cell] = -round;
                farthest[flat[cell]] = round;
            },
            cancellationToken);

        // Steps away from higher ground stand as negative numbers until the second spread meets the cell.
        Spread(
            frame,
            codes,
            flat,
            low,
            (cell, round) => steps[cell] = (steps[cell] < 0 ? farthest[flat[cell]] + steps[cell] : 0) + (2 * round),
            cancellationToken);
        Direct(frame, codes, flat, steps);
    }

    private static void FindEdges(float[] z, GridFrame frame, byte[] codes, List<int> low, List<int> high)
    {
        for (int cell = 0; cell < z.Length; cell++)
        {
            if (float.IsNaN(z[cell]))
            {
                continue;
            }

            bool flows = codes[cell] != D8Directions.NoFlow;
            for (int direction = 0; direction < Neighbours.Count; direction++)
            {
                int next = Neighbours.At(frame, cell, direction);
                if (next < 0)
                {
                    continue;
                }

                if (flows && codes[next] == D8Directions.NoFlow && z[next].Equals(z[cell]) && !float.IsNaN(z[next]))
                {
                    low.Add(cell);
                    break;
                }

                if (!flows && z[next] > z[cell])
                {
                    high.Add(cell);
                    break;
                }
            }
        }
    }

    // Numbers each connected piece of one height that has a way out, from 1.
    private static int Label(float[] z, GridFrame frame, List<int> low, int[] flat, CancellationToken cancellationToken)
    {
        int label = 0;
        Stack<int> open = new();
        foreach (int start in low)
        {
            if (flat[start] != 0)
            {
                continue;
            }

            cancellationToken.ThrowIfCancellationRequested();
            flat[start] = ++label;
            open.Push(start);
            while (open.TryPop(out int cell))
            {
                for (int direction = 0; direction < Neighbours.Count; direction++)
                {
                    int next = Neighbours.At(frame, cell, direction);
                    if (next >= 0 && flat[next] == 0 && z[next].Equals(z[cell]))
                    {
                        flat[next] = label;
                        open.Push(next);
                    }
                }
            }
        }

        return label;
    }

    // Walks outward in rounds over cells of the same flat that have no flow, visiting each once.
    private static void Spread(
        GridFrame frame, byte[] codes, int[] flat, List<int> from, Action<int, int> visit, CancellationToken cancellationToken)
    {
        bool[] met = new bool[flat.Length];
        List<int> front = from;
        foreach (int cell in front)
        {
            met[cell] = true;
        }

        for (int round = 1; front.Count > 0; round++)
        {
            List<int> next = [];
            int walked = 0;
            foreach (int cell in front)
            {
                if (walked++ % CancellationStride == 0)
                {
                    cancellationToken.ThrowIfCancellationRequested();
                }

                visit(cell, round);
                for (int direction = 0; direction < Neighbours.Count; direction++)
                {
                    int other = Neighbours.At(frame, cell, direction);
                    if (other >= 0 && !met[other] && flat[other] == flat[cell] && codes[other] == D8Directions.NoFlow)
                    {
                        met[other] = true;
                        next.Add(other);
                    }
                }
            }

            front = next;
        }
    }

    private static void Direct(GridFrame frame, byte[] codes, int[] flat, int[] steps)
    {
        for (int cell = 0; cell < codes.Length; cell++)
        {
            if (codes[cell] != D8Directions.NoFlow || flat[cell] == 0)
            {
                continue;
            }

            int fewest = steps[cell];
            for (int turn = 0; turn < 2 * Neighbours.Count; turn += 2)
            {
                int direction = turn < Neighbours.Count ? turn : turn - Neighbours.Count + 1;
                int next = Neighbours.At(frame, cell, direction);
                if (next >= 0 && flat[next] == flat[cell] && steps[next] < fewest)
                {
                    fewest = steps[next];
                    codes[cell] = (byte)direction;
                }
            }
        }
    }
}
