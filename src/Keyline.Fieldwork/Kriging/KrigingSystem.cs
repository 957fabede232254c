namespace Keyline.Fieldwork;

/// <summary>The equations of kriging from one set of points, with room that is used again from place to place.</summary>
/// <remarks>
/// <para>Covariances are laid down as a triangle (Cholesky); a point that the ones before it tell to ten digits, as under a bell without a nugget,
/// is left out, and so is a term of the trend that the points cannot tell. What is made depends on the set alone, never on the
/// set before. For one thread.</para>
/// </remarks>
internal sealed class KrigingSystem
{
    private const double Told = 1e-10;

    private readonly PointSet _points;
    private readonly VariogramModel _model;
    private readonly KrigingTrend _trend;
    private readonly double _level;
    private readonly double _middle;
    private readonly int _terms;
    private readonly int[] _set;
    private readonly int[] _kept;
    private readonly double[] _triangle;
    private readonly double[] _values;
    private readonly double[] _trends;
    private readonly double[] _small;
    private readonly double[] _drift;
    private readonly bool[] _known;
    private readonly double[] _left;
    private readonly double[] _here;
    private readonly double[] _miss;
    private double _side;
    private double _within;
    private int _size = -1;
    private int _count;

    public KrigingSystem(PointSet points, VariogramModel model, KrigingTrend trend, int most)
    {
        (_points, _model, _trend, _terms) = (points, model, trend, PointSet.TermsOf(trend));

        // A variogram without a sill is a covariance from a level high enough: with an unknown mean any such level gives the same.
        _level = model.Kind == VariogramKind.Linear ? model.Nugget + (model.Sill * 4 * Math.Max(points.Diagonal, 1)) : model.Nugget + model.Sill;
        _middle = points.Mean;
        (_set, _kept) = (new int[most], new int[most]);
        _triangle = new double[most * most];
        (_values, _left, _here) = (new double[most], new double[most], new double[most]);
        _trends = new double[most * _terms];
        _small = new double[_terms * _terms];
        (_drift, _miss, _known) = (new double[_terms], new double[_terms], new bool[_terms]);
    }

    /// <summary>The estimate and its variance from a set of points.</summary>
    /// <param name="set">Numbers of the points, rising.</param>
    /// <param name="x">East, metres.</param>
    /// <param name="y">North, metres.</param>
    public (double Value, double Variance) At(ReadOnlySpan<int> set, double x, double y)
    {
        if (_size != set.Length || !set.SequenceEqual(_set.AsSpan(0, _size)))
        {
            Lay(set);
        }

        double squares = 0, told = 0;
        for (int i = 0; i < _count; i++)
        {
            int point = _kept[i];
            double dx = _points.X[point] - x, dy = _points.Y[point] - y, far = (dx * dx) + (dy * dy);
            if (far == 0)
            {
                return (_points.Values[point], 0);
            }

            ReadOnlySpan<double> row = _triangle.AsSpan(i * _set.Length, i);
            double rest = (Covariance(far) - Dot(row, _here)) / _triangle[(i * _set.Length) + i];
            _here[i] = rest;
            squares += rest * rest;
            told += rest * _left[i];
        }

        Span<double> terms = stackalloc double[6];
        _points.Terms(_trend, x, y, terms);
        (double value, double more) = Trended(terms);
        return (_middle + told + value, Math.Max(0, _level - squares + more));
    }

    /// <summary>The mean over a square and its variance from a set of points.</summary>
    /// <param name="set">Numbers of the points, rising.</param>
    /// <param name="x">Middle of the square, east, metres.</param>
    /// <param name="y">Middle, north.</param>
    /// <param name="side">Its side, metres, above 0.</param>
    public (double Value, double Variance) OverSquare(ReadOnlySpan<int> set, double x, double y, double side)
    {
        if (_size != set.Length || !set.SequenceEqual(_set.AsSpan(0, _size)))
        {
            Lay(set);
        }

        // Covariances and terms are means over the places of the square; all that follows is linear in them.
        double squares = 0, told = 0;
        for (int i = 0; i < _count; i++)
        {
            double mean = 0;
            foreach ((double u, double v, double weight) in SquarePlaces.All)
            {
                double dx = _points.X[_kept[i]] - x - (u * side), dy = _points.Y[_kept[i]] - y - (v * side);
                mean += weight * Covariance((dx * dx) + (dy * dy));
            }

            double rest = (mean - Dot(_triangle.AsSpan(i * _set.Length, i), _here)) / _triangle[(i * _set.Length) + i];
            _here[i] = rest;
            squares += rest * rest;
            told += rest * _left[i];
        }

        Span<double> terms = stackalloc double[6], there = stackalloc double[6];
        foreach ((double u, double v, double weight) in SquarePlaces.All)
        {
            _points.Terms(_trend, x + (u * side), y + (v * side), there);
            for (int k = 0; k < _terms; k++)
            {
                terms[k] += weight * there[k];
            }
        }

        if (side != _side)
        {
            (_side, _within) = (side, Within(side));
        }

        (double value, double more) = Trended(terms);
        return (_middle + told + value, Math.Max(0, _within - squares + more));
    }

