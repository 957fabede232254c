using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>A line in the order it is driven in.</summary>
/// <param name="Line">Its place among the lines given.</param>
/// <param name="Reversed">Whether it is driven from its last point to its first.</param>
public readonly record struct RowStop(int Line, bool Reversed);

/// <summary>The order and the directions in which lines are driven, so that the time between them is short with the turns that fit.</summary>
/// <remarks>
/// <para>Units: seconds, metres. Promises: every line once; never slower between lines than the order given, reckoned with the same turns; the same lines give
/// the same order, whatever the number of threads. Good, not proven best.</para>
/// <para>Cost: turns among near ends are found once and kept; exchanges until none helps, or a bound for each line.</para>
/// <para>Source: two-exchanges (G. A. Croes 1958, "A method for solving traveling-salesman problems") and moved stretches of up to three lines (I. Or 1976)
/// over lists of near ends.</para>
/// </remarks>
public sealed class RowOrder
{
    /// <summary>What a turn that does not fit counts for besides its time, seconds.</summary>
    public const double NoFit = 180;

    private const int Near = 10;
    private const int MovesPerLine = 20;

    private readonly Pose[] _outward;
    private readonly RowChanges _changes;
    private readonly Coordinate? _gate;
    private readonly double _speed;
    private readonly Dictionary<long, double> _known = [];

    // What it counts to go from one part of a parted field to another, seconds: more than any order saves.
    internal const double FromPartToPart = 36_000;

    private readonly IReadOnlyList<int> _parts;

    private RowOrder(IReadOnlyList<LineString> lines, RowChanges changes, double speed, Coordinate? gate, IReadOnlyList<int> parts)
    {
        (_changes, _speed, _gate, _parts) = (changes, speed, gate, parts);
        _outward = [.. lines.SelectMany(l => new[] { RowEnds.Start(l).Reversed, RowEnds.End(l) })];
    }

