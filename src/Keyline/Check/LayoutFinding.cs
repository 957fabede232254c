namespace Keyline.Check;

/// <summary>One thing the check found wrong, with its place.</summary>
/// <param name="Kind">What is wrong.</param>
/// <param name="LineId">The line it was found on.</param>
/// <param name="X">Where, metres east.</param>
/// <param name="Y">Where, metres north.</param>
/// <param name="Sentence">One sentence for the person who reads the report.</param>
public sealed record LayoutFinding(FindingKind Kind, string LineId, double X, double Y, string Sentence);

/// <summary>What the check can find wrong.</summary>
public enum FindingKind
{
    /// <summary>Steeper along the line than asked for.</summary>
    TooSteepAlongLine,

    /// <summary>Turns tighter than asked for.</summary>
    TurnTooTight,

    /// <summary>Crosses or touches another line, or itself.</summary>
    LinesCross,

    /// <summary>Closer to another line than half the spacing.</summary>
    TooClose,

    /// <summary>Leaves the field less its headland.</summary>
    OutsideField,

    /// <summary>Enters an avoided area or its setback.</summary>
    InAvoidedArea,

    /// <summary>Shorter than asked for.</summary>
    TooShort,

    /// <summary>Runs over missing ground, where nothing can be measured.</summary>
    OverMissingGround,

    /// <summary>Farther from, or nearer to, the next line of its guide than asked for, over a good length.</summary>
    SpacingOff,

    /// <summary>Enters the headland.</summary>
    InHeadland,

    /// <summary>Runs a good length over land steeper than asked for.</summary>
    OnSteepLand,

    /// <summary>Tilts the tractor farther sideways than asked for.</summary>
    SideSlopeTooSteep,

    /// <summary>Falls one way without an outlet farther than asked for.</summary>
    FallsTooFar,

    /// <summary>Falls less than asked for along its whole course.</summary>
    TooLevel,

    /// <summary>Leads water toward the valley along nearly all of its course.</summary>
    DriftsToValley,

    /// <summary>Leads water to a wet or saline area.</summary>
    DrainsToWet,
}
