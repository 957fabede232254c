using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Formats;
using Keyline.Guidance;
using Keyline.Report;
using Keyline.SetOut;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary><c>keyline setout</c>: stakes for setting out by laser level, and what was read back.</summary>
internal static class SetOutCommand
{
    private const string SheetName = "setout.html";
    private const string TableName = "stakes.csv";
    private const string ShapesName = "stakes.geojson";
    private const string WaypointsName = "stakes.gpx";

    // So many are set out without being asked for by name; each is hours of work in the field.
    /// <summary>So few guides are all set out where none goes through a keypoint.</summary>
    public const int FewGuides = 6;
    private const int Proposed = 3;

    public static Command Command { get; } = new("setout", "stakes, rod readings and a sheet for a laser level; readings back", Run)
    {
        About =
        [
            "Sets guides out without auto-steer: stakes with coordinates and the reading of a laser level's rod on",
            "each, a sheet to print (setout.html), stakes.csv to fill in, stakes.geojson and stakes.gpx.",
            "The way back: --readings compares what was read with the plan, --refit fits the guides to it.",
            "Ends with exit code 3 where a stake is off by more than the tolerance or water would run the other way.",
        ],
        Examples =
        [
            "keyline setout plan --guide G16 --interval \"20 m\" --out setout",
            "keyline setout plan --benchmark \"212.40 m\" --bench-reading \"1.35 m\" --sheet-unit ft --out setout",
            "keyline setout plan --readings stakes.csv --dem dem.tif --refit --out levelled",
        ],
        Options =
        [
            OptionSpec.Guide, OptionSpec.Every, OptionSpec.Interval with { Help = "distance between stakes (default 20 m)" }, OptionSpec.HeightStep, OptionSpec.BendStep,
            OptionSpec.Calm with { Help = "calm heights along the line over this far, so that noise is not set out (default 8 m; \"0 m\" for none)" },
            OptionSpec.Benchmark, OptionSpec.BenchReading, OptionSpec.Rod, OptionSpec.Sight, OptionSpec.SheetUnit,
            OptionSpec.Readings, OptionSpec.Tolerance, OptionSpec.Refit,
            OptionSpec.Dem with { Help = "elevation to take heights from; without it, those in the plan" },
            OptionSpec.Crs, .. OptionSpec.GroundOptions,
            OptionSpec.Out, OptionSpec.Overwrite with { Help = "replace an earlier result in the folder, once the new one is whole" }, OptionSpec.Threads, OptionSpec.UnitsOnScreen, OptionSpec.Language with { Help = "language of the sheet: en (default) or es" }, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Operand = "PLAN",
        Note = $"Lengths carry their unit ({Quantity.Units}).",
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        string planPath = PlanPath.From(arguments, "setout");
        if (arguments.File(OptionSpec.Readings, "file of readings") is { } readings)
        {
            return LevelCommand.Run(planPath, readings, arguments, context);
        }

        if (arguments[OptionSpec.Refit] is { } refit)
        {
            throw new UsageException($"{refit.Where} needs what was read: give the filled-in stakes.csv with {OptionSpec.Readings.Flag} {OptionSpec.Readings.ValueName}.");
        }

        SetOutOptions options = OptionsFrom(arguments);
        LevelMark? mark = MarkFrom(arguments);
        SheetUnit unit = arguments.Word(OptionSpec.SheetUnit, "m", "ft") == "ft" ? SheetUnit.Foot : SheetUnit.Metre;
        GroundRequest? request = arguments.Has(OptionSpec.Dem) ? GroundRequest.From(arguments, "setout") : null;
        // The sheet has a unit of its own, that of the rod.
        PageVoice voice = PageVoice.From(arguments) with { Units = UnitSystem.Metric };
        bool quiet = arguments.Has(OptionSpec.Quiet);
        string[] names = [SheetName, TableName, ShapesName, WaypointsName];
        using OutputFolder folder = OutputFolder.Begin(arguments.Need(OptionSpec.Out, "setout", "The folder to write").Text, arguments.Has(OptionSpec.Overwrite), names);
        List<string> notes = [];
        List<StakedLine> lines;
        using (ProgressLine progress = new(context, quiet))
        {
            ElevationSource? ground = request?.Read(FieldFiles.Window(planPath), progress, context.Stop);
            WrittenPlan plan = PlanReader.Read(planPath, ground?.Crs);
            notes.AddRange(plan.Notes);
            lines = [.. Chosen(plan, arguments, notes).Select(g => Staking.Along(g.Id, g.Line, options, mark, ground?.Grid, plan.Field))];
            Tell(lines, mark, notes);
            PlanProvenance made = new(Product.Version, [PlanInput.Of("plan", planPath), .. ground?.Files.Select(f => PlanInput.Of("dem", f)) ?? []], notes);
            progress.Show("writing");
            voice.Write(folder, SheetName, s => SetOutSheet.Write(s, Sheet(plan, lines, options, mark, unit), context.Stop));
            Write(folder, TableName, s => StakeFiles.WriteTable(s, lines, plan.Crs, mark, unit == SheetUnit.Foot));
            Write(folder, ShapesName, s => StakeFiles.WriteGeoJson(s, lines, plan.Crs, made, context.Stop));
            Write(folder, WaypointsName, s => StakeFiles.WriteGpx(s, lines, plan.Crs));
        }

        context.Stop.ThrowIfCancellationRequested();
        folder.Commit(context);
        Screen.Show(new SetOutView(lines, notes, new OutputFiles(folder, names)), arguments, context);
        return ExitCode.Done;
    }

    /// <summary>The lines to set out, by their ids.</summary>
    private static (string Id, LineString Line)[] Chosen(WrittenPlan plan, Arguments arguments, List<string> notes)
    {
        (string Id, LineString Line)[] all = LinesOf(plan);
        int every = arguments[OptionSpec.Every] is { } step ? Quantity.Whole(step.Text, step.Where, 1, 999) : 0;
        if (arguments[OptionSpec.Guide] is { } asked)
        {
            all = GuidesAndLines(plan);
            string[] ids = [.. asked.Texts.SelectMany(t => t.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)).Distinct()];
            string? unknown = ids.FirstOrDefault(i => i != "all" && !Array.Exists(all, g => g.Id == i));
            return unknown is not null
                ? throw new UsageException($"{asked.Where} {unknown} is not in {plan.File}: it has {string.Join(", ", all.Take(12).Select(g => g.Id))}{(all.Length > 12 ? " and more" : "")}.")
                : ids.Contains("all") ? LinesOf(plan) : [.. all.Where(g => ids.Contains(g.Id))];
        }

        if (every > 0)
        {
            return EveryLine(plan, every, notes);
        }

        string[] first = [.. plan.Guides.Where(g => g.IsKeyline || g.IsPinned).Select(g => g.Id)];
        if (first.Length == 0 && all.Length > FewGuides)
        {
            string[] longest = [.. all.OrderByDescending(g => g.Line.Length).ThenBy(g => g.Id, StringComparer.Ordinal).Take(Proposed).Select(g => g.Id)];
            throw new UsageException($"{plan.File} has {all.Length} {(plan.Guides.Count > 0 ? "guides, none of them through a keypoint or pinned" : "lines and no guides")}: name the few to set out, as in {OptionSpec.Guide.Flag} {string.Join(",", longest)} (the longest), or give {OptionSpec.Guide.Flag} all.");
        }

        if (first.Length == 0 || first.Length == all.Length)
        {
            return all;
        }

        notes.Add($"Of {all.Length} guides those through keypoints and pinned ones are set out ({string.Join(", ", first)}); choose others with {OptionSpec.Guide.Flag}.");
        return [.. all.Where(g => first.Contains(g.Id))];
    }

