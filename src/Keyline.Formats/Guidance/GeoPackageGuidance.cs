using Keyline.Guidance;
using Keyline.Planar;
using Microsoft.Data.Sqlite;
using NetTopologySuite.Geometries;
using NetTopologySuite.IO;

namespace Keyline.Formats;

/// <summary>Writes lines for guidance as a GeoPackage with the tables <c>lines</c> and <c>field</c>; styles are left to the reader.</summary>
/// <remarks>
/// <para>Units: WGS 84 degrees, or the units of the plan's own projected system; both in full precision. Heights in metres.</para>
/// <para>Missing: where one height of the set is not known, the whole file is without heights.</para>
/// <para>Promises: the time of the last change is always 1 January 1980, so that the same lines give the same bytes. In degrees,
/// lines are cut at the 180th meridian; all are then multi-part.</para>
/// <para>Source: OGC 12-128r18, GeoPackage 1.3 (2021); shapes are written by NetTopologySuite.IO.GeoPackage, the file by SQLite.</para>
/// </remarks>
public static class GeoPackageGuidance
{
    // Codes above those of any authority, for a system without one.
    private const int OwnSystem = 100_000;

    private const string Tables = """
        CREATE TABLE lines (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, geom BLOB, name TEXT, sequence INTEGER, part INTEGER, parts INTEGER, source TEXT, form TEXT, length_m REAL, note TEXT);
        CREATE TABLE field (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, geom BLOB, name TEXT);
        """;

    private static readonly string[] Columns = ["$geom", "$name", "$sequence", "$part", "$parts", "$source", "$form", "$length", "$note"];

    /// <summary>Writes the file.</summary>
    /// <param name="path">The file; it must not exist yet.</param>
    /// <param name="set">The lines.</param>
    /// <param name="crs">The projected system their metres are in.</param>
    /// <param name="inPlane">Whether to write the plan's own projected system, not longitude and latitude.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    /// <exception cref="IOException">The file is there already, or cannot be written.</exception>
    public static void Write(string path, GuidanceSet set, GroundCrs crs, bool inPlane = false, CancellationToken cancellationToken = default)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        ArgumentNullException.ThrowIfNull(set);
        ArgumentNullException.ThrowIfNull(crs);
        GeoPackageFile.Create(path, (file, once) => WriteNew(file, once, set, crs, inPlane, cancellationToken));
    }

    private static void WriteNew(SqliteConnection file, SqliteTransaction once, GuidanceSet set, GroundCrs crs, bool inPlane, CancellationToken cancellationToken)
    {
        GeoPackageFile.Run(file, Tables, once);
        int system = inPlane ? crs.EpsgCode ?? OwnSystem : GeoPackageFile.Wgs84;
        GeoPackageFile.AddSystems(file, once, inPlane ? crs : null, system);
        bool heights = set.Lines.All(l => Enumerable.Range(0, l.Path.NumPoints).All(i => double.IsFinite(l.Path.CoordinateSequence.GetZ(i))));
        GeoPackageGeoWriter shapes = new() { HandleOrdinates = heights ? Ordinates.XYZ : Ordinates.XY };
        (Envelope extent, bool many) = Lines(file, once, set, crs, inPlane, system, shapes, cancellationToken);
        GeoPackageFile.Describe(file, once, "lines", GuidanceNotes.Summary(set, crs), extent, system, many ? "MULTILINESTRING" : "LINESTRING", heights);
        Geometry? outline = set.Boundary is null ? null : inPlane ? InUnits(set.Boundary, crs) : Antimeridian.Cut(new PlanPlaces(crs, null).Of(set.Boundary));
        if (outline is not null)
        {
            GeoPackageFile.Insert(file, once, "INSERT INTO field (geom, name) VALUES ($geom, $name)", ("$geom", GeoPackageFile.Blob(new GeoPackageGeoWriter { HandleOrdinates = Ordinates.XY }, outline, system)), ("$name", set.FieldName));
        }

        GeoPackageFile.Describe(file, once, "field", "The field's outline.", outline?.EnvelopeInternal ?? new Envelope(), system, "GEOMETRY", false);
    }

    private static (Envelope Extent, bool Many) Lines(SqliteConnection file, SqliteTransaction once, GuidanceSet set, GroundCrs crs, bool inPlane, int system, GeoPackageGeoWriter shapes, CancellationToken cancellationToken)
    {
        LinePlaces places = new(crs);
        bool many = !inPlane && set.Lines.Any(line => Crosses(places, line));
        Envelope extent = new();
        using SqliteCommand command = file.CreateCommand();
        command.Transaction = once;
        command.CommandText = "INSERT INTO lines (geom, name, sequence, part, parts, source, form, length_m, note) VALUES ($geom, $name, $sequence, $part, $parts, $source, $form, $length, $note)";
        SqliteParameter[] p = [.. Columns.Select(n => command.Parameters.AddWithValue(n, DBNull.Value))];
        command.Prepare();
        foreach (GuidanceLine line in set.Lines)
        {
            cancellationToken.ThrowIfCancellationRequested();
            MultiLineString shape = ShapefileGuidance.Shape(line, places, crs, inPlane);
            extent.ExpandToInclude(shape.EnvelopeInternal);
            object[] values =
            [
                GeoPackageFile.Blob(shapes, many ? shape : shape.GetGeometryN(0), system), line.Name, line.Sequence, line.Part, line.Parts, line.SourceId,
                line.IsStraight ? "straight" : "curve", Math.Round(line.Path.Length, 3), line.Note,
            ];
            for (int i = 0; i < p.Length; i++)
            {
                p[i].Value = values[i];
            }

            command.ExecuteNonQuery();
        }

        return (extent, many);
    }

    private static bool Crosses(LinePlaces places, GuidanceLine line)
    {
        // Only a line near the meridian can cross it.
        places.Take(line.Path);
        return places.Crosses;
    }

    private static Geometry InUnits(Geometry shape, GroundCrs crs) =>
        crs.MetresPerUnit == 1 ? shape : NetTopologySuite.Geometries.Utilities.AffineTransformation.ScaleInstance(1 / crs.MetresPerUnit, 1 / crs.MetresPerUnit).Transform(shape);
}
