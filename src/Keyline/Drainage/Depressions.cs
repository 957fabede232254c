using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>A hollow: ground from which water does not run off before it stands this deep. A farm dam, a pothole, a dip behind
/// a road, or noise.</summary>
/// <param name="Area">Square metres under water when it is full.</param>
/// <param name="Depth">Greatest depth, metres.</param>
/// <param name="Volume">Cubic metres it holds.</param>
/// <param name="SpillHeight">Height at which it spills, metres.</param>
/// <param name="DeepestRow">Row of its deepest cell.</param>
/// <param name="DeepestColumn">Column of its deepest cell.</param>
/// <param name="SpillRow">Row of the cell over which it spills: the first it meets, row after row, that is no higher than the
/// water and leads on out.</param>
/// <param name="SpillColumn">Column of that cell.</param>
public sealed record Depression(
    double Area, double Depth, double Volume, double SpillHeight, int DeepestRow, int DeepestColumn, int SpillRow, int SpillColumn);

/// <summary>Lists the hollows of the ground, so that dams and potholes are known and not just filled away.</summary>
/// <remarks>
/// <para>Units: metres, square metres, cubic metres.</para>
/// <para>Missing: no part of any hollow.</para>
/// <para>Promises: the volumes add up to what filling added; hollows within a hollow are one, as water sees them; the largest
/// come first, equals in the order of their first cell.</para>
/// <para>Cost: linear in cells; 1 byte a cell.</para>
/// <para>Source: connected pieces, by eight neighbours, of the ground that filling raises to one height; compare the depression
/// trees of Barnes, Callaghan and Wickert 2020, Earth Surface Dynamics 8, 431-445 (doi:10.5194/esurf-8-431-2020).</para>
/// </remarks>
public static class Depressions
{
    /// <summary>Finds the hollows.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="filled">The same ground as <see cref="DepressionFilling"/> leaves it.</param>
    /// <param name="leastDepth">Shallower hollows are left out, metres, from 0.</param>
    /// <param name="leastArea">Smaller hollows are left out, square metres, from 0.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentException">The two grids do not share a frame, or a filled height is below the ground.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A least measure is below 0.</exception>
    public static IReadOnlyList<Depression> Find(
        ElevationGrid ground, ElevationGrid filled, double leastDepth = 0, double leastArea = 0, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(filled);
        if (!ground.Frame.Equals(filled.Frame))
        {
            throw new ArgumentException("The filled heights do not lie on the frame of the ground.", nameof(filled));
        }

        Require(leastDepth, nameof(leastDepth));
        Require(leastArea, nameof(leastArea));
        float[] z = ground.Array;
        float[] water = filled.Array;
        bool[] met = new bool[z.Length];
        List<int> cells = [];
        List<Depression> found = [];
        for (int start = 0; start < z.Length; start++)
        {
            cancellationToken.ThrowIfCancellationRequested(start);
            if (water[start] < z[start])
            {
                throw new ArgumentException(
                    $"The filled height at row {start / ground.Frame.Columns}, column {start % ground.Frame.Columns} is below the ground.", nameof(filled));
            }

            if (!met[start] && water[start] > z[start])
            {
                Collect(ground.Frame, z, water, start, met, cells, cancellationToken);
                Depression hollow = Measure(ground.Frame, z, water, cells, cancellationToken);
                if (hollow.Depth >= leastDepth && hollow.Area >= leastArea)
                {
                    found.Add(hollow);
                }
            }
        }

        return [.. found.OrderByDescending(hollow => hollow.Volume)];
    }

    private static void Require(double least, string name)
    {
        if (!(least >= 0))
        {
            throw new ArgumentOutOfRangeException(name, least, "The least measure must be a number from 0.");
        }
    }

    private static void Collect(GridFrame frame, float[] z, float[] water, int start, bool[] met, List<int> cells, CancellationToken cancellationToken)
    {
        cells.Clear();
        cells.Add(start);
        met[start] = true;
        for (int head = 0; head < cells.Count; head++)
        {
            cancellationToken.ThrowIfCancellationRequested(head);
            for (int direction = 0; direction < Neighbours.Count; direction++)
            {
                int next = Neighbours.At(frame, cells[head], direction);
                if (next >= 0 && !met[next] && water[next] > z[next] && water[next].Equals(water[start]))
                {
                    met[next] = true;
                    cells.Add(next);
                }
            }
        }
    }

    private static Depression Measure(GridFrame frame, float[] z, float[] water, List<int> cells, CancellationToken cancellationToken)
    {
        cells.Sort();
        int deepest = cells[0];
        int spill = -1;
        double sum = 0;
        for (int k = 0; k < cells.Count; k++)
        {
            cancellationToken.ThrowIfCancellationRequested(k);
            int cell = cells[k];
            sum += (double)water[cell] - z[cell];
            deepest = z[cell] < z[deepest] ? cell : deepest;
            for (int direction = 0; direction < Neighbours.Count && spill < 0; direction++)
            {
                // The sill itself is not raised: its filled height is its own, and no higher than the water.
                int next = Neighbours.At(frame, cell, direction);
                if (next >= 0 && water[next].Equals(z[next]) && water[next] <= water[cell] && LeadsOn(frame, water, next, cell))
                {
                    spill = next;
                }
            }
        }

        spill = spill < 0 ? deepest : spill;
        return new Depression(
            cells.Count * frame.CellArea,
            (double)water[deepest] - z[deepest],
            sum * frame.CellArea,
            water[deepest],
            deepest / frame.Columns,
            deepest % frame.Columns,
            spill / frame.Columns,
            spill % frame.Columns);
    }

    // Whether water that reaches a sill goes on: to lower ground, to more ground as high, or out of the grid.
    private static bool LeadsOn(GridFrame frame, float[] water, int sill, int from)
    {
        if (Neighbours.IsOutlet(water, frame, sill))
        {
            return true;
        }

        for (int direction = 0; direction < Neighbours.Count; direction++)
        {
            int next = Neighbours.At(frame, sill, direction);
            if (next >= 0 && next != from && water[next] < water[sill])
            {
                return true;
            }
        }

        return false;
    }
}