    /// <summary>Guides first, then every line by its name: those of the even pattern follow no guide.</summary>
    public static (string Id, LineString Line)[] GuidesAndLines(WrittenPlan plan)
    {
        (string Id, LineString Line)[] guides = LinesOf(plan);
        HashSet<string> taken = [.. guides.Select(g => g.Id)];
        return [.. guides, .. plan.Lines.Where(l => taken.Add(l.Id)).Select(l => (l.Id, l.Line))];
    }

    // Guides, and of the lines the longest, one after the other, that keep so many spacings from what is chosen already.
    private static (string Id, LineString Line)[] EveryLine(WrittenPlan plan, int every, List<string> notes)
    {
        if (double.IsNaN(plan.Spacing))
        {
            throw new UsageException($"{plan.File} does not say how far apart its lines are, so that {OptionSpec.Every.Flag} cannot be counted: name lines with {OptionSpec.Guide.Flag}.");
        }

        List<(string Id, LineString Line)> chosen = [.. plan.Guides.Where(g => g.IsKeyline || g.IsPinned || plan.Guides.Count <= FewGuides).Select(g => (g.Id, g.Line))];
        int guides = chosen.Count;
        double apart = (every - 0.5) * plan.Spacing;
        foreach (PlannedPath line in plan.Lines.OrderByDescending(l => l.Line.Length).ThenBy(l => l.Sequence))
        {
            Point[] places = [.. ((double[])[0.1, 0.3, 0.5, 0.7, 0.9]).Select(share => line.Line.Factory.CreatePoint(new NetTopologySuite.LinearReferencing.LengthIndexedLine(line.Line).ExtractPoint(share * line.Line.Length)))];
            if (places.Count(p => chosen.TrueForAll(c => !c.Line.IsWithinDistance(p, apart))) > places.Length / 2)
            {
                chosen.Add((line.Id, line.Line));
            }
        }

        notes.Add(string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{Words.Count(guides, "guide")} and {Words.Count(chosen.Count - guides, "line")}, about one in {every}, are set out."));
        return [.. chosen];
    }

    /// <summary>The guides of a plan, or the lines of a file without any, each with a name of its own.</summary>
    /// <exception cref="UsageException">Two have the same name, so that stakes could not be told apart.</exception>
    public static (string Id, LineString Line)[] LinesOf(WrittenPlan plan)
    {
        (string Id, LineString Line)[] all = plan.Guides.Count > 0 ? [.. plan.Guides.Select(g => (g.Id, g.Line))] : [.. plan.Lines.Select(l => (l.Id, l.Line))];
        return all.GroupBy(g => g.Id).FirstOrDefault(g => g.Count() > 1) is { } twice
            ? throw new UsageException($"{plan.File} has {twice.Count()} lines named {twice.Key}, whose stakes could not be told apart: give each an id of its own.")
            : all;
    }

    private static void Write(OutputFolder folder, string name, Action<Stream> write)
    {
        using Stream stream = folder.Create(name);
        write(stream);
    }

    private static void Tell(List<StakedLine> lines, LevelMark? mark, List<string> notes)
    {
        if (mark is not null && lines.Where(l => l.SetUps[0].Mark != mark.Name).Select(l => l.Id).ToArray() is { Length: > 0 } beyond)
        {
            notes.Add(FormattableString.Invariant($"From the {mark.Name} the laser is at {mark.Plane:0.00} m, where the rod cannot be read on the first stake of {string.Join(", ", beyond)}: these start from their own first stake, to which the height has to be carried."));
        }

        Stake[] clear = [.. lines.SelectMany(l => l.Stakes).Where(s => s.KeepClearOf.Length > 0)];
        if (clear.Length > 0)
        {
            notes.Add($"{Words.Count(clear.Length, "stake")} {(clear.Length == 1 ? "lies" : "lie")} where the plan keeps clear of {string.Join(", ", clear.Select(s => s.KeepClearOf).Distinct())}: flag {(clear.Length == 1 ? "it" : "them")} only, and drive nothing into the ground.");
        }

        if (lines.Sum(l => l.Stakes.Count(s => double.IsNaN(s.Place.Z))) is int without && without > 0)
        {
            notes.Add($"{Words.Count(without, "stake")} {(without == 1 ? "has" : "have")} no height, and so no reading: give the elevation with {OptionSpec.Dem.Flag}.");
        }
    }

    private static SetOutSheetContent Sheet(WrittenPlan plan, List<StakedLine> lines, SetOutOptions options, LevelMark? mark, SheetUnit unit) => new()
    {
        Lines = lines,
        ToLonLat = at => plan.Crs.ToLonLat(at.X, at.Y),
        Field = plan.Field,
        OtherLines = [.. plan.Guides.Where(g => lines.All(l => l.Id != g.Id)).Select(g => g.Line)],
        Mark = mark,
        Options = options,
        Unit = unit,
        CoordinateSystem = plan.Crs.EpsgCode is int code ? FormattableString.Invariant($"{plan.Crs.Name} (EPSG:{code})") : plan.Crs.Name,
        DatumNotes = GuidanceNotes.Datum(plan.Crs),
        Cautions = [.. PlanMapOptions.DefaultCautions],
        MadeWith = Product.Name,
    };

    private static SetOutOptions OptionsFrom(Arguments arguments)
    {
        SetOutOptions usual = new();
        SetOutOptions options = new()
        {
            Interval = arguments.Above(OptionSpec.Interval) ?? usual.Interval,
            HeightStep = arguments.Above(OptionSpec.HeightStep) ?? usual.HeightStep,
            BendStep = arguments.Above(OptionSpec.BendStep) ?? usual.BendStep,
            Calming = arguments.AtLeastNothing(OptionSpec.Calm, usual.Calming),
            Rod = arguments.Above(OptionSpec.Rod) ?? usual.Rod,
            Sight = arguments.Above(OptionSpec.Sight) ?? usual.Sight,
        };
        try
        {
            options.Validate();
        }
        catch (ArgumentException e)
        {
            throw new UsageException(e.Message + " Check the options of keyline setout.");
        }

        return options;
    }

    private static LevelMark? MarkFrom(Arguments arguments) => (arguments[OptionSpec.Benchmark], arguments[OptionSpec.BenchReading]) switch
    {
        (null, null) => null,
        ({ } height, { } reading) => new LevelMark("benchmark", Quantity.Length(height.Text, height.Where), Quantity.Length(reading.Text, reading.Where)),
        ({ } height, null) => throw new UsageException($"{height.Where} needs the rod's reading on it as well: give it with {OptionSpec.BenchReading.Flag} {OptionSpec.BenchReading.ValueName}."),
        (_, { } reading) => throw new UsageException($"{reading.Where} needs the benchmark's height as well: give it with {OptionSpec.Benchmark.Flag} {OptionSpec.Benchmark.ValueName}."),
    };
}
