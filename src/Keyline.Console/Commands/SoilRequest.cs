using System.Globalization;
using Keyline.Console.Cli;
using Keyline.Field;
using Keyline.Fieldwork;
using Keyline.Formats;

namespace Keyline.Console.Commands;

/// <summary>What keyline soil is to read and decide by, from its options.</summary>
internal sealed record SoilRequest
{
    public static readonly OptionSpec Sites = new("--sites", ValueKind.Path, "FILE", "soil and site polygons: GeoJSON, or what GDAL reads, with attributes as pan_depth_cm, drainage, esp_pct");
    public static readonly OptionSpec Points = new("--points", ValueKind.Path, "FILE", "readings at points: CSV or GeoJSON; may be given several times") { Many = true };
    public static readonly OptionSpec Names = new("--names", ValueKind.Word, "NAMES", "whose names the attributes have: ssurgo, hwsd, or a JSON file of your own");
    public static readonly OptionSpec RulesFile = new("--rules", ValueKind.Path, "FILE", "bounds of your own: JSON with any of the names that soil.txt prints");
    public static readonly OptionSpec Purpose = new("--purpose", ValueKind.Word, "PURPOSE", "what the ripping is for: water (default) or roots");
    public static readonly OptionSpec Split = new("--split", ValueKind.Word, "READINGS", "readings whose map parts the land besides the sites, several with commas, as pan_bottom_cm,eca_ms_m");
    public static readonly OptionSpec Breaks = new("--breaks", ValueKind.Word, "NUMBERS", "bounds of the classes of --split, as 30,45 (default: classes by likeness)");
    public static readonly OptionSpec Classes = new("--classes", ValueKind.Number, "NUMBER", "classes by likeness (default 3)");
    public static readonly OptionSpec LeastPiece = new("--least-piece", ValueKind.Area, "AREA", "pieces of a map below this join another (default 0.1 ha)");
    public static readonly OptionSpec MapCell = new("--map-cell", ValueKind.Length, "LENGTH", "cells of the maps (default: from 1 m on, for some 250,000 cells)");
    public static readonly OptionSpec LeastPoints = new("--least-points", ValueKind.Number, "NUMBER", "places below which no map is made (default 30)");
    public static readonly OptionSpec Neighbours = new("--neighbours", ValueKind.Number, "NUMBER", "nearest places that have a say in a map (default 24)");
    public static readonly OptionSpec Trend = new("--trend", ValueKind.Word, "TREND", "how the mean changes over the land: none (default), plane or curved");
    public static readonly OptionSpec Block = new("--block", ValueKind.Length, "LENGTH", "maps of means over squares of this side, surer than of places (default: of places)");
    public static readonly OptionSpec Cores = new("--cores", ValueKind.Number, "NUMBER", "places to core, chosen from the conductivity survey (default 10; 8 to 12 are usual)");
    public static readonly OptionSpec DropOutliers = new("--drop-outliers", ValueKind.Switch, "", "leave readings out of the maps that do not fit those around them");
    public static readonly OptionSpec State = new("--state", ValueKind.Word, "STATE", "two letters of the state of the USA, for the depth that asks for notice of buried lines");
    public static readonly OptionSpec NoticeDepth = new("--notice-depth", ValueKind.Length, "LENGTH", "that depth, where you know it better");

    private const double MostCells = 250_000;

    public static IReadOnlyList<OptionSpec> All { get; } = [Sites, Points, OptionSpec.Field, Names, RulesFile, Purpose, OptionSpec.Machine, Split, Breaks, Classes, LeastPiece, MapCell, LeastPoints, Neighbours, Trend, Block, Cores, DropOutliers, State, NoticeDepth];

    public string? SitesPath { get; private init; }

    public IReadOnlyList<string> PointPaths { get; private init; } = [];

    public string? FieldPath { get; private init; }

    public SiteFields Fields { get; private init; } = SiteFields.Plain;

    public RipRules Rules { get; private init; } = new();

    public Machine? Machine { get; private init; }

    public IReadOnlyList<string> SplitBy { get; private init; } = [];

    public IReadOnlyList<double> Bounds { get; private init; } = [];

    public int ClassCount { get; private init; }

    public double LeastArea { get; private init; }

    public double? Cell { get; private init; }

    public PointMapOptions Map { get; private init; } = new();

    public int CoreCount { get; private init; }

    public bool DropsOutliers { get; private init; }

    public string StateName { get; private init; } = "";

    public double AskedNotice { get; private init; } = double.NaN;

    public GroundCrs? Crs { get; private init; }

