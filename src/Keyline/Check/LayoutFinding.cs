namespace Keyline.Check;

/// <summary>One thing the check found wrong, with its place.</summary>
/// <param name="Kind">What is wrong.</param>
/// <param name="LineId">The line it was found on.</param>
/// <param name="X">Where, metres east: the worst place, or the middle where all of it is alike.</param>
/// <param name="Y">Where, metres north.</param>
/// <param name="Sentence">One sentence for the person who reads the report.</param>
public sealed record LayoutFinding(FindingKind Kind, string LineId, double X, double Y, string Sentence)
{
    /// <summary>What was measured, at its worst, in the unit that <see cref="FindingKind"/> names; NaN where there is no number to it,
    /// infinite where no other line was met at all.</summary>
    public double Value { get; init; } = double.NaN;

    /// <summary>What it was held to, in the same unit; NaN where there is no such number.</summary>
    public double Limit { get; init; } = double.NaN;

    /// <summary>Metres of the line that it holds for; NaN where it is a matter of one place.</summary>
    public double Length { get; init; } = double.NaN;

    /// <summary>Whether it speaks of the left of its line, looking along it: true left, false right; null where it speaks of no side.</summary>
    public bool? IsOnLeft { get; init; }

    /// <summary>Whether it breaks a limit that was to hold everywhere. What says that lines stand unevenly does not: evenness is
    /// asked of most of the length (<see cref="AskedLimits.EvenLength"/>), since a line that starts or stops parts its neighbours.</summary>
    public bool BreaksLimit => Kind is not (FindingKind.SpacingOff or FindingKind.BareStrip);
}

/// <summary>What the check can find wrong, and the unit of a finding's value and limit.</summary>
public enum FindingKind
{
    /// <summary>Steeper along the line than asked for: percent.</summary>
    TooSteepAlongLine,

    /// <summary>Turns tighter than asked for: metres of radius.</summary>
    TurnTooTight,

    /// <summary>Crosses or touches another line, or itself: no number.</summary>
    LinesCross,

    /// <summary>Closer to another line than half the spacing: metres, held to half the spacing.</summary>
    TooClose,

    /// <summary>Leaves the field: metres of the line beyond it.</summary>
    OutsideField,

    /// <summary>Enters an avoided area or its setback: metres of the line within.</summary>
    InAvoidedArea,

    /// <summary>Shorter than asked for: metres.</summary>
    TooShort,

    /// <summary>Runs over missing ground, where nothing can be measured: no number.</summary>
    OverMissingGround,

    /// <summary>Farther from, or nearer to, the next line on one side than asked for by more than a tenth, over a good length: metres, held to the spacing.</summary>
    SpacingOff,

    /// <summary>Enters the headland: metres of the line within.</summary>
    InHeadland,

    /// <summary>Runs a good length over land steeper than asked for: percent.</summary>
    OnSteepLand,

    /// <summary>Tilts the tractor farther sideways than asked for: degrees.</summary>
    SideSlopeTooSteep,

    /// <summary>Falls one way without an outlet farther than asked for: metres.</summary>
    FallsTooFar,

    /// <summary>Falls less than asked for along its whole course: percent.</summary>
    TooLevel,

    /// <summary>Leads water toward the valley along nearly all of its course: share (0 to 1) of the drifting length.</summary>
    DriftsToValley,

    /// <summary>Leads water to a wet or saline area: metres from its setback, held to how far one is looked for.</summary>
    DrainsToWet,

    /// <summary>Leaves a strip beside it bare that another line would fit in, over a good length: metres to the next line on that
    /// side, held to one and a half spacings.</summary>
    BareStrip,

    /// <summary>Falls to an end above a drop, a gully head or ground steeper than is worked: percent of that ground.</summary>
    EndsAboveDrop,
}
