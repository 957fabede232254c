using System.Text;
using Keyline.Console.Cli;
using Keyline.Console.Commands;

namespace Keyline.Console;

/// <summary>The help, written from the same option list that the parser uses.</summary>
internal static class HelpText
{
    private const int FlagWidth = 27;
    private const int LineWidth = 96;

    public static string Overview => """
        keyline lays out contour ripping: from elevation data it reads the valleys, ridges and keypoints
        of a field and draws parallel lines for a subsoiler that hold a grade limit and drift water from
        the valleys toward the ridges.

        Start here:
          keyline demo                  write an invented farm and the whole plan for it

        Commands:
          keyline plan                  make a plan: lines, map and tractor guidance
          keyline guidance              the plan's lines for auto-steer, in open formats
          keyline setout                stakes, rod readings and a sheet for a laser level; readings back
          keyline driven                what was driven, held against the plan
          keyline check                 measure any lines against the ground
          keyline demo                  try it on an invented farm
          keyline inspect               what elevation files are, and whether they are good enough
          keyline terrain               slope, aspect, relief, curvature and contours of the ground
          keyline drainage              filled ground, flow, channels, hollows and catchments
          keyline landform              valleys, ridges, keypoints and keylines, with their evidence
          keyline formats               what can be read and written on this machine
          keyline schema                print the JSON schema of a job file
          keyline COMMAND --help        options and an example of a command
          keyline --version             the version

        A first plan of your own needs an elevation file and the field's outline:
          keyline plan --dem dem.tif --field field.geojson --spacing "10 ft" --out plan

        """ + Environment.NewLine + ExitCodes;

    private static string ExitCodes => """
        Exit codes:
          0    done
          1    a fault in keyline itself
          2    bad input: one sentence says what, where and how to mend it; nothing was written
          3    done and written, but a limit that was asked for could not be kept everywhere
          130  stopped; nothing was written

        """;

