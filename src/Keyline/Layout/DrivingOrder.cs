using Keyline.Planar;

namespace Keyline.Layout;

/// <summary>A sequence and a direction for each line, so that the way between them is short for a machine that cannot turn
/// on the spot.</summary>
/// <remarks>
/// <para>Units: metres. The way from a line's end to the next line's start is the shortest that the turning radius allows, so
/// rows closer together than two radii are skipped and come back to where that is shorter than looping into the next one.</para>
/// <para>Promises: every line once; starts and ends as near the gate as pays, or at the line end farthest to the north-west
/// where there is none; ties go to the lower index. Good, not proven best.</para>
/// <para>Cost: the square of the number of lines for the first sequence, then exchanges among near neighbours.</para>
/// <para>Source: nearest neighbour, then two-exchanges (Croes 1958) over neighbour lists.</para>
/// </remarks>
internal sealed class DrivingOrder
{
    private const int Neighbours = 10;
    private const int MovesPerLine = 12;

    private readonly XY[] _place;
    private readonly XY[] _outward;
    private readonly double _radius;
    private readonly XY? _gate;

    // End 2 i is the first point of line i, end 2 i + 1 the last; "outward" is the heading of a tractor leaving there.
    private DrivingOrder(IReadOnlyList<LinePath> lines, XY? gate, double radius)
    {
        _radius = radius;
        _gate = gate;
        _place = new XY[2 * lines.Count];
        _outward = new XY[_place.Length];
        for (int i = 0; i < lines.Count; i++)
        {
            XY[] p = lines[i].Points;
            XY last = lines[i].Closed ? p[0] : p[^1];
            XY beforeLast = lines[i].Closed ? p[^1] : p[^2];
            _place[2 * i] = p[0];
            _place[(2 * i) + 1] = last;
            _outward[2 * i] = (p[0] - p[1]).Unit();
            _outward[(2 * i) + 1] = (last - beforeLast).Unit();
        }
    }

    /// <summary>For each place in the order the index of its line and whether it is driven backward.</summary>
    public IReadOnlyList<(int Line, bool Reversed)> Stops { get; private set; } = [];

    public DrivingFigures Plan { get; private set; } = new(0, 0, 0);

    /// <summary>Finds an order.</summary>
    /// <param name="lines">The lines.</param>
    /// <param name="gate">Where the tractor enters and leaves; null where that is not known.</param>
    /// <param name="radius">Least radius of turn, metres.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static DrivingOrder Find(IReadOnlyList<LinePath> lines, XY? gate, double radius, CancellationToken cancellationToken)
    {
        DrivingOrder order = new(lines, gate, radius);
        int[] entries = order.NearestFirst(lines.Count, cancellationToken);
        order.Exchange(entries, cancellationToken);
        order.Stops = [.. entries.Select(e => (e / 2, e % 2 == 1))];
        double turning = order.FromGate(entries.Length > 0 ? entries[0] : -1) + order.FromGate(entries.Length > 0 ? entries[^1] ^ 1 : -1);
        for (int k = 1; k < entries.Length; k++)
        {
            turning += order.Between(entries[k - 1] ^ 1, entries[k]);
        }

        order.Plan = new DrivingFigures(lines.Sum(l => l.Length()), turning, Math.Max(entries.Length - 1, 0));
        return order;
    }

    // From leaving a line at one end to entering another at an end.
    private double Between(int exit, int entry) => ShortestTurn.Length(_place[exit], _outward[exit], _place[entry], _outward[entry] * -1, _radius);

    private double FromGate(int end) => end < 0 || _gate is null ? 0 : (_place[end] - _gate.Value).Norm;

    private int[] NearestFirst(int count, CancellationToken cancellationToken)
    {
        int[] entries = new int[count];
        bool[] done = new bool[count];
        int exit = -1;
        for (int k = 0; k < count; k++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            int next = -1;
            double best = double.PositiveInfinity;
            for (int e = 0; e < _place.Length; e++)
            {
                if (done[e / 2])
                {
                    continue;
                }

                double least = k > 0 ? (_place[e] - _place[exit]).Norm : _gate is null ? _place[e].X - _place[e].Y : FromGate(e);
                if (least >= best)
                {
                    continue;
                }

                double way = k > 0 ? Between(exit, e) : least;
                if (way < best)
                {
                    (best, next) = (way, e);
                }
            }

            done[next / 2] = true;
            entries[k] = next;
            exit = next ^ 1;
        }

        return entries;
    }

