namespace Keyline.Fieldwork;

/// <summary>A place to measure at.</summary>
/// <param name="Id">Its name, unlike any other: the plot's, the kind's letter and a number, as "B1P2-R3".</param>
/// <param name="Plot">The plot.</param>
/// <param name="Kind">"ring", "penetrometer", "quadrat", "pole", "clip", "core" or "photo".</param>
/// <param name="X">East, projected metres.</param>
/// <param name="Y">North, projected metres.</param>
/// <param name="OnRip">Whether it lies on a rip, or where one would be in the control.</param>
/// <param name="Bearing">Degrees from grid north to look along; NaN where there is none.</param>
public sealed record TrialPoint(string Id, string Plot, string Kind, double X, double Y, bool OnRip, double Bearing)
{
    /// <summary>Points of each kind in a plot where nothing else is asked for.</summary>
    public static IReadOnlyDictionary<string, int> UsualCounts { get; } = new SortedDictionary<string, int>(StringComparer.Ordinal)
    {
        ["ring"] = 6, ["penetrometer"] = 6, ["quadrat"] = 5, ["pole"] = 4, ["clip"] = 3, ["core"] = 3, ["photo"] = 1,
    };

    /// <summary>The letter of a kind in names: R, P, Q, V, C, S or F.</summary>
    /// <param name="kind">The kind.</param>
    public static string Letter(string kind) => kind switch { "ring" => "R", "penetrometer" => "P", "quadrat" => "Q", "pole" => "V", "clip" => "C", "core" => "S", _ => "F" };
}
