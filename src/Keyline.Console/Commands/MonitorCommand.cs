using System.Text;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Fieldwork;

namespace Keyline.Console.Commands;

/// <summary><c>keyline monitor</c>: what the readings of a trial say so far, and a page a year.</summary>
internal static class MonitorCommand
{
    private const string PageName = "results.html";
    public const string ListName = "results.json";
    private const int FirstYear = 1950;
    private const int LastYear = 2199;
    private const int MostBytes = 50_000_000;

    public static readonly OptionSpec Ripped = new("--ripped", ValueKind.Word, "DATE", "day of the work, as 2027-04-10 (default: the first ripping in record.json)");

    public static Command Command { get; } = new("monitor", "what the readings of a trial say, and what is due next", Run)
    {
        About =
        [
            "Reads the folder that keyline trial wrote: its design, the tables filled in since and the record of",
            "the field. Says for each measure what came of it with its interval, at block level, whether the",
            "effect fades and when it is likely gone, or that the trial cannot tell. Rows that cannot be used",
            "are set aside with a sentence each; the tables themselves are never written. A page for every year.",
            "Two surveys of the ground are compared beyond their noise, with the stretches of lines being cut.",
            "Ends with exit code 3 where rows were set aside.",
        ],
        Examples =
        [
            "keyline monitor trial --out results",
            "keyline monitor trial --ripped 2027-04-10 --out results --overwrite",
            "keyline monitor trial --before autumn.tif --after spring.tif --plan plan --out results",
        ],
        Options = [Ripped, .. SurveyPair.All, OptionSpec.Out, OptionSpec.Overwrite with { Help = "replace an earlier result in the folder, once the new one is whole" }, OptionSpec.Threads, OptionSpec.UnitsOnPages, OptionSpec.Language, OptionSpec.Quiet, OptionSpec.Json],
        Operand = "TRIAL",
        Note = "TRIAL is the folder that keyline trial wrote, with the tables in readings/ and record.json.",
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        if (arguments.Files.Count != 1)
        {
            throw new UsageException($"keyline monitor takes one folder of a trial, and {arguments.Files.Count} were given (keyline monitor --help shows an example).");
        }

        string at = arguments.Files[0];
        DateOnly? given = ServiceOptions.Date(arguments, Ripped);
        PageVoice voice = PageVoice.From(arguments);
        if (given is { Year: < FirstYear or > LastYear } far)
        {
            throw new UsageException(FormattableString.Invariant($"{Ripped.Flag} is in the year {far.Year}: write the day of the work as 2027-04-10."));
        }

        string design = Path.Combine(at, TrialFiles.TrialName), tables = Path.Combine(at, TrialFiles.ReadingsName), record = Path.Combine(at, TrialFiles.RecordName);
        if (!File.Exists(design))
        {
            throw new UsageException($"The folder {at} holds no {TrialFiles.TrialName}: give the folder that keyline trial wrote.");
        }

        string[] files = Directory.Exists(tables) ? [.. Directory.GetFiles(tables, "*.csv").Order(StringComparer.Ordinal)] : [];
        if (files.Length == 0)
        {
            throw new UsageException($"The folder {tables} holds no table of readings: fill in those that keyline trial wrote.");
        }

        SurveyPair? surveys = SurveyPair.From(arguments);
        using OutputFolder folder = OutputFolder.Begin(arguments.Need(OptionSpec.Out, "monitor", "The folder to write").Text, arguments.Has(OptionSpec.Overwrite), [PageName, ListName, .. SurveyPair.Names, .. Enumerable.Range(FirstYear, LastYear - FirstYear + 1).Select(YearName)]);
        TrialPlan plan = Read(design, TrialFile.Read);
        FieldRecord history = File.Exists(record) ? Read(record, FieldRecord.Read) : new FieldRecord(plan.Field, []);
        DateOnly? ripped = given ?? history.FirstRipped;
        if (given is { } day && history.FirstRipped is null)
        {
            history = history with { Work = [.. history.Work.Append(new FieldWork(day, "ripped", double.NaN, "", "")).OrderBy(w => w.Date)] };
        }

        FormReadings readings = FormReader.Read(plan, [.. files.Select(f => (Path.GetFileName(f), Text(f)))]);
        context.Stop.ThrowIfCancellationRequested();
        TrialResults results = TrialAnalysis.Of(plan, readings.Readings, ripped);
        List<string> names = [PageName, ListName];
        SurveyWords? ground = null;
        if (surveys is not null)
        {
            using ProgressLine progress = new(context, arguments.Has(OptionSpec.Quiet));
            ground = surveys.Compare(folder, progress, context.Stop);
            names.AddRange(SurveyPair.Names);
        }

        voice.Write(folder, PageName, s => ResultsPage.Write(s, results, readings, history, Product.Name, ground));
        Create(ListName, s => ResultsPage.WriteJson(s, results, readings, history, Product.Name, ground));
        foreach (int year in YearPage.Years(history, readings))
        {
            names.Add(YearName(year));
            voice.Write(folder, YearName(year), s => YearPage.Write(s, year, plan, readings, history, ripped, Product.Name));
        }

        context.Stop.ThrowIfCancellationRequested();
        folder.Commit(context);
        MonitorView view = new(results, readings, history, new OutputFiles(folder, names), ground);
        Screen.Show(view, arguments, context);
        return view.ExitCode;

        void Create(string name, Action<Stream> write)
        {
            using Stream stream = folder.Create(name);
            write(stream);
        }
    }

    private static string YearName(int year) => FormattableString.Invariant($"year-{year}.html");

    private static T Read<T>(string path, Func<Stream, string, T> read)
    {
        using FileStream stream = File.OpenRead(path);
        return read(stream, Path.GetFileName(path));
    }

    // As spreadsheets save: UTF-8 with or without its mark, or the old one-byte code of Windows, in which only notes may differ.
    private static string Text(string path)
    {
        if (new FileInfo(path).Length > MostBytes)
        {
            throw new UsageException($"{Path.GetFileName(path)} is over 50 MB: that is no table of readings.");
        }

        byte[] bytes = File.ReadAllBytes(path);
        try
        {
            return new UTF8Encoding(false, throwOnInvalidBytes: true).GetString(bytes);
        }
        catch (DecoderFallbackException)
        {
            return Encoding.Latin1.GetString(bytes);
        }
    }
}
