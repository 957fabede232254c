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
    private const int Wgs84 = 4326;

    // What the systems themselves call it, so that callers tell it as any other full disk.
    private const int SqliteFull = 13;
    private const int DiskFullUnix = 28;
    private const int DiskFullWindows = unchecked((int)0x80070070);

    // Codes above those of any authority, for a system without one.
    private const int OwnSystem = 100_000;

    private const string Tables = """
        PRAGMA application_id = 1196444487;
        PRAGMA user_version = 10300;
        CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT NOT NULL, srs_id INTEGER NOT NULL PRIMARY KEY, organization TEXT NOT NULL, organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT);
        CREATE TABLE gpkg_contents (table_name TEXT NOT NULL PRIMARY KEY, data_type TEXT NOT NULL, identifier TEXT UNIQUE, description TEXT DEFAULT '', last_change DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')), min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER, CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id));
        CREATE TABLE gpkg_geometry_columns (table_name TEXT NOT NULL, column_name TEXT NOT NULL, geometry_type_name TEXT NOT NULL, srs_id INTEGER NOT NULL, z TINYINT NOT NULL, m TINYINT NOT NULL, CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name), CONSTRAINT uk_gc_table_name UNIQUE (table_name), CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name), CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys (srs_id));
        CREATE TABLE lines (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, geom BLOB, name TEXT, sequence INTEGER, part INTEGER, parts INTEGER, source TEXT, form TEXT, length_m REAL, note TEXT);
        CREATE TABLE field (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, geom BLOB, name TEXT);
        """;

    private static readonly string[] Columns = ["$geom", "$name", "$sequence", "$part", "$parts", "$source", "$form", "$length", "$note"];

    static GeoPackageGuidance() => SQLitePCL.Batteries_V2.Init();

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
        if (File.Exists(path))
        {
            throw new IOException($"The file {path} exists already.");
        }

        try
        {
            WriteNew(path, set, crs, inPlane, cancellationToken);
        }
        catch (SqliteException e)
        {
            throw e.SqliteErrorCode == SqliteFull
                ? new IOException($"The disk is full: {path} could not be written.", OperatingSystem.IsWindows() ? DiskFullWindows : DiskFullUnix)
                : new IOException($"The file {path} could not be written ({e.Message.TrimEnd('.')}).", e);
        }
    }

    private static void WriteNew(string path, GuidanceSet set, GroundCrs crs, bool inPlane, CancellationToken cancellationToken)
    {
        using SqliteConnection file = new(new SqliteConnectionStringBuilder { DataSource = path, Mode = SqliteOpenMode.ReadWriteCreate, Pooling = false }.ToString());
        file.Open();

        // The file is new, and dropped whole where anything fails: no journal is needed.
        Run(file, "PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; PRAGMA page_size = 8192;");
        using SqliteTransaction once = file.BeginTransaction();
        Run(file, Tables, once);
        int system = inPlane ? crs.EpsgCode ?? OwnSystem : Wgs84;
        Systems(file, once, crs, inPlane, system);
        bool heights = set.Lines.All(l => Enumerable.Range(0, l.Path.NumPoints).All(i => double.IsFinite(l.Path.CoordinateSequence.GetZ(i))));
        GeoPackageGeoWriter shapes = new() { HandleOrdinates = heights ? Ordinates.XYZ : Ordinates.XY };
        (Envelope extent, bool many) = Lines(file, once, set, crs, inPlane, system, shapes, cancellationToken);
        Describe(file, once, "lines", GuidanceNotes.Summary(set, crs), extent, system, many ? "MULTILINESTRING" : "LINESTRING", heights);
        Geometry? outline = set.Boundary is null ? null : inPlane ? InUnits(set.Boundary, crs) : Antimeridian.Cut(new PlanPlaces(crs, null).Of(set.Boundary));
        if (outline is not null)
        {
            Insert(file, once, "INSERT INTO field (geom, name) VALUES ($geom, $name)", ("$geom", Blob(new GeoPackageGeoWriter { HandleOrdinates = Ordinates.XY }, outline, system)), ("$name", set.FieldName));
        }

        Describe(file, once, "field", "The field's outline.", outline?.EnvelopeInternal ?? new Envelope(), system, "GEOMETRY", false);
        once.Commit();
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
                Blob(shapes, many ? shape : shape.GetGeometryN(0), system), line.Name, line.Sequence, line.Part, line.Parts, line.SourceId,
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

    private static void Systems(SqliteConnection file, SqliteTransaction once, GroundCrs crs, bool inPlane, int system)
    {
        const string add = "INSERT INTO gpkg_spatial_ref_sys VALUES ($name, $id, $organization, $code, $definition, $description)";
        Row("Undefined cartesian SRS", -1, "NONE", -1, "undefined", "undefined cartesian coordinate reference system");
        Row("Undefined geographic SRS", 0, "NONE", 0, "undefined", "undefined geographic coordinate reference system");
        Row("WGS 84", Wgs84, "EPSG", Wgs84, GroundCrs.FromEpsg(Wgs84).Wkt, "longitude and latitude in degrees on WGS 84");
        if (inPlane)
        {
            Row(crs.Name, system, crs.EpsgCode is null ? "NONE" : "EPSG", system, crs.Wkt, crs.DatumNote);
        }

        void Row(string name, int id, string organization, int code, string definition, string description) =>
            Insert(file, once, add, ("$name", name), ("$id", id), ("$organization", organization), ("$code", code), ("$definition", definition), ("$description", description));
    }

    private static void Describe(SqliteConnection file, SqliteTransaction once, string table, string description, Envelope extent, int system, string kind, bool heights)
    {
        bool empty = extent.IsNull;
        Insert(
            file,
            once,
            "INSERT INTO gpkg_contents VALUES ($table, 'features', $table, $description, '1980-01-01T00:00:00.000Z', $west, $south, $east, $north, $system)",
            ("$table", table),
            ("$description", description),
            ("$west", empty ? DBNull.Value : extent.MinX),
            ("$south", empty ? DBNull.Value : extent.MinY),
            ("$east", empty ? DBNull.Value : extent.MaxX),
            ("$north", empty ? DBNull.Value : extent.MaxY),
            ("$system", system));
        Insert(file, once, "INSERT INTO gpkg_geometry_columns VALUES ($table, 'geom', $kind, $system, $z, 0)", ("$table", table), ("$kind", kind), ("$system", system), ("$z", heights ? 1 : 0));
    }

    private static Geometry InUnits(Geometry shape, GroundCrs crs) =>
        crs.MetresPerUnit == 1 ? shape : NetTopologySuite.Geometries.Utilities.AffineTransformation.ScaleInstance(1 / crs.MetresPerUnit, 1 / crs.MetresPerUnit).Transform(shape);

    private static byte[] Blob(GeoPackageGeoWriter writer, Geometry shape, int system)
    {
        shape.SRID = system;
        return writer.Write(shape);
    }

    private static void Run(SqliteConnection file, string sql, SqliteTransaction? once = null)
    {
        using SqliteCommand command = file.CreateCommand();
        command.Transaction = once;
#pragma warning disable CA2100 // The text is ours.
        command.CommandText = sql;
#pragma warning restore CA2100
        command.ExecuteNonQuery();
    }

    private static void Insert(SqliteConnection file, SqliteTransaction once, string sql, params (string Name, object Value)[] values)
    {
        using SqliteCommand command = file.CreateCommand();
        command.Transaction = once;
#pragma warning disable CA2100 // The text is ours.
        command.CommandText = sql;
#pragma warning restore CA2100
        foreach ((string name, object value) in values)
        {
            command.Parameters.AddWithValue(name, value);
        }

        command.ExecuteNonQuery();
    }
}
