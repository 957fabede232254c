using System.Globalization;
using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Field;
using Keyline.Fieldwork;
using Keyline.Formats;

namespace Keyline.Console.Commands;

/// <summary><c>keyline season</c>: in which weeks the soil is right for ripping, out of years of weather.</summary>
internal static class SeasonCommand
{
    private const string TextName = "season.txt";
    public const string ListName = "season.json";
    private const string PageName = "season.html";
    private const string DaysName = "season.csv";
    private const string CalendarName = "season.ics";

    public static Command Command { get; } = new("season", "when the soil is right for ripping, out of years of weather", Run)
    {
        About =
        [
            "Reckons the soil's water at the tip, day by day, from a table of weather: days of each month that are",
            "neither too wet nor too dry, the chance of a run of them by weeks, how long the job takes, and how it",
            "stands now. Writes season.html to read and print, season.csv (days) and season.ics (a calendar).",
        ],
        Examples =
        [
            "keyline season --weather daily.csv --latitude -33.1 --soil clay-loam --depth \"40 cm\" --out season",
            "keyline season --weather daily.csv --soil loam --depth \"16 in\" --plan plan --out season",
            "keyline season --weather daily.csv --soil loam --depth 40cm --hours 60 --between 10-60 --out season",
        ],
        Options =
        [
            .. SeasonRequest.All, OptionSpec.ClearedBy, OptionSpec.Ticket, OptionSpec.Until, OptionSpec.Name with { Help = "name of the field for the page" },
            OptionSpec.Out, OptionSpec.Overwrite with { Help = "replace an earlier result in the folder, once the new one is whole" }, OptionSpec.Threads, OptionSpec.UnitsOnPages, OptionSpec.Language, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Note = "The ball and thread test in the field comes before every figure.",
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        SeasonRequest request = SeasonRequest.From(arguments, context.Stop);
        ServiceRecord? services = ServiceOptions.From(arguments);
        PageVoice voice = PageVoice.From(arguments);
        string title = arguments[OptionSpec.Name]?.Text.Trim() is { Length: > 0 } name ? name : request.Job.Name.Length > 0 ? request.Job.Name : request.Weather.Name;
        string[] names = [PageName, TextName, ListName, DaysName, CalendarName];
        using OutputFolder folder = OutputFolder.Begin(arguments.Need(OptionSpec.Out, "season", "The folder to write").Text, arguments.Has(OptionSpec.Overwrite), names);
        SeasonRun run = SeasonRun.Of(request.Weather, request.Soil, request.Options);
        SeasonReport report = SeasonReport.Of(run, request.Rule, request.Window, request.Job.Days, request.Start);
        DateOnly? rip = request.Start ?? report.Best?.Day;
        IReadOnlyList<PlannedDays> dates = rip is { } day ? SeasonDates.Of(day, request.Job.Days ?? request.Window, request.Rest, request.Options.Depth, services) : [];
        voice.Write(folder, PageName, stream => SeasonPage.Write(stream, title, report, dates, services, [.. Cautions.All.Select(c => c.Text)], Product.Name));
        using (Stream stream = folder.Create(CalendarName))
        {
            WorkCalendar.Write(stream, dates, 0);
        }

        SeasonView view = new(title, report, request.Job, dates, services, new OutputFiles(folder, names));
        Write(folder, TextName, text => SeasonText.Write(UnitText.Metric(text), view));
        Write(folder, DaysName, text => Days(text, report));
        using (Stream stream = folder.Create(ListName))
        {
            using Utf8JsonWriter json = new(stream, JsonText.Readable);
            json.WriteStartObject();
            SeasonText.WriteJson(json, view);
            json.WriteEndObject();
        }

        context.Stop.ThrowIfCancellationRequested();
        folder.Commit(context);
        Screen.Show(view, arguments, context);
        return ExitCode.Done;
    }

    private static void Days(StreamWriter text, SeasonReport report)
    {
        text.WriteLine("date,rain_mm,et0_mm,tip_pct_volume,tip_pct_of_available,of_plastic_limit,state");
        SeasonRun run = report.Run;
        for (int i = 0; i < run.Tip.Count; i++)
        {
            text.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"{run.Weather.DateOf(i):yyyy-MM-dd},{1000 * run.Weather.Rain[i]:0.##},{1000 * run.Weather.Reference[i]:0.##},{100 * run.Tip[i]:0.00},{100 * run.Share(run.Tip[i]):0.0},{run.OfPlasticLimit[i]:0.000},{SeasonReport.State(report.States[i]).Replace(' ', '-')}"));
        }
    }

    private static void Write(OutputFolder folder, string name, Action<StreamWriter> write)
    {
        using StreamWriter text = new(folder.Create(name)) { NewLine = "\n" };
        write(text);
    }
}