    /// <summary>Help of one command.</summary>
    /// <exception cref="UsageException">There is no such command.</exception>
    public static string Of(string command) => command switch
    {
        "plan" => Page(
            "Makes a plan: reads the ground, lays out the lines, checks them, and writes a folder with",
            ["plan.geojson (everything drawn), plan.json (the figures), plan.png (the map) and", "guidance/ (waypoints.csv and lines.gpx for the tractor).",],
            ["keyline plan --dem dem.tif --field field.geojson --spacing \"10 ft\" --out plan", "keyline plan --job job.json --out plan --overwrite"],
            PlanCommand.Options,
            "Lengths carry their unit (" + Quantity.Units + "). Percent signs may be left out."),
        "check" => Page(
            "Measures lines of any origin against the ground: grade, drift, turns, crossings, clearances.",
            ["Without --spacing, neighbours are not compared; without --field, nothing is said about edges."],
            ["keyline check --dem dem.tif --lines driven.geojson --field field.geojson --spacing \"10 ft\""],
            CheckCommand.Options,
            "Lengths carry their unit (" + Quantity.Units + "). Percent signs may be left out."),
        "guidance" => Page(
            "Writes the lines of a plan for auto-steer displays: thinned, led in and out, divided where a",
            ["display takes few points, shifted where the implement is mounted to one side.", "PLAN is a plan's folder, its plan.geojson, or GeoJSON lines of any origin."],
            ["keyline guidance plan --to gpx,taskdata-zip --out cab --verify", "keyline guidance plan --to shapefile --plane --lead-in \"8 m\" --most-points 250 --out cab"],
            GuidanceCommand.Options,
            "Lengths carry their unit (" + Quantity.Units + ")."),
        "setout" => Page(
            "Sets guides out without auto-steer: stakes with coordinates and the reading of a laser level's rod on",
            ["each, a sheet to print (setout.html), stakes.csv to fill in, stakes.geojson and stakes.gpx.", "The way back: --readings compares what was read with the plan, --refit fits the guides to it.", "Ends with exit code 3 where a stake is off by more than the tolerance or water would run the other way."],
            ["keyline setout plan --guide G16 --interval \"20 m\" --out setout", "keyline setout plan --benchmark \"212.40 m\" --bench-reading \"1.35 m\" --sheet-unit ft --out setout", "keyline setout plan --readings stakes.csv --dem dem.tif --refit --out levelled"],
            SetOutCommand.Options,
            "Lengths carry their unit (" + Quantity.Units + ")."),
        "driven" => Page(
            "Holds what was driven against a plan: which lines, how far off, how steep, how far apart.",
            ["PLAN is a plan's folder, its plan.geojson, or GeoJSON lines of any origin.", "Ends with exit code 3 where a stretch was skipped, driven twice, off its line or too steep."],
            ["keyline driven plan --track log.nmea", "keyline driven plan --track monday.gpx --track tuesday.gpx --dem dem.tif --max-grade 2 --out driven"],
            DrivenCommand.Options,
            "Lengths carry their unit (" + Quantity.Units + "). Errors are above 0 to the right as driven."),
        "demo" => Page(
            "Writes the whole plan of an invented farm into a folder, with the farm itself in farm/ beside it.",
            [],
            ["keyline demo", "keyline demo --out trial --overwrite"],
            DemoCommand.Options,
            ""),
        "terrain" => Page(
            "Measures the ground: slope, aspect, relief and curvature as GeoTIFF, contours as GeoJSON.",
            ["Slope and aspect take the eight neighbours of a cell (Horn 1981); curvature the quadratic surface", "that fits a window best, positive where the ground bends like a dome.",],
            ["keyline terrain --dem dem.tif --out terrain", "keyline terrain --dem dem.tif --interval \"2 ft\" --window \"15 m\" --calm \"5 m\" --out terrain"],
            TerrainCommand.Options,
            "Lengths carry their unit (" + Quantity.Units + ")."),
        "drainage" => Page(
            "Routes water over the ground: hollows filled, directions, contributing area, channel order, flow",
            ["lengths as GeoTIFF; hollows (dams, potholes) and catchments as GeoJSON.", "Directions are 0 to 7 clockwise from north, 255 where no water flows.",],
            ["keyline drainage --dem dem.tif --out drainage", "keyline drainage --dem dem.tif --channel-area \"2 acres\" --cut-depth \"1.5 m\" --out drainage"],
            DrainageCommand.Options,
            "Lengths carry their unit (" + Quantity.Units + "), areas too (m2, ha, km2, ft2, acres)."),
        "landform" => Page(
            "Reads the landform: valley and ridge lines, long profiles, keypoints with their evidence, keylines,",
            ["and what the land is in plain words. Writes landform.geojson, position.tif (0 on valley lines to", "1 on ridge lines), profiles/ (a picture a valley) and reading.txt.",],
            ["keyline landform --dem dem.tif --out landform", "keyline landform --dem dem.tif --field field.geojson --flagged keypoints.geojson --out landform"],
            LandformCommand.Options,
            "Lengths carry their unit (" + Quantity.Units + ")."),
        "inspect" => Page(
            "Says what elevation files are: size, place, units, datum, range, holes, noise, whether trees and",
            ["buildings are left in, and whether they are good enough for lines at the spacing and fall.", "Ends with exit code 3 where a file is not good enough."],
            ["keyline inspect dem.tif", "keyline inspect tiles shots.csv --crs EPSG:32614 --spacing \"10 ft\" --fall 0.4"],
            InspectCommand.Options,
            "Lengths carry their unit (" + Quantity.Units + "). Nothing is mended or written."),
        "formats" => Page(
            "Lists what is read and written here: by Keyline itself, and by the machine's GDAL where it has one.",
            [],
            ["keyline formats"],
            FormatsCommand.Options,
            ""),
        "schema" => Page(
            "Prints the JSON schema (draft 2020-12) of a job file for keyline plan --job.",
            [],
            ["keyline schema > keyline-job.schema.json"],
            [],
            ""),
        _ => throw new UsageException($"There is no command \"{command}\": keyline --help lists them."),
    };

    private static string Page(string first, string[] more, string[] examples, IReadOnlyList<OptionSpec> options, string note)
    {
        StringBuilder page = new();
        page.AppendLine(first);
        foreach (string line in more)
        {
            page.AppendLine(line);
        }

        page.AppendLine().AppendLine(examples.Length > 1 ? "Examples:" : "Example:");
        foreach (string example in examples)
        {
            page.Append("  ").AppendLine(example);
        }

        if (options.Count > 0)
        {
            page.AppendLine().AppendLine("Options:");
            foreach (OptionSpec option in options)
            {
                AppendOption(page, option);
            }
        }

        if (note.Length > 0)
        {
            page.AppendLine().AppendLine(note);
        }

        return page.AppendLine().Append(ExitCodes).ToString();
    }

    private static void AppendOption(StringBuilder page, OptionSpec option)
    {
        string flag = "  " + option.Flag + (option.ValueName.Length > 0 ? " " + option.ValueName : "");
        StringBuilder line = new(flag.PadRight(FlagWidth));
        foreach (string word in option.Help.Split(' '))
        {
            if (line.Length + word.Length + 1 > LineWidth)
            {
                page.AppendLine(line.ToString().TrimEnd());
                line.Clear().Append(' ', FlagWidth);
            }

            line.Append(' ').Append(word);
        }

        page.AppendLine(line.ToString().TrimEnd());
    }
}