    /// <summary>Improves an order.</summary>
    /// <param name="lines">The lines.</param>
    /// <param name="given">The order to begin with: each line once.</param>
    /// <param name="changes">The turns.</param>
    /// <param name="speed">Speed between lines where no turn is found near, metres a second.</param>
    /// <param name="gate">Where the tractor comes in and goes out, or null.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static IReadOnlyList<RowStop> Improve(IReadOnlyList<LineString> lines, IReadOnlyList<RowStop> given, RowChanges changes, double speed, Coordinate? gate = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(lines);
        return Improve(lines, given, changes, speed, gate, new int[lines.Count], cancellationToken);
    }

    /// <summary>The same in a field that is parted: for each line the part it lies in.</summary>
    internal static IReadOnlyList<RowStop> Improve(IReadOnlyList<LineString> lines, IReadOnlyList<RowStop> given, RowChanges changes, double speed, Coordinate? gate, IReadOnlyList<int> parts, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(given);
        ArgumentNullException.ThrowIfNull(changes);
        RowOrder order = new(lines, changes, speed, gate, parts);
        int[] entries = [.. given.Select(s => (2 * s.Line) + (s.Reversed ? 1 : 0))];
        int[][] near = order.NearEnds(cancellationToken);
        order.FindAhead(near, cancellationToken);
        int moves = MovesPerLine * entries.Length;
        bool better = entries.Length > 2;
        while (better && moves > 0)
        {
            better = order.Exchange(ref entries, near, ref moves, cancellationToken);
            better |= order.MoveStretches(ref entries, near, ref moves, cancellationToken);
        }

        return [.. entries.Select(e => new RowStop(e / 2, e % 2 == 1))];
    }

    // Ends are numbered: 2 i the first point of line i, 2 i + 1 its last; a line is entered at one and left at the other.
    // The cost of joining two ends is the same both ways, the worse of the two, so that stretches may be turned about.
    private double Join(int a, int b)
    {
        if (a < 0 || b < 0)
        {
            int end = Math.Max(a, b);
            return end < 0 || _gate is null ? 0 : Math.Sqrt(Math.Pow(_outward[end].X - _gate.X, 2) + Math.Pow(_outward[end].Y - _gate.Y, 2)) / _speed;
        }

        (int low, int high) = a < b ? (a, b) : (b, a);
        long key = ((long)low << 32) | (uint)high;
        if (!_known.TryGetValue(key, out double seconds))
        {
            _known[key] = seconds = Seconds(low, high);
        }

        return seconds;
    }

    // What joining two ends costs at the least, without looking for a turn where none was asked for yet.
    private double AtLeast(int a, int b)
    {
        if (a < 0 || b < 0)
        {
            return Join(a, b);
        }

        (int low, int high) = a < b ? (a, b) : (b, a);
        return _known.TryGetValue(((long)low << 32) | (uint)high, out double seconds) ? seconds : (1 - 1e-9) * _changes.LeastBetween(_outward[low], _outward[high].Reversed);
    }

    private double Seconds(int a, int b)
    {
        Pose p = _outward[a], q = _outward[b];
        double far = Math.Sqrt(Math.Pow(p.X - q.X, 2) + Math.Pow(p.Y - q.Y, 2));
        if (_parts[a / 2] != _parts[b / 2])
        {
            return FromPartToPart + (far / _speed);
        }

        // Far-off ends are not worth the search: nobody joins them where anything nearer is left.
        return far > 250 ? (far / _speed) + NoFit : Math.Max(One(p, q.Reversed), One(q, p.Reversed));

        double One(Pose exit, Pose entry)
        {
            RowChange change = _changes.Between(exit, entry, withLinks: false);
            return change.Seconds + (change.Fits ? 0 : NoFit);
        }
    }

    private void FindAhead(int[][] near, CancellationToken cancellationToken)
    {
        long[] keys = [.. near.SelectMany((others, e) => others.Select(o => e < o ? ((long)e << 32) | (uint)o : ((long)o << 32) | (uint)e)).Distinct().Order()];
        double[] seconds = new double[keys.Length];
        Parallel.For(0, keys.Length, WorkThreads.Options(cancellationToken), i => seconds[i] = Seconds((int)(keys[i] >> 32), (int)(keys[i] & 0xffffffff)));
        for (int i = 0; i < keys.Length; i++)
        {
            _known[keys[i]] = seconds[i];
        }
    }

    // Turns a stretch about where the two joints it leaves cost more than the two that take their place.
    private bool Exchange(ref int[] entries, int[][] near, ref int moves, CancellationToken cancellationToken)
    {
        bool any = false;
        int n = entries.Length;
        int[] at = Places(entries);
        for (int end = 0; end < _outward.Length && moves > 0; end++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            foreach (int other in near[end])
            {
                int i = at[end / 2], j = at[other / 2];
                bool leaves = entries[i] != end;
                if (i == j || leaves != (entries[j] != other))
                {
                    continue;
                }

                (int low, int high) = leaves ? (Math.Min(i, j) + 1, Math.Max(i, j)) : (Math.Min(i, j), Math.Max(i, j) - 1);
                if (low > high || high - low + 1 == n)
                {
                    continue;
                }

                int before = low > 0 ? entries[low - 1] ^ 1 : -1, after = high + 1 < n ? entries[high + 1] : -1;
                double left = Join(before, entries[low]) + Join(entries[high] ^ 1, after);
                if (left - AtLeast(before, entries[high] ^ 1) - AtLeast(entries[low], after) <= 1e-6
                    || left - Join(before, entries[high] ^ 1) - Join(entries[low], after) <= 1e-6)
                {
                    continue;
                }

                Array.Reverse(entries, low, high - low + 1);
                for (int k = low; k <= high; k++)
                {
                    entries[k] ^= 1;
                    at[entries[k] / 2] = k;
                }

                any = true;
                moves--;
                break;
            }
        }

        return any;
    }

    // Takes one to three lines out and puts them, either way about, beside an end that is near one of theirs.
    private bool MoveStretches(ref int[] entries, int[][] near, ref int moves, CancellationToken cancellationToken)
    {
        bool any = false;
        for (int length = 1; length <= 3; length++)
        {
            for (int line = 0; line < _outward.Length / 2 && moves > 0; line++)
            {
                cancellationToken.ThrowIfCancellationRequested();
                int from = Array.FindIndex(entries, e => e / 2 == line);
                if (from + length <= entries.Length && TryMove(ref entries, near, from, length))
                {
                    any = true;
                    moves--;
                }
            }
        }

        return any;
    }

    private bool TryMove(ref int[] entries, int[][] near, int from, int length)
    {
        int n = entries.Length, to = from + length - 1;
        int first = entries[from], last = entries[to] ^ 1, before = from > 0 ? entries[from - 1] ^ 1 : -1, after = to + 1 < n ? entries[to + 1] : -1;
        double left = Join(before, first) + Join(last, after);
        double mostFreed = left - (before < 0 || after < 0 ? Join(-1, before < 0 ? after : before) : AtLeast(before, after));
        double freed = double.NaN;
        int[] at = Places(entries);
        foreach (int own in new[] { first, last })
        {
            int otherOwn = own == first ? last : first;
            foreach (int other in near[own])
            {
                int place = at[other / 2];
                if (place >= from && place <= to)
                {
                    continue;
                }

                // Beside the other end: after its line where that is left there, before it where it is entered there.
                bool leaves = entries[place] != other;
                int neighbour = leaves ? Next(entries, place, from, to) : Previous(entries, place, from, to);
                if (Join(other, own) + AtLeast(otherOwn, neighbour) - Join(other, neighbour) >= mostFreed - 1e-6)
                {
                    continue;
                }

                freed = double.IsNaN(freed) ? left - (before < 0 || after < 0 ? Join(-1, before < 0 ? after : before) : Join(before, after)) : freed;
                if (Join(other, own) + Join(otherOwn, neighbour) - Join(other, neighbour) >= freed - 1e-6)
                {
                    continue;
                }

                // In the order, the stretch is entered at "own" where the other is left, and left at "own" where it is entered.
                bool turn = leaves ? own != first : own != last;
                List<int> stretch = [.. entries[from..(to + 1)]], rest = [.. entries[..from], .. entries[(to + 1)..]];
                if (turn)
                {
                    stretch = [.. stretch.AsEnumerable().Reverse().Select(e => e ^ 1)];
                }

                rest.InsertRange(rest.IndexOf(entries[place]) + (leaves ? 1 : 0), stretch);
                entries = [.. rest];
                return true;
            }
        }

        return false;
    }

    // The end that follows or precedes a line once a stretch is taken out; -1 at the ends of the order.
    private static int Next(int[] entries, int place, int from, int to)
    {
        int next = place + 1 == from ? to + 1 : place + 1;
        return next < entries.Length ? entries[next] : -1;
    }

    private static int Previous(int[] entries, int place, int from, int to)
    {
        int previous = place - 1 == to ? from - 1 : place - 1;
        return previous >= 0 ? entries[previous] ^ 1 : -1;
    }

    private static int[] Places(int[] entries)
    {
        int[] at = new int[entries.Length];
        for (int k = 0; k < entries.Length; k++)
        {
            at[entries[k] / 2] = k;
        }

        return at;
    }

    // For each end those that are reached soonest forward, and those that lie nearest.
    private int[][] NearEnds(CancellationToken cancellationToken)
    {
        double reach = Math.Max(50, 6 * _changes.Radius);
        Dictionary<(int, int), List<int>> bins = [];
        for (int e = 0; e < _outward.Length; e++)
        {
            (int, int) bin = Bin(_outward[e]);
            (bins.TryGetValue(bin, out List<int>? ends) ? ends : bins[bin] = []).Add(e);
        }

        int[][] near = new int[_outward.Length][];
        Parallel.For(0, near.Length, WorkThreads.Options(cancellationToken), e =>
        {
            (int column, int row) = Bin(_outward[e]);
            List<(double Way, double Far, int End)> found = [];
            for (int r = row - 1; r <= row + 1; r++)
            {
                for (int c = column - 1; c <= column + 1; c++)
                {
                    foreach (int other in bins.GetValueOrDefault((c, r)) ?? [])
                    {
                        double far = Math.Sqrt(Math.Pow(_outward[other].X - _outward[e].X, 2) + Math.Pow(_outward[other].Y - _outward[e].Y, 2));
                        if (other / 2 != e / 2 && far <= reach)
                        {
                            found.Add((ForwardTurns.Between(_outward[e], _outward[other].Reversed, _changes.Radius)[0].Length, far, other));
                        }
                    }
                }
            }

            near[e] = [.. found.OrderBy(f => f.Way).ThenBy(f => f.End).Take(Near).Concat(found.OrderBy(f => f.Far).ThenBy(f => f.End).Take(Near / 2)).Select(f => f.End).Distinct()];
        });
        return near;

        (int, int) Bin(Pose p) => ((int)Math.Floor(p.X / reach), (int)Math.Floor(p.Y / reach));
    }
}
