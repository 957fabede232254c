using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Field;
using Keyline.Fieldwork;
using Keyline.Formats;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary>Two surveys of the ground that keyline monitor compares.</summary>
internal sealed class SurveyPair
{
    public const string ChangeName = "change.tif";
    public const string IncisionName = "incision.geojson";
    private const int FormatVersion = 1;

    public static readonly OptionSpec Before = new("--before", ValueKind.Path, "FILE", "elevation at a first survey: what changed since is compared for rills (needs --after and --plan)");
    public static readonly OptionSpec After = new("--after", ValueKind.Path, "FILE", "elevation at a second survey");
    public static readonly OptionSpec Plan = new("--plan", ValueKind.Path, "PLAN", "the plan whose lines were worked: a folder or a plan.geojson");
    public static readonly OptionSpec Stable = new("--stable", ValueKind.Path, "FILE", "ground that surely did not change, as a yard: polygons (default: what lies out of reach of the lines)");
    public static readonly OptionSpec HeightError = new("--height-error", ValueKind.Length, "LENGTH", "standard error of a height in each survey, where it is more than the differences show");

    private readonly GroundRequest _before;
    private readonly GroundRequest _after;
    private readonly string _plan;
    private readonly string? _stable;
    private readonly double _error;

    private SurveyPair(GroundRequest before, GroundRequest after, string plan, string? stable, double error) => (_before, _after, _plan, _stable, _error) = (before, after, plan, stable, error);

    public static IReadOnlyList<OptionSpec> All { get; } = [Before, After, Plan, Stable, HeightError];

    public static IReadOnlyList<string> Names { get; } = [ChangeName, IncisionName];

    /// <summary>The surveys among the options; null where none are given.</summary>
    /// <exception cref="UsageException">Some of what is needed is missing.</exception>
    public static SurveyPair? From(Arguments arguments)
    {
        if (All.FirstOrDefault(arguments.Has) is not { } given)
        {
            return null;
        }

        foreach (OptionSpec needed in (OptionSpec[])[Before, After, Plan])
        {
            if (!arguments.Has(needed))
            {
                throw new UsageException($"{given.Flag} needs {needed.Flag} as well: two surveys are compared along the lines of a plan.");
            }
        }

        string plan = arguments[Plan]!.Text, path = Directory.Exists(plan) ? Path.Combine(plan, "plan.geojson") : plan;
        return !File.Exists(path) ? throw new UsageException($"There is no plan {path}: give the folder that keyline plan wrote, or its plan.geojson, with {Plan.Flag}.")
            : new SurveyPair(
                GroundRequest.Of([arguments[Before]!.Text], arguments[Before]!.Where, arguments), GroundRequest.Of([arguments[After]!.Text], arguments[After]!.Where, arguments), path,
                arguments.File(Stable, "file of stable ground"), arguments.Has(HeightError) ? arguments.AtLeastNothing(HeightError, 0) : double.NaN);
    }

    /// <summary>Compares them and writes what changed.</summary>
    public SurveyWords Compare(OutputFolder folder, ProgressLine progress, CancellationToken stop)
    {
        progress.Show("reading two surveys");
        GroundWindow? window = FieldFiles.Window(_plan);
        ElevationSource before = _before.ReadUnmended(window, stop), after = _after.ReadUnmended(window, stop);
        if (before.Crs.Name != after.Crs.Name)
        {
            throw new GroundDataException($"The first survey is in {before.Crs.Name} and the second in {after.Crs.Name}: bring both into one system, heights above the same level.");
        }

        WrittenPlan plan = PlanReader.Read(_plan, before.Crs);
        WorkLine[] lines = [.. plan.Lines.OrderBy(l => l.Sequence).Select(l => new WorkLine(l.Id, l.Line))];
        Geometry? stable = _stable is null ? null : NetTopologySuite.Operation.Union.UnaryUnionOp.Union(FieldFiles.ReadAvoided(_stable, before.Crs).Select(a => a.Shape).ToList());
        progress.Show("comparing two surveys");
        SurveyChangeOptions options = new() { BeforeError = _error, AfterError = _error, LineReach = plan.Spacing > 0 ? plan.Spacing : SurveyChangeOptions.DefaultLineReach };
        SurveyChange change = SurveyChange.Of(before.Grid, after.Grid, lines, stable, options, stop);
        SurveyWords words = new(change, LineIncision.Of(change, lines, cancellationToken: stop));
        PlanInput[] inputs = [.. before.Files.Select(f => PlanInput.Of("before", f)), .. after.Files.Select(f => PlanInput.Of("after", f)), PlanInput.Of("plan", _plan)];
        new RasterFolder(folder, new RasterOrigin("change", inputs, before.Crs, change.Change.Frame, []), progress, stop).Write(ChangeName, "change of the ground between two surveys, above 0 where it was raised", "m", change.Change);
        using Stream shapes = folder.Create(IncisionName);
        FeatureCollectionJson.Write(shapes, words.Cut.Select((s, i) => JsonFeature.Named("cut", FormattableString.Invariant($"cut-{i + 1}"), s.Shape, json =>
        {
            json.WriteString("line", s.Line);
            JsonText.Number(json, "from_m", s.From, 1);
            JsonText.Number(json, "to_m", s.To, 1);
            JsonText.Number(json, "depth_mean_m", s.MeanDepth, 3);
            JsonText.Number(json, "depth_max_m", s.GreatestDepth, 3);
            JsonText.Number(json, "volume_m3", s.Volume, 2);
        })), null, before.Crs, new PlanProvenance(Product.Version, inputs), FormatVersion, stop, GeoJsonShapes.DrivenDecimals, caution: true);
        return words;
    }
}
