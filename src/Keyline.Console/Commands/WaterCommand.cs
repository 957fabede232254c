using System.Globalization;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Formats;
using Keyline.Layout;
using Keyline.Water;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary><c>keyline water</c>: a storm on the field as it is, with the plan, and with other ways of laying it out.</summary>
internal static class WaterCommand
{
    private const string TextName = "water.txt";
    private const string LinesName = "lines.csv";
    private const string ListName = "water.json";
    private const string YearsName = "years.csv";

    // Ground around the field that water comes from or goes to; what lies farther uphill is not seen.
    private const double Margin = 60;

    public static Command Command { get; } = new("water", "what a storm does before and after the plan", Run)
    {
        About =
        [
            "Runs a storm over the field as it is and with the plan's lines: what soaks in, where between hollow",
            "and spur, what runs off, what each line takes, leads and spills, and where its end would cut.",
            "Writes water.txt, lines.csv, findings.geojson and maps of what soaked in and how deep water stood.",
            "With --storms it runs a storm of each return period of a table.",
            "With --weather it reckons years of days too: what is kept, how it fades, forage, and whether that",
            "pays for the work (years.csv).",
            "Ends with exit code 3 where water in a line runs faster than fresh soil stands.",
        ],
        Examples =
        [
            "keyline water plan --dem dem.tif --storm \"40 mm in 1 h\" --soil clay-loam --out water",
            "keyline water plan --dem dem.tif --storm rain.csv --soil \"3 mm/h\" --compare --out water",
            "keyline water plan --dem dem.tif --storms rain-table.csv --soil soils.geojson --out water",
            "keyline water plan --dem dem.tif --storm \"40 mm in 1 h\" --soil loam --weather d.csv --out water",
        ],
        Options =
        [
            OptionSpec.Dem, .. WaterRequest.All, .. YearRequest.All,
            OptionSpec.Compare with { Help = "run the storm on the usual ways to lay the field out too" },
            .. WaterPlaces.All,
            OptionSpec.Crs, .. OptionSpec.GroundOptions,
            OptionSpec.Out, OptionSpec.Overwrite with { Help = "replace an earlier result in the folder, once the new one is whole" },
            OptionSpec.Threads, OptionSpec.UnitsOf with { Help = "units of the text and the pictures of the maps: metric (default) or us (feet, acres, gallons); tables, files and JSON stay metric" }, OptionSpec.Language with { Help = "language of the pictures of the maps: en (default) or es" }, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Operand = "PLAN",
        Note = $"Lengths carry their unit ({Quantity.Units}).",
    };

    private static IReadOnlyCollection<string> Names { get; } = [TextName, LinesName, ListName, .. WaterMaps.Names, YearsName, WaterFaults.FileName];

    private static int Run(Arguments arguments, RunContext context)
    {
        PageVoice voice = PageVoice.From(arguments);
        string planPath = PlanPath.From(arguments, "water");
        GroundRequest request = GroundRequest.From(arguments, "water");
        WaterRequest water = WaterRequest.From(arguments);
        bool years = YearRequest.IsAskedFor(arguments);
        ForageWorth forage = YearRequest.Worth(arguments);
        double cost = YearRequest.CostOf(arguments);
        _ = water.Soil.IsMapped ? default : YearRequest.Options(arguments, water);
        using OutputFolder folder = OutputFolder.Begin(arguments.Need(OptionSpec.Out, "water", "The folder to write").Text, arguments.Has(OptionSpec.Overwrite), Names);
        WaterView view;
        using (ProgressLine progress = new(context, arguments.Has(OptionSpec.Quiet)))
        {
            ElevationSource source = request.Read(FieldFiles.Window(planPath), progress, context.Stop);
            WrittenPlan plan = PlanReader.Read(planPath, source.Crs);
            FieldArea field = plan.Field ?? throw new GroundDataException($"{plan.File}: it has no field outline, so what leaves the field cannot be told: give a plan of keyline plan.");
            double spacing = plan.Spacing > 0 ? plan.Spacing : 3.048;
            Coordinate middle = field.Boundary.Centroid.Coordinate;
            DailyWeather? weather = years ? SeasonRequest.ReadWeather(arguments, "water", plan.Crs.ToLonLat(middle.X, middle.Y).Latitude) : null;
            water.Soil.Place(source.Crs, field.Boundary, water.Storm);
            SoilColumn soil = water.Soil.For(water.Storm);
            List<WatchedPlace> places = WaterPlaces.Read(arguments, source.Crs, field.Outlets);
            WaterCovers covers = WaterCovers.From(arguments, plan, field, places);
            water = water with { Options = water.Options with { Outlets = covers.Outlets, OutletReach = 2 * spacing } };
            GroundReading reading = GroundReading.Around(source.Grid, field.Boundary, spacing, null, progress, context.Stop);
            ElevationGrid ground = GridWindow.Crop(source.Grid, WaterPlaces.Ground(field.Boundary.EnvelopeInternal, Margin, places))
                ?? throw new GroundDataException("The plan does not lie on the ground given: check that both are of the same place and in the same coordinate system.");
            LandFifths fifths = LandFifths.Of(ground, field.Boundary, reading.Landform.Position);
            WaterGauge[] gauges = [new WaterGauge("field", field.Boundary), .. places.Select(p => new WaterGauge(p.Name, p.Shape))];
            WaterLine[] lines = [.. plan.Lines.Select(l => new WaterLine(l.Id, l.Line))];
            List<WaterCase> cases = [Ran("as it is", [], water.Storm), Ran("with the plan", lines, water.Storm)];
            if (arguments.Has(OptionSpec.Compare))
            {
                FieldSurvey survey = FieldSurvey.Prepare(reading, field, new LayoutOptions { Spacing = spacing }, progress, context.Stop);
                foreach (PatternLayout pattern in LayoutComparison.Run(survey, progress, context.Stop))
                {
                    cases.Add(Ran(Name(pattern.Pattern), [.. pattern.Layout.Lines.Select(l => new WaterLine(l.Id, l.Line))], water.Storm));
                }
            }

            (WaterCase before, WaterCase after) = (cases[0], cases[1]);
            StormRow[] design = [.. water.Design.Select((d, k) => k == water.Drawn ? Row(d.Years, before, after) : Row(d.Years, Ran("as it is", [], d.Storm), Ran("with the plan", lines, d.Storm)))];
            List<string> said = [];
            WaterFaults faults = new(WaterFindings.Of(lines, after.Result, water.Options.Rip, water.Soil.Stands.Speed, water.Soil.Stands.Shear), places);
            said.AddRange(faults.Said());
            double excess = Math.Max(water.Storm.MostIn(Math.Min(1800, water.Storm.Duration)) / Math.Min(1800, water.Storm.Duration) - soil.Conductivity, 0);
            said.Add(string.Create(CultureInfo.InvariantCulture, $"With the {excess * 3.6e6:0} mm/h that the busiest half hour leaves over, lines {spacing:0.0} m apart may fall one way for {Longest(0.005)} at 0.5 %, {Longest(0.01)} at 1 % and {Longest(0.02)} at 2 % ({water.Soil.Stands.Speed:0.###} m/s and {water.Soil.Stands.Shear:0.#} Pa on fresh soil; Manning)."));
            said.AddRange(places.Select((p, k) => WaterPlaces.Said(p, before.Result.Gauges[k + 1], after.Result.Gauges[k + 1])).OfType<string>());
            said.AddRange(WaterCovers.Reached(before.Result, after.Result));
            said.AddRange(covers.Said);
            said.AddRange(UnknownGround.In(ground, field.Boundary) is { } unknown ? [Holes(unknown, source.Crs)] : []);
            said.AddRange(water.Soil.Said is { } soils ? [soils] : []);
            said.AddRange(WhenNot.Reasons(soil, water.Options.Rip, before.RanOff(covers.Dams), after.Kept - before.Kept, water.Soil.Traits.Of(field.Boundary.Area, water.Options.Rip)));
            RasterFolder rasters = new(folder, RasterOrigin.Of(source) with { Frame = ground.Frame }, progress, context.Stop);
            new WaterMaps(rasters, before, after, water.Storm)
            {
                Voice = voice,
                FieldName = field.Name,
                SoilName = water.Soil.Said is null ? soil.Name : "by polygons, most of it " + soil.Name,
                Field = field.Boundary,
                Ground = reading.Smoothed,
                Lines = lines,
                Places = places,
                Marks = [.. faults.All.Where(f => f.BreaksLimit).Select(f => new Coordinate(f.X, f.Y))],
                TrueNorth = -source.Crs.ConvergenceAt(middle),
            }.Write(context.Stop);
            (YearOptions options, string? assumed) = YearRequest.Options(arguments, water);
            (YearWorth? worth, string[] notes) = weather is null ? (null, []) : YearsOf(weather, options with { Spacing = spacing }, water, (before.RanOff(covers.Dams), after.Kept - before.Kept), assumed, forage, cost, context.Stop);
            string[] written = [.. Names.Where(n => n != YearsName || worth is not null)];
            view = new WaterView(water.Storm, soil, water.Options, cases, said, faults.Lines > 0 ? ExitCode.LimitNotKept : ExitCode.Done)
            {
                Written = new OutputFiles(folder, written),
                Years = worth,
                YearNotes = notes,
                Places = places,
                Design = design,
                Ages = [.. water.OtherAges.Select(a => (a.Name, Ran(a.Name, lines, water.Storm, a.Rip).Kept - before.Kept))],
            };
            rasters.WriteShapes(TextName, "the storm in words and figures", cases.Count, stream => Text(stream, text => view.WriteTables(UnitText.Metric(text))));
            rasters.WriteShapes(LinesName, "what each line took, led and spilled", after.Result.Lines.Count, stream => Text(stream, text => WaterText.WriteLines(text, after.Result.Lines)));
            rasters.WriteShapes(WaterFaults.FileName, "where water would cut or a line spills, and what would help", faults.All.Count, stream => faults.Write(stream, source.Crs, rasters.Provenance, context.Stop));
            if (worth is not null)
            {
                rasters.WriteShapes(YearsName, "water of each year", worth.Account.Years.Count, stream => Text(stream, text => YearText.WriteYears(text, worth.Account)));
            }

            rasters.Finish(ListName, view);

            string Longest(double grade) => SafeLine.Longest(grade, spacing, excess, water.Soil.Stands.Speed, water.Soil.Stands.Shear, water.Options.Rip.FurrowSide, water.Options.Rip.Roughness) is double m && double.IsFinite(m) ? string.Create(CultureInfo.InvariantCulture, $"{m:0} m") : "any length";

            WaterCase Ran(string name, IReadOnlyList<WaterLine> given, Hyetograph storm, Rip? rip = null)
            {
                StormResult result = StormRun.Run(ground, covers.On(water.Soil.On(ground.Frame, storm), ground.Frame), storm, given, gauges, rip is null ? water.Options : water.Options with { Rip = rip }, progress, context.Stop);
                return new WaterCase(name, given.Sum(l => l.Line.Length) / 1000, result, fifths.Mean(result.TakenIn), fifths.Means(result.TakenIn));
            }
        }

        context.Stop.ThrowIfCancellationRequested();
        folder.Commit(context);
        Screen.Show(view, arguments, context);
        return view.ExitCode;
    }

    private static StormRow Row(double years, WaterCase before, WaterCase after) =>
        new(years, before.Result.Storm, before.Runoff, after.Runoff, before.Result.Gauges[0].PeakOutflow, after.Result.Gauges[0].PeakOutflow, after.Kept - before.Kept);

    // The storm that was run on the land itself sets what share of the lines works.
    private static (YearWorth Worth, string[] Notes) YearsOf(DailyWeather weather, YearOptions options, WaterRequest water, (double Runoff, double Gain) storm, string? assumed, ForageWorth forage, double cost, CancellationToken stop)
    {
        (double works, double field) = RipStore.Calibrate(water.Options.Rip, options.Soil, options.Spacing, water.Storm, options.SurfaceStorage, Math.Max(storm.Runoff, 0), Math.Max(storm.Gain, 0));
        YearWorth worth = YearWorth.Of(YearAccount.Of(weather, options with { Works = works, FieldRunoff = field }, stop), forage, cost);
        string set = string.Create(CultureInfo.InvariantCulture, $"Set by the storm above: {100 * field:0} % of what runs off a place leaves the field, {100 * works:0} % of the lines' length works{(works >= 1 - 1e-6 ? " (the land kept as much as a place does or more, so the years may be reckoned low; a storm that fills the lines tells more)" : "")}. Other storms follow the place, not the land: one run on the land is a thin ground for years.");
        return (worth, [set, .. assumed is null ? (string[])[] : [assumed], .. weather.Said]);
    }

    private static string Holes(UnknownGround unknown, GroundCrs crs)
    {
        (double longitude, double latitude) = crs.ToLonLat(unknown.X, unknown.Y);
        return string.Create(CultureInfo.InvariantCulture, $"The height of {unknown.Cells} {(unknown.Cells == 1 ? "cell" : "cells")} in the field is not known ({unknown.Area:0} m2, holes: {unknown.Holes}); the greatest hole, {unknown.GreatestArea:0} m2, lies at {latitude:0.00000}, {longitude:0.00000}. Such ground counts as outside: no rain falls on it, and water that the land leads to it is gone.");
    }

    private static string Name(LayoutPattern pattern) => pattern switch
    {
        LayoutPattern.Straight => "straight",
        LayoutPattern.OneKeyline => "one keyline",
        LayoutPattern.ValleysAndRidges => "guide a valley and a ridge",
        LayoutPattern.RowGradeContours => "row-grade contours",
        LayoutPattern.ChosenGuides => "chosen guides",
        _ => "even lines",
    };

    private static void Text(Stream stream, Action<TextWriter> write)
    {
        using StreamWriter text = new(stream, leaveOpen: true) { NewLine = "\n" };
        write(text);
    }
}
