using System.Numerics;

namespace Keyline.Layout.Even;

/// <summary>One level of the hierarchy that phases are found on.</summary>
/// <remarks>
/// <para>Edges pull the next node's value z' toward Same z, and toward the conjugate of Turned z; both may be at work, with their
/// strengths as moduli. The energy is the negative real part of conj(z') Same z + z' Turned z, summed.</para>
/// </remarks>
internal sealed class PhaseLevel
{
    private Complex[]? _turn;
    private bool[]? _conjugated;

    public PhaseLevel(int rows, int columns)
    {
        (Rows, Columns) = (rows, columns);
        int n = rows * columns;
        Active = new bool[n];
        Fixed = new bool[n];
        Values = new Complex[n];
        EastSame = new Complex[n];
        EastTurned = new Complex[n];
        SouthSame = new Complex[n];
        SouthTurned = new Complex[n];
    }

    public int Rows { get; }

    public int Columns { get; }

    public bool[] Active { get; }

    public bool[] Fixed { get; }

    public Complex[] Values { get; }

    public Complex[] EastSame { get; }

    public Complex[] EastTurned { get; }

    public Complex[] SouthSame { get; }

    public Complex[] SouthTurned { get; }

    /// <summary>Sets every free node in turn to the unit number nearest what its neighbours ask.</summary>
    public void Relax(int sweeps)
    {
        for (int sweep = 0; sweep < sweeps; sweep++)
        {
            for (int i = 0; i < Values.Length; i++)
            {
                if (!Active[i] || Fixed[i])
                {
                    continue;
                }

                Complex asked = Asked(i);
                double norm = Complex.Abs(asked);
                if (norm > 1e-12)
                {
                    Values[i] = asked / norm;
                }
            }
        }
    }

    /// <summary>The level of blocks of two by two nodes, with given values gathered into given ones.</summary>
    public PhaseLevel Gather()
    {
        PhaseLevel coarse = new((Rows + 1) / 2, (Columns + 1) / 2);
        _turn = new Complex[Values.Length];
        _conjugated = new bool[Values.Length];
        for (int r = 0; r < coarse.Rows; r++)
        {
            for (int c = 0; c < coarse.Columns; c++)
            {
                Join(coarse, r, c);
            }
        }

        for (int i = 0; i < Values.Length; i++)
        {
            int column = i % Columns;
            if (column % 2 == 1 && column < Columns - 1)
            {
                Add(i, i + 1, EastSame[i], EastTurned[i], Block(i), coarse.EastSame, coarse.EastTurned);
            }

            if (i / Columns % 2 == 1 && i + Columns < Values.Length)
            {
                Add(i, i + Columns, SouthSame[i], SouthTurned[i], Block(i), coarse.SouthSame, coarse.SouthTurned);
            }
        }

        return coarse;
    }

    /// <summary>Takes the values of the blocks.</summary>
    public void TakeFrom(PhaseLevel coarse)
    {
        for (int i = 0; i < Values.Length; i++)
        {
            if (Active[i] && !Fixed[i])
            {
                Complex whole = coarse.Values[Block(i)];
                Values[i] = _turn![i] * (_conjugated![i] ? Complex.Conjugate(whole) : whole);
            }
        }
    }

    private int Block(int i) => (i / Columns / 2 * ((Columns + 1) / 2)) + (i % Columns / 2);

    private Complex Asked(int i)
    {
        Complex sum = 0;
        int column = i % Columns;
        if (column > 0)
        {
            sum += (EastSame[i - 1] * Values[i - 1]) + Complex.Conjugate(EastTurned[i - 1] * Values[i - 1]);
        }

        if (column < Columns - 1)
        {
            sum += (Complex.Conjugate(EastSame[i]) * Values[i + 1]) + Complex.Conjugate(EastTurned[i] * Values[i + 1]);
        }

        if (i >= Columns)
        {
            sum += (SouthSame[i - Columns] * Values[i - Columns]) + Complex.Conjugate(SouthTurned[i - Columns] * Values[i - Columns]);
        }

        if (i + Columns < Values.Length)
        {
            sum += (Complex.Conjugate(SouthSame[i]) * Values[i + Columns]) + Complex.Conjugate(SouthTurned[i] * Values[i + Columns]);
        }

        return sum;
    }

