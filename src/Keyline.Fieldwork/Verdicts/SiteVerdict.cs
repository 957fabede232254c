namespace Keyline.Fieldwork;

/// <summary>Whether to rip, from the boldest to the most careful.</summary>
public enum RipVerdict
{
    /// <summary>Rip.</summary>
    Rip,

    /// <summary>Rip one strip first, and look after the next rain.</summary>
    TestStripFirst,

    /// <summary>Something else comes first.</summary>
    RipAfter,

    /// <summary>Leave it.</summary>
    DoNotRip,
}

/// <summary>What comes before ripping.</summary>
[Flags]
public enum FirstSteps
{
    /// <summary>Nothing.</summary>
    None = 0,

    /// <summary>Rest from grazing until the ground is covered.</summary>
    RestAndCover = 1,

    /// <summary>Gypsum, after a soil test.</summary>
    Gypsum = 2,

    /// <summary>A way out for the water.</summary>
    Drain = 4,

    /// <summary>Weeds brought under control.</summary>
    Weeds = 8,
}

/// <summary>One rule that had something to say of a site.</summary>
/// <param name="Rule">The rule's word: "rock", "drainage", "sodium", "salt", "sand", "clay", "slope", "cover", "weeds", "pan", "depth".</param>
/// <param name="Says">What it alone would do.</param>
/// <param name="Sentence">Why, with the figure and the bound.</param>
/// <param name="Source">Where the rule comes from.</param>
public sealed record RipReason(string Rule, RipVerdict Says, string Sentence, string Source);

/// <summary>What a rule has to say.</summary>
internal delegate void RuleSaying(string rule, RipVerdict says, string sentence, string source, FirstSteps step = FirstSteps.None);

/// <summary>A depth to work at.</summary>
/// <param name="Least">Metres.</param>
/// <param name="Most">Metres.</param>
/// <param name="Sentence">How it came about.</param>
public sealed record RipDepth(double Least, double Most, string Sentence);

/// <summary>Whether to rip a site, how deep, and why.</summary>
/// <param name="Facts">What was known.</param>
/// <param name="Verdict">The most careful of what the rules say.</param>
/// <param name="First">What comes before.</param>
/// <param name="Reasons">Every rule that had something to say, the most careful first; never empty.</param>
/// <param name="Unknown">What no rule could look at, in words.</param>
/// <param name="Depth">How deep; null where nothing is ripped or the pan's depth is not known.</param>
public sealed record SiteVerdict(SiteFacts Facts, RipVerdict Verdict, FirstSteps First, IReadOnlyList<RipReason> Reasons, IReadOnlyList<string> Unknown, RipDepth? Depth)
{
    /// <summary>The verdict in a few words.</summary>
    public string Words => Verdict switch
    {
        RipVerdict.Rip => "rip",
        RipVerdict.TestStripFirst => "test strip first",
        RipVerdict.DoNotRip => "do not rip",
        _ => "rip after " + string.Join(", ", StepWords(First)),
    };

    /// <summary>The verdict as one word for files.</summary>
    public string Word => Verdict switch { RipVerdict.Rip => "rip", RipVerdict.TestStripFirst => "test-strip-first", RipVerdict.RipAfter => "rip-after", _ => "do-not-rip" };

    private static IEnumerable<string> StepWords(FirstSteps steps)
    {
        foreach ((FirstSteps step, string words) in new[] { (FirstSteps.RestAndCover, "rest and cover"), (FirstSteps.Gypsum, "gypsum"), (FirstSteps.Drain, "draining"), (FirstSteps.Weeds, "weed control") })
        {
            if (steps.HasFlag(step))
            {
                yield return words;
            }
        }
    }
}
