using Keyline.Elevation;
using Keyline.Planar;

namespace Keyline.Layout.Parallels;

/// <summary>For each cell of a frame the nearest segment of some paths.</summary>
/// <remarks>
/// <para>Units: metres. Promises: the segment found is the nearest or, for at most one cell in a hundred, another whose distance
/// differs by less than a tenth of a cell (held by the tests against trying every segment). Not signed.</para>
/// <para>Cost: two passes, some twenty distances a cell.</para>
/// <para>Source: vector propagation, Danielsson 1980, "Euclidean distance mapping", with segments in place of points
/// and a walk along the path from each segment that a neighbour passes on.</para>
/// </remarks>
internal sealed class NearestSegments
{
    private readonly XY[] _starts;
    private readonly XY[] _ends;
    private readonly byte[] _openEnds;
    private readonly bool[] _follows;
    private readonly int[] _nearest;
    private readonly double[] _square;
    private readonly GridFrame _frame;
    private readonly int _rows;
    private readonly int _columns;
    private readonly double[] _x;
    private readonly double[] _y;

    private NearestSegments(GridFrame frame, XY[] starts, XY[] ends, byte[] openEnds, bool[] follows)
    {
        _frame = frame;
        _rows = frame.Rows;
        _columns = frame.Columns;
        _x = [.. Enumerable.Range(0, _columns).Select(c => frame.CentreX(c))];
        _y = [.. Enumerable.Range(0, _rows).Select(r => frame.CentreY(r))];
        _starts = starts;
        _ends = ends;
        _openEnds = openEnds;
        _follows = follows;
        _nearest = new int[checked((int)frame.CellCount)];
        _square = new double[_nearest.Length];
        Array.Fill(_nearest, -1);
        Array.Fill(_square, double.PositiveInfinity);
    }

    public static NearestSegments Compute(GridFrame frame, IReadOnlyList<LinePath> paths)
    {
        int count = paths.Sum(p => p.SegmentCount);
        XY[] starts = new XY[count];
        XY[] ends = new XY[count];
        byte[] openEnds = new byte[count];
        bool[] follows = new bool[count];
        int k = 0;
        foreach (LinePath path in paths)
        {
            for (int i = 0; i < path.SegmentCount; i++)
            {
                starts[k] = path.Points[i];
                ends[k] = path.End(i);
                follows[k] = i > 0;
                openEnds[k++] = (byte)(path.Closed ? 0 : (i == 0 ? 1 : 0) | (i == path.SegmentCount - 1 ? 2 : 0));
            }
        }

        NearestSegments result = new(frame, starts, ends, openEnds, follows);
        result.Seed();
        result.Sweep();
        return result;
    }

    /// <summary>Distance from a cell's centre, metres.</summary>
    public double Distance(int cell) => Math.Sqrt(_square[cell]);

    /// <summary>Direction of travel of the segment nearest to a cell, not scaled.</summary>
    public XY Direction(int cell) => _ends[_nearest[cell]] - _starts[_nearest[cell]];

    /// <summary>Whether a cell lies past the open end of its nearest path, where no parallel of that path comes by.</summary>
    public bool IsBeyondEnd(int cell)
    {
        int segment = _nearest[cell];
        if (_openEnds[segment] == 0)
        {
            return false;
        }

        XY along = _ends[segment] - _starts[segment];
        XY from = new XY(_frame.CentreX(cell % _frame.Columns), _frame.CentreY(cell / _frame.Columns)) - _starts[segment];
        double t = from.Dot(along) / Math.Max(along.Dot(along), 1e-12);
        return ((_openEnds[segment] & 1) != 0 && t < 0) || ((_openEnds[segment] & 2) != 0 && t > 1);
    }

    private void Seed()
    {
        for (int s = 0; s < _starts.Length; s++)
        {
            XY middle = (_starts[s] + _ends[s]) * 0.5;
            (int row, int column) = _frame.CellAt(middle.X, middle.Y);
            for (int r = row - 1; r <= row + 1; r++)
            {
                for (int c = column - 1; c <= column + 1; c++)
                {
                    if (_frame.Contains(r, c))
                    {
                        Try(r, c, s);
                    }
                }
            }
        }
    }

    private void Sweep()
    {
        int rows = _frame.Rows;
        int columns = _frame.Columns;
        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < columns; c++)
            {
                Borrow(r, c, -1, 0);
                Borrow(r, c, -1, -1);
                Borrow(r, c, -1, 1);
                Borrow(r, c, 0, -1);
            }

            for (int c = columns - 1; c >= 0; c--)
            {
                Borrow(r, c, 0, 1);
            }
        }

        for (int r = rows - 1; r >= 0; r--)
        {
            for (int c = columns - 1; c >= 0; c--)
            {
                Borrow(r, c, 1, 0);
                Borrow(r, c, 1, 1);
                Borrow(r, c, 1, -1);
                Borrow(r, c, 0, 1);
            }

            for (int c = 0; c < columns; c++)
            {
                Borrow(r, c, 0, -1);
            }
        }
    }

    // The neighbour's segment, and from it along its path as far as that comes nearer.
    private void Borrow(int r, int c, int down, int right)
    {
        int fromRow = r + down;
        int fromColumn = c + right;
        if ((uint)fromRow >= (uint)_rows || (uint)fromColumn >= (uint)_columns)
        {
            return;
        }

        int segment = _nearest[(fromRow * _columns) + fromColumn];
        if (segment < 0 || segment == _nearest[(r * _columns) + c] || !Try(r, c, segment))
        {
            return;
        }

        for (int ahead = segment + 1; ahead < _starts.Length && _follows[ahead] && Try(r, c, ahead); ahead++)
        {
        }

        for (int behind = segment; behind > 0 && _follows[behind] && Try(r, c, behind - 1); behind--)
        {
        }
    }

    private bool Try(int r, int c, int segment)
    {
        int cell = (r * _columns) + c;
        double d = SegmentBins.SquareDistance(new XY(_x[c], _y[r]), _starts[segment], _ends[segment]);
        if (d < _square[cell] || (d == _square[cell] && segment < _nearest[cell]))
        {
            _square[cell] = d;
            _nearest[cell] = segment;
            return true;
        }

        return false;
    }
}
