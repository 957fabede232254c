using System.Text;
using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Formats;
using Keyline.Report;

namespace Keyline.Console.Commands;

/// <summary><c>keyline report</c>: what was made of a plan since is put into its report.</summary>
internal static class ReportCommand
{
    // A page of a thousand hectares is far below this.
    private const long MostBytes = 64 << 20;

    public static Command Command { get; } = new("report", "put what was made of a plan since into its report", Run)
    {
        About =
        [
            "Puts into the plan's report.html what keyline work, water, soil, season, driven, trial and monitor",
            "wrote: cost and gain in the answer, a part for each, and the map coloured by water. What was not made",
            "is named.",
            "What an earlier run put in and is not named again is taken out. With --pdf, or where report.pdf lies",
            "beside it, the report is put on paper too.",
        ],
        Examples =
        [
            "keyline report plan --with work,water",
            "keyline report plan --with work,water,soil,season,driven,trial,results --out for-the-client",
        ],
        Options =
        [
            OptionSpec.With, OptionSpec.Out with { Help = "folder to write report.html to (default: the plan's own, where it takes the old one's place)" },
            OptionSpec.Overwrite with { Help = "replace an earlier result in the folder given with --out" }, OptionSpec.Pdf with { Help = "write report.pdf too; its map is the plan's picture" }, OptionSpec.Paper with { Help = "paper of report.pdf: a4 (default) or letter" }, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Operand = "PLAN",
        Note = "PLAN is a plan's folder or its plan.geojson; keyline plan writes the report that is put in order here.",
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        string planPath = PlanPath.From(arguments, "report"), home = Path.GetDirectoryName(Path.GetFullPath(planPath))!;
        string page = PageOf(Path.Combine(home, PlanFiles.ReportName), home);
        PlanIdentity plan = PlanIdentity.Beside(planPath);
        MadeSince made = MadeFolders.Read(arguments[OptionSpec.With] is { } with ? [.. with.Texts.SelectMany(Folders)] : [], plan);
        string whole = FromPage(home, () => ReportPage.With(page, made));
        string? target = arguments[OptionSpec.Out]?.Text;
        SheetPaper? paper = SheetChoice.From(arguments)?.Paper ?? (target is null ? PaperOf(Path.Combine(home, PlanFiles.PagesName)) : null);
        string[] names = paper is null ? [PlanFiles.ReportName] : [PlanFiles.ReportName, PlanFiles.PagesName];
        using OutputFolder folder = OutputFolder.Begin(target ?? home, target is null || arguments.Has(OptionSpec.Overwrite), names);
        using (Stream stream = folder.Create(PlanFiles.ReportName))
        {
            stream.Write(Encoding.UTF8.GetBytes(whole));
        }

        if (paper is { } asked)
        {
            byte[] picture = PictureOf(home);
            using Stream pages = folder.Create(PlanFiles.PagesName);
            FromPage(home, () => ReportPdf.Write(pages, whole, picture, asked, context.Stop));
        }

        context.Stop.ThrowIfCancellationRequested();
        folder.Commit(context);
        Screen.Show(new ReportView(made, new OutputFiles(folder, names)), arguments, context);
        return ExitCode.Done;
    }

    private static T FromPage<T>(string home, Func<T> make)
    {
        try
        {
            return make();
        }
        catch (FormatException)
        {
            throw new GroundDataException($"{PlanFiles.ReportName} in {home} is not as this version writes it: make the plan again.");
        }
        catch (InvalidDataException)
        {
            throw new GroundDataException($"{PlanFiles.PictureName} in {home} is damaged, and it is the map of {PlanFiles.PagesName}: make the plan again.");
        }
    }

    private static byte[] PictureOf(string home)
    {
        string path = Path.Combine(home, PlanFiles.PictureName);
        return File.Exists(path) ? File.ReadAllBytes(path) : throw new UsageException($"{home} holds no {PlanFiles.PictureName}, which is the map of {PlanFiles.PagesName}: make the plan again.");
    }

    // The paper of pages that lie beside the report already, so that they are put in order with it; null where there are none.
    private static SheetPaper? PaperOf(string path) => !File.Exists(path) ? null
        : Encoding.Latin1.GetString(File.ReadAllBytes(path)).Contains("/MediaBox [0 0 612 792]", StringComparison.Ordinal) ? SheetPaper.Letter : SheetPaper.A4;

    // Folders with commas in their names are given one by one.
    private static string[] Folders(string text) => Directory.Exists(text) ? [text] : text.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);

    private static string PageOf(string path, string home)
    {
        FileInfo file = new(path);
        return !file.Exists ? throw new UsageException($"{home} holds no {PlanFiles.ReportName}: make the plan again with this version, keyline plan writes it.")
            : file.Length > MostBytes ? throw new UsageException($"{PlanFiles.ReportName} in {home} is larger than any report: make the plan again.")
            : File.ReadAllText(path, Encoding.UTF8);
    }
}

/// <summary>What tells a plan from another, for what was made of it.</summary>
/// <param name="Name">The field's name.</param>
/// <param name="Length">The length of its lines, metres.</param>
/// <param name="Plan">The plan.</param>
internal sealed record PlanIdentity(string Name, double Length, WrittenPlan Plan)
{
    /// <summary>Of the plan whose file is given, from its lines.</summary>
    public static PlanIdentity Beside(string planPath)
    {
        WrittenPlan plan = PlanReader.Read(planPath);
        return new PlanIdentity(plan.Field?.Name ?? "", plan.Lines.Sum(l => l.Line.Length), plan);
    }
}

/// <summary>What was put into a report.</summary>
/// <param name="Made">What it is.</param>
/// <param name="Written">The file.</param>
internal sealed record ReportView(MadeSince Made, OutputFiles Written) : IView
{
    public void WriteText(UnitText output)
    {
        foreach ((string what, string? made) in Parts)
        {
            output.WriteLine($"{what}: {(made is null ? "not made, or not named with --with." : $"put in ({made}).")}");
        }

        Written.WriteText(output);
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        json.WriteNumber("work_rows", Made.Work.Count);
        json.WriteString("storm", Made.Storm?.Name);
        json.WriteNumber("soil_zones", Made.Soil?.Zones.Count ?? 0);
        json.WriteBoolean("season", Made.Season is not null);
        JsonText.Number(json, "driven_m", Made.Driven?.Driven ?? double.NaN, 1);
        json.WriteNumber("trial_plots", Made.Trial?.Plots ?? 0);
        json.WriteNumber("trial_measures", Made.Results?.Measures.Count ?? 0);
        Screen.End(json, ExitCode.Done, Written);
        json.WriteEndObject();
    }

    private (string What, string? Made)[] Parts =>
    [
        ("Soil", Made.Soil is { } soil ? Words.Count(soil.Zones.Count, "zone") : null),
        ("Season", Made.Season is { } season ? FormattableString.Invariant($"weather up to {season.Day:yyyy-MM-dd}") : null),
        ("Water", Made.Storm?.Name),
        ("Machine and cost", Made.Work.Count > 0 ? Words.Count(Made.Work.Count, "row") : null),
        ("Driven", Made.Driven is { } driven ? Words.Share(driven.Driven / driven.Planned) : null),
        ("Trial", Made.Trial is { } trial ? Words.Count(trial.Plots, "plot") : null),
        ("Its readings", Made.Results is { } results ? Words.Count(results.Measures.Count, "measure") : null),
    ];
}
