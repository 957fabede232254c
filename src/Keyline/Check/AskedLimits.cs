namespace Keyline.Check;

/// <summary>Whether lines keep what was asked of them.</summary>
/// <remarks>
/// <para>Grade, radius, boundary, headland, avoided areas, side slope and water let go are to hold everywhere. Spacing is to hold
/// over most of the length: where land bends, a line starts or stops out in the field and its neighbours part or close up.</para>
/// <para>Units: shares from 0 to 1.</para>
/// <para>Cost: proportional to the findings.</para>
/// <para>Source: ours, no published rule was found.</para>
/// </remarks>
public static class AskedLimits
{
    /// <summary>The share (0 to 1) of the length that is to have its next line, left and right, within a quarter of the spacing.</summary>
    public const double EvenLength = 0.9;

    /// <summary>Whether enough of the length has its next line near the spacing.</summary>
    /// <param name="figures">Figures of the lines.</param>
    /// <returns>True also where no spacing was asked for or no two lines are near each other.</returns>
    public static bool IsEven(LayoutFigures figures)
    {
        ArgumentNullException.ThrowIfNull(figures);
        return !(figures.SpacingWithin25Share < EvenLength);
    }

    /// <summary>Whether every limit holds and the lines are even enough.</summary>
    /// <param name="findings">What the check found.</param>
    /// <param name="figures">Figures of the same lines.</param>
    /// <returns>False where a finding breaks a limit, or less than <see cref="EvenLength"/> of the length is evenly spaced.</returns>
    public static bool Hold(IReadOnlyList<LayoutFinding> findings, LayoutFigures figures)
    {
        ArgumentNullException.ThrowIfNull(findings);
        return IsEven(figures) && !findings.Any(f => f.BreaksLimit);
    }
}
