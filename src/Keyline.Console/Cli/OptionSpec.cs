namespace Keyline.Console.Cli;

/// <summary>What an option's value is.</summary>
internal enum ValueKind
{
    /// <summary>No value: given or not.</summary>
    Switch,

    /// <summary>A file or folder.</summary>
    Path,

    /// <summary>A length with its unit.</summary>
    Length,

    /// <summary>An area with its unit.</summary>
    Area,

    /// <summary>A size of memory with its unit.</summary>
    Bytes,

    /// <summary>A percentage.</summary>
    Percent,

    /// <summary>An EPSG code.</summary>
    Code,

    /// <summary>One of a few words.</summary>
    Word,

    /// <summary>A plain number.</summary>
    Number,
}

/// <summary>One option of a command: the one place that its flag, its key in a job file and its help come from.</summary>
/// <param name="Flag">As typed, with its dashes.</param>
/// <param name="Kind">What its value is.</param>
/// <param name="ValueName">Its value in the help.</param>
/// <param name="Help">One line of help.</param>
/// <param name="InJob">Whether a job file may hold it.</param>
internal sealed record OptionSpec(string Flag, ValueKind Kind, string ValueName, string Help, bool InJob = false)
{
    /// <summary>Options are the same when their flag is, whatever their help says in one command or another.</summary>
    public bool Equals(OptionSpec? other) => other is not null && other.Flag == Flag;

    /// <inheritdoc/>
    public override int GetHashCode() => StringComparer.Ordinal.GetHashCode(Flag);

    /// <summary>Whether it may be given several times.</summary>
    public bool Many { get; init; }

    /// <summary>Its key in a job file: the flag with underscores.</summary>
    public string JobKey => Flag.TrimStart('-').Replace('-', '_');

