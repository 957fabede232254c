namespace Keyline.Layout;

/// <summary>What the chosen guides cost by <see cref="LayoutPrices"/>, term by term, square metres of spoilt ground.</summary>
/// <param name="SteepLines">Lines near or beyond the grade limit.</param>
/// <param name="WrongDrift">Lines that fall toward the valley.</param>
/// <param name="Corners">Turns tighter than the radius.</param>
/// <param name="BareGround">Ground that no parallel reaches.</param>
/// <param name="LineEnds">Lines that end inside the field.</param>
/// <param name="Guides">The guides themselves.</param>
public sealed record LayoutCost(double SteepLines, double WrongDrift, double Corners, double BareGround, double LineEnds, double Guides)
{
    /// <summary>All terms together, square metres.</summary>
    public double Total => SteepLines + WrongDrift + Corners + BareGround + LineEnds + Guides;

    internal static LayoutCost Nothing { get; } = new(0, 0, 0, 0, 0, 0);

    internal LayoutCost Plus(LayoutCost other) => new(
        SteepLines + other.SteepLines,
        WrongDrift + other.WrongDrift,
        Corners + other.Corners,
        BareGround + other.BareGround,
        LineEnds + other.LineEnds,
        Guides + other.Guides);
}