    // Mean covariance of two places of a square: what the nugget does at a single place is averaged away.
    private double Within(double side)
    {
        double mean = 0;
        foreach ((double u, double v, double weight) in SquarePlaces.All)
        {
            foreach ((double p, double q, double other) in SquarePlaces.All)
            {
                double square = (((u - p) * (u - p)) + ((v - q) * (v - q))) * side * side;
                mean += weight * other * (square == 0 ? _level - _model.Nugget : Covariance(square));
            }
        }

        return mean;
    }

    // What the trend adds at its terms, and what its being estimated adds to the variance.
    private (double Value, double More) Trended(ReadOnlySpan<double> terms)
    {
        double value = 0, more = 0;
        for (int k = 0; k < _terms; k++)
        {
            if (!_known[k])
            {
                _miss[k] = 0;
                continue;
            }

            double miss = terms[k];
            for (int i = 0; i < _count; i++)
            {
                miss -= _trends[(i * _terms) + k] * _here[i];
            }

            for (int j = 0; j < k; j++)
            {
                miss -= _small[(k * _terms) + j] * _miss[j];
            }

            _miss[k] = miss / _small[(k * _terms) + k];
            more += _miss[k] * _miss[k];
            value += terms[k] * _drift[k];
        }

        return (value, more);
    }

    private void Lay(ReadOnlySpan<int> set)
    {
        set.CopyTo(_set);
        _size = set.Length;
        _count = 0;
        int side = _set.Length;
        Span<double> terms = stackalloc double[6];
        foreach (int point in set)
        {
            Span<double> row = _triangle.AsSpan(_count * side, side);
            double pivot = _level;
            for (int j = 0; j < _count; j++)
            {
                double dx = _points.X[point] - _points.X[_kept[j]], dy = _points.Y[point] - _points.Y[_kept[j]];
                double rest = (Covariance((dx * dx) + (dy * dy)) - Dot(_triangle.AsSpan(j * side, j), row)) / _triangle[(j * side) + j];
                row[j] = rest;
                pivot -= rest * rest;
            }

            if (pivot <= Told * _level)
            {
                continue;
            }

            double diagonal = Math.Sqrt(pivot), value = _points.Values[point] - _middle;
            row[_count] = diagonal;
            _points.Terms(_trend, _points.X[point], _points.Y[point], terms);
            for (int k = 0; k < _terms; k++)
            {
                double term = terms[k];
                for (int j = 0; j < _count; j++)
                {
                    term -= row[j] * _trends[(j * _terms) + k];
                }

                _trends[(_count * _terms) + k] = term / diagonal;
            }

            _values[_count] = (value - Dot(row[.._count], _values)) / diagonal;
            _kept[_count++] = point;
        }

        Drift();
    }

    // The trend by generalised least squares, and what it leaves of the values.
    private void Drift()
    {
        for (int k = 0; k < _terms; k++)
        {
            double whole = Along(k, k), pivot = whole, told = 0;
            for (int i = 0; i < _count; i++)
            {
                told += _trends[(i * _terms) + k] * _values[i];
            }

            for (int j = 0; j < k; j++)
            {
                double rest = 0;
                if (_known[j])
                {
                    rest = Along(k, j);
                    for (int m = 0; m < j; m++)
                    {
                        rest -= _small[(k * _terms) + m] * _small[(j * _terms) + m];
                    }

                    rest /= _small[(j * _terms) + j];
                }

                _small[(k * _terms) + j] = rest;
                pivot -= rest * rest;
                told -= rest * _drift[j];
            }

            _known[k] = pivot > Told * whole;
            _small[(k * _terms) + k] = _known[k] ? Math.Sqrt(pivot) : 1;
            _drift[k] = _known[k] ? told / _small[(k * _terms) + k] : 0;
        }

        for (int k = _terms - 1; k >= 0; k--)
        {
            for (int j = k + 1; j < _terms; j++)
            {
                _drift[k] -= _known[k] ? _small[(j * _terms) + k] * _drift[j] : 0;
            }

            _drift[k] /= _small[(k * _terms) + k];
        }

        for (int i = 0; i < _count; i++)
        {
            _left[i] = _values[i];
            for (int k = 0; k < _terms; k++)
            {
                _left[i] -= _trends[(i * _terms) + k] * _drift[k];
            }
        }
    }

    private double Along(int a, int b)
    {
        double sum = 0;
        for (int i = 0; i < _count; i++)
        {
            sum += _trends[(i * _terms) + a] * _trends[(i * _terms) + b];
        }

        return sum;
    }

    private double Covariance(double square)
    {
        if (square == 0)
        {
            return _level;
        }

        if (_model.Kind == VariogramKind.Spherical && square >= _model.Range * _model.Range)
        {
            return 0;
        }

        double share = VariogramModel.Share(_model.Kind, _model.Range, Math.Sqrt(square));
        return _level - _model.Nugget - (_model.Sill * share);
    }

    private static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        double sum = 0;
        for (int i = 0; i < a.Length; i++)
        {
            sum += a[i] * b[i];
        }

        return sum;
    }
}