    public static SoilRequest From(Arguments arguments)
    {
        string? sites = arguments.File(Sites, "file of sites"), field = arguments.File(OptionSpec.Field, "field file");
        string[] points = arguments.Has(Points) ? arguments.NeedFiles(Points, "soil", "The readings", "file of readings") : [];
        if (sites is null && (field is null || points.Length == 0))
        {
            throw new UsageException($"There is no soil to judge: give polygons with {Sites.Flag} {Sites.ValueName}, or a field with {OptionSpec.Field.Flag} and readings with {Points.Flag} (keyline soil --help shows an example).");
        }

        RipRules rules = arguments.File(RulesFile, "file of rules") is { } file ? RipRulesFile.Parse(File.ReadAllText(file), Path.GetFileName(file)) : new RipRules();
        string[] split = arguments[Split] is { } s ? s.Text.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries) : [];
        double[] bounds = arguments[Breaks] is { } b ? [.. b.Text.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries).Select(t => Quantity.Number(t, b.Where, "30,45"))] : [];
        if (bounds.Length > 0 && (split.Length != 1 || bounds.Zip(bounds.Skip(1)).Any(p => p.First >= p.Second)))
        {
            throw new UsageException($"{arguments[Breaks]!.Where} \"{arguments[Breaks]!.Text.Trim()}\" bounds one map and must rise: name the reading with {Split.Flag}, as {Split.Flag} pan_bottom_cm {Breaks.Flag} 30,45.");
        }

        string state = arguments[State]?.Text.Trim() ?? "";
        return state.Length is not (0 or 2) ? throw new UsageException($"{arguments[State]!.Where} is \"{state}\": write the two letters of the state, as OK.") : new SoilRequest
        {
            SitesPath = sites,
            PointPaths = points,
            FieldPath = field,
            Fields = ReadNames(arguments),
            Rules = arguments.Has(Purpose) ? rules with { Purpose = arguments.Word(Purpose, "water", "roots") == "roots" ? RipPurpose.Roots : RipPurpose.Water } : rules,
            Machine = MachineOption.Read(arguments),
            SplitBy = split,
            Bounds = bounds,
            ClassCount = arguments.Whole(Classes, 2, 12) ?? 3,
            LeastArea = arguments.AtLeastNothing(LeastPiece, SoilZones.DefaultLeastArea),
            Cell = arguments.Above(MapCell),
            Map = new PointMapOptions
            {
                LeastPoints = arguments.Whole(LeastPoints, 4, 1_000_000) ?? PointMapOptions.DefaultLeastPoints,
                Kriging = new KrigingOptions
                {
                    Neighbours = arguments.Whole(Neighbours, 1, 500) ?? KrigingOptions.DefaultNeighbours,
                    Block = arguments.AtLeastNothing(Block, 0),
                    Trend = arguments.Word(Trend, "none", "plane", "curved") switch { "plane" => KrigingTrend.Plane, "curved" => KrigingTrend.Curved, _ => KrigingTrend.None },
                },
            },
            CoreCount = arguments.Whole(Cores, 3, 100) ?? CoreDesign.DefaultCores,
            DropsOutliers = arguments.Has(DropOutliers),
            StateName = state,
            AskedNotice = arguments.Above(NoticeDepth) ?? double.NaN,
            Crs = arguments[OptionSpec.Crs] is { } crs ? GroundCrs.FromEpsg(Quantity.EpsgCode(crs.Text, crs.Where)) : null,
        };
    }

    /// <summary>The frame of the maps over a field.</summary>
    public Elevation.GridFrame Frame(NetTopologySuite.Geometries.Envelope land)
    {
        double cell = Cell ?? new[] { 1.0, 2, 5, 10, 20, 50, 100 }.FirstOrDefault(c => land.Width / c * (land.Height / c) <= MostCells, 200);
        double west = Math.Floor(land.MinX / cell) * cell, north = Math.Ceiling(land.MaxY / cell) * cell;
        double columns = Math.Ceiling((land.MaxX - west) / cell), rows = Math.Ceiling((north - land.MinY) / cell);
        return rows * columns <= 50e6 ? new Elevation.GridFrame(Math.Max((int)rows, 1), Math.Max((int)columns, 1), cell, west, north)
            : throw new UsageException(string.Create(CultureInfo.InvariantCulture, $"{MapCell.Flag} of {cell:0.###} m would make {rows * columns:0} cells: give larger ones."));
    }

    private static SiteFields ReadNames(Arguments arguments) => arguments[Names] is not { } names ? SiteFields.Plain
        : SiteFields.Ready(names.Text) ?? (File.Exists(names.Text) ? SiteFields.Parse(File.ReadAllText(names.Text), Path.GetFileName(names.Text))
            : throw new UsageException($"{names.Where} {names.Text.Trim()} is neither a file nor a survey whose names are known: write {string.Join(" or ", SiteFields.ReadyNames)}, or give a JSON file."));
}
