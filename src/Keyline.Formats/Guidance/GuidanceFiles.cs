using Keyline.Guidance;

namespace Keyline.Formats;

/// <summary>The forms that lines for guidance are written in, all of them open standards.</summary>
public enum GuidanceFormat
{
    /// <summary>GPX 1.1 tracks.</summary>
    Gpx,

    /// <summary>GPX 1.1 routes.</summary>
    GpxRoutes,

    /// <summary>GPX 1.1 waypoints.</summary>
    GpxWaypoints,

    /// <summary>KML 2.2.</summary>
    Kml,

    /// <summary>A table of waypoints.</summary>
    Csv,

    /// <summary>GeoJSON (RFC 7946).</summary>
    GeoJson,

    /// <summary>ISO 11783-10 task data in a folder.</summary>
    TaskData,

    /// <summary>ISO 11783-10 task data, zipped.</summary>
    TaskDataZip,

    /// <summary>Shapefile.</summary>
    Shapefile,

    /// <summary>GeoPackage.</summary>
    GeoPackage,
}

/// <summary>Writes lines for guidance into a folder, in any of the forms.</summary>
/// <remarks>
/// <para>Units: as each writer says. Promises: the same lines give the same bytes. A fault leaves files behind: write to a
/// folder that is put in place only when it is whole.</para>
/// <para>Cost: as each writer says. Source: as each writer says.</para>
/// </remarks>
public static class GuidanceFiles
{
    private static readonly string[] ShapefileEndings = [".shp", ".shx", ".dbf", ".prj", ".cpg"];

    /// <summary>Names of the files of a form, relative, with forward slashes; the first is the one that is opened.</summary>
    /// <param name="format">The form.</param>
    public static IReadOnlyList<string> NamesOf(GuidanceFormat format) => format switch
    {
        GuidanceFormat.Gpx => ["lines.gpx"],
        GuidanceFormat.GpxRoutes => ["routes.gpx"],
        GuidanceFormat.GpxWaypoints => ["waypoints.gpx"],
        GuidanceFormat.Kml => ["lines.kml"],
        GuidanceFormat.Csv => ["waypoints.csv"],
        GuidanceFormat.GeoJson => ["lines.geojson"],
        GuidanceFormat.TaskData => [TaskDataGuidance.FileName],
        GuidanceFormat.TaskDataZip => ["taskdata.zip"],
        GuidanceFormat.Shapefile => [.. ShapefileEndings.Select(e => "lines" + e)],
        GuidanceFormat.GeoPackage => ["lines.gpkg"],
        _ => throw new ArgumentOutOfRangeException(nameof(format), format, "There is no such form."),
    };

    /// <summary>How closely the form holds a place, in one sentence.</summary>
    /// <param name="format">The form.</param>
    /// <param name="inPlane">Whether the plan's own projected system is written, where the form allows it.</param>
    public static string PrecisionOf(GuidanceFormat format, bool inPlane = false) => format switch
    {
        GuidanceFormat.Csv => "9 decimals of a degree, 4 of a metre: places to 0.1 mm.",
        GuidanceFormat.Shapefile or GuidanceFormat.GeoPackage => inPlane ? "Double precision in the plan's projected system: places to a thousandth of a millimetre." : "Double precision in degrees: places to a thousandth of a millimetre.",
        _ => "9 decimals of a degree: places to 0.1 mm.",
    };

    /// <summary>Writes one form.</summary>
    /// <param name="folder">The folder; it must exist, and hold none of the files yet.</param>
    /// <param name="format">The form.</param>
    /// <param name="set">The lines.</param>
    /// <param name="crs">The projected system their metres are in.</param>
    /// <param name="inPlane">Whether Shapefile and GeoPackage are in the plan's own projected system, not longitude and latitude.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A name does not fit the form, or a place has no longitude and latitude.</exception>
    public static void Write(string folder, GuidanceFormat format, GuidanceSet set, GroundCrs crs, bool inPlane = false, CancellationToken cancellationToken = default)
    {
        ArgumentException.ThrowIfNullOrEmpty(folder);
        string first = NamesOf(format)[0];
        switch (format)
        {
            case GuidanceFormat.GeoPackage:
                GeoPackageGuidance.Write(PathOf(folder, first), set, crs, inPlane, cancellationToken);
                return;
            case GuidanceFormat.Shapefile:
                ShapefileGuidance.Write(ending => Create(folder, Path.ChangeExtension(first, ending)), set, crs, inPlane, cancellationToken);
                return;
        }

        using Stream stream = Create(folder, first);
        switch (format)
        {
            case GuidanceFormat.Gpx:
                GpxGuidance.Write(stream, set, crs, GpxKind.Tracks, cancellationToken);
                break;
            case GuidanceFormat.GpxRoutes:
                GpxGuidance.Write(stream, set, crs, GpxKind.Routes, cancellationToken);
                break;
            case GuidanceFormat.GpxWaypoints:
                GpxGuidance.Write(stream, set, crs, GpxKind.Waypoints, cancellationToken);
                break;
            case GuidanceFormat.Kml:
                KmlGuidance.Write(stream, set, crs, cancellationToken);
                break;
            case GuidanceFormat.Csv:
                CsvGuidance.Write(stream, set, crs, cancellationToken);
                break;
            case GuidanceFormat.GeoJson:
                GeoJsonGuidance.Write(stream, set, crs, cancellationToken);
                break;
            case GuidanceFormat.TaskData:
                TaskDataGuidance.Write(stream, set, crs, cancellationToken);
                break;
            default:
                TaskDataGuidance.WriteZip(stream, set, crs, cancellationToken);
                break;
        }
    }

    private static string PathOf(string folder, string name) => Path.Combine(folder, name.Replace('/', Path.DirectorySeparatorChar));

    private static FileStream Create(string folder, string name)
    {
        string path = PathOf(folder, name);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        return new FileStream(path, FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None, 1 << 16);
    }
}
