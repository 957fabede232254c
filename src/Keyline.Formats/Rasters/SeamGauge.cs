namespace Keyline.Formats;

/// <summary>Measures how tiles meet while they are put together.</summary>
internal sealed class SeamGauge(RawGround whole, ushort[] owners, IReadOnlyList<RawFile> tiles)
{
    private readonly SortedDictionary<(ushort First, ushort Second), Tally> _pairs = [];

    /// <summary>Counts a cell that two tiles have.</summary>
    /// <param name="first">The tile whose height was kept, from 1.</param>
    /// <param name="second">The other.</param>
    /// <param name="cell">The cell.</param>
    /// <param name="difference">The second's height less the first's.</param>
    public void Overlap(ushort first, ushort second, int cell, double difference)
    {
        Tally tally = Of(first, second);
        tally.Cells++;
        tally.Sum += difference;
        if (!(Math.Abs(difference) <= tally.Greatest))
        {
            (tally.Greatest, tally.Where) = (Math.Abs(difference), cell);
        }
    }

    /// <summary>Looks along every edge between two tiles, once all are laid.</summary>
    public IReadOnlyList<TileSeam> Measure(CancellationToken cancellationToken)
    {
        for (int r = 0; r < whole.Rows; r++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            for (int c = 0; c < whole.Columns; c++)
            {
                int at = (r * whole.Columns) + c;
                if (c >= 1 && c + 2 < whole.Columns)
                {
                    Step(at, 1);
                }

                if (r >= 1 && r + 2 < whole.Rows)
                {
                    Step(at, whole.Columns);
                }
            }
        }

        return [.. _pairs.Select(p => Seam(p.Key.First, p.Key.Second, p.Value))];
    }

    // Two cells on either side: the rise between the middle ones less the mean of the rises beside it.
    private void Step(int at, int next)
    {
        ushort a = owners[at], b = owners[at + next];
        if (a == b || a == 0 || b == 0)
        {
            return;
        }

        float[] z = whole.Heights;
        bool clean = owners[at - next] == a && owners[at + (2 * next)] == b;
        if (clean)
        {
            double jump = z[at + next] - (double)z[at] - (((z[at] - (double)z[at - next]) + (z[at + (2 * next)] - (double)z[at + next])) / 2);
            Of(Math.Min(a, b), Math.Max(a, b)).Jumps.Add(a < b ? jump : -jump);
        }
    }

    private TileSeam Seam(ushort first, ushort second, Tally tally)
    {
        (double lon, double lat) = (double.NaN, double.NaN);
        if (tally.Cells > 0)
        {
            (double x, double y) = whole.Mapping.At((tally.Where % whole.Columns) + 0.5, (tally.Where / whole.Columns) + 0.5);
            (lon, lat) = whole.Crs.ToLonLat(x, y);
        }

        tally.Jumps.Sort();
        return new TileSeam
        {
            First = tiles[first - 1].Name,
            Second = tiles[second - 1].Name,
            OverlapCells = tally.Cells,
            MeanDifference = tally.Cells > 0 ? tally.Sum / tally.Cells : double.NaN,
            GreatestDifference = tally.Cells > 0 ? tally.Greatest : double.NaN,
            Longitude = lon,
            Latitude = lat,
            EdgeCells = tally.Jumps.Count,
            Step = tally.Jumps.Count > 0 ? (tally.Jumps[(tally.Jumps.Count - 1) / 2] + tally.Jumps[tally.Jumps.Count / 2]) / 2 : double.NaN,
        };
    }

    private Tally Of(ushort first, ushort second)
    {
        if (!_pairs.TryGetValue((first, second), out Tally? tally))
        {
            _pairs[(first, second)] = tally = new Tally();
        }

        return tally;
    }

    private sealed class Tally
    {
        public long Cells { get; set; }

        public double Sum { get; set; }

        public double Greatest { get; set; } = -1;

        public int Where { get; set; }

        public List<double> Jumps { get; } = [];
    }
}
