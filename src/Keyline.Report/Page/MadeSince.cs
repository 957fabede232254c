namespace Keyline.Report;

/// <summary>What was made of a plan after it: its work reckoned with a machine, a storm run on it, its soil looked at, what was driven and tried.</summary>
/// <remarks>Texts are shown as they are, whatever stands in them.</remarks>
public sealed record MadeSince
{
    /// <value>The work, a row a field and year; empty where none was reckoned.</value>
    public IReadOnlyList<ReportedWork> Work { get; init; } = [];

    /// <value>Who cleared buried services, ticket and last day; null where no record was given.</value>
    public (string ClearedBy, string Ticket, string Until)? Services { get; init; }

    /// <value>Name of the currency of costs; may be empty.</value>
    public string Currency { get; init; } = "";

    /// <value>The storm; null where none was run.</value>
    public ReportedStorm? Storm { get; init; }

    /// <value>The soil; null where it was not looked at.</value>
    public ReportedSoil? Soil { get; init; }

    /// <value>When it is right; null where that was not reckoned.</value>
    public ReportedSeason? Season { get; init; }

    /// <value>What was driven; null where nothing was, or no track was given.</value>
    public ReportedDriven? Driven { get; init; }

    /// <value>The trial; null where none was laid out.</value>
    public ReportedTrial? Trial { get; init; }

    /// <value>What its readings say; null where there are none.</value>
    public ReportedResults? Results { get; init; }
}

/// <summary>Work reckoned with a machine.</summary>
/// <param name="Year">Year of a row of several, from 1; 0 where there is one.</param>
/// <param name="Depth">Depth of work, metres.</param>
/// <param name="Days">Sheets for days.</param>
/// <param name="Speed">Speed, km/h.</param>
/// <param name="Draft">Pull, newtons: easy, usual and hard soil.</param>
/// <param name="Power">Power at the engine, kW: easy, usual and hard soil.</param>
/// <param name="Easy">Times on easy soil; null where the tractor does not pull the implement.</param>
/// <param name="Usual">Times on usual soil.</param>
/// <param name="Hard">Times on hard soil.</param>
/// <param name="Sentences">What was said of the pull.</param>
/// <param name="TurnsToLookAt">Turns with a finding.</param>
public sealed record ReportedWork(
    int Year, double Depth, int Days, double Speed, IReadOnlyList<double> Draft, IReadOnlyList<double> Power, ReportedTimes? Easy, ReportedTimes? Usual, ReportedTimes? Hard, IReadOnlyList<string> Sentences, int TurnsToLookAt);

/// <summary>Hours, fuel and cost.</summary>
/// <param name="Hours">All hours.</param>
/// <param name="Ripping">Hours in the ground.</param>
/// <param name="Turning">Hours turning.</param>
/// <param name="Litres">Fuel.</param>
/// <param name="Cost">Money in all; NaN without prices.</param>
/// <param name="CostAHectare">Money a hectare; NaN without prices.</param>
public sealed record ReportedTimes(double Hours, double Ripping, double Turning, double Litres, double Cost, double CostAHectare);

/// <summary>A storm before and after.</summary>
/// <param name="Name">The storm.</param>
/// <param name="Soil">The soil.</param>
/// <param name="Cases">The field as it is, with the plan, and other ways.</param>
/// <param name="Sentences">What was found.</param>
/// <param name="Lines">What single lines took and spilled.</param>
public sealed record ReportedStorm(string Name, string Soil, IReadOnlyList<ReportedCase> Cases, IReadOnlyList<string> Sentences, IReadOnlyList<ReportedLineWater> Lines);

/// <summary>One way of laying out, and what the storm did on it.</summary>
/// <param name="Name">The way.</param>
/// <param name="Length">Length of its lines, metres.</param>
/// <param name="TakenIn">Water taken in, metres over the field.</param>
/// <param name="Hollows">The same on the fifth of the land nearest the hollows.</param>
/// <param name="Spurs">The same on the fifth nearest the spurs.</param>
/// <param name="Runoff">Water that left the field, metres over it.</param>
/// <param name="Peak">Greatest flow out of it, litres a second.</param>
public sealed record ReportedCase(string Name, double Length, double TakenIn, double Hollows, double Spurs, double Runoff, double Peak);

/// <summary>What a storm did on one line.</summary>
/// <param name="Id">The line.</param>
/// <param name="Taken">Water it took, cubic metres.</param>
/// <param name="Soaked">Water that soaked in along it, cubic metres.</param>
/// <param name="Spilled">Water it spilled, cubic metres.</param>
public sealed record ReportedLineWater(string Id, double Taken, double Soaked, double Spilled);
