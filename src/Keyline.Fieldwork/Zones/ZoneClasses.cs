using Keyline.Elevation;

namespace Keyline.Fieldwork;

/// <summary>Parts a map into a few classes.</summary>
/// <remarks>
/// <para>Units: the map's own. Missing: NaN in becomes <see cref="None"/>. Promises: the same maps give the same classes on every machine; classes by
/// likeness are numbered by the mean of the first map, the least first.</para>
/// <para>Cost: O(n) by bounds; O(n k) a round by likeness, at most 60 rounds of two starts. Source: S. P. Lloyd, Least squares quantization in PCM, IEEE
/// Transactions on Information Theory 28 (1982) 129-137; the two starts (spread along the first map, and farthest from each other) are ours.</para>
/// </remarks>
public static class ZoneClasses
{
    /// <summary>The class of a cell without a value.</summary>
    public const byte None = 255;

    private const int Rounds = 60;

    /// <summary>By bounds: class 0 below the first, 1 from it on, and so on.</summary>
    /// <param name="map">The map.</param>
    /// <param name="bounds">Rising.</param>
    /// <exception cref="ArgumentException">No bounds, or not rising.</exception>
    public static Grid<byte> ByBounds(Grid<double> map, IReadOnlyList<double> bounds)
    {
        ArgumentNullException.ThrowIfNull(map);
        ArgumentNullException.ThrowIfNull(bounds);
        if (bounds.Count is 0 or > 20 || bounds.Any(b => !double.IsFinite(b)) || bounds.Zip(bounds.Skip(1)).Any(b => b.First >= b.Second))
        {
            throw new ArgumentException("Bounds of classes must rise, from one to twenty of them.", nameof(bounds));
        }

        byte[] classes = new byte[map.Frame.CellCount];
        for (int i = 0; i < classes.Length; i++)
        {
            double v = map.Values[i];
            classes[i] = double.IsNaN(v) ? None : (byte)bounds.Count(b => v >= b);
        }

        return Grid.Copy<byte>(map.Frame, classes);
    }

    /// <summary>By likeness in several maps at once, each scaled by its own spread.</summary>
    /// <param name="maps">Maps on one frame.</param>
    /// <param name="count">Classes, from 2 to 12.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentException">No map, or maps on different frames.</exception>
    public static Grid<byte> ByLikeness(IReadOnlyList<Grid<double>> maps, int count, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(maps);
        ArgumentOutOfRangeException.ThrowIfLessThan(count, 2);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(count, 12);
        if (maps.Count == 0 || maps.Any(m => !m.Frame.Equals(maps[0].Frame)))
        {
            throw new ArgumentException("Maps that are classed together must be on one frame.", nameof(maps));
        }

        int[] cells = [.. Enumerable.Range(0, (int)maps[0].Frame.CellCount).Where(i => maps.All(m => !double.IsNaN(m.Values[i])))];
        byte[] classes = new byte[maps[0].Frame.CellCount];
        Array.Fill(classes, None);
        if (cells.Length == 0)
        {
            return Grid.Copy<byte>(maps[0].Frame, classes);
        }

        double[][] values = [.. maps.Select(m => Scaled([.. cells.Select(i => m.Values[i])]))];
        (double[][] Centres, double Misses) along = Run(values, Along(values, count), cancellationToken), apart = Run(values, Apart(values, count), cancellationToken);
        double[][] centres = [.. (apart.Misses < along.Misses ? apart : along).Centres.OrderBy(c => c[0])];
        for (int i = 0; i < cells.Length; i++)
        {
            classes[cells[i]] = (byte)Nearest(values, i, centres).Class;
        }

        return Grid.Copy<byte>(maps[0].Frame, classes);
    }

    private static double[] Scaled(double[] values)
    {
        double mean = values.Average(), spread = Math.Sqrt(values.Average(v => (v - mean) * (v - mean)));
        return spread > 0 ? [.. values.Select(v => (v - mean) / spread)] : new double[values.Length];
    }

    private static double[][] Along(double[][] values, int count)
    {
        int[] order = [.. Enumerable.Range(0, values[0].Length).OrderBy(i => values[0][i]).ThenBy(i => i)];
        return [.. Enumerable.Range(0, count).Select(k => (double[])[.. values.Select(v => v[order[(int)((k + 0.5) * order.Length / count)]])])];
    }

    private static double[][] Apart(double[][] values, int count)
    {
        List<double[]> centres = [[.. values.Select(_ => 0.0)]];
        int first = 0;
        double least = double.PositiveInfinity;
        for (int i = 0; i < values[0].Length; i++)
        {
            if (Nearest(values, i, centres).Far < least)
            {
                (first, least) = (i, Nearest(values, i, centres).Far);
            }
        }

        centres[0] = [.. values.Select(v => v[first])];
        while (centres.Count < count)
        {
            int farthest = 0;
            double most = -1;
            for (int i = 0; i < values[0].Length; i++)
            {
                double far = Nearest(values, i, centres).Far;
                if (far > most)
                {
                    (farthest, most) = (i, far);
                }
            }

            centres.Add([.. values.Select(v => v[farthest])]);
        }

        return [.. centres];
    }

    private static (double[][] Centres, double Misses) Run(double[][] values, double[][] centres, CancellationToken cancellationToken)
    {
        double misses = double.PositiveInfinity;
        for (int round = 0; round < Rounds; round++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            double[][] sums = [.. centres.Select(c => new double[c.Length])];
            int[] counts = new int[centres.Length];
            double now = 0;
            for (int i = 0; i < values[0].Length; i++)
            {
                (int k, double far) = Nearest(values, i, centres);
                counts[k]++;
                now += far;
                for (int v = 0; v < values.Length; v++)
                {
                    sums[k][v] += values[v][i];
                }
            }

            centres = [.. centres.Select((c, k) => counts[k] == 0 ? c : (double[])[.. sums[k].Select(s => s / counts[k])])];
            if (now >= misses * (1 - 1e-9))
            {
                return (centres, now);
            }

            misses = now;
        }

        return (centres, misses);
    }

    private static (int Class, double Far) Nearest(double[][] values, int cell, IReadOnlyList<double[]> centres)
    {
        int best = 0;
        double least = double.PositiveInfinity;
        for (int k = 0; k < centres.Count; k++)
        {
            double far = 0;
            for (int v = 0; v < values.Length; v++)
            {
                double d = values[v][cell] - centres[k][v];
                far += d * d;
            }

            if (far < least)
            {
                (best, least) = (k, far);
            }
        }

        return (best, least);
    }
}
