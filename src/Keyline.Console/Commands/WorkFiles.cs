using Keyline.Console.Cli;
using Keyline.Fieldwork;
using Keyline.Formats;
using Keyline.Guidance;

namespace Keyline.Console.Commands;

/// <summary>The driver's files of one field: sheets, guidance in files of so many lines, and the ways as shapes.</summary>
internal sealed class WorkFiles(OutputFolder folder, WrittenPlan plan, WorkRow row, ServiceRecord? services, string under, CancellationToken stop)
{
    /// <summary>Zones with depths of their own.</summary>
    public IReadOnlyList<DepthZone> Depths { get; init; } = [];

    /// <summary>How the sheets are said.</summary>
    public required PageVoice Voice { get; init; }

    public const string TableName = "work.txt";
    public const string SummaryName = "work.json";
    public const string CalendarName = "work.ics";
    private const string WaysName = "ways.geojson";
    private const string ServicesName = "READ-FIRST.txt";

    // What a driver has to know of a line before it is under him; the rest is the planner's business.
    private static readonly Dictionary<string, string> Words = new()
    {
        ["side-slope-too-steep"] = "side slope too steep",
        ["on-steep-land"] = "on steep land",
        ["too-steep-along-line"] = "steep along the line",
        ["turn-too-tight"] = "bend tighter than the machine's",
        ["over-missing-ground"] = "ground not known",
        ["in-avoided-area"] = "enters what is avoided",
        ["outside-field"] = "leaves the field",
        ["ends-above-drop"] = "ends above a drop",
        ["lines-cross"] = "crosses a line",
        [PlanFindings.Unsure] = "which way it falls is not sure",
    };

    /// <summary>Everything a run may write.</summary>
    public static string[] NamesOf(int fields, int blocks, GuidanceFormat[] formats)
    {
        _ = formats;
        string[] under = fields == 1 ? [""] : [.. Enumerable.Range(1, fields).Select(i => FormattableString.Invariant($"field-{i}/"))];
        string[] each = [.. GuidanceCommand.Words.Values.SelectMany(GuidanceFiles.NamesOf).Distinct()];
        return [TableName, SummaryName, CalendarName, .. under.SelectMany(u => (string[])[u + WaysName, .. Enumerable.Range(1, blocks).SelectMany(b => (string[])[Sheet(u, b), u + Part(b) + ServicesName, .. each.Select(n => u + Part(b) + n)])])];
    }

    /// <summary>What of a line's findings is for the driver.</summary>
    public static IEnumerable<string> ToBewareOf(IReadOnlyDictionary<string, IReadOnlyList<string>> findings, string id) =>
        findings.TryGetValue(id, out IReadOnlyList<string>? kinds) ? kinds.Where(Words.ContainsKey).Select(k => Words[k]) : [];

    /// <summary>Writes them.</summary>
    /// <returns>Their names.</returns>
    public List<string> Write(GuidanceFormat[] formats, int mostLines, bool join)
    {
        List<string> names = [];
        foreach (WorkBlock block in row.Blocks)
        {
            stop.ThrowIfCancellationRequested();
            Voice.Write(folder, Sheet(under, block.Number), stream => DriverSheet.Write(stream, new DriverSheetContent
            {
                Job = row.Job,
                Block = block,
                Blocks = row.Blocks.Count,
                ToLonLat = at => plan.Crs.ToLonLat(at.X, at.Y),
                Services = services,
                Depths = Depths,
                Cautions = [.. Cautions.All.Where(c => c.Id != "elevation-data").Select(c => c.Text)],
                MadeWith = Product.Name,
            }));
            names.Add(Sheet(under, block.Number));
        }

        int part = 0;
        foreach (IReadOnlyList<PlannedPath> group in WorkRuns.Of(row.Job.Stops, mostLines, join))
        {
            stop.ThrowIfCancellationRequested();
            string sub = under + Part(++part);
            string said = ServiceRecord.Say(services);
            GuidanceSet set = GuidancePreparation.Prepare(group, new GuidanceOptions { Notice = services is null ? ServiceRecord.MissingInShort : "" }, row.Job.Field, plan.Spacing, stop);
            using (StreamWriter text = new(folder.Create(sub + ServicesName)) { NewLine = "\n" })
            {
                text.WriteLine(said);
                text.WriteLine();
                text.WriteLine($"{row.Name}, guidance file {part}: {string.Join(", ", group.Select(g => g.Id))}");
                text.WriteLine();
                Array.ForEach([.. Cautions.All], c => text.WriteLine(c.Text));
            }

            names.Add(sub + ServicesName);
            foreach (GuidanceFormat format in formats)
            {
                GuidanceFiles.Write(Path.Combine(folder.Partial, sub.Replace('/', Path.DirectorySeparatorChar)), format, set, plan.Crs, false, stop);
                names.AddRange(GuidanceFiles.NamesOf(format).Select(n => sub + n));
            }
        }

        using (Stream ways = folder.Create(under + WaysName))
        {
            WorkShapes.Write(ways, row.Job, at => plan.Crs.ToLonLat(at.X, at.Y), ServiceRecord.Say(services));
        }

        names.Add(under + WaysName);
        return names;
    }

    private static string Sheet(string under, int block) => FormattableString.Invariant($"{under}sheet-{block:00}.html");

    private static string Part(int part) => FormattableString.Invariant($"guidance-{part:00}/");
}