    // How each node of a block follows the block: from its first node along the strongest edges.
    private void Join(PhaseLevel coarse, int row, int column)
    {
        int block = (row * coarse.Columns) + column;
        Span<int> nodes = stackalloc int[4];
        Span<bool> joined = stackalloc bool[4];
        int first = -1;
        for (int k = 0; k < 4; k++)
        {
            int r = (2 * row) + (k >> 1);
            int c = (2 * column) + (k & 1);
            nodes[k] = r < Rows && c < Columns && Active[(r * Columns) + c] ? (r * Columns) + c : -1;
            first = first < 0 && nodes[k] >= 0 ? k : first;
        }

        if (first < 0)
        {
            return;
        }

        coarse.Active[block] = true;
        coarse.Values[block] = 1;
        _turn![nodes[first]] = 1;
        joined[first] = true;

        // Neighbours in a block of four: each node with the next in its row and in its column.
        for (int round = 0; round < 3; round++)
        {
            for (int k = 0; k < 4; k++)
            {
                if (nodes[k] < 0 || joined[k])
                {
                    continue;
                }

                int beside = k ^ 1;
                int across = k ^ 2;
                double byBeside = nodes[beside] >= 0 && joined[beside] ? Strength(EastSame, EastTurned, nodes[k & 2]) : 0;
                double byAcross = nodes[across] >= 0 && joined[across] ? Strength(SouthSame, SouthTurned, nodes[k & 1]) : 0;
                if (byBeside > 0 && byBeside >= byAcross)
                {
                    Follow(nodes[k], nodes[beside], EastSame[nodes[k & 2]], EastTurned[nodes[k & 2]], (k & 1) == 1);
                    joined[k] = true;
                }
                else if (byAcross > 0)
                {
                    Follow(nodes[k], nodes[across], SouthSame[nodes[k & 1]], SouthTurned[nodes[k & 1]], (k & 2) == 2);
                    joined[k] = true;
                }
            }
        }

        Complex given = 0;
        bool any = false;
        for (int k = 0; k < 4; k++)
        {
            if (nodes[k] < 0)
            {
                continue;
            }

            if (!joined[k])
            {
                _turn[nodes[k]] = 1;
            }

            if (Fixed[nodes[k]])
            {
                any = true;
                Complex seen = Values[nodes[k]] * Complex.Conjugate(_turn[nodes[k]]);
                given += _conjugated![nodes[k]] ? Complex.Conjugate(seen) : seen;
            }
        }

        if (any && Complex.Abs(given) > 1e-9)
        {
            coarse.Fixed[block] = true;
            coarse.Values[block] = given / Complex.Abs(given);
        }
    }

    private static double Strength(Complex[] same, Complex[] turned, int edge) => edge < 0 ? 0 : Math.Max(Complex.Abs(same[edge]), Complex.Abs(turned[edge]));

    // A node follows another over an edge, the way the edge runs or against it.
    private void Follow(int node, int from, Complex same, Complex turned, bool forward)
    {
        bool conjugate = Complex.Abs(turned) > Complex.Abs(same);
        Complex unit = conjugate ? Complex.Conjugate(turned) / Complex.Abs(turned) : same / Complex.Abs(same);
        unit = conjugate || forward ? unit : Complex.Conjugate(unit);
        _turn![node] = unit * (conjugate ? Complex.Conjugate(_turn[from]) : _turn[from]);
        _conjugated![node] = _conjugated[from] ^ conjugate;
    }

    private void Add(int i, int j, Complex same, Complex turned, int block, Complex[] coarseSame, Complex[] coarseTurned)
    {
        if (!Active[i] || !Active[j])
        {
            return;
        }

        bool ci = _conjugated![i];
        bool cj = _conjugated[j];
        Complex p = Complex.Conjugate(_turn![j]) * same * _turn[i];
        Complex m = _turn[j] * turned * _turn[i];
        Complex pSeen = ci ? Complex.Conjugate(p) : p;
        Complex mSeen = ci ? Complex.Conjugate(m) : m;
        coarseSame[block] += (ci == cj ? pSeen : 0) + (ci == cj ? 0 : mSeen);
        coarseTurned[block] += (ci == cj ? 0 : pSeen) + (ci == cj ? mSeen : 0);
    }
}
