using Keyline.Elevation;
using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Union;

namespace Keyline.Fieldwork;

/// <summary>Makes classes into few, compact pieces, and their outlines.</summary>
/// <remarks>
/// <para>Units: projected metres, square metres. Promises: no piece below the area asked for stays unless it is a whole island; every cell with a
/// class keeps one; outlines run along the cells' edges and share them.</para>
/// <para>Cost: about O(n) a round of joining, a round or two for each power of ten of the pieces. Source: ours.</para>
/// </remarks>
public static class ZonePieces
{
    private const int Smoothings = 3;
    private const int MostRounds = 50;

    /// <summary>Gives each cell the class of most of its neighbours, then joins small pieces to the one they share most border with.</summary>
    /// <param name="classes">Classes; <see cref="ZoneClasses.None"/> where there is none.</param>
    /// <param name="leastArea">Square metres.</param>
    public static Grid<byte> Joined(Grid<byte> classes, double leastArea)
    {
        ArgumentNullException.ThrowIfNull(classes);
        (int rows, int columns) = (classes.Frame.Rows, classes.Frame.Columns);
        byte[] now = classes.Values.ToArray();
        for (int k = 0; k < Smoothings; k++)
        {
            now = Smoothed(now, rows, columns);
        }

        int least = (int)Math.Ceiling(leastArea / classes.Frame.CellArea);
        for (int round = 0; round < MostRounds && Join(now, rows, columns, least); round++)
        {
        }

        return Grid.Copy<byte>(classes.Frame, now);
    }

    /// <summary>The outline of each class that is there.</summary>
    /// <param name="classes">Classes.</param>
    public static IReadOnlyList<(int Class, Geometry Shape)> Outlines(Grid<byte> classes)
    {
        ArgumentNullException.ThrowIfNull(classes);
        GridFrame f = classes.Frame;
        SortedDictionary<int, List<Geometry>> runs = [];
        GeometryFactory factory = new();
        for (int r = 0; r < f.Rows; r++)
        {
            ReadOnlySpan<byte> row = classes.Row(r);
            for (int c = 0; c < f.Columns;)
            {
                int from = c;
                byte k = row[c];
                while (c < f.Columns && row[c] == k)
                {
                    c++;
                }

                if (k != ZoneClasses.None)
                {
                    if (!runs.TryGetValue(k, out List<Geometry>? list))
                    {
                        runs.Add(k, list = []);
                    }

                    list.Add(factory.ToGeometry(new Envelope(f.West + (from * f.CellSize), f.West + (c * f.CellSize), f.North - ((r + 1) * f.CellSize), f.North - (r * f.CellSize))));
                }
            }
        }

        return [.. runs.Select(r => (r.Key, UnaryUnionOp.Union(r.Value)))];
    }

    private static byte[] Smoothed(byte[] now, int rows, int columns)
    {
        byte[] next = (byte[])now.Clone();
        Span<int> votes = stackalloc int[256];
        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < columns; c++)
            {
                byte own = now[(r * columns) + c];
                if (own == ZoneClasses.None)
                {
                    continue;
                }

                votes.Clear();
                byte best = own;
                for (int y = Math.Max(r - 1, 0); y <= Math.Min(r + 1, rows - 1); y++)
                {
                    for (int x = Math.Max(c - 1, 0); x <= Math.Min(c + 1, columns - 1); x++)
                    {
                        byte k = now[(y * columns) + x];
                        if (k != ZoneClasses.None)
                        {
                            votes[k]++;
                        }
                    }
                }

                for (int k = 0; k < ZoneClasses.None; k++)
                {
                    best = votes[k] > votes[best] ? (byte)k : best;
                }

                next[(r * columns) + c] = best;
            }
        }

        return next;
    }

    // The smallest pieces go first, each to the neighbour with which it shares most edges.
    private static bool Join(byte[] now, int rows, int columns, int least)
    {
        int[] piece = new int[now.Length];
        Array.Fill(piece, -1);
        List<List<int>> pieces = [];
        for (int start = 0; start < now.Length; start++)
        {
            if (now[start] == ZoneClasses.None || piece[start] >= 0)
            {
                continue;
            }

            List<int> cells = [start];
            piece[start] = pieces.Count;
            for (int head = 0; head < cells.Count; head++)
            {
                foreach (int next in Beside(cells[head], rows, columns))
                {
                    if (piece[next] < 0 && now[next] == now[start])
                    {
                        piece[next] = pieces.Count;
                        cells.Add(next);
                    }
                }
            }

            pieces.Add(cells);
        }

        bool joined = false;
        HashSet<int> touched = [];
        foreach (int small in Enumerable.Range(0, pieces.Count).Where(p => pieces[p].Count < least).OrderBy(p => pieces[p].Count).ThenBy(p => p))
        {
            SortedDictionary<int, int> edges = [];
            foreach (int cell in pieces[small])
            {
                foreach (int next in Beside(cell, rows, columns))
                {
                    if (piece[next] >= 0 && piece[next] != small)
                    {
                        edges[piece[next]] = edges.GetValueOrDefault(piece[next]) + 1;
                    }
                }
            }

            if (edges.Count == 0 || touched.Contains(small))
            {
                continue;
            }

            int into = edges.OrderByDescending(e => e.Value).ThenBy(e => e.Key).First().Key;
            if (touched.Add(into) || pieces[into].Count >= least)
            {
                byte k = now[pieces[into][0]];
                pieces[small].ForEach(cell => now[cell] = k);
                joined = true;
                touched.Add(small);
            }
        }

        return joined;
    }

    private static IEnumerable<int> Beside(int cell, int rows, int columns)
    {
        (int r, int c) = Math.DivRem(cell, columns);
        if (r > 0)
        {
            yield return cell - columns;
        }

        if (c > 0)
        {
            yield return cell - 1;
        }

        if (c < columns - 1)
        {
            yield return cell + 1;
        }

        if (r < rows - 1)
        {
            yield return cell + columns;
        }
    }
}
