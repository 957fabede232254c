using System.Text.Json.Nodes;
using Keyline.Console.Cli;
using Keyline.Gdal;

namespace Keyline.Console.Commands;

/// <summary><c>keyline formats</c>: what is read and written on this machine.</summary>
internal static class FormatsCommand
{
    private const int NameWidth = 24;

    private static readonly (string Key, string What, (string Name, string How)[] Formats)[] Own =
    [
        ("elevation_read", "Elevation read",
        [
            ("GeoTIFF", "strips or tiles; deflate, LZW, PackBits or none; integers and floats; BigTIFF"),
            ("ESRI ASCII grid", "with its .prj beside, or --crs"),
            ("x y z text", "on a regular grid, with its .prj beside, or --crs"),
            ("survey shots", "CSV with easting and northing or longitude and latitude, and heights or rod readings"),
            ("folders of tiles", "of the first three, in one coordinate system"),
        ]),
        ("shapes_read", "Fields, avoided areas and lines read", [("GeoJSON", "RFC 7946, WGS 84 longitude and latitude")]),
        ("tracks_read", "Driven tracks and readings read",
        [
            ("GPX, KML, GeoJSON", "tracks, routes and lines"),
            ("NMEA 0183", "logs with GGA or RMC"),
            ("ISO 11783-10 task data", "guidance patterns, in XML or zipped"),
            ("CSV", "positions with latitude and longitude; stakes.csv with its readings filled in"),
        ]),
        ("written", "Written",
        [
            ("GeoJSON", "plan.geojson, contours, hollows and catchments"),
            ("GeoTIFF", "terrain and drainage rasters"),
            ("CSV", "guidance waypoints, stakes"),
            ("GPX 1.1", "guidance tracks, routes and waypoints; stakes"),
            ("KML 2.2", "guidance lines"),
            ("ISO 11783-10 task data", "version 4.3, guidance patterns, in a folder or zipped"),
            ("Shapefile, GeoPackage", "guidance lines"),
            ("JSON", "summaries"),
            ("PNG", "the map"),
            ("HTML", "the set-out sheet, to print"),
        ]),
    ];

    public static Command Command { get; } = new("formats", "what can be read and written on this machine", Run)
    {
        About =
        [
            "Lists what is read and written here: by Keyline itself, and by the machine's GDAL where it has one.",
        ],
        Examples = ["keyline formats"],
        Options = [OptionSpec.Json],
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        IReadOnlyList<GdalFormat> beyond = GdalLibrary.Formats();
        if (arguments.Has(OptionSpec.Json))
        {
            WriteJson(context.Output, beyond);
            return ExitCode.Done;
        }

        foreach ((_, string what, (string Name, string How)[] formats) in Own)
        {
            context.Output.WriteLine(what + ":");
            foreach ((string name, string how) in formats)
            {
                context.Output.WriteLine("  " + name.PadRight(NameWidth) + how);
            }

            context.Output.WriteLine();
        }

        if (!GdalLibrary.IsPresent)
        {
            context.Output.WriteLine("GDAL is not on this machine. With it, more formats are read and any coordinate system PROJ knows:");
            context.Output.WriteLine("  Debian and Ubuntu: apt install gdal-bin; macOS: brew install gdal; Windows: OSGeo4W.");
            return ExitCode.Done;
        }

        context.Output.WriteLine($"Read through GDAL {GdalLibrary.Version} of this machine, with any coordinate system PROJ knows:");
        foreach (GdalFormat format in beyond)
        {
            string use = format is { IsRaster: true, IsVector: true } ? "elevation, shapes" : format.IsRaster ? "elevation" : format.IsVector ? "shapes" : "";
            if (use.Length > 0)
            {
                context.Output.WriteLine($"  {format.Name,-NameWidth}{format.Description} ({use})");
            }
        }

        return ExitCode.Done;
    }

    private static void WriteJson(TextWriter output, IReadOnlyList<GdalFormat> beyond)
    {
        JsonObject all = [];
        foreach ((string key, _, (string Name, string How)[] formats) in Own)
        {
            all[key] = new JsonArray([.. formats.Select(f => (JsonNode)new JsonObject { ["name"] = f.Name, ["how"] = f.How })]);
        }

        all["gdal"] = GdalLibrary.IsPresent
            ? new JsonObject
            {
                ["version"] = GdalLibrary.Version,
                ["formats"] = new JsonArray([.. beyond.Select(f => (JsonNode)new JsonObject { ["name"] = f.Name, ["description"] = f.Description, ["elevation"] = f.IsRaster, ["shapes"] = f.IsVector })]),
            }
            : null;
        output.WriteLine(all.ToJsonString(RasterFolder.Indented));
    }
}
