using System.Text.Json;
using Keyline.Formats;
using Keyline.Gdal;

namespace Keyline.Console.Views;

/// <summary>What is read and written on this machine.</summary>
/// <param name="GdalVersion">Version of the machine's GDAL, or null without one.</param>
/// <param name="Beyond">What that reads.</param>
internal sealed record FormatsView(string? GdalVersion, IReadOnlyList<GdalFormat> Beyond) : IView
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

    public void WriteText(UnitText output)
    {
        foreach ((_, string what, (string Name, string How)[] formats) in Own)
        {
            output.WriteLine(what + ":");
            foreach ((string name, string how) in formats)
            {
                output.WriteLine("  " + name.PadRight(NameWidth) + how);
            }

            output.WriteLine();
        }

        if (GdalVersion is null)
        {
            output.WriteLine("GDAL is not on this machine. With it, more formats are read and any coordinate system PROJ knows:");
            output.WriteLine("  Debian and Ubuntu: apt install gdal-bin; macOS: brew install gdal; Windows: OSGeo4W.");
            return;
        }

        output.WriteLine($"Read through GDAL {GdalVersion} of this machine, with any coordinate system PROJ knows:");
        foreach (GdalFormat format in Beyond)
        {
            string use = format is { IsRaster: true, IsVector: true } ? "elevation, shapes" : format.IsRaster ? "elevation" : format.IsVector ? "shapes" : "";
            if (use.Length > 0)
            {
                output.WriteLine($"  {format.Name,-NameWidth}{format.Description} ({use})");
            }
        }

    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        foreach ((string key, _, (string Name, string How)[] formats) in Own)
        {
            JsonText.Sections(json, key, formats, format =>
            {
                json.WriteString("name", format.Name);
                json.WriteString("how", format.How);
            });
        }

        if (GdalVersion is null)
        {
            json.WriteNull("gdal");
        }
        else
        {
            JsonText.Section(json, "gdal", () => Gdal(json));
        }

        json.WriteEndObject();
    }

    private void Gdal(Utf8JsonWriter json)
    {
        json.WriteString("version", GdalVersion);
        JsonText.Sections(json, "formats", Beyond, format =>
        {
            json.WriteString("name", format.Name);
            json.WriteString("description", format.Description);
            json.WriteBoolean("elevation", format.IsRaster);
            json.WriteBoolean("shapes", format.IsVector);
        });
    }
}
