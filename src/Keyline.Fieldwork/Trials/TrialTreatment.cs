namespace Keyline.Fieldwork;

/// <summary>What is done on a plot.</summary>
/// <remarks>Promises: one treatment of a trial is its control, left unripped. Source: ours.</remarks>
/// <param name="Id">One word, as "ripped".</param>
/// <param name="Text">What is done, as "ripped 60 cm deep".</param>
/// <param name="IsControl">Whether it is left as it is.</param>
public sealed record TrialTreatment(string Id, string Text, bool IsControl)
{
    /// <summary>The usual two.</summary>
    public static IReadOnlyList<TrialTreatment> Usual { get; } = [Parse("unripped"), Parse("ripped")];

    /// <summary>Reads a treatment from words: the first is its name; "unripped" and "control" name the control.</summary>
    /// <param name="words">As "deep 60 cm deep".</param>
    /// <exception cref="GroundDataException">There is no word, or one that no file can carry.</exception>
    public static TrialTreatment Parse(string words)
    {
        ArgumentNullException.ThrowIfNull(words);
        string[] parts = words.Split(' ', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        return parts.Length == 0 || parts[0].Length > 24 || !parts[0].All(c => char.IsLetterOrDigit(c) || c is '-' or '_')
            ? throw new GroundDataException($"\"{words}\" is no treatment: begin with one word of letters and digits, as in \"ripped\" or \"deep ripped 60 cm\".")
            : new TrialTreatment(parts[0], string.Join(' ', parts), parts[0] is "unripped" or "control");
    }

    /// <summary>Checks a list: two or more, of different names, one of them the control.</summary>
    /// <param name="treatments">The treatments.</param>
    /// <exception cref="GroundDataException">It is not so.</exception>
    public static IReadOnlyList<TrialTreatment> Checked(IReadOnlyList<TrialTreatment> treatments)
    {
        ArgumentNullException.ThrowIfNull(treatments);
        return treatments.Count is < 2 or > 6 ? throw new GroundDataException($"{treatments.Count} treatments make no trial: give 2 to 6, one of them unripped.")
            : treatments.Select(t => t.Id).Distinct(StringComparer.Ordinal).Count() < treatments.Count ? throw new GroundDataException("Two treatments have the same name: name each differently.")
            : treatments.Count(t => t.IsControl) != 1 ? throw new GroundDataException("A trial needs exactly one control: name one treatment unripped.")
            : [.. treatments.OrderByDescending(t => t.IsControl)];
    }
}
