namespace Keyline.Fieldwork;

/// <summary>Finds the points nearest to a place, by squares that hold a few points each.</summary>
/// <remarks>Units: metres. Promises: the nearest, points alike far by their number; given in the order of their numbers.
/// Cost: O(n) to make; about that of the points in the squares around a place to ask.</remarks>
internal sealed class NearestPoints
{
    private const double PointsASquare = 3;

    private readonly double[] _x;
    private readonly double[] _y;
    private readonly double _west;
    private readonly double _south;
    private readonly double _side;
    private readonly int _columns;
    private readonly int _rows;
    private readonly int[] _first;
    private readonly int[] _points;

    public NearestPoints(double[] x, double[] y)
    {
        (_x, _y) = (x, y);
        (_west, _south) = (x.Min(), y.Min());
        double width = x.Max() - _west, height = y.Max() - _south;
        _side = Math.Max(Math.Sqrt(Math.Max(width * height, 1e-9) * PointsASquare / x.Length), Math.Max(width, height) / 2000);
        _side = _side > 0 ? _side : 1;
        (_columns, _rows) = ((int)(width / _side) + 1, (int)(height / _side) + 1);
        _first = new int[(_columns * _rows) + 1];
        int[] square = new int[x.Length];
        for (int i = 0; i < x.Length; i++)
        {
            square[i] = (Math.Min((int)((y[i] - _south) / _side), _rows - 1) * _columns) + Math.Min((int)((x[i] - _west) / _side), _columns - 1);
            _first[square[i] + 1]++;
        }

        for (int s = 0; s < _columns * _rows; s++)
        {
            _first[s + 1] += _first[s];
        }

        _points = new int[x.Length];
        int[] next = _first[..^1];
        for (int i = 0; i < x.Length; i++)
        {
            _points[next[square[i]]++] = i;
        }
    }

    /// <summary>The nearest points but one.</summary>
    /// <param name="x">East, metres.</param>
    /// <param name="y">North, metres.</param>
    /// <param name="but">A point left out; -1 for none.</param>
    /// <param name="found">Takes as many as it has room for.</param>
    /// <param name="squares">Room for their squared distances.</param>
    /// <returns>How many there are.</returns>
    public int Find(double x, double y, int but, Span<int> found, Span<double> squares)
    {
        int count = 0;
        int column = (int)Math.Clamp(Math.Floor((x - _west) / _side), -1, _columns), row = (int)Math.Clamp(Math.Floor((y - _south) / _side), -1, _rows);
        int rings = Math.Max(Math.Max(column, _columns - 1 - column), Math.Max(row, _rows - 1 - row));
        for (int ring = 0; ring <= rings; ring++)
        {
            // Whatever lies in this ring or beyond is at least so far.
            double least = Math.Max(0, ring == 0 ? 0 : Within(x, y, column, row, ring));
            if (count == found.Length && least * least > squares[count - 1])
            {
                break;
            }

            for (int r = Math.Max(row - ring, 0); r <= Math.Min(row + ring, _rows - 1); r++)
            {
                bool whole = Math.Abs(r - row) == ring;
                int step = whole || ring == 0 ? 1 : 2 * ring;
                for (int c = column - ring; c <= column + ring; c += step)
                {
                    if (c >= 0 && c < _columns)
                    {
                        count = Add((r * _columns) + c, x, y, but, found, squares, count);
                    }
                }
            }
        }

        found[..count].Sort();
        return count;
    }

    private double Within(double x, double y, int column, int row, int ring) =>
        Math.Min(
            Math.Min(x - (_west + ((column - ring + 1) * _side)), _west + ((column + ring) * _side) - x),
            Math.Min(y - (_south + ((row - ring + 1) * _side)), _south + ((row + ring) * _side) - y));

    private int Add(int square, double x, double y, int but, Span<int> found, Span<double> squares, int count)
    {
        for (int k = _first[square]; k < _first[square + 1]; k++)
        {
            int point = _points[k];
            double dx = _x[point] - x, dy = _y[point] - y, far = (dx * dx) + (dy * dy);
            if (point == but || (count == found.Length && !Before(far, point, squares[count - 1], found[count - 1])))
            {
                continue;
            }

            int at = count < found.Length ? count++ : count - 1;
            while (at > 0 && Before(far, point, squares[at - 1], found[at - 1]))
            {
                (squares[at], found[at]) = (squares[at - 1], found[at - 1]);
                at--;
            }

            (squares[at], found[at]) = (far, point);
        }

        return count;
    }

    private static bool Before(double far, int point, double otherFar, int other) => far < otherFar || (far == otherFar && point < other);
}