    // Turns stretches of the order around, where the two ways that are cut are longer than the two that take their place.
    private void Exchange(int[] entries, CancellationToken cancellationToken)
    {
        int n = entries.Length;
        if (n < 4)
        {
            return;
        }

        int[] at = new int[n];
        for (int k = 0; k < n; k++)
        {
            at[entries[k] / 2] = k;
        }

        int[][] near = NearEnds(cancellationToken);
        int moves = MovesPerLine * n;
        bool better = true;
        while (better && moves > 0)
        {
            better = false;
            for (int end = 0; end < _place.Length && moves > 0; end++)
            {
                cancellationToken.ThrowIfCancellationRequested();
                foreach (int other in near[end])
                {
                    if (TryJoin(entries, at, end, other))
                    {
                        better = true;
                        moves--;
                        break;
                    }
                }
            }
        }
    }

    // Tries to bring two ends next to each other by turning one stretch around.
    private bool TryJoin(int[] entries, int[] at, int end, int other)
    {
        int i = at[end / 2];
        int j = at[other / 2];
        bool leaves = entries[i] != end;
        bool otherLeaves = entries[j] != other;
        if (i == j || leaves != otherLeaves)
        {
            return false;
        }

        // Both are left: turn around what comes after the first of them up to and with the second. Both are entered: what
        // comes from the first up to before the second.
        (int low, int high) = leaves ? (Math.Min(i, j) + 1, Math.Max(i, j)) : (Math.Min(i, j), Math.Max(i, j) - 1);
        if (low >= high + 1 || high - low + 1 == entries.Length)
        {
            return false;
        }

        double before = Joint(low - 1, entries, entries[low]) + JointAfter(high, entries, entries[high] ^ 1);
        double after = Joint(low - 1, entries, entries[high] ^ 1) + JointAfter(high, entries, entries[low]);
        if (after >= before - 1e-6)
        {
            return false;
        }

        Array.Reverse(entries, low, high - low + 1);
        for (int k = low; k <= high; k++)
        {
            entries[k] ^= 1;
            at[entries[k] / 2] = k;
        }

        return true;
    }

    // The way from the line at a place in the order, or from the gate, to an entry.
    private double Joint(int place, int[] entries, int entry) => place < 0 ? FromGate(entry) : Between(entries[place] ^ 1, entry);

    // The way from an exit to the line after a place in the order, or to the gate.
    private double JointAfter(int place, int[] entries, int exit) => place + 1 >= entries.Length ? FromGate(exit) : Between(exit, entries[place + 1]);

    private int[][] NearEnds(CancellationToken cancellationToken)
    {
        double reach = Math.Max(4 * _radius, 10);
        Dictionary<(long, long), List<int>> bins = [];
        for (int e = 0; e < _place.Length; e++)
        {
            (long, long) bin = Bin(_place[e]);
            if (!bins.TryGetValue(bin, out List<int>? ends))
            {
                bins[bin] = ends = [];
            }

            ends.Add(e);
        }

        int[][] near = new int[_place.Length][];
        Parallel.For(0, near.Length, WorkThreads.Options(cancellationToken), e =>
        {
            (long column, long row) = Bin(_place[e]);
            List<(double Way, int End)> found = [];
            for (long r = row - 1; r <= row + 1; r++)
            {
                for (long c = column - 1; c <= column + 1; c++)
                {
                    foreach (int other in bins.GetValueOrDefault((c, r)) ?? [])
                    {
                        if (other / 2 != e / 2 && (_place[other] - _place[e]).Norm <= reach)
                        {
                            found.Add((Between(e, other), other));
                        }
                    }
                }
            }

            found.Sort();
            near[e] = [.. found.Take(Neighbours).Select(f => f.End)];
        });
        return near;

        (long, long) Bin(XY p) => ((long)Math.Floor(p.X / reach), (long)Math.Floor(p.Y / reach));
    }
}
