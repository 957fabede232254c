namespace Keyline.Report;

/// <summary>What the soil under a plan was found to be.</summary>
/// <remarks>Units: metres, square metres. Texts are shown as they are, whatever stands in them.</remarks>
/// <param name="Zones">The zones.</param>
/// <param name="LinesElsewhere">Length of lines on land that nobody looked at, metres.</param>
/// <param name="Sentences">What else was said, in English.</param>
public sealed record ReportedSoil(IReadOnlyList<ReportedZone> Zones, double LinesElsewhere, IReadOnlyList<string> Sentences);

/// <summary>A piece of land with one verdict.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Area">Square metres.</param>
/// <param name="Verdict">rip, test-strip-first, rip-after or do-not-rip.</param>
/// <param name="InWords">The verdict in words, with what comes first.</param>
/// <param name="Rules">Words of the rules that had something to say, the most careful first: rock, drainage, sodium, salt, sand, clay, slope, cover, weeds, pan.</param>
/// <param name="Reasons">What they said, in English.</param>
/// <param name="DepthFrom">Depth to work at, metres; NaN where it is not known.</param>
/// <param name="DepthTo">The deepest, metres.</param>
/// <param name="Lines">Length of the plan's lines on it, metres.</param>
public sealed record ReportedZone(
    string Name, double Area, string Verdict, string InWords, IReadOnlyList<string> Rules, IReadOnlyList<string> Reasons, double DepthFrom, double DepthTo, double Lines);

/// <summary>When the soil is right for the work.</summary>
/// <remarks>Units: metres; shares from 0 to 1.</remarks>
public sealed record ReportedSeason
{
    /// <value>The field or place it was reckoned for.</value>
    public string Name { get; init; } = "";

    /// <value>The soil.</value>
    public string Soil { get; init; } = "";

    /// <value>Depth of the tip, metres.</value>
    public double Depth { get; init; } = double.NaN;

    /// <value>The last day of the weather.</value>
    public DateOnly Day { get; init; }

    /// <value>The soil on that day: right, too-wet or too-dry; empty where that was not told.</value>
    public string State { get; init; } = "";

    /// <value>Dry days until it is right; null where that was not told.</value>
    public int? OpensIn { get; init; }

    /// <value>Dry days until it is no longer right.</value>
    public int? ClosesIn { get; init; }

    /// <value>Rain that would make it right, metres; NaN where that was not told.</value>
    public double RainWanted { get; init; } = double.NaN;

    /// <value>First day of the best week; null where none has a chance.</value>
    public DateOnly? Best { get; init; }

    /// <value>Share of the years in which a run of right days begins in it.</value>
    public double Chance { get; init; } = double.NaN;

    /// <value>Days of such a run.</value>
    public int WindowDays { get; init; }

    /// <value>Right days the job needs; null where its hours were not known.</value>
    public int? NeededDays { get; init; }

    /// <value>Right days of the twelve months: the tenth of the years with fewest, half, the tenth with most; NaN where a month is not known.</value>
    public IReadOnlyList<(double Few, double Middle, double Many)> Months { get; init; } = [];

    /// <value>What else was said, in English.</value>
    public IReadOnlyList<string> Sentences { get; init; } = [];
}
