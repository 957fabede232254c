using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Fills hollows up to the height at which water would spill out of them.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>Missing: stays missing. Water leaves at the grid's edge and beside missing cells, so no cell there is raised.</para>
/// <para>Promises: a filled cell has the lowest height for which a path to an outlet need nowhere rise; no cell is lowered;
/// filling twice changes nothing; the result does not depend on the order in which equal heights are met.</para>
/// <para>Cost: n log n in cells at worst, linear inside hollows; 20 bytes a cell.</para>
/// <para>Source: Barnes, Lehman and Mulla 2014, Priority-flood, Computers and Geosciences 62, 117-127, algorithm 2
/// (doi:10.1016/j.cageo.2013.04.024). Cells move to one of the eight around them.</para>
/// </remarks>
public static class DepressionFilling
{
    private const int CancellationStride = 1 << 16;

    /// <summary>Fills a grid.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>A new grid, equal or higher in every cell.</returns>
    public static ElevationGrid Fill(ElevationGrid ground, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        GridFrame frame = ground.Frame;
        float[] z = (float[])ground.Array.Clone();
        bool[] closed = new bool[z.Length];
        PriorityQueue<int, ulong> open = new();
        for (int i = 0; i < z.Length; i++)
        {
            if (!float.IsNaN(z[i]) && Neighbours.IsOutlet(z, frame, i))
            {
                closed[i] = true;
                open.Enqueue(i, Key(z[i], i));
            }
        }

        Queue<int> pit = new();
        int visited = 0;
        while (pit.TryDequeue(out int cell) || open.TryDequeue(out cell, out _))
        {
            if (++visited % CancellationStride == 0)
            {
                cancellationToken.ThrowIfCancellationRequested();
            }

            for (int direction = 0; direction < Neighbours.Count; direction++)
            {
                int next = Neighbours.At(frame, cell, direction);
                if (next < 0 || closed[next] || float.IsNaN(z[next]))
                {
                    continue;
                }

                closed[next] = true;
                if (z[next] <= z[cell])
                {
                    z[next] = z[cell];
                    pit.Enqueue(next);
                }
                else
                {
                    open.Enqueue(next, Key(z[next], next));
                }
            }
        }

        return new ElevationGrid(frame, z);
    }

    // Sorts by height, then by cell: flipping the sign bit of positive numbers and all bits of negative ones makes the bits
    // sort as the numbers do.
    private static ulong Key(float height, int cell)
    {
        uint bits = BitConverter.SingleToUInt32Bits(height);
        bits = (bits & 0x80000000u) == 0 ? bits | 0x80000000u : ~bits;
        return ((ulong)bits << 32) | (uint)cell;
    }
}
