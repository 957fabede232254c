namespace Keyline.Layout;

/// <summary>The shanks of an implement, evenly spaced on one bar.</summary>
/// <param name="Count">Number of shanks, 1 or more.</param>
/// <param name="Spacing">Distance between neighbouring shanks, metres.</param>
/// <remarks>Units: metres. Source: geometry; passes as wide as their shanks times the shank spacing leave even rips.</remarks>
public sealed record ShankSet(int Count, double Spacing)
{
    /// <summary>Least radius of a turn, metres, with several mounted shanks in the ground: common practice, no source.</summary>
    public const double UsualRadius = 15;

    /// <summary>The distance between passes that leaves all rips the shank spacing apart, metres.</summary>
    public double PassSpacing => Count * Spacing;

    /// <summary>The distance from the last rip of a pass to the first of the next, metres; below 0 where passes overlap.</summary>
    /// <param name="passSpacing">Distance between passes, metres.</param>
    public double IntervalBetween(double passSpacing) => passSpacing - ((Count - 1) * Spacing);

    /// <summary>Whether passes at a distance leave even rips, to within 1 cm.</summary>
    /// <param name="passSpacing">Distance between passes, metres.</param>
    public bool IsEven(double passSpacing) => Math.Abs(IntervalBetween(passSpacing) - Spacing) < 0.01;

    /// <summary>What rips result, in one sentence.</summary>
    /// <param name="passSpacing">Distance between passes, metres.</param>
    public string Describe(double passSpacing) => Count == 1
        ? FormattableString.Invariant($"One shank: rips {passSpacing:0.00} m apart.")
        : IsEven(passSpacing)
            ? FormattableString.Invariant($"{Count} shanks: rips {Spacing:0.00} m apart throughout, passes {passSpacing:0.00} m apart.")
            : FormattableString.Invariant($"{Count} shanks at passes of {passSpacing:0.00} m: rips {Spacing:0.00} m apart within a pass and {IntervalBetween(passSpacing):0.00} m from one pass to the next.");

    /// <summary>What is wrong with it, or null.</summary>
    internal string? Fault(double passSpacing) =>
        Count < 1 ? "An implement has one shank or more."
        : !(Spacing > 0) || !double.IsFinite(Spacing) ? "The distance between shanks must be above 0 m."
        : !(IntervalBetween(passSpacing) > 0) ? FormattableString.Invariant($"{Count} shanks {Spacing:0.##} m apart are as wide as the pass spacing of {passSpacing:0.##} m or wider, so passes would overlap.")
        : null;
}
