namespace Keyline.Landform;

/// <summary>One grid of the pyramid on which the landform position is solved.</summary>
/// <remarks>
/// <para>Units: metres for the cell; values have none. Missing: a wall, through which nothing passes.</para>
/// <para>Promises: a sweep is a mean of neighbours and of the pull, so values never leave the range of what is fixed and one half.</para>
/// <para>Promises: the same bits on any number of cores, since cells of one colour are changed by those of the other alone.</para>
/// <para>Cost: each call is one pass over the known cells, rows in parallel; 9 bytes a cell.</para>
/// <para>Source: red-black relaxation and coarse-grid correction, Brandt 1977, Mathematics of Computation 31, 333-390.</para>
/// </remarks>
internal sealed class PositionLevel(int rows, int columns, double cellSize)
{
    public const byte Free = 0;
    public const byte Beside = 1; // free, with a neighbour missing or outside
    public const byte Fixed = 2;
    public const byte Missing = 3;

    public int Rows { get; } = rows;

    public int Columns { get; } = columns;

    public double CellSize { get; } = cellSize;

    public float[] Values { get; } = new float[checked(rows * columns)];

    public byte[] Kinds { get; } = new byte[checked(rows * columns)];

    /// <summary>What each free cell's equation must come to: sum of (neighbour - self) - pull * self = -Load.</summary>
    public float[] Load { get; } = new float[checked(rows * columns)];

    // Known cells of each row, in runs [from, to) across a row: far-apart pieces of ground cost what they cost alone.
    private const int LeastGap = 32;
    private const int CellsOfBlock = 16384;
    private int[][] _runs = [];

    /// <summary>Cells that a pass goes over.</summary>
    public long CellsPassed => _runs.Sum(row => Enumerable.Range(0, row.Length / 2).Sum(k => (long)row[(2 * k) + 1] - row[2 * k]));

    /// <summary>A grid of cells twice as wide. A cell is fixed where any cell in it is, at the mean of those.</summary>
    public PositionLevel Halve()
    {
        PositionLevel half = new((Rows + 1) / 2, (Columns + 1) / 2, 2 * CellSize);
        for (int r = 0; r < half.Rows; r++)
        {
            for (int c = 0; c < half.Columns; c++)
            {
                byte kind = Missing;
                float sum = 0;
                int firm = 0;
                for (int i = 2 * r; i < Math.Min(Rows, (2 * r) + 2); i++)
                {
                    for (int j = 2 * c; j < Math.Min(Columns, (2 * c) + 2); j++)
                    {
                        int at = (i * Columns) + j;
                        if (Kinds[at] == Fixed)
                        {
                            sum += Values[at];
                            firm++;
                        }

                        kind = firm > 0 ? Fixed : Kinds[at] != Missing ? Free : kind;
                    }
                }

                half.Kinds[(r * half.Columns) + c] = kind;
                half.Values[(r * half.Columns) + c] = firm > 0 ? sum / firm : 0;
            }
        }

        half.MarkEdges();
        return half;
    }

    /// <summary>Finds the known cells and tells those beside missing ones from those with four neighbours.</summary>
    public void MarkEdges()
    {
        _runs = new int[Rows][];
        for (int r = 0; r < Rows; r++)
        {
            _runs[r] = Runs(Kinds.AsSpan(r * Columns, Columns));
            for (int c = 0; c < Columns; c++)
            {
                int at = (r * Columns) + c;
                if (Kinds[at] == Free
                    && (r == 0 || c == 0 || r == Rows - 1 || c == Columns - 1 || Kinds[at - 1] == Missing || Kinds[at + 1] == Missing
                        || Kinds[at - Columns] == Missing || Kinds[at + Columns] == Missing))
                {
                    Kinds[at] = Beside;
                }
            }
        }
    }

    /// <summary>Red-black Gauss-Seidel sweeps.</summary>
    /// <param name="times">Number of sweeps.</param>
    /// <param name="pull">Weight of each cell's own zero, against 1 for a neighbour.</param>
    public void Sweep(int times, double pull)
    {
        float self = (float)pull;
        float whole = 1 / (4 + self);
        float[] u = Values;
        for (int k = 0; k < 2 * times; k++)
        {
            int colour = k & 1;
            EachRow(Rows, 1, r =>
            {
                int[] runs = _runs[r];
                for (int run = 0; run < runs.Length; run += 2)
                {
                    int from = (r * Columns) + runs[run];
                    for (int at = from + ((r + colour + runs[run]) & 1), end = (r * Columns) + runs[run + 1]; at < end; at += 2)
                    {
                        byte kind = Kinds[at];
                        if (kind == Free)
                        {
                            u[at] = (u[at - 1] + u[at + 1] + u[at - Columns] + u[at + Columns] + Load[at]) * whole;
                        }
                        else if (kind == Beside)
                        {
                            (float sum, int count) = Around(r, at);
                            u[at] = (sum + Load[at]) / Math.Max(count + self, 1e-12f);
                        }
                    }
                }
            });
        }
    }

