using System.Collections;

namespace Keyline.Elevation;

/// <summary>Fills holes in the ground up to a size, and lists all there are.</summary>
/// <remarks>
/// <para>Units: metres and square metres.</para>
/// <para>Missing: cells without a height; holes are cells that touch along a side or a corner. A hole that reaches the edge of
/// the grid has no whole rim and is never filled.</para>
/// <para>Promises: heights that are there are not touched. A filled hole is the membrane over its rim (Laplace's equation on the
/// cells): it carries on a plane exactly, and no height in it leaves the range of the rim. It knows nothing of a valley or a
/// crest that crosses the hole, which is why only small holes should be filled.</para>
/// <para>Cost: linear in the cells; for a hole of n cells about n to the power 1.5.</para>
/// <para>Source: the five-point form of Laplace's equation solved by conjugate gradients (Hestenes and Stiefel, J. Res. Nat.
/// Bur. Standards 49(6), 1952).</para>
/// </remarks>
public static class VoidFilling
{
    // Heights of the membrane are found to this, metres.
    private const double Exactness = 1e-6;

    private const int Stray = -1;
    /// <summary>Fills holes.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="maximumArea">Larger holes are left as they are, square metres; 0 fills none.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The mended ground, which is the one given where nothing was filled, and every hole in the order of the grid.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The area is below 0 or not a number.</exception>
    public static VoidFillingResult Fill(ElevationGrid ground, double maximumArea, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        if (!(maximumArea >= 0))
        {
            throw new ArgumentOutOfRangeException(nameof(maximumArea), maximumArea, "The area must be 0 or above.");
        }

        GridFrame frame = ground.Frame;
        float[]? mended = null;
        List<GroundVoid> voids = [];
        BitArray seen = new(ground.Array.Length);
        for (int at = 0; at < seen.Count; at++)
        {
            if (!float.IsNaN(ground.Array[at]) || seen[at])
            {
                continue;
            }

            cancellationToken.ThrowIfCancellationRequested();
            List<int> cells = Gather(ground, at, seen, out bool reachesEdge, cancellationToken);
            bool fill = !reachesEdge && cells.Count * frame.CellArea <= maximumArea * (1 + 1e-9);
            if (fill)
            {
                mended ??= ground.Array.AsSpan().ToArray();
                Membrane(mended, frame.Columns, cells, cancellationToken);
            }

            voids.Add(Describe(frame, cells, reachesEdge, fill));
        }

        return new VoidFillingResult(mended is null ? ground : new ElevationGrid(frame, mended), voids);
    }

    private static List<int> Gather(ElevationGrid ground, int start, BitArray seen, out bool reachesEdge, CancellationToken cancellationToken)
    {
        GridFrame f = ground.Frame;
        List<int> cells = [start];
        seen[start] = true;
        reachesEdge = false;
        for (int i = 0; i < cells.Count; i++)
        {
            cancellationToken.ThrowIfCancellationRequested(i);
            (int row, int column) = (cells[i] / f.Columns, cells[i] % f.Columns);
            reachesEdge |= row == 0 || column == 0 || row == f.Rows - 1 || column == f.Columns - 1;
            for (int r = row - 1; r <= row + 1; r++)
            {
                for (int c = column - 1; c <= column + 1; c++)
                {
                    int at = (r * f.Columns) + c;
                    if (f.Contains(r, c) && !seen[at] && float.IsNaN(ground.Array[at]))
                    {
                        seen[at] = true;
                        cells.Add(at);
                    }
                }
            }
        }

        cells.Sort();
        return cells;
    }

    private static GroundVoid Describe(GridFrame frame, List<int> cells, bool reachesEdge, bool filled)
    {
        double x = 0, y = 0;
        foreach (int cell in cells)
        {
            x += frame.CentreX(cell % frame.Columns);
            y += frame.CentreY(cell / frame.Columns);
        }

        return new GroundVoid(cells.Count, cells.Count * frame.CellArea, x / cells.Count, y / cells.Count, reachesEdge, filled);
    }

