using Keyline.Elevation;
using Keyline.Planar;

namespace Keyline.Layout.Even;

/// <summary>Traces the lines of a count: where it passes half a whole number.</summary>
/// <remarks>
/// <para>Each face is traced as its north-west node counts: half a whole number stays one whichever way lines are counted. Faces
/// are divided three by three; along an edge the count is a parabola that bends as the steps before and after it say, the same
/// from both sides, so lines meet from face to face, and inside the edges are blended (Coons 1967). In a face where a line ends, or around which no count goes through, crossings are joined straight across.</para>
/// <para>Promises: every point has at most two neighbours, so lines neither branch nor cross.</para>
/// <para>Cost: linear in faces.</para>
/// </remarks>
internal sealed class PhaseTracer
{
    private const int Parts = 3;

    // A step that differs more than this from the next is no bend but a break, lines.
    private const double MostBend = 0.25;

    private readonly PhaseGrid _grid;
    private readonly int _columns;
    private readonly int _across;
    private readonly int _southEdges;
    private readonly int[] _pointOf;
    private readonly List<XY> _points = [];
    private readonly List<(int A, int B)> _links = [];

    private PhaseTracer(PhaseGrid grid)
    {
        _grid = grid;
        _columns = grid.Frame.Columns;
        _across = Parts * _columns;
        _southEdges = _across * Parts * grid.Frame.Rows;
        _pointOf = new int[2 * _southEdges];
        Array.Fill(_pointOf, -1);
    }

    /// <summary>All lines, open ones first.</summary>
    public static List<LinePath> Trace(PhaseGrid grid)
    {
        PhaseTracer tracer = new(grid);
        for (int i = 0; i < grid.Domain.Length; i++)
        {
            if (grid.HasFace(i))
            {
                if (grid.Residue(i) == 0)
                {
                    tracer.Whole(i);
                }
                else
                {
                    tracer.Broken(i);
                }
            }
        }

        return tracer.Walk();
    }

    // The count at the corners as the north-west node counts; the last by either way round, which agree where no line ends.
    private (double Nw, double Ne, double Sw, double SeByEast, double SeBySouth) Corners(int i)
    {
        (int ne, int sw, _, _) = _grid.Signs.Face(i);
        double first = _grid.Phase[i];
        double east = first + _grid.StepEast[i];
        double south = first + _grid.StepSouth[i];
        return (first, east, south, east + (ne * _grid.StepSouth[i + 1]), south + (sw * _grid.StepEast[i + _columns]));
    }

    private void Whole(int i)
    {
        (double nw, double ne, double sw, double byEast, double bySouth) = Corners(i);
        double se = 0.5 * (byEast + bySouth);
        (int nes, int sws, _, _) = _grid.Signs.Face(i);
        double top = BendEast(i);
        double bottom = sws * BendEast(i + _columns);
        double left = BendSouth(i);
        double rightward = nes * BendSouth(i + 1);
        Span<double> v = stackalloc double[(Parts + 1) * (Parts + 1)];
        for (int r = 0; r <= Parts; r++)
        {
            double down = (double)r / Parts;
            for (int c = 0; c <= Parts; c++)
            {
                double right = (double)c / Parts;
                v[(r * (Parts + 1)) + c] = Between(Between(nw, ne, right), Between(sw, se, right), down)
                    - (Bow(right) * Between(top, bottom, down)) - (Bow(down) * Between(left, rightward, right));
            }
        }

        Span<int> found = stackalloc int[4];
        for (int r = 0; r < Parts; r++)
        {
            for (int c = 0; c < Parts; c++)
            {
                int at = (r * (Parts + 1)) + c;
                int count = 0;
                Take(found, ref count, OnEast(i, r, c, v[at], v[at + 1]));
                Take(found, ref count, OnEast(i, r + 1, c, v[at + Parts + 1], v[at + Parts + 2]));
                Take(found, ref count, OnSouth(i, r, c, v[at], v[at + Parts + 1]));
                Take(found, ref count, OnSouth(i, r, c + 1, v[at + 1], v[at + Parts + 2]));
                Pair(found[..count], default);
            }
        }
    }

    private void Broken(int i)
    {
        (double nw, double ne, double sw, double byEast, double bySouth) = Corners(i);
        (int nes, int sws, int ses, bool through) = _grid.Signs.Face(i);
        double top = BendEast(i);
        double bottom = sws * BendEast(i + _columns);
        double left = BendSouth(i);
        double right = nes * BendSouth(i + 1);
        Span<int> found = stackalloc int[4 * Parts];
        int count = 0;
        for (int k = 0; k < Parts; k++)
        {
            double from = (double)k / Parts;
            double to = (double)(k + 1) / Parts;
            Take(found, ref count, OnEast(i, 0, k, On(nw, ne, top, from), On(nw, ne, top, to)));
            Take(found, ref count, OnEast(i, Parts, k, On(sw, bySouth, bottom, from), On(sw, bySouth, bottom, to)));
            Take(found, ref count, OnSouth(i, k, 0, On(nw, sw, left, from), On(nw, sw, left, to)));
            Take(found, ref count, OnSouth(i, k, Parts, On(ne, byEast, right, from), On(ne, byEast, right, to)));
        }

        double east = _grid.East[i] + (nes * _grid.East[i + 1]) + (sws * _grid.East[i + _columns]) + (ses * _grid.East[i + _columns + 1]);
        double south = _grid.South[i] + (nes * _grid.South[i + 1]) + (sws * _grid.South[i + _columns]) + (ses * _grid.South[i + _columns + 1]);
        Pair(found[..count], through ? new XY(east, -south).Unit() : default);
    }

