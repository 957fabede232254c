using Keyline.Console.Cli;
using Keyline.Water;

namespace Keyline.Console.Commands;

/// <summary><c>keyline demo</c>: an invented farm, and the whole job done on it.</summary>
internal static class DemoCommand
{
    private const string DefaultFolder = "keyline-demo";

    private static readonly string[] FarmFiles = ["farm/dem.tif", "farm/field.geojson", "farm/avoid.geojson", "farm/job.json", "farm/weather.csv", "farm/soil.geojson", "farm/penetrometer.csv", "farm/spade.csv", "farm/eca.csv"];

    // Thirty years and a bit, so that the last of them is not whole, as it is with a gauge.
    private const int WeatherDays = 11_250;
    private const int WeatherSeed = 30;

    // The farm's own job file, so that the plan can be made again with other limits.
    private const string Job = """
        {
          "dem": "dem.tif",
          "field": "field.geojson",
          "avoid": "avoid.geojson",
          "spacing": "10 ft",
          "out": "../plan"
        }

        """;

    public static Command Command { get; } = new("demo", "try it on an invented farm", Run)
    {
        About =
        [
            "Writes the whole plan of an invented farm into a folder, with the farm itself in farm/ beside it.",
        ],
        Examples =
        [
            "keyline demo",
            "keyline demo --out trial --overwrite",
        ],
        Options = [OptionSpec.Out with { Help = $"folder to write (default {DefaultFolder}); it must not exist yet, or see --overwrite" }, OptionSpec.Overwrite, OptionSpec.Threads, OptionSpec.Pdf, OptionSpec.Paper, OptionSpec.UnitsOf, OptionSpec.LanguageOfMap, OptionSpec.Quiet, OptionSpec.Json],
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        string path = arguments[OptionSpec.Out]?.Text ?? DefaultFolder;
        using OutputFolder folder = OutputFolder.Begin(path, arguments.Has(OptionSpec.Overwrite), [.. FarmFiles, .. PlanFiles.Names, PlanFiles.ReportName, PlanFiles.SheetsName, PlanFiles.PagesName]);
        foreach (string name in FarmFiles)
        {
            using Stream file = folder.Create(name);
            if (name.EndsWith("job.json", StringComparison.Ordinal))
            {
                using StreamWriter text = new(file);
                text.Write(Job);
            }
            else if (name.EndsWith("weather.csv", StringComparison.Ordinal))
            {
                using StreamWriter text = new(file);
                InventedWeather.Write(text, WeatherSeed, new DateOnly(1996, 1, 1), WeatherDays);
            }
            else
            {
                using Stream farm = Resources.Open(name);
                farm.CopyTo(file);
            }
        }

        Arguments job = new();
        JobFile.AddTo(job, Path.Combine(folder.Partial, "farm", "job.json"));
        foreach (OptionSpec option in new[] { OptionSpec.Pdf, OptionSpec.Paper, OptionSpec.UnitsOf, OptionSpec.LanguageOfMap })
        {
            if (arguments[option] is { } asked)
            {
                job.AddIfAbsent(option, asked);
            }
        }

        int exit = PlanRun.Execute(PlanRequest.From(job), folder, arguments, context);
        if (!arguments.Has(OptionSpec.Quiet) && !arguments.Has(OptionSpec.Json))
        {
            string jobPath = Path.Combine(path, "farm", "job.json");
            context.Output.WriteLine();
            context.Output.WriteLine($"Open {Path.Combine(path, PlanFiles.ReportName)} first: the answer, the map and what to look at, in a browser.");
            string farm = Path.Combine(path, "farm");
            string At(string name) => Quoted(Path.Combine(farm, name));
            context.Output.WriteLine("Whether its soil should be ripped, and in which weeks:");
            context.Output.WriteLine($"  {Product.CalledAs} soil --field {At("field.geojson")} --sites {At("soil.geojson")} --points {At("penetrometer.csv")} --points {At("spade.csv")} --points {At("eca.csv")} --out {Quoted(Path.Combine(path, "soil"))}");
            context.Output.WriteLine($"  {Product.CalledAs} season --weather {At("weather.csv")} --soil silt-loam --depth 40cm --plan {Quoted(path)} --out {Quoted(Path.Combine(path, "season"))}");
            context.Output.WriteLine($"The farm is invented; its files are in {Path.Combine(path, "farm")}. Try another limit on it:");
            context.Output.WriteLine($"  {Product.CalledAs} plan --job {Quoted(jobPath)} --max-grade 1 --out {Quoted(Path.Combine(path, "gentler"))}");
        }

        return exit;
    }

    private static string Quoted(string path) => path.Any(char.IsWhiteSpace) ? $"\"{path}\"" : path;
}
