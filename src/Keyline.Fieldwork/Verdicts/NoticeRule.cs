namespace Keyline.Fieldwork;

/// <summary>When a state asks for notice before the ground is ripped.</summary>
/// <param name="State">Its two letters.</param>
/// <param name="Depth">Metres from which notice is asked for; 0 for any depth; NaN where the statute sets none for work on a farm.</param>
/// <param name="Words">What it says, in short.</param>
/// <param name="Source">Statute or agency, with the year of the text it was read from, or that the text bears none.</param>
public sealed record NoticeRule(string State, double Depth, string Words, string Source)
{
    /// <summary>The depth that asks for notice where nothing else is known, metres: 12 inches, the shallowest found among states and pipeline operators.</summary>
    public const double UsualDepth = 0.305;

    private const double Inch = 0.0254;

    /// <summary>The states that were looked up. Statutes change: ask the one-call centre (811 in the United States) all the same.</summary>
    public static IReadOnlyList<NoticeRule> Known { get; } =
    [
        new("AR", double.NaN, "cultivation, land clearing and other normal agricultural purposes need none except on an operator's right-of-way", "Arkansas Code 14-271-109(a)(2), text read bears no date; the act was amended in 2023 and a bill of 2025 (SB 401) touches its exceptions"),
        new("CA", 0, "any movement of earth is an excavation", "California Government Code 4216, text undated, not looked up again"),
        new("FL", 0, "ripping and deep tilling are excavation", "University of Florida extension, Marion County, 2018, on the state's one-call law"),
        new("IA", 15 * Inch, "subsoiling and ripping deeper than 15 inches", "Iowa One Call, page on the fifteen-inch rule, 48 hours ahead, undated; Iowa Code 480, in force since 1993"),
        new("ID", 15 * Inch, "tilling to less than 15 inches is free of notice", "Idaho Code 55-2210(2), the legislature's page, undated"),
        new("IN", 0, "ripping is named among excavations", "Indiana Code 8-1-26-6, text read bears no date (undated)"),
        new("MT", 0, "any movement of earth is an excavation", "Montana Code Annotated 69-4-501, text of 2019, not looked up again"),
        new("NE", double.NaN, "tilling of soil for seeding and other agricultural purposes is no excavation; the statute does not name ripping", "Nebraska Revised Statutes 76-2308, Laws 1994, LB 421, the legislature's page"),
        new("OK", 18 * Inch, "tillage deeper than 18 inches, three business days ahead", "Oklahoma's one-call centre, page undated; Oklahoma Statutes 63-142.2, text of November 2023"),
        new("TX", 16 * Inch, "ripping named, to 16 inches or more", "Texas Utilities Code 251.002(5), text of 2017, 251.151 as of January 2024: 48 hours ahead; Texas Administrative Code 16-18.1"),
    ];

    /// <summary>A state's rule; null where it was not looked up.</summary>
    /// <param name="state">Its two letters.</param>
    public static NoticeRule? Of(string state)
    {
        ArgumentNullException.ThrowIfNull(state);
        return Known.FirstOrDefault(r => r.State.Equals(state.Trim(), StringComparison.OrdinalIgnoreCase));
    }

    /// <summary>What to tell of buried lines for a depth of work.</summary>
    /// <param name="state">Two letters; empty where it is not known.</param>
    /// <param name="depth">The deepest work, metres; NaN where it is not known.</param>
    /// <param name="asked">A depth given in place of the state's, metres; NaN for none.</param>
    public static string Say(string state, double depth, double asked = double.NaN)
    {
        ArgumentNullException.ThrowIfNull(state);
        NoticeRule? rule = Of(state);
        double from = !double.IsNaN(asked) ? asked : rule is null ? UsualDepth : rule.Depth;
        string who = !double.IsNaN(asked) ? FormattableString.Invariant($"the depth given, {100 * asked:0} cm")
            : rule is null ? FormattableString.Invariant($"{100 * UsualDepth:0} cm, the shallowest found{(state.Length > 0 ? $"; {state.Trim().ToUpperInvariant()} was not looked up" : "; no state was given")}")
            : $"{rule.State}: {rule.Words} ({rule.Source})";
        string what = double.IsNaN(depth) ? "How deep it will be is not known yet"
            : double.IsNaN(from) ? FormattableString.Invariant($"Work to {100 * depth:0} cm sets off no notice by depth there")
            : depth >= from ? FormattableString.Invariant($"Work to {100 * depth:0} cm needs notice before it begins")
            : FormattableString.Invariant($"Work to {100 * depth:0} cm lies above the depth that asks for notice");
        return $"{what} ({who}). Statutes change, pipelines have rules of their own, and private lines are on no list: have buried lines located all the same, and ask when unsure.";
    }
}