    // How the steps along a row change at an edge: the mean of the change before it and after it, as its first node counts.
    private double BendEast(int i)
    {
        double before = i % _columns > 0 && _grid.HasEast(i - 1) ? _grid.StepEast[i] - (_grid.Signs.East[i - 1] * _grid.StepEast[i - 1]) : double.NaN;
        double after = _grid.HasEast(i + 1) ? (_grid.Signs.East[i] * _grid.StepEast[i + 1]) - _grid.StepEast[i] : double.NaN;
        return Bend(before, after);
    }

    private double BendSouth(int i)
    {
        double before = i >= _columns && _grid.HasSouth(i - _columns) ? _grid.StepSouth[i] - (_grid.Signs.South[i - _columns] * _grid.StepSouth[i - _columns]) : double.NaN;
        double after = _grid.HasSouth(i + _columns) ? (_grid.Signs.South[i] * _grid.StepSouth[i + _columns]) - _grid.StepSouth[i] : double.NaN;
        return Bend(before, after);
    }

    private static double Bend(double before, double after)
    {
        bool first = Math.Abs(before) < MostBend;
        bool second = Math.Abs(after) < MostBend;
        return first && second ? 0.5 * (before + after) : first ? before : second ? after : 0;
    }

    private static double Bow(double share) => 0.5 * share * (1 - share);

    private static double On(double a, double b, double bend, double share) => Between(a, b, share) - (Bow(share) * bend);

    private static double Between(double a, double b, double share) => a + ((b - a) * share);

    private static void Take(Span<int> found, ref int count, int point)
    {
        if (point >= 0)
        {
            found[count++] = point;
        }
    }

    // Joins crossings two by two, the pairs that lie best along the lines first; across the normal counts in full, along it a little.
    private void Pair(Span<int> found, XY normal)
    {
        int left = found.Length;
        while (left > 1)
        {
            double least = double.PositiveInfinity;
            (int a, int b) = (0, 1);
            for (int p = 0; p < left; p++)
            {
                for (int q = p + 1; q < left; q++)
                {
                    XY chord = _points[found[q]] - _points[found[p]];
                    double cost = left == 2 ? 0 : Math.Abs(chord.Dot(normal)) + (normal == default ? chord.Norm : 0.2 * chord.Norm);
                    if (cost < least)
                    {
                        (least, a, b) = (cost, p, q);
                    }
                }
            }

            _links.Add((found[a], found[b]));

            // Of two places cleared, the later first, so that the last of the list may fill either.
            found[b] = found[left - 1];
            found[a] = found[left - 2];
            left -= 2;
        }
    }

    // The crossing on a part of an edge, made once whichever face comes first.
    private int OnEast(int i, int r, int c, double from, double to) => Crossing(FineRow(i) + r, FineColumn(i) + c, from, to, false);

    private int OnSouth(int i, int r, int c, double from, double to) => Crossing(FineRow(i) + r, FineColumn(i) + c, from, to, true);

    private int FineRow(int i) => i / _columns * Parts;

    private int FineColumn(int i) => i % _columns * Parts;

    private int Crossing(int row, int column, double from, double to, bool down)
    {
        double a = Math.Floor(from - 0.5);
        double b = Math.Floor(to - 0.5);
        if (a == b)
        {
            return -1;
        }

        int edge = (row * _across) + column + (down ? _southEdges : 0);
        if (_pointOf[edge] < 0)
        {
            double level = Math.Max(a, b) + 0.5;
            double share = Math.Clamp((level - from) / (to - from), 0, 1);
            _pointOf[edge] = _points.Count;
            GridFrame frame = _grid.Frame;
            _points.Add(new XY(frame.CentreX((column + (down ? 0 : share)) / Parts), frame.CentreY((row + (down ? share : 0)) / Parts)));
        }

        return _pointOf[edge];
    }

    private List<LinePath> Walk()
    {
        int n = _points.Count;
        int[] one = new int[n];
        int[] two = new int[n];
        Array.Fill(one, -1);
        Array.Fill(two, -1);
        foreach ((int a, int b) in _links)
        {
            (one[a] < 0 ? one : two)[a] = b;
            (one[b] < 0 ? one : two)[b] = a;
        }

        bool[] seen = new bool[n];
        List<LinePath> lines = [];
        for (int pass = 0; pass < 2; pass++)
        {
            for (int start = 0; start < n; start++)
            {
                if (seen[start] || one[start] < 0 || (pass == 0 && two[start] >= 0))
                {
                    continue;
                }

                List<XY> line = [];
                int at = start;
                while (at >= 0)
                {
                    seen[at] = true;
                    line.Add(_points[at]);
                    at = one[at] >= 0 && !seen[one[at]] ? one[at] : two[at] >= 0 && !seen[two[at]] ? two[at] : -1;
                }

                if (line.Count > 2)
                {
                    lines.Add(new LinePath([.. line], pass == 1));
                }
            }
        }

        return lines;
    }
}
