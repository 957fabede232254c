using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Elevation;
using Keyline.Fieldwork;
using Keyline.Formats;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary><c>keyline trial</c>: a trial on a plan that can tell whether ripping did anything.</summary>
internal static class TrialCommand
{
    public static Command Command { get; } = new("trial", "a trial on the plan: blocks, strips left unripped, sheets to fill in", Run)
    {
        About =
        [
            "Lays a trial out on a plan: blocks on like ground, plots of whole passes, treatments drawn by lot,",
            "and says before the work is done what so many blocks can show. Writes the plots and points to",
            "measure at, the strips not to rip in the form that keyline plan --avoid takes, waypoints to walk",
            "to, printable sheets and tables to fill in. keyline monitor reads them and says what came of it.",
            "Where the field cannot carry a trial it says so, lays out places to watch, and ends with exit code 3.",
        ],
        Examples =
        [
            "keyline trial plan --dem dem.tif --out trial",
            "keyline trial plan --dem dem.tif --treatments \"unripped,ripped,deep 60 cm\" --seed 7 --out trial",
            "keyline trial plan --dem dem.tif --zones soils.geojson --split grazed,rested --out trial",
        ],
        Options =
        [
            OptionSpec.Dem, .. TrialRequest.All, OptionSpec.Crs, .. OptionSpec.GroundOptions,
            OptionSpec.Out, OptionSpec.Overwrite with { Help = "replace an earlier result in the folder, once the new one is whole; tables filled in since stay" },
            OptionSpec.Threads, OptionSpec.UnitsOnPages, OptionSpec.Language, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Operand = "PLAN",
        Note = $"Lengths carry their unit ({Quantity.Units}).",
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        string planPath = PlanPath.From(arguments, "trial");
        GroundRequest request = GroundRequest.From(arguments, "trial");
        TrialOptions options = TrialRequest.From(arguments);
        PageVoice voice = PageVoice.From(arguments);
        string? zonesPath = arguments.File(TrialRequest.Zones, "file of zones");
        using OutputFolder folder = OutputFolder.Begin(arguments.Need(OptionSpec.Out, "trial", "The folder to write").Text, arguments.Has(OptionSpec.Overwrite), TrialFiles.Names);
        TrialDesign design;
        List<string> names;
        using (ProgressLine progress = new(context, arguments.Has(OptionSpec.Quiet)))
        {
            ElevationSource source = request.Read(FieldFiles.Window(planPath), progress, context.Stop);
            WrittenPlan plan = PlanReader.Read(planPath, source.Crs);
            Keyline.Field.FieldArea field = plan.Field ?? throw new GroundDataException($"{plan.File}: it has no field outline, so no plot can be kept in the field: give a plan of keyline plan.");
            GroundReading reading = GroundReading.Around(source.Grid, field.Boundary, plan.Spacing > 0 ? plan.Spacing : 3.048, null, progress, context.Stop);
            WorkLine[] lines = [.. plan.Lines.OrderBy(l => l.Sequence).Select(l => new WorkLine(l.Id, l.Line))];
            progress.Show("laying out the trial");
            design = TrialDesigner.Design(new TrialSite
            {
                Lines = lines, Field = field, Spacing = plan.Spacing, Steep = plan.Steep, Shanks = plan.Shanks, Ground = TrialGround.Of(reading, context.Stop),
                Zones = zonesPath is null ? [] : Zones(zonesPath, source.Crs),
            }, options, context.Stop);
            PlanInput[] inputs = [PlanInput.Of("plan", planPath), .. source.Files.Select(f => PlanInput.Of("dem", f)), .. zonesPath is null ? Array.Empty<PlanInput>() : [PlanInput.Of("zones", zonesPath)]];
            names = new TrialFiles(folder, design, plan, inputs, voice, context.Stop).Write(lines, field);
        }

        context.Stop.ThrowIfCancellationRequested();
        folder.Commit(context);
        TrialView view = new(design, new OutputFiles(folder, names));
        Screen.Show(view, arguments, context);
        return view.ExitCode;
    }

    private static TrialZone[] Zones(string path, GroundCrs crs)
    {
        IReadOnlyList<Keyline.Field.AvoidedArea> areas = FieldFiles.ReadAvoided(path, crs);
        return areas.All(a => a.Shape is Polygon or MultiPolygon)
            ? [.. areas.Select((a, i) => new TrialZone(a.Name.Length > 0 ? a.Name : FormattableString.Invariant($"zone {i + 1}"), a.Shape))]
            : throw new GroundDataException($"{Path.GetFileName(path)}: it holds shapes that are no areas: give zones as polygons.");
    }
}
