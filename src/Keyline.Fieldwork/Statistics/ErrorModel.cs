namespace Keyline.Fieldwork;

/// <summary>How the values of a mixed model covary, over the residual variance, by a few numbers.</summary>
internal interface IErrorModel
{
    /// <summary>Rows that covary, not even by way of others, only among themselves.</summary>
    int[][] Parts { get; }

    /// <summary>Where the search begins.</summary>
    double[] Start { get; }

    /// <summary>How often it is begun.</summary>
    int Rounds { get; }

    /// <summary>How many of the numbers, from the first on, are variances that may come out at 0 alone.</summary>
    int ZeroAtBound { get; }

    /// <summary>The numbers at a place of the search, always ones that can be.</summary>
    double[] Numbers(double[] searched);

    /// <summary>How far each number is moved to take slopes; 0 where it is held.</summary>
    double[] Steps(double[] numbers);

    /// <summary>Covariance of two rows over the residual variance.</summary>
    double Covariance(int i, int j, double[] numbers);

    /// <summary>Variances over that of the residuals.</summary>
    double[] Variances(double[] numbers);

    /// <summary>The correlation, or NaN.</summary>
    double Correlation(double[] numbers);
}

/// <summary>Random intercepts, crossed or nested: a variance each.</summary>
internal sealed class RandomIntercepts : IErrorModel
{
    private readonly int[][] _groups;

    public RandomIntercepts(IReadOnlyList<IReadOnlyList<string>> groups)
    {
        _groups = [.. groups.Select(g => GroupNumbers.Of(g))];
        Parts = GroupNumbers.Parts(_groups, groups.Count > 0 ? groups[0].Count : 0);
    }

    public int[][] Parts { get; }

    public double[] Start => [.. _groups.Select(_ => 0.7)];

    public int Rounds => 1;

    public int ZeroAtBound => _groups.Length;

    public double[] Numbers(double[] searched) => [.. searched.Select(v => v * v)];

    public double[] Steps(double[] numbers) => [.. numbers.Select(v => 1e-3 * v)];

    public double Covariance(int i, int j, double[] numbers)
    {
        double sum = i == j ? 1 : 0;
        for (int k = 0; k < _groups.Length; k++)
        {
            sum += _groups[k][i] == _groups[k][j] ? numbers[k] : 0;
        }

        return sum;
    }

    public double[] Variances(double[] numbers) => numbers;

    public double Correlation(double[] numbers) => double.NaN;
}

/// <summary>An intercept and a slope for each group, which may go together: variance, covariance, variance.</summary>
internal sealed class RandomSlopes : IErrorModel
{
    private readonly int[] _group;
    private readonly double[] _along;
    private readonly double _size;

    public RandomSlopes(IReadOnlyList<string> group, IReadOnlyList<double> along)
    {
        (_group, _along) = (GroupNumbers.Of(group), [.. along]);
        double mean = _along.Average();
        _size = Math.Sqrt(_along.Average(a => (a - mean) * (a - mean)));
        if (!(_size > 0) || _along.Length != _group.Length)
        {
            throw new ArgumentException("Slopes need a number along which they run for every value, and it must vary.", nameof(along));
        }

        Parts = GroupNumbers.Parts([_group], _group.Length);
    }

    public int[][] Parts { get; }

    public double[] Start => [0.7, 0.1, 0.5];

    public int Rounds => 3;

    public int ZeroAtBound => 0;

    // By the triangle of Cholesky, so that every place of the search is a covariance; the slope in spreads of what it runs along.
    public double[] Numbers(double[] searched) => [searched[0] * searched[0], searched[0] * searched[1] / _size, ((searched[1] * searched[1]) + (searched[2] * searched[2])) / (_size * _size)];

    public double[] Steps(double[] numbers) => [1e-3 * numbers[0], 1e-3 * Math.Sqrt(numbers[0] * numbers[2]), 1e-3 * numbers[2]];

    public double Covariance(int i, int j, double[] numbers) => (i == j ? 1 : 0) + (_group[i] != _group[j] ? 0 : numbers[0] + (numbers[1] * (_along[i] + _along[j])) + (numbers[2] * _along[i] * _along[j]));

    public double[] Variances(double[] numbers) => [numbers[0], numbers[2]];

    public double Correlation(double[] numbers) => numbers[1] / Math.Sqrt(numbers[0] * numbers[2]);
}

/// <summary>A random intercept, and residuals of which each goes with the one before it in its group: a variance and a correlation.</summary>
internal sealed class RandomSeries : IErrorModel
{
    private readonly int[] _group;
    private readonly int[] _order;

    public RandomSeries(IReadOnlyList<string> group)
    {
        _group = GroupNumbers.Of(group);
        int[] seen = new int[_group.Length];
        _order = [.. _group.Select(g => seen[g]++)];
        Parts = GroupNumbers.Parts([_group], _group.Length);
    }

    public int[][] Parts { get; }

    public double[] Start => [0.7, 0.2];

    public int Rounds => 3;

    public int ZeroAtBound => 1;

    public double[] Numbers(double[] searched) => [searched[0] * searched[0], Math.Tanh(searched[1])];

    public double[] Steps(double[] numbers) => [1e-3 * numbers[0], 1e-3 * (1 - Math.Abs(numbers[1]))];

    public double Covariance(int i, int j, double[] numbers)
    {
        if (_group[i] != _group[j])
        {
            return 0;
        }

        double along = 1;
        for (int k = Math.Abs(_order[i] - _order[j]); k > 0; k--)
        {
            along *= numbers[1];
        }

        return numbers[0] + along;
    }

    public double[] Variances(double[] numbers) => [numbers[0]];

    public double Correlation(double[] numbers) => numbers[1];
}

/// <summary>Groups by number.</summary>
internal static class GroupNumbers
{
    public static int[] Of(IReadOnlyList<string> names)
    {
        Dictionary<string, int> ids = [];
        return [.. names.Select(name => ids.TryGetValue(name, out int id) ? id : ids[name] = ids.Count)];
    }

    // Rows that share no group, not even by way of others.
    public static int[][] Parts(int[][] groups, int count)
    {
        int[] root = [.. Enumerable.Range(0, count)];
        foreach (int[] group in groups)
        {
            Dictionary<int, int> first = [];
            for (int i = 0; i < count; i++)
            {
                if (!first.TryAdd(group[i], i))
                {
                    root[Find(i)] = Find(first[group[i]]);
                }
            }
        }

        return [.. Enumerable.Range(0, count).GroupBy(Find).Select(g => g.ToArray())];

        int Find(int i)
        {
            while (root[i] != i)
            {
                i = root[i] = root[root[i]];
            }

            return i;
        }
    }
}