    public static readonly OptionSpec Dem = new("--dem", ValueKind.Path, "FILE", "elevation: a GeoTIFF, an ESRI ASCII grid, a list of x y z on a grid, survey shots (CSV), or a folder of tiles; may be given several times", true) { Many = true };
    public static readonly OptionSpec Field = new("--field", ValueKind.Path, "FILE", "the field: a GeoJSON polygon or multipolygon, or what GDAL reads", true);
    public static readonly OptionSpec Avoid = new("--avoid", ValueKind.Path, "FILE", "what to stay away from: GeoJSON with a setback_m in metres on each feature; may be given several times", true) { Many = true };
    public static readonly OptionSpec Located = new("--located", ValueKind.Path, "FILE", "buried services as surveyed from the marks on the ground: GeoJSON; lines keep out of the zone in which digging is by hand only", true);
    public static readonly OptionSpec HandDig = new("--hand-dig", ValueKind.Word, "WIDTH", "how wide that zone is on either side: a length, or a state by its two letters (default \"24 in\"); the locator's word comes first", true);
    public static readonly OptionSpec Spacing = new("--spacing", ValueKind.Length, "LENGTH", "distance between neighbouring lines, as \"10 ft\" or \"3 m\"", true);
    public static readonly OptionSpec MaxGrade = new("--max-grade", ValueKind.Percent, "PERCENT", "steepest grade along a line (default 2), or a rule: contour-farming, contour-orchard or contour-orchard-bare", true);
    public static readonly OptionSpec Fall = new("--fall", ValueKind.Percent, "PERCENT", "design fall from valley toward ridge (default 0.8; 0 follows the true contour)", true);
    public static readonly OptionSpec MinRadius = new("--min-radius", ValueKind.Length, "LENGTH", "tightest turn along a line (default 8 m; 15 m for an implement with several shanks)", true);
    public static readonly OptionSpec Headland = new("--headland", ValueKind.Length, "LENGTH", "width left unworked inside the boundary (default 6 m), or auto, the default with --machine: what its turns take", true);
    public static readonly OptionSpec MinLength = new("--min-length", ValueKind.Length, "LENGTH", "shorter lines are left out (default 30 m)", true);
    public static readonly OptionSpec MaxSlope = new("--max-slope", ValueKind.Percent, "PERCENT", "steeper land is left out and drawn (default 15)", true);
    public static readonly OptionSpec MinFall = new("--min-fall", ValueKind.Percent, "PERCENT", "lines flatter than this along their whole course are reported (default 0)", true);
    public static readonly OptionSpec SideSlope = new("--side-slope", ValueKind.Number, "DEGREES", "steepest side slope for your tractor; steeper land is left out (default 15)", true);
    public static readonly OptionSpec CriticalLength = new("--critical-length", ValueKind.Length, "LENGTH", "lines that fall one way farther than this without an outlet are reported; auto for what fresh soil stands at the design fall (see --excess)", true);
    public static readonly OptionSpec Excess = new("--excess", ValueKind.Length, "LENGTH", "with --critical-length auto: rain in an hour that the ground does not take in (default 20 mm)", true);
    public static readonly OptionSpec SoilZones = new("--soil-zones", ValueKind.Path, "FILE", "with --critical-length auto: polygons with a texture, as zones.geojson of keyline soil; the most erodible soil of the field sets length and design fall", true);
    public static readonly OptionSpec Pinned = new("--pinned", ValueKind.Path, "FILE", "lines that must be guides, as a surveyed keyline, a fence or a road edge: GeoJSON lines, \"rip\": false on those not to be ripped", true);
    public static readonly OptionSpec StableOutlets = new("--outlets", ValueKind.Path, "FILE", "stable outlets that water may be led to: GeoJSON of any shapes", true);
    public static readonly OptionSpec Gate = new("--gate", ValueKind.Path, "FILE", "where the tractor enters and leaves: a GeoJSON point", true);
    public static readonly OptionSpec Flagged = new("--flagged", ValueKind.Path, "FILE", "keypoints walked to and flagged in the field: GeoJSON points; each is put on the nearest valley line", true);
    public static readonly OptionSpec Shanks = new("--shanks", ValueKind.Number, "NUMBER", "shanks on the implement; with --shank-spacing it sets the spacing of the passes", true);
    public static readonly OptionSpec ShankSpacing = new("--shank-spacing", ValueKind.Length, "LENGTH", "distance between shanks, and so between rips", true);
    public static readonly OptionSpec Ease = new("--ease", ValueKind.Number, "NUMBER", "above 1 for longer lines with fewer ends, below 1 for more drift toward the ridge (default 1)", true);
    public static readonly OptionSpec WishedFall = new("--wished-fall", ValueKind.Percent, "PERCENT", "least fall toward the ridge that even lines are wished to have (default 0.4; 0 asks only that they hold the grade limit)", true);
    public static readonly OptionSpec MostGuides = new("--most-guides", ValueKind.Number, "NUMBER", "parallel pattern: use at most this many guides; those through keypoints and pinned ones stay", true);
    public static readonly OptionSpec LeastMeanLength = new("--least-mean-length", ValueKind.Length, "LENGTH", "give up drift until lines are this long on the mean", true);
    public static readonly OptionSpec Pattern = new("--pattern", ValueKind.Word, "NAME", "even: every line about a spacing from the next, with few ends (the default); parallel: families of exact parallels of guides; straight: one bearing; one-keyline: parallels of the clearest keyline", true);
    public static readonly OptionSpec Bearing = new("--bearing", ValueKind.Number, "DEGREES", "straight pattern: bearing of the lines, clockwise from grid north (default: the one that breaks the grade limit least)", true);
    public static readonly OptionSpec SpacingTolerance = new("--spacing-tolerance", ValueKind.Percent, "PERCENT", "how far even lines may miss the spacing for nine tenths of their length (default 10)", true);
    public static readonly OptionSpec Noise = new("--noise", ValueKind.Length, "LENGTH", "error of the heights (standard deviation) to try the drift against (default: as estimated)", true);
    public static readonly OptionSpec Compare = new("--compare", ValueKind.Switch, "", "lay the field out in the usual ways too and write comparison.txt", true);
    public static readonly OptionSpec PriceList = new("--price-list", ValueKind.Switch, "", "write price-list.txt: plans from the most drift to the fewest guides or lines", true);
    public static readonly OptionSpec Svg = new("--svg", ValueKind.Switch, "", "write plan.svg too: the map as a drawing", true);
    public static readonly OptionSpec GeoPackage = new("--geopackage", ValueKind.Switch, "", "write plan.gpkg too: everything of the plan in one GeoPackage, with contours and findings, and styles/ (SLD) beside it", true);
    public static readonly OptionSpec Pdf = new("--pdf", ValueKind.Switch, "", "write two PDF files too: report.pdf, the report with room to sign, and sheets.pdf, map sheets at true scale with match lines", true);
    public static readonly OptionSpec Scale = new("--scale", ValueKind.Word, "1:N", "scale of the sheets: 1:500, 1:1000, 1:2000, 1:2500 or 1:5000 (default: the largest that needs few sheets)", true);
    public static readonly OptionSpec Paper = new("--paper", ValueKind.Word, "NAME", "paper of the PDF files: a4 (default) or letter", true);
    public static readonly OptionSpec Turn = new("--turn", ValueKind.Word, "WAY", "how sheets lie: landscape or portrait (default: the way that needs fewer)", true);
    public static readonly OptionSpec UnitsOf = new("--units", ValueKind.Word, "SYSTEM", "units of the text, the map and the sheets: metric (default) or us (feet, acres, gallons); files and JSON stay metric", true);
    public static readonly OptionSpec UnitsOnScreen = UnitsOf with { Help = "units of the text on the screen: metric (default) or us (feet, acres, gallons); files and JSON stay metric" };
    public static readonly OptionSpec UnitsOnPages = UnitsOf with { Help = "units of the screen, the pages and the sheets: metric (default) or us (feet, acres, gallons); tables, files and JSON stay metric" };
    public static readonly OptionSpec Language = new("--language", ValueKind.Word, "LANGUAGE", "language of the pages and sheets: en (default) or es", true);
    public static readonly OptionSpec LanguageOfMap = Language with { Help = "language of the map and the sheets: en (default) or es; the report has both" };
    public static readonly OptionSpec Crs = new("--crs", ValueKind.Code, "EPSG:CODE", "coordinate system of the elevation file, where it says none or a wrong one", true);
    public static readonly OptionSpec HeightUnit = new("--height-unit", ValueKind.Word, "UNIT", "unit of the heights, m, ft or ftUS, where the file says none or a wrong one", true);
    public static readonly OptionSpec Missing = new("--missing", ValueKind.Number, "NUMBER", "a height that means none, in the file's own unit, where it is not marked as such", true);
    public static readonly OptionSpec FillHoles = new("--fill-holes", ValueKind.Area, "AREA", "fill holes in the elevation up to this size (default 100 m2; \"0 m2\" fills none)", true);
    public static readonly OptionSpec DropSpikes = new("--drop-spikes", ValueKind.Switch, "", "take out cells that stand out as no ground does; without it they are only told of", true);
    public static readonly OptionSpec Surface = new("--surface", ValueKind.Word, "KIND", "surface through survey shots: plate (smooth) or triangles (default: plate up to 800 shots)", true);
    public static readonly OptionSpec Cell = new("--cell", ValueKind.Length, "LENGTH", "cell of the surface through survey shots (default: half the usual distance between shots)", true);
    public static readonly OptionSpec KeepSuspects = new("--keep-suspects", ValueKind.Switch, "", "keep survey shots that look like blunders; without it they are left out and listed", true);
    public static readonly OptionSpec Out = new("--out", ValueKind.Path, "DIR", "folder to write; it must not exist yet, or see --overwrite", true);
    public static readonly OptionSpec Job = new("--job", ValueKind.Path, "FILE", "read these options from a JSON job file; options typed here win");
    public static readonly OptionSpec Lines = new("--lines", ValueKind.Path, "FILE", "the lines to measure: GeoJSON, for instance a plan.geojson or a survey of what was driven");
    public static readonly OptionSpec Interval = new("--interval", ValueKind.Length, "LENGTH", "height between contours (default: chosen so that about 20 fit)");
    public static readonly OptionSpec Window = new("--window", ValueKind.Length, "LENGTH", "width over which curvature is measured (default 9 cells)");
    public static readonly OptionSpec Calm = new("--calm", ValueKind.Length, "LENGTH", "first smooth faces over this far, keeping crests and valley floors");
    public static readonly OptionSpec CommonHeight = new("--common-height", ValueKind.Length, "LENGTH", "neighbouring keypoints this close in height share a keyline (default 1 m)");
    public static readonly OptionSpec ChannelArea = new("--channel-area", ValueKind.Area, "AREA", "ground that makes a channel, as \"1 ha\" or \"2 acres\" (default 1 ha)");
    public static readonly OptionSpec CutDepth = new("--cut-depth", ValueKind.Length, "LENGTH", "first cut through banks up to this high, as a farm track across a valley");
    public static readonly OptionSpec CutLength = new("--cut-length", ValueKind.Length, "LENGTH", "longest such cut (default 40 m)");
    public static readonly OptionSpec Shared = new("--shared", ValueKind.Switch, "", "also share water between two neighbours (D-infinity)");
    public static readonly OptionSpec Outlets = new("--outlets", ValueKind.Path, "FILE", "lines whose catchments are wanted: GeoJSON");
    public static readonly OptionSpec Memory = new("--memory", ValueKind.Bytes, "SIZE", "work on a GeoTIFF tile by tile within this much, as \"1 GB\"; makes filled, directions and area only");
    public static readonly OptionSpec MemoryLimit = Memory with { Help = "most memory to work in, as \"2 GB\"; what needs more is refused (default: what the machine has)" };
    public static readonly OptionSpec HollowDepth = new("--hollow-depth", ValueKind.Length, "LENGTH", "shallower hollows are not listed (default 0.1 m)");
    public static readonly OptionSpec To = new("--to", ValueKind.Word, "FORMAT", "gpx, gpx-routes, gpx-waypoints, kml, csv, geojson, taskdata, taskdata-zip, shapefile or geopackage; several with commas") { Many = true };
    public static readonly OptionSpec Of = new("--of", ValueKind.Word, "LINES", "rips: every planned line (default); guides: only the guides");
    public static readonly OptionSpec Follow = new("--follow", ValueKind.Word, "WHAT", "whose way is wanted: tractor (its centre, default), implement, or shanks (a line for each)");
    public static readonly OptionSpec ImplementOffset = new("--implement-offset", ValueKind.Length, "LENGTH", "how far the implement is mounted right of the tractor's centre; below 0 to the left (default 0 m)");
    public static readonly OptionSpec CrossTrack = new("--cross-track", ValueKind.Length, "LENGTH", "cross-track error allowed in leaving points out (default 2 cm)");
    public static readonly OptionSpec Gap = new("--gap", ValueKind.Length, "LENGTH", "greatest distance between points (default 50 m)");
    public static readonly OptionSpec MostPoints = new("--most-points", ValueKind.Number, "NUMBER", "most points a line may have in your display; longer ones come in parts");
    public static readonly OptionSpec Overlap = new("--overlap", ValueKind.Length, "LENGTH", "how far such parts overlap (default 20 m)");
    public static readonly OptionSpec LeadIn = new("--lead-in", ValueKind.Length, "LENGTH", "straight way into a line, within the field and clear of what is avoided (default 0 m)");
    public static readonly OptionSpec LeadOut = new("--lead-out", ValueKind.Length, "LENGTH", "straight way out of a line (default 0 m)");
    public static readonly OptionSpec Plane = new("--plane", ValueKind.Switch, "", "Shapefile and GeoPackage in the plan's own projected system, not longitude and latitude");
    public static readonly OptionSpec Name = new("--name", ValueKind.Word, "TEXT", "name of the field in the files, where the plan's will not do");
    public static readonly OptionSpec Verify = new("--verify", ValueKind.Switch, "", "read back what was written and measure how far it departs from the plan");
    public static readonly OptionSpec With = new("--with", ValueKind.Path, "DIR", "folder that keyline work, water, soil, season, driven, trial or monitor wrote; several with commas") { Many = true };
    public static readonly OptionSpec Track = new("--track", ValueKind.Path, "FILE", "what was driven: GPX, KML, GeoJSON, CSV with latitude and longitude, an NMEA 0183 log or ISO 11783-10 task data; may be given several times") { Many = true };
    public static readonly OptionSpec Reach = new("--reach", ValueKind.Length, "LENGTH", "a track farther than this from every line is on none (default: one spacing)");
    public static readonly OptionSpec Least = new("--least", ValueKind.Length, "LENGTH", "shorter stretches are not told of (default 5 m)");
    public static readonly OptionSpec WithoutShift = new("--without-shift", ValueKind.Switch, "", "take off what the whole track is displaced by (another datum, an antenna aside) before judging it");
    public static readonly OptionSpec Guide = new("--guide", ValueKind.Word, "ID", "a guide or line to set out, as G16 or R012; may be given several times or with commas, or all (default: those through keypoints and pinned ones, or all of a few)") { Many = true };
    public static readonly OptionSpec Every = new("--every", ValueKind.Number, "NUMBER", "set out keylines, pinned guides and about every so manyth line, as 10");
    public static readonly OptionSpec HeightStep = new("--height-step", ValueKind.Length, "LENGTH", "a stake more wherever straight falls between stakes would miss the ground by more (default 5 cm)");
    public static readonly OptionSpec BendStep = new("--bend-step", ValueKind.Length, "LENGTH", "a stake more wherever straight ways between stakes would cut a bend by more (default 1 m)");
    public static readonly OptionSpec Benchmark = new("--benchmark", ValueKind.Length, "HEIGHT", "height of a benchmark, in the system of the plan's heights, as \"212.40 m\"");
    public static readonly OptionSpec BenchReading = new("--bench-reading", ValueKind.Length, "LENGTH", "the rod's reading on the benchmark: the height of the instrument above it");
    public static readonly OptionSpec Rod = new("--rod", ValueKind.Length, "LENGTH", "length of the rod (default 4 m)");
    public static readonly OptionSpec Sight = new("--sight", ValueKind.Length, "LENGTH", "farthest sight from the level (default 150 m)");
    public static readonly OptionSpec SheetUnit = new("--sheet-unit", ValueKind.Word, "UNIT", "unit of the sheet and of stakes.csv: m or ft (default m)");
    public static readonly OptionSpec Readings = new("--readings", ValueKind.Path, "FILE", "the way back: stakes.csv with its column rod_m filled in, to be compared with the plan");
    public static readonly OptionSpec Tolerance = new("--tolerance", ValueKind.Length, "LENGTH", "greatest difference of a stake from its planned height (default 10 cm)");
    public static readonly OptionSpec Refit = new("--refit", ValueKind.Switch, "", "fit the guides to the measured heights, for keyline plan --pinned; needs --dem and --out");
    public static readonly OptionSpec Machine = new("--machine", ValueKind.Path, "FILE", "the machine: a JSON file (keyline schema machine), or a generic one by its name, as front-assist-90", true);
    public static readonly OptionSpec Soil = new("--soil", ValueKind.Word, "TEXTURE", "texture of the soil for the draft: medium (default), fine or coarse");
    public static readonly OptionSpec Footing = new("--footing", ValueKind.Word, "SURFACE", "what the tractor stands on: firm (default), tilled or soft");
    public static readonly OptionSpec KeepOrder = new("--keep-order", ValueKind.Switch, "", "drive the lines in the plan's order; without it the order is improved with the turns that fit");
    public static readonly OptionSpec RipHeadland = new("--rip-headland", ValueKind.Switch, "", "rip the headland too, last of all: rounds along the fence, which do not follow the ground");
    public static readonly OptionSpec MostLines = new("--most-lines", ValueKind.Number, "NUMBER", "most lines a guidance file may hold (default 50)");
    public static readonly OptionSpec Separate = new("--separate", ValueKind.Switch, "", "a guidance line for each line; without it lines are joined where the turn between them is driven forward");
    public static readonly OptionSpec HoursADay = new("--hours-a-day", ValueKind.Number, "HOURS", "hours at work in a day (default 8)");
    public static readonly OptionSpec DaysLost = new("--days-lost", ValueKind.Percent, "PERCENT", "days lost to weather (default 25)");
    public static readonly OptionSpec Depths = new("--depths", ValueKind.Word, "LIST", "depths of several years, as \"30 cm,45 cm,60 cm\": a row of the table for each");
    public static readonly OptionSpec Start = new("--start", ValueKind.Word, "DATE", "first day of the work, as 2027-03-01: writes work.ics");
    public static readonly OptionSpec ClearedBy = new("--cleared-by", ValueKind.Word, "NAME", "who located buried services and cleared the work; needs --ticket and --until");
    public static readonly OptionSpec Ticket = new("--ticket", ValueKind.Word, "NUMBER", "number of the ticket or permission");
    public static readonly OptionSpec Until = new("--until", ValueKind.Word, "DATE", "last day it holds, as 2027-03-31");
    public static readonly OptionSpec FieldNotes = new("--notes", ValueKind.Path, "FILE", "what was found in the field since (rock, wet spot, moved fence): GeoJSON points, lines or areas with a setback_m; lines are cut there and keep their names");
    public static readonly OptionSpec Fields = new("--fields", ValueKind.Path, "FILE", "the fields: a layer with a feature for each, GeoJSON or what GDAL reads; an attribute plan_spacing and the like overrides an option for its field");
    public static readonly OptionSpec Id = new("--id", ValueKind.Word, "ATTRIBUTE", "attribute that names the fields (default: id, else name, else the place in the file)");
    public static readonly OptionSpec Items = new("--items", ValueKind.Path, "FILE", "list of elevation files with the ground each covers (a collection of STAC items on disk), in place of --dem: each field opens only those it needs");
    public static readonly OptionSpec AtOnce = new("--at-once", ValueKind.Number, "NUMBER", "fields worked on side by side, each in a process of its own (default: one for each core)");
    public static readonly OptionSpec TimeLimit = new("--time-limit", ValueKind.Word, "TIME", "most time a field may take, as \"90 s\", \"10 min\" or \"2 h\" (default 30 min)");
    public static readonly OptionSpec Shard = new("--shard", ValueKind.Word, "K/N", "only the Kth of N shares of the fields, as 3/8, for a task of a scheduler; the tables are then made by --gather");
    public static readonly OptionSpec Stage = new("--stage", ValueKind.Word, "STAGE", "do one stage of the work tile by tile, for ground larger than memory or tasks of a scheduler: fill, route, then finish; what is done already stays");
    public static readonly OptionSpec Tile = new("--tile", ValueKind.Number, "CELLS", "cells along the side of a tile, a multiple of 256 (default 4096: 0.6 GB a task)");
    public static readonly OptionSpec Only = new("--only", ValueKind.Word, "ID", "only this field; several with commas; the tables are then made by --gather") { Many = true };
    public static readonly OptionSpec Again = new("--again", ValueKind.Word, "WHICH", "fields to make again though nothing they are made from has changed: failed or all (default: none)");
    public static readonly OptionSpec Gather = new("--gather", ValueKind.Switch, "", "make no field, only the tables and the index page of what is there");
    public static readonly OptionSpec Tasks = new("--tasks", ValueKind.Path, "FILE", "make no field, only write a file with a command for each that is still to be made");
    public static readonly OptionSpec Overwrite = new("--overwrite", ValueKind.Switch, "", "replace an earlier plan in the folder, once the new one is whole");
    public static readonly OptionSpec Threads = new("--threads", ValueKind.Number, "NUMBER", "work on at most this many threads (default: one for each core); the result is the same");
    public static readonly OptionSpec Quiet = new("--quiet", ValueKind.Switch, "", "say nothing but errors");
    public static readonly OptionSpec Json = new("--json", ValueKind.Switch, "", "print one JSON object instead of the summary");

    /// <summary>Everything a job file may hold, in the order of the help.</summary>
    public static IReadOnlyList<OptionSpec> JobOptions { get; } =
        [
            Dem, Field, Avoid, Located, HandDig, Spacing, Machine, Shanks, ShankSpacing, MaxGrade, Fall, MinFall, MinRadius, Headland, MinLength, MaxSlope, SideSlope, CriticalLength, Excess, SoilZones,
            Pinned, StableOutlets, Gate, Flagged, Pattern, Bearing, SpacingTolerance, Ease, WishedFall, MostGuides, LeastMeanLength, Noise, Compare, PriceList, Svg, GeoPackage, Pdf, Scale, Paper, Turn, UnitsOf, LanguageOfMap, Crs, .. GroundOptions, Out,
        ];

    /// <summary>How the elevation is to be taken, beside its file and coordinate system.</summary>
    public static IReadOnlyList<OptionSpec> GroundOptions => [HeightUnit, Missing, FillHoles, DropSpikes, Surface, Cell, KeepSuspects];
}