    /// <summary>Hands what is left of every equation to the coarser grid as its load, and clears its values.</summary>
    public void HandDown(PositionLevel half, double pull)
    {
        Array.Clear(half.Load);
        Array.Clear(half.Values);
        float self = (float)pull;
        float[] u = Values;

        // Two rows hand to the same coarse row, so they go together.
        EachRow(half.Rows, 2, pair =>
        {
            int to = pair * half.Columns;
            for (int r = 2 * pair; r < Math.Min(Rows, (2 * pair) + 2); r++)
            {
                int[] runs = _runs[r];
                for (int run = 0; run < runs.Length; run += 2)
                {
                    for (int c = runs[run]; c < runs[run + 1]; c++)
                    {
                        int at = (r * Columns) + c;
                        byte kind = Kinds[at];
                        if (kind == Free)
                        {
                            half.Load[to + (c / 2)] += u[at - 1] + u[at + 1] + u[at - Columns] + u[at + Columns] - ((4 + self) * u[at]) + Load[at];
                        }
                        else if (kind == Beside)
                        {
                            (float sum, int count) = Around(r, at);
                            half.Load[to + (c / 2)] += sum - ((count + self) * u[at]) + Load[at];
                        }
                    }
                }
            }
        });
    }

    /// <summary>Adds the coarser grid's values, between its centres by bilinear weights.</summary>
    public void TakeUp(PositionLevel half)
    {
        EachRow(Rows, 1, r =>
        {
            int near = (r / 2) * half.Columns;
            int far = Math.Clamp((r / 2) + ((r & 1) == 0 ? -1 : 1), 0, half.Rows - 1) * half.Columns;
            int[] runs = _runs[r];
            for (int run = 0; run < runs.Length; run += 2)
            {
                for (int c = runs[run]; c < runs[run + 1]; c++)
                {
                    int at = (r * Columns) + c;
                    if (Kinds[at] < Fixed)
                    {
                        int beside = c / 2;
                        int beyond = Math.Clamp(beside + ((c & 1) == 0 ? -1 : 1), 0, half.Columns - 1);
                        float a = half.Values[near + beside];
                        Values[at] += ((9 * a) + (3 * half.Or(near + beyond, a)) + (3 * half.Or(far + beside, a)) + half.Or(far + beyond, a)) / 16;
                    }
                }
            }
        });
    }

    // Runs of what is known; a gap that is no longer than it takes to step over it does not end one.
    private static int[] Runs(ReadOnlySpan<byte> kinds)
    {
        List<int> runs = [];
        int last = -1;
        for (int c = 0; c < kinds.Length; c++)
        {
            if (kinds[c] == Missing)
            {
                continue;
            }

            if (last < 0 || c - last > LeastGap)
            {
                if (last >= 0)
                {
                    runs.Add(last + 1);
                }

                runs.Add(c);
            }

            last = c;
        }

        if (last >= 0)
        {
            runs.Add(last + 1);
        }

        return [.. runs];
    }

    // Small grids, which most passes are over, are not worth another thread.
    private void EachRow(int count, int rowsOfEach, Action<int> work)
    {
        int blocks = (int)Math.Clamp((long)count * rowsOfEach * Columns / CellsOfBlock, 1, count);
        if (blocks == 1)
        {
            for (int i = 0; i < count; i++)
            {
                work(i);
            }

            return;
        }

        Parallel.For(0, blocks, WorkThreads.Options(CancellationToken.None), b =>
        {
            for (int i = (int)((long)count * b / blocks); i < (int)((long)count * (b + 1) / blocks); i++)
            {
                work(i);
            }
        });
    }

    private float Or(int at, float instead) => Kinds[at] == Missing ? instead : Values[at];

    private (float Sum, int Count) Around(int row, int at)
    {
        int c = at - (row * Columns);
        float sum = 0;
        int count = 0;
        if (c > 0 && Kinds[at - 1] != Missing)
        {
            sum += Values[at - 1];
            count++;
        }

        if (c < Columns - 1 && Kinds[at + 1] != Missing)
        {
            sum += Values[at + 1];
            count++;
        }

        if (row > 0 && Kinds[at - Columns] != Missing)
        {
            sum += Values[at - Columns];
            count++;
        }

        if (row < Rows - 1 && Kinds[at + Columns] != Missing)
        {
            sum += Values[at + Columns];
            count++;
        }

        return (sum, count);
    }
}
