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
    private const int MostFindings = 10;

    public static Command Command { get; } = new("water", "what a storm does before and after the plan", Run)
    {
        About =
        [
            "Runs a storm over the field as it is and with the plan's lines: what soaks in, where between hollow",
            "and spur, what runs off, what each line takes, leads and spills, and where its end would cut.",
            "Writes water.txt, lines.csv and maps of what soaked in and how deep water stood.",
            "With --weather it reckons years of days too: what is kept, how it fades, forage, and whether that",
            "pays for the work (years.csv).",
            "Ends with exit code 3 where a line's end runs faster than fresh soil stands.",
        ],
        Examples =
        [
            "keyline water plan --dem dem.tif --storm \"40 mm in 1 h\" --soil clay-loam --out water",
            "keyline water plan --dem dem.tif --storm rain.csv --soil \"3 mm/h\" --compare --out water",
            "keyline water plan --dem dem.tif --storm \"40 mm in 1 h\" --soil loam --weather d.csv --out water",
        ],
        Options =
        [
            OptionSpec.Dem, .. WaterRequest.All, .. YearRequest.All,
            OptionSpec.Compare with { Help = "run the storm on the usual ways to lay the field out too" },
            OptionSpec.StableOutlets with { Help = "outlets whose inflow is counted: GeoJSON of any shapes" },
            OptionSpec.Crs, .. OptionSpec.GroundOptions,
            OptionSpec.Out, OptionSpec.Overwrite with { Help = "replace an earlier result in the folder, once the new one is whole" },
            OptionSpec.Threads, OptionSpec.UnitsOnScreen, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Operand = "PLAN",
        Note = $"Lengths carry their unit ({Quantity.Units}).",
    };

    private static IReadOnlyCollection<string> Names { get; } = [TextName, LinesName, ListName, "taken-before.tif", "taken-after.tif", "gain.tif", "deepest-before.tif", "deepest-after.tif", YearsName];

    private static int Run(Arguments arguments, RunContext context)
    {
        string planPath = PlanPath.From(arguments, "water");
        GroundRequest request = GroundRequest.From(arguments, "water");
        WaterRequest water = WaterRequest.From(arguments);
        bool years = YearRequest.IsAskedFor(arguments);
        ForageWorth forage = YearRequest.Worth(arguments);
        double cost = YearRequest.CostOf(arguments);
        (YearOptions options, string? assumed) = YearRequest.Options(arguments, water);
        string? outlets = arguments.File(OptionSpec.StableOutlets, "file of outlets");
        using OutputFolder folder = OutputFolder.Begin(arguments.Need(OptionSpec.Out, "water", "The folder to write").Text, arguments.Has(OptionSpec.Overwrite), Names);
        List<WaterCase> cases = [];
        List<string> said = [];
        WaterView view;
        using (ProgressLine progress = new(context, arguments.Has(OptionSpec.Quiet)))
        {
            ElevationSource source = request.Read(FieldFiles.Window(planPath), progress, context.Stop);
            WrittenPlan plan = PlanReader.Read(planPath, source.Crs);
            FieldArea field = plan.Field ?? throw new GroundDataException($"{plan.File}: it has no field outline, so what leaves the field cannot be told: give a plan of keyline plan.");
            double spacing = plan.Spacing > 0 ? plan.Spacing : 3.048;
            Coordinate middle = field.Boundary.Centroid.Coordinate;
            DailyWeather? weather = years ? SeasonRequest.ReadWeather(arguments, "water", plan.Crs.ToLonLat(middle.X, middle.Y).Latitude) : null;
            GroundReading reading = GroundReading.Around(source.Grid, field.Boundary, spacing, null, progress, context.Stop);
            ElevationGrid ground = Around(source.Grid, field.Boundary.EnvelopeInternal);
            LandFifths fifths = LandFifths.Of(ground, field.Boundary, reading.Landform.Position);
            SoilMap soils = SoilMap.Uniform(water.Soil);
            List<WaterGauge> gauges = [new WaterGauge("field", field.Boundary)];
            if (outlets is not null)
            {
                Geometry shapes = FieldFiles.ReadShapes(outlets, source.Crs);
                gauges.AddRange(Enumerable.Range(0, shapes.NumGeometries).Select(k => new WaterGauge(string.Create(CultureInfo.InvariantCulture, $"outlet {k + 1}"), shapes.GetGeometryN(k))));
            }

            Add("as it is", []);
            Add("with the plan", [.. plan.Lines.Select(l => new WaterLine(l.Id, l.Line))]);
            if (arguments.Has(OptionSpec.Compare))
            {
                FieldSurvey survey = FieldSurvey.Prepare(reading, field, new LayoutOptions { Spacing = spacing }, progress, context.Stop);
                foreach (PatternLayout pattern in LayoutComparison.Run(survey, progress, context.Stop))
                {
                    Add(Name(pattern.Pattern), [.. pattern.Layout.Lines.Select(l => new WaterLine(l.Id, l.Line))]);
                }
            }

            WaterCase after = cases[1];
            int findings = Findings(after.Result.Lines, said);
            double excess = Math.Max(water.Storm.MostIn(Math.Min(1800, water.Storm.Duration)) / Math.Min(1800, water.Storm.Duration) - water.Soil.Conductivity, 0);
            said.Add(string.Create(CultureInfo.InvariantCulture, $"With the {excess * 3.6e6:0} mm/h that the busiest half hour leaves over, lines {spacing:0.0} m apart may fall one way for {Longest(0.005)} at 0.5 %, {Longest(0.01)} at 1 % and {Longest(0.02)} at 2 % (0.3 m/s and 2.3 Pa on fresh soil; Manning)."));
            said.AddRange(WhenNot.Reasons(water.Soil, water.Options.Rip, cases[0].Runoff, after.Kept - cases[0].Kept));
            RasterFolder rasters = new(folder, RasterOrigin.Of(source) with { Frame = ground.Frame }, progress, context.Stop);
            rasters.Write("taken-before.tif", "water taken in without lines", "m", cases[0].Result.TakenIn);
            rasters.Write("taken-after.tif", "water taken in with the plan", "m", after.Result.TakenIn);
            rasters.Write("gain.tif", "water taken in with the plan less without", "m", Difference(after.Result.TakenIn, cases[0].Result.TakenIn));
            rasters.Write("deepest-before.tif", "deepest standing water without lines", "m", cases[0].Result.GreatestDepth);
            rasters.Write("deepest-after.tif", "deepest standing water with the plan", "m", after.Result.GreatestDepth);
            (YearWorth? worth, string[] notes) = weather is null ? (null, []) : YearsOf(weather, options with { Spacing = spacing }, water, cases, assumed, forage, cost, context.Stop);
            string[] written = [.. Names.Where(n => n != YearsName || worth is not null)];
            view = new WaterView(water.Storm, water.Soil, water.Options, cases, said, findings > 0 ? ExitCode.LimitNotKept : ExitCode.Done) { Written = new OutputFiles(folder, written), Years = worth, YearNotes = notes };
            rasters.WriteShapes(TextName, "the storm in words and figures", cases.Count, stream => Text(stream, text => view.WriteTables(UnitText.Metric(text))));
            rasters.WriteShapes(LinesName, "what each line took, led and spilled", after.Result.Lines.Count, stream => Text(stream, text => WaterText.WriteLines(text, after.Result.Lines)));
            if (worth is not null)
            {
                rasters.WriteShapes(YearsName, "water of each year", worth.Account.Years.Count, stream => Text(stream, text => YearText.WriteYears(text, worth.Account)));
            }

            rasters.Finish(ListName, view);

            string Longest(double grade) => SafeLine.Longest(grade, spacing, excess, side: water.Options.Rip.FurrowSide, roughness: water.Options.Rip.Roughness) is double m && double.IsFinite(m) ? string.Create(CultureInfo.InvariantCulture, $"{m:0} m") : "any length";

            void Add(string name, IReadOnlyList<WaterLine> lines)
            {
                StormResult result = StormRun.Run(ground, soils, water.Storm, lines, gauges, water.Options, progress, context.Stop);
                cases.Add(new WaterCase(name, lines.Sum(l => l.Line.Length) / 1000, result, fifths.Mean(result.TakenIn), fifths.Means(result.TakenIn)));
            }
        }

        context.Stop.ThrowIfCancellationRequested();
        folder.Commit(context);
        Screen.Show(view, arguments, context);
        return view.ExitCode;
    }

    // The storm that was run on the land itself sets what share of the lines works.
    private static (YearWorth Worth, string[] Notes) YearsOf(DailyWeather weather, YearOptions options, WaterRequest water, List<WaterCase> cases, string? assumed, ForageWorth forage, double cost, CancellationToken stop)
    {
        double gain = Math.Max(cases[1].Kept - cases[0].Kept, 0);
        (double works, double field) = RipStore.Calibrate(water.Options.Rip, water.Soil, options.Spacing, water.Storm, options.SurfaceStorage, Math.Max(cases[0].Runoff, 0), gain);
        YearWorth worth = YearWorth.Of(YearAccount.Of(weather, options with { Works = works, FieldRunoff = field }, stop), forage, cost);
        string set = string.Create(CultureInfo.InvariantCulture, $"Set by the storm above: {100 * field:0} % of what runs off a place leaves the field, {100 * works:0} % of the lines' length works{(works >= 1 - 1e-6 ? " (the land kept as much as a place does or more, so the years may be reckoned low; a storm that fills the lines tells more)" : "")}. Other storms follow the place, not the land: one run on the land is a thin ground for years.");
        return (worth, [set, .. assumed is null ? (string[])[] : [assumed], .. weather.Said]);
    }

    private static int Findings(IReadOnlyList<LineWater> lines, List<string> said)
    {
        LineWater[] fast = [.. lines.Where(l => l.EndSpeed > SafeLine.FreshSoilSpeed || l.EndShear > SafeLine.FreshSoilShear).OrderByDescending(l => l.EndShear)];
        foreach (LineWater l in fast.Take(MostFindings))
        {
            said.Add(string.Create(CultureInfo.InvariantCulture, $"Line {l.Id} lets {1000 * l.EndFlow:0.0} L/s go at its end at {l.EndSpeed:0.00} m/s and {l.EndShear:0.0} Pa, more than fresh soil stands ({SafeLine.FreshSoilSpeed} m/s, {SafeLine.FreshSoilShear} Pa): less fall, break the line, or lead it to a stable outlet."));
        }

        if (fast.Length > MostFindings)
        {
            said.Add(string.Create(CultureInfo.InvariantCulture, $"So do {fast.Length - MostFindings} more lines: see end_speed_m_s and end_shear_pa in {LinesName}."));
        }

        return fast.Length;
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

    private static ElevationGrid Around(ElevationGrid grid, Envelope field)
    {
        GridFrame f = grid.Frame;
        int top = Math.Max(0, (int)Math.Floor(f.RowAt(field.MaxY + Margin)));
        int bottom = Math.Min(f.Rows - 1, (int)Math.Ceiling(f.RowAt(field.MinY - Margin)));
        int left = Math.Max(0, (int)Math.Floor(f.ColumnAt(field.MinX - Margin)));
        int right = Math.Min(f.Columns - 1, (int)Math.Ceiling(f.ColumnAt(field.MaxX + Margin)));
        if (top > bottom || left > right)
        {
            throw new GroundDataException("The plan does not lie on the ground given: check that both are of the same place and in the same coordinate system.");
        }

        GridFrame frame = new(bottom - top + 1, right - left + 1, f.CellSize, f.West + (left * f.CellSize), f.North - (top * f.CellSize));
        float[] heights = new float[frame.CellCount];
        for (int r = 0; r < frame.Rows; r++)
        {
            grid.Row(top + r).Slice(left, frame.Columns).CopyTo(heights.AsSpan(r * frame.Columns));
        }

        return ElevationGrid.TakeOver(frame, heights);
    }

    private static Grid<float> Difference(Grid<float> a, Grid<float> b)
    {
        float[] difference = new float[a.Values.Length];
        for (int i = 0; i < difference.Length; i++)
        {
            difference[i] = a.Values[i] - b.Values[i];
        }

        return Grid.Copy<float>(a.Frame, difference);
    }

    private static void Text(Stream stream, Action<TextWriter> write)
    {
        using StreamWriter text = new(stream, leaveOpen: true) { NewLine = "\n" };
        write(text);
    }
}