    /// <summary>Solves for the mean of four neighbours in every cell of a hole, by conjugate gradients from the mean of the rim.</summary>
    private static void Membrane(float[] heights, int columns, List<int> cells, CancellationToken cancellationToken)
    {
        int n = cells.Count;
        Dictionary<int, int> numbers = new(n);
        for (int i = 0; i < n; i++)
        {
            numbers[cells[i]] = i;
        }

        // Neighbours in the hole by their number, and the sum of the heights on the rim.
        int[] beside = new int[4 * n];
        double[] rim = new double[n];
        double rimSum = 0;
        long rimCount = 0;
        for (int i = 0; i < n; i++)
        {
            ReadOnlySpan<int> around = [cells[i] - columns, cells[i] - 1, cells[i] + 1, cells[i] + columns];
            for (int k = 0; k < 4; k++)
            {
                beside[(4 * i) + k] = numbers.GetValueOrDefault(around[k], Stray);
                if (beside[(4 * i) + k] == Stray)
                {
                    rim[i] += heights[around[k]];
                    rimSum += heights[around[k]];
                    rimCount++;
                }
            }
        }

        double[] z = new double[n], residual = new double[n], way = new double[n], bent = new double[n];
        Array.Fill(z, rimSum / rimCount);
        Bend(z, beside, bent);
        double size = 0, worst = 0;
        for (int i = 0; i < n; i++)
        {
            residual[i] = way[i] = rim[i] - bent[i];
            size += residual[i] * residual[i];
            worst = Math.Max(worst, Math.Abs(residual[i]));
        }

        // A residual r means at most r * n / 8 of height, for a hole as round as can be; rounding ends the chase before that.
        double goal = Math.Max(Exactness * 8 / n, 1e-13 * Math.Abs(rimSum / rimCount));
        for (int step = 0; step < (10 * n) + 50 && worst > goal; step++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            Bend(way, beside, bent);
            double along = 0;
            for (int i = 0; i < n; i++)
            {
                along += way[i] * bent[i];
            }

            double length = size / along, before = size;
            (size, worst) = (0, 0);
            for (int i = 0; i < n; i++)
            {
                z[i] += length * way[i];
                residual[i] -= length * bent[i];
                size += residual[i] * residual[i];
                worst = Math.Max(worst, Math.Abs(residual[i]));
            }

            for (int i = 0; i < n; i++)
            {
                way[i] = residual[i] + (size / before * way[i]);
            }
        }

        for (int i = 0; i < n; i++)
        {
            heights[cells[i]] = (float)z[i];
        }
    }

    private static void Bend(double[] z, int[] beside, double[] bent)
    {
        for (int i = 0; i < z.Length; i++)
        {
            double sum = 4 * z[i];
            for (int k = 4 * i; k < (4 * i) + 4; k++)
            {
                sum -= beside[k] == Stray ? 0 : z[beside[k]];
            }

            bent[i] = sum;
        }
    }
}

/// <summary>The ground after holes were filled, and the holes.</summary>
/// <param name="Ground">Heights with the filled holes.</param>
/// <param name="Voids">Every hole there was, by its northernmost, then westernmost cell.</param>
public sealed record VoidFillingResult(ElevationGrid Ground, IReadOnlyList<GroundVoid> Voids);

/// <summary>A hole in the ground: cells without a height that touch.</summary>
/// <param name="Cells">How many.</param>
/// <param name="Area">Their area, square metres.</param>
/// <param name="X">Middle of them, metres east.</param>
/// <param name="Y">Middle of them, metres north.</param>
/// <param name="ReachesEdge">Whether it reaches the edge of the grid, so that it has no whole rim.</param>
/// <param name="Filled">Whether it was filled.</param>
public sealed record GroundVoid(int Cells, double Area, double X, double Y, bool ReachesEdge, bool Filled);
