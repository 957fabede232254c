namespace Keyline;

/// <summary>How far a plan has come.</summary>
/// <param name="Stage">What is being done, a word or two: "smoothing", "landform", "guides", "lines", "check".</param>
/// <param name="Share">Share of that stage done, 0 to 1.</param>
public readonly record struct PlanProgress(string Stage, double Share);
