using Keyline.Check;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Field;
using Keyline.Formats;
using Keyline.Landform;
using Keyline.Layout;

namespace Keyline.Console.Commands;

/// <summary>The main job: read, design, write, put in place, say what came of it.</summary>
internal static class PlanRun
{
    /// <param name="request">What to make.</param>
    /// <param name="folder">Where to write; put in place by this.</param>
    /// <param name="arguments">For --quiet and --json.</param>
    /// <param name="context">Where to speak.</param>
    public static int Execute(PlanRequest request, OutputFolder folder, Arguments arguments, RunContext context)
    {
        bool quiet = arguments.Has(OptionSpec.Quiet);
        KeylinePlan plan;
        PlanFiles files;
        using (ProgressLine progress = new(context, quiet, Course(request)))
        {
            ElevationSource ground = request.Ground.Read(FieldFiles.Window(request.FieldPath), progress, context.Stop);
            FieldArea field = request.ReadField(ground.Crs);
            LandformOptions landform = new() { PinnedKeypoints = request.FlaggedPath is { } flagged ? FieldFiles.ReadPoints(flagged, ground.Crs) : [] };
            progress.Show("judging the ground");

            // What is doubted of the ground is only told of, so planning need not wait for it.
            (FieldSurvey Survey, KeylinePlan Plan)? made = null;
            ElevationSource told = ground;
            WorkThreads.Together(
                context.Stop,
                () => made = Planned(ground, field, request, landform, progress, context.Stop),
                () => told = GroundDoubts.Told(ground, field, request.Layout, context.Stop));
            (FieldSurvey survey, plan) = made!.Value;
            IReadOnlyList<PatternLayout> comparison = WriteTables(survey, request, folder, progress, context.Stop);
            progress.Show("certainty");
            files = new PlanFiles(plan, told, request, DriftCertainty.Of([.. plan.Layout.Lines.Select(l => l.Line)], plan.Ground, request.Noise, cancellationToken: context.Stop));
            files.Write(folder, comparison, progress, context.Stop);
        }

        context.Stop.ThrowIfCancellationRequested();
        byte[] summary = arguments.Has(OptionSpec.Json) ? File.ReadAllBytes(Path.Combine(folder.Partial, PlanFiles.SummaryName)) : [];
        folder.Commit(context);
        PlanView view = new(plan, request.SpacingText, files.Certainty, files.Notes, summary, new OutputFiles(folder, PlanFiles.NamesOf(request)));
        Screen.Show(view, arguments, context);
        return view.ExitCode;
    }

    private static (FieldSurvey, KeylinePlan) Planned(ElevationSource ground, FieldArea field, PlanRequest request, LandformOptions landform, ProgressLine progress, CancellationToken stop)
    {
        FieldSurvey survey = FieldSurvey.Prepare(ground.Grid, field, request.Layout, landform, progress, stop);
        return (survey, KeylinePlanner.Design(survey, progress, stop));
    }

    // The stages with their share of the time, as taken on fields of 30 to 130 ha; a comparison is three layouts more, a price list a dozen.
    private static IReadOnlyList<(string Stage, double Weight)> Course(PlanRequest request) =>
    [
        ("reading the ground", 6), ("mending the ground", 4), ("judging the ground", 0), ("smoothing", 3), ("landform", 0), ("shape of the ground", 3), ("drainage", 6), ("valley lines", 1),
        ("ridge lines", 1), ("landform position", 3), ("keypoints", 2), ("keylines", 2), ("survey", 6), ("guides", 25), ("lines", 20), ("check", 10), ("comparison", request.Compares ? 130 : 0), ("price list", request.ListsPrices ? 250 : 0), ("certainty", 4),
        .. PlanFiles.Names.Select(name => ("writing " + name, name.EndsWith(".png", StringComparison.Ordinal) ? 6.0 : 1.0)),
        ("writing " + PlanFiles.SvgName, request.DrawsSvg ? 8 : 0), ("writing " + PlanFiles.SheetsName, request.Sheets is not null ? 20 : 0), ("writing " + PlanFiles.PagesName, request.Sheets is not null ? 10 : 0),
    ];

    private static IReadOnlyList<PatternLayout> WriteTables(FieldSurvey survey, PlanRequest request, OutputFolder folder, ProgressLine progress, CancellationToken stop)
    {
        IReadOnlyList<PatternLayout> comparison = request.Compares ? LayoutComparison.Run(survey, progress, stop) : [];
        if (request.Compares)
        {
            using StreamWriter text = new(folder.Create(PlanFiles.ComparisonName));
            LayoutTables.WriteComparison(text, comparison);
        }

        if (request.ListsPrices)
        {
            using StreamWriter text = new(folder.Create(PlanFiles.PriceListName));
            LayoutTables.WritePriceList(text, RipLayoutDesigner.PriceList(survey, null, progress, stop), request.Layout.Pattern);
        }

        return comparison;
    }
}
