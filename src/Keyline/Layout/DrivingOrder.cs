using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>A sequence and a direction for each line, each next line being the one that starts nearest.</summary>
/// <remarks>
/// <para>Promises: every line once; starts at the line end farthest to the north-west; ties go to the lower index.</para>
/// <para>Cost: the square of the number of lines.</para>
/// <para>Source: nearest-neighbour rule, common practice, no source.</para>
/// </remarks>
internal static class DrivingOrder
{
    /// <summary>For each place in the order the index of its line and whether it is driven backward.</summary>
    public static IReadOnlyList<(int Line, bool Reversed)> Find(IReadOnlyList<LinePath> lines, CancellationToken cancellationToken)
    {
        int n = lines.Count;
        List<(int, bool)> order = new(n);
        if (n == 0)
        {
            return order;
        }

        bool[] done = new bool[n];
        XY here = new(double.NegativeInfinity, 0);
        for (int k = 0; k < n; k++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            int next = -1;
            bool reversed = false;
            double best = double.PositiveInfinity;
            for (int i = 0; i < n; i++)
            {
                if (done[i])
                {
                    continue;
                }

                XY first = lines[i].Points[0];
                XY last = lines[i].Closed ? first : lines[i].Points[^1];
                double toFirst = k == 0 ? first.X - first.Y : (first - here).Norm;
                double toLast = k == 0 ? last.X - last.Y : (last - here).Norm;
                if (toFirst < best)
                {
                    (best, next, reversed) = (toFirst, i, false);
                }

                if (toLast < best)
                {
                    (best, next, reversed) = (toLast, i, true);
                }
            }

            done[next] = true;
            order.Add((next, reversed));
            LinePath line = lines[next];
            here = line.Closed || reversed ? line.Points[0] : line.Points[^1];
        }

        return order;
    }
}
