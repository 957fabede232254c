using System.Numerics;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Keyline.Elevation;

namespace Keyline.Terrain;

/// <summary>Traces many level lines in one sweep over the rows of a grid.</summary>
/// <remarks>
/// <para>Every side of a square of four cell centres carries one crossing for each level between its ends. Crossings are made
/// row by row, squares link them, and the links are followed at the end. At most one line leaves a crossing and at most one
/// reaches it.</para>
/// <para>Cost: linear in cells and crossings, however many levels; 20 bytes a crossing and a few rows.</para>
/// <para>Source: as <see cref="ContourLines"/> states.</para>
/// </remarks>
internal sealed class ContourSweep
{
    private const int Missing = -1;
    private const int Lanes = 8;

    private readonly ElevationGrid _ground;
    private readonly int _columns;
    private readonly double[] _levels;
    private readonly float[] _reach;
    private readonly Crossings _crossings;
    private readonly int[] _downSides;
    private int[] _rankAbove;
    private int[] _rankBelow;
    private int[] _northSides;
    private int[] _southSides;

    // For each block of eight places which of them differ: along the row above, along the new row, and between the two.
    private byte[] _alongAbove;
    private byte[] _alongBelow;
    private readonly byte[] _between;

    // For the square at hand, what a level's rank is added to for its crossing on each side.
    private readonly int[] _sides = new int[4];

    private ContourSweep(ElevationGrid ground, double[] levels)
    {
        (_ground, _levels, _columns) = (ground, levels, ground.Frame.Columns);

        // A height of single precision reaches a level where it reaches the next such number from the level up.
        _reach = Array.ConvertAll(levels, level => (float)level >= level ? (float)level : MathF.BitIncrement((float)level));
        _crossings = new Crossings(ground, levels);
        int room = _columns + Lanes;
        (_rankAbove, _rankBelow) = (new int[room], new int[room]);
        (_northSides, _southSides, _downSides) = (new int[room], new int[room], new int[room]);
        int blocks = room / Lanes;
        (_alongAbove, _alongBelow, _between) = (new byte[blocks], new byte[blocks], new byte[blocks]);
    }

    /// <summary>Traces levels.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="levels">Ascending, none twice.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The crossings of all levels, linked.</returns>
    public static Crossings Trace(ElevationGrid ground, double[] levels, CancellationToken cancellationToken)
    {
        ContourSweep sweep = new(ground, levels);
        for (int r = 0; r < ground.Frame.Rows; r++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            sweep.Take(r);
        }

        return sweep._crossings;
    }

    private void Take(int row)
    {
        Rank(_ground.Row(row));
        Cross(_rankBelow, _rankBelow, 1, _columns - 1, row, Crossings.East, _southSides, _alongBelow);
        if (row > 0)
        {
            Cross(_rankAbove, _rankBelow, 0, _columns, row - 1, Crossings.South, _downSides, _between);
            LinkSquares(row - 1);
        }

        (_rankAbove, _rankBelow) = (_rankBelow, _rankAbove);
        (_northSides, _southSides) = (_southSides, _northSides);
        (_alongAbove, _alongBelow) = (_alongBelow, _alongAbove);
    }

    /// <summary>How many levels each cell reaches. Neighbours mostly reach as many.</summary>
    private void Rank(ReadOnlySpan<float> heights)
    {
        float[] reach = _reach;
        int[] ranks = _rankBelow;
        int rank = 0;
        float floor = float.NegativeInfinity;
        float ceiling = reach.Length > 0 ? reach[0] : float.PositiveInfinity;
        for (int block = 0; block < heights.Length; block += Lanes)
        {
            if (Vector256.IsHardwareAccelerated && block + Lanes <= heights.Length)
            {
                Vector256<float> eight = Vector256.LoadUnsafe(ref MemoryMarshal.GetReference(heights), (nuint)block);
                if (Vector256.GreaterThanOrEqualAll(eight, Vector256.Create(floor)) && Vector256.LessThanAll(eight, Vector256.Create(ceiling)))
                {
                    Vector256.Create(rank).StoreUnsafe(ref MemoryMarshal.GetArrayDataReference(ranks), (nuint)block);
                    continue;
                }
            }

            int end = Math.Min(block + Lanes, heights.Length);
            for (int c = block; c < end; c++)
            {
                float z = heights[c];
                if (z >= floor && z < ceiling)
                {
                    ranks[c] = rank;
                    continue;
                }

                if (float.IsNaN(z))
                {
                    ranks[c] = Missing;
                    continue;
                }

                while (rank < reach.Length && reach[rank] <= z)
                {
                    rank++;
                }

                while (rank > 0 && reach[rank - 1] > z)
                {
                    rank--;
                }

                floor = rank > 0 ? reach[rank - 1] : float.NegativeInfinity;
                ceiling = rank < reach.Length ? reach[rank] : float.PositiveInfinity;
                ranks[c] = rank;
            }
        }
    }

