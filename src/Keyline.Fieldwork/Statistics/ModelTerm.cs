namespace Keyline.Fieldwork;

/// <summary>A term of a linear model: columns of numbers under a name.</summary>
/// <remarks>Promises: a factor's first level, in the order met, is what the others are compared with. Cost: linear. Source: ours.</remarks>
public sealed class ModelTerm
{
    private ModelTerm(string name, IReadOnlyList<string> names, IReadOnlyList<double[]> columns) => (Name, ColumnNames, Columns) = (name, names, columns);

    /// <summary>Its name.</summary>
    public string Name { get; }

    /// <summary>Names of its columns.</summary>
    public IReadOnlyList<string> ColumnNames { get; }

    internal IReadOnlyList<double[]> Columns { get; }

    /// <summary>The constant.</summary>
    /// <param name="count">Number of observations.</param>
    public static ModelTerm Constant(int count) => Number("constant", [.. Enumerable.Repeat(1.0, count)]);

    /// <summary>A number that varies.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="values">One for each observation.</param>
    public static ModelTerm Number(string name, IReadOnlyList<double> values) => new(name, [name], [[.. values]]);

    /// <summary>A factor, as a column for each level but the first.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="levels">One for each observation.</param>
    public static ModelTerm Factor(string name, IReadOnlyList<string> levels)
    {
        string[] others = [.. levels.Distinct().Skip(1)];
        return new ModelTerm(name, [.. others.Select(o => $"{name} {o}")], [.. others.Select(o => levels.Select(l => l == o ? 1.0 : 0.0).ToArray())]);
    }

    /// <summary>What one term does differently at the levels of another: products of their columns.</summary>
    /// <param name="other">The other.</param>
    public ModelTerm Times(ModelTerm other)
    {
        ArgumentNullException.ThrowIfNull(other);
        return new ModelTerm(
            $"{Name} x {other.Name}",
            [.. ColumnNames.SelectMany(a => other.ColumnNames.Select(b => $"{a} x {b}"))],
            [.. Columns.SelectMany(a => other.Columns.Select(b => a.Zip(b, (x, y) => x * y).ToArray()))]);
    }
}
