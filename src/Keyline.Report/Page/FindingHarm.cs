using Keyline.Check;

namespace Keyline.Report;

/// <summary>Whom or what a finding can harm, the worst first.</summary>
internal enum Harm
{
    /// <summary>People and machine.</summary>
    People,

    /// <summary>Land and water.</summary>
    Land,

    /// <summary>Only how well the work is done.</summary>
    Work,
}

/// <summary>How findings rank by the harm they can do. The order is our judgement; no source ranks them.</summary>
internal static class FindingHarm
{
    /// <summary>Kinds, the most harmful first.</summary>
    public static readonly IReadOnlyList<FindingKind> Order =
    [
        FindingKind.SideSlopeTooSteep, FindingKind.OnSteepLand, FindingKind.InAvoidedArea, FindingKind.OutsideField, FindingKind.OverMissingGround,
        FindingKind.EndsAboveDrop, FindingKind.DrainsToWet, FindingKind.TooSteepAlongLine, FindingKind.FallsTooFar, FindingKind.DriftsToValley,
        FindingKind.LinesCross, FindingKind.TurnTooTight, FindingKind.TooClose, FindingKind.BareStrip, FindingKind.SpacingOff, FindingKind.InHeadland, FindingKind.TooLevel, FindingKind.TooShort,
    ];

    /// <summary>Whom it can harm.</summary>
    public static Harm Of(FindingKind kind) => Rank(kind) switch { < 5 => Harm.People, < 10 => Harm.Land, _ => Harm.Work };

    /// <summary>Place in the order, from 0.</summary>
    public static int Rank(FindingKind kind)
    {
        for (int i = 0; i < Order.Count; i++)
        {
            if (Order[i] == kind)
            {
                return i;
            }
        }

        throw new ArgumentOutOfRangeException(nameof(kind), kind, "This finding has no place in the order.");
    }

    /// <summary>How bad one is among its kind: how far its value is off its limit; one without a number counts as worst.</summary>
    public static double Severity(LayoutFinding finding) => double.IsNaN(finding.Value) || double.IsInfinity(finding.Value) ? double.MaxValue
        : finding.Limit > 0 ? Math.Abs(Math.Log(Math.Max(finding.Value, 1e-6) / finding.Limit)) : Math.Abs(finding.Value);
}