    /// <summary>Makes the crossings of one row of sides, and keeps the number of the first of each.</summary>
    private void Cross(int[] one, int[] other, int shift, int count, int row, int way, int[] sides, byte[] differs)
    {
        for (int c = 0; c < count; c += Lanes)
        {
            uint differ = Differ(one, c, other, c + shift, count - c);
            differs[c / Lanes] = (byte)differ;
            for (; differ != 0; differ &= differ - 1)
            {
                int column = c + BitOperations.TrailingZeroCount(differ);
                sides[column] = _crossings.Count;
                (int a, int b) = (one[column], other[column + shift]);
                if (a != Missing && b != Missing)
                {
                    _crossings.Add((row * _columns) + column, way, Math.Min(a, b), Math.Max(a, b));
                }
            }
        }
    }

    // Where the row above, the new row and the step between them are all alike, so are the four corners.
    private void LinkSquares(int row)
    {
        int last = _columns - 1;
        for (int c = 0; c < last; c += Lanes)
        {
            int block = c / Lanes;
            uint active = (uint)(_alongAbove[block] | _alongBelow[block] | _between[block]);
            active &= last - c >= Lanes ? 0xFF : (1u << (last - c)) - 1;
            for (; active != 0; active &= active - 1)
            {
                Link(row, c + BitOperations.TrailingZeroCount(active));
            }
        }
    }

    private void Link(int row, int c)
    {
        (int nw, int ne, int sw, int se) = (_rankAbove[c], _rankAbove[c + 1], _rankBelow[c], _rankBelow[c + 1]);
        int low = Math.Min(Math.Min(nw, ne), Math.Min(sw, se));
        if (low == Missing)
        {
            return;
        }

        int high = Math.Max(Math.Max(nw, ne), Math.Max(sw, se));
        int[] sides = _sides;
        sides[0] = _northSides[c] - Math.Min(nw, ne);
        sides[1] = _downSides[c + 1] - Math.Min(ne, se);
        sides[2] = _southSides[c] - Math.Min(sw, se);
        sides[3] = _downSides[c] - Math.Min(nw, sw);
        for (int k = low; k < high; k++)
        {
            int above = (nw > k ? 1 : 0) | (ne > k ? 2 : 0) | (se > k ? 4 : 0) | (sw > k ? 8 : 0);
            (int a, int b, int x, int y) = ContourTracer.Ways(above, above is 5 or 10 && Mean(row, c) >= _levels[k]);
            _crossings.Link(sides[a] + k, sides[b] + k);
            if (x >= 0)
            {
                _crossings.Link(sides[x] + k, sides[y] + k);
            }
        }
    }

    private double Mean(int row, int column)
    {
        ReadOnlySpan<float> above = _ground.Row(row);
        ReadOnlySpan<float> below = _ground.Row(row + 1);
        return ((double)above[column] + above[column + 1] + below[column + 1] + below[column]) / 4;
    }

    /// <summary>Which of eight places differ between two rows of ranks, one bit each; only so many places count.</summary>
    private static uint Differ(int[] one, int at, int[] other, int otherAt, int count)
    {
        uint wanted = count >= Lanes ? 0xFFu : (1u << count) - 1;
        if (Vector256.IsHardwareAccelerated && otherAt + Lanes <= other.Length)
        {
            Vector256<int> same = Vector256.Equals(
                Vector256.LoadUnsafe(ref MemoryMarshal.GetArrayDataReference(one), (nuint)at),
                Vector256.LoadUnsafe(ref MemoryMarshal.GetArrayDataReference(other), (nuint)otherAt));
            return ~same.ExtractMostSignificantBits() & wanted;
        }

        uint bits = 0;
        for (int i = 0; i < Math.Min(count, Lanes); i++)
        {
            bits |= one[at + i] != other[otherAt + i] ? 1u << i : 0;
        }

        return bits;
    }
}
