namespace Keyline.Layout;

/// <summary>What each shortcoming of a layout costs, all in one coin: square metres of spoilt ground. The choice of guides
/// weighs them against each other.</summary>
/// <remarks>
/// <para>Units: the first four are shares, spoilt square metres for each square metre that has the shortcoming; the last
/// two are square metres each.</para>
/// <para>Source: ours; the defaults were set on thirteen real fields, docs/layout-figures.md.</para>
/// </remarks>
public sealed record LayoutPrices
{
    /// <value>Ground whose line lies far beyond the grade limit. Default 8.</value>
    public double SteepLine { get; init; } = 8;

    /// <value>Ground whose line falls toward the valley by the reference fall or more. Default 6.</value>
    public double WrongDrift { get; init; } = 6;

    /// <value>Ground where a line has to turn tighter than the radius. Default 5.</value>
    public double Corner { get; init; } = 5;

    /// <value>Ground that no parallel reaches. Default 3.</value>
    public double BareGround { get; init; } = 3;

    /// <value>Square metres for a line that ends inside the field. Default 100.</value>
    public double LineEnd { get; init; } = 100;

    /// <value>Square metres for a further guide. Default 300.</value>
    public double Guide { get; init; } = 300;

    /// <summary>The same prices with another balance between drift and the ease of driving.</summary>
    /// <param name="ease">Above 1: fewer guides and line ends, longer lines; below 1: more water toward the ridge.</param>
    /// <exception cref="ArgumentOutOfRangeException">Not above 0.</exception>
    public LayoutPrices Eased(double ease)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(ease);
        return this with { WrongDrift = WrongDrift / Math.Sqrt(ease), LineEnd = LineEnd * ease, Guide = Guide * ease };
    }

    internal void Validate()
    {
        foreach ((double price, string name) in new[]
        {
            (SteepLine, nameof(SteepLine)), (WrongDrift, nameof(WrongDrift)), (Corner, nameof(Corner)),
            (BareGround, nameof(BareGround)), (LineEnd, nameof(LineEnd)), (Guide, nameof(Guide)),
        })
        {
            if (!(price >= 0) || !double.IsFinite(price))
            {
                throw new ArgumentOutOfRangeException(name, price, $"{name} must be 0 m2 or more.");
            }
        }
    }
}
