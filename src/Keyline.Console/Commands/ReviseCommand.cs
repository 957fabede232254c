using System.Text.Json;
using Keyline.Check;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Field;
using Keyline.Fieldwork;
using Keyline.Formats;
using Keyline.Layout;

namespace Keyline.Console.Commands;

/// <summary><c>keyline revise</c>: the plan made again only where something was found in the field since.</summary>
internal static class ReviseCommand
{
    private const string ListName = "changes.txt";
    private const string PageName = "changes.html";
    private const string PlanName = "plan.geojson";

    private static readonly string[] Names = [PlanName, PlanFiles.SummaryName, ListName, PageName];

    public static Command Command { get; } = new("revise", "the plan made again only where rock, a wet spot or a moved fence was found", Run)
    {
        About =
        [
            "Takes notes from the field (rock, a wet spot, a moved fence) as avoided from now on and makes",
            "the plan again only there: a line steps aside where there is room, else it stops at the setback",
            "and goes on behind. Where a note has \"free\": true (a pond that is gone, a fence moved outward),",
            "lines run through again, go on to the new edge, or are added. Every other line keeps its name",
            "and every coordinate. changes.txt and changes.html say what changed; keyline work, guidance and",
            "setout take the new folder as a plan.",
        ],
        Examples = ["keyline revise plan --notes notes.geojson --out plan-2", "keyline revise plan --notes pond-gone.geojson --dem dem.tif --out plan-2", "keyline revise plan --located marks.geojson --hand-dig ID --out plan-2"],
        Options =
        [
            OptionSpec.FieldNotes with { Help = "GeoJSON points, lines or areas: what was found, with a setback_m, or what may be worked now, with \"free\": true; perhaps a name" },
            OptionSpec.Dem with { Help = "the heights that the plan was made from; needed where ground is set free" },
            OptionSpec.Located, OptionSpec.HandDig, OptionSpec.Out, OptionSpec.Overwrite, OptionSpec.Crs, .. OptionSpec.GroundOptions, OptionSpec.Threads, OptionSpec.UnitsOnPages, OptionSpec.Language, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Operand = "PLAN",
    };

    /// <summary>What is made of a plan's lines where something was found.</summary>
    public static LayoutRevision Revised(WrittenPlan plan, FieldArea field, IReadOnlyList<AvoidedArea> found) =>
        LayoutRevision.Of([.. plan.Lines.OrderBy(l => l.Sequence).Select(l => new CheckedLine(l.Id, "", l.Line))], field, found, plan.Spacing, plan.MinimumRadius);

    private static int Run(Arguments arguments, RunContext context)
    {
        string path = PlanPath.From(arguments, "revise");
        string? notes = arguments.File(OptionSpec.FieldNotes, "file of notes"), located = LocatedOptions.Check(arguments);
        if (notes is null && located is null)
        {
            throw new UsageException($"The file of notes is missing: give it with {OptionSpec.FieldNotes.Flag} FILE, or located services with {OptionSpec.Located.Flag} FILE (keyline revise --help shows an example).");
        }

        PageVoice voice = PageVoice.From(arguments);
        using OutputFolder folder = OutputFolder.Begin(arguments.Need(OptionSpec.Out, "revise", "The folder to write").Text, arguments.Has(OptionSpec.Overwrite), Names);
        ReviseView view;
        using (ProgressLine progress = new(context, arguments.Has(OptionSpec.Quiet)))
        {
            progress.Show("reading the plan");
            WrittenPlan plan = PlanReader.Read(path);
            FieldNotes? noted = notes is null ? null : FieldFiles.ReadNotes(notes, plan.Crs);
            ElevationSource? ground = noted is not { Freed.Count: > 0 } ? null : Ground(arguments, path, notes!, progress, context.Stop);
            if (ground is not null && ground.Crs.EpsgCode != plan.Crs.EpsgCode)
            {
                (plan, noted) = (PlanReader.Read(path, ground.Crs), FieldFiles.ReadNotes(notes!, ground.Crs));
            }

            FieldArea field = plan.Field ?? throw new UsageException($"{plan.File} holds no outline of a field, so nothing can be revised in it: give the plan.geojson that keyline plan wrote.");
            AvoidedArea[] found = [.. noted?.Found ?? [], .. LocatedOptions.Read(arguments, plan.Crs, plan.Shanks)];
            progress.Show("lines");
            LayoutRevision revision = Revised(plan, field, found);
            if (ground is not null)
            {
                FreedField freed = FreedField.Of(field, noted!.Freed);
                LayoutOptions options = plan.Options ?? throw new UsageException($"{plan.File} does not say with what spacing, grade and headland its lines were laid, so none can be added: give the plan.geojson that keyline plan wrote.");
                FieldSurvey survey = FieldSurvey.Prepare(ground.Grid, LayoutRevision.FieldWith(freed.Field, found), options, null, progress, context.Stop);
                progress.Show("lines");
                revision = FreedRevision.Of(revision, freed, survey, context.Stop);
            }

            if (revision.Lines.Count == 0)
            {
                throw new UsageException($"{Path.GetFileName(notes ?? located)} leaves no line of the plan: check the setbacks, or plan the field again with the notes among the avoided areas.");
            }

            PlanInput[] inputs = [.. notes is null ? [] : (PlanInput[])[PlanInput.Of("notes", notes)], .. located is null ? [] : (PlanInput[])[PlanInput.Of("located", located)]];
            progress.Show("writing " + PlanName);
            Write(PlanName, s => PlanRevision.Write(s, path, plan.Crs, revision, inputs));
            Write(PlanFiles.SummaryName, s => PlanRevision.WriteSummary(s, path, plan.Crs, revision, inputs));
            CheckedLine[] before = [.. plan.Lines.OrderBy(l => l.Sequence).Select(l => new CheckedLine(l.Id, "", l.Line))];
            voice.Write(folder, PageName, s => RevisionPage.Write(s, before, field, revision, found, noted?.Freed ?? [], Product.Name));
            view = new ReviseView(revision, plan.Lines.Count, new OutputFiles(folder, Names));
            Write(ListName, s =>
            {
                using StreamWriter text = new(s, leaveOpen: true) { NewLine = "\n" };
                view.WriteList(UnitText.Metric(text));
            });
        }

        context.Stop.ThrowIfCancellationRequested();
        folder.Commit(context);
        Screen.Show(view, arguments, context);
        return ExitCode.Done;

        void Write(string name, Action<Stream> write)
        {
            context.Stop.ThrowIfCancellationRequested();
            using Stream stream = folder.Create(name);
            write(stream);
        }
    }

    private static ElevationSource Ground(Arguments arguments, string plan, string notes, ProgressLine progress, CancellationToken stop)
    {
        if (!arguments.Has(OptionSpec.Dem))
        {
            throw new UsageException($"{arguments[OptionSpec.FieldNotes]!.Where} sets ground free, and lines on it are held to the plan's grade: give the heights with {OptionSpec.Dem.Flag} {OptionSpec.Dem.ValueName}.");
        }

        return GroundRequest.From(arguments, "revise").Read(FieldFiles.Window(plan).With(FieldFiles.Window(notes)), progress, stop);
    }
}
