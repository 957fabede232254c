namespace Keyline.Elevation;

/// <summary>How good something about a ground is for laying out rip lines.</summary>
public enum GroundGrade
{
    /// <summary>Good enough.</summary>
    Good,

    /// <summary>Usable where the plan is checked on the ground.</summary>
    WithCare,

    /// <summary>Not good enough.</summary>
    NotGoodEnough,
}

/// <summary>A judgement on one thing about a ground.</summary>
/// <param name="About">What was judged: "cell", "noise", "step", "holes", "cover" or "spikes".</param>
/// <param name="Grade">How good it is.</param>
/// <param name="Sentence">The figure, what it means, and what to do.</param>
public sealed record GroundJudgement(string About, GroundGrade Grade, string Sentence);
