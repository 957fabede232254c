using Microsoft.Data.Sqlite;
using NetTopologySuite.Geometries;
using NetTopologySuite.IO;

namespace Keyline.Formats;

/// <summary>A GeoPackage being written: what every table of features needs.</summary>
/// <remarks>Source: OGC 12-128r18, GeoPackage 1.3 (2021).</remarks>
internal static class GeoPackageFile
{
    /// <summary>Longitude and latitude.</summary>
    public const int Wgs84 = 4326;

    // What the systems themselves call it, so that callers tell it as any other full disk.
    private const int SqliteFull = 13;
    private const int DiskFullUnix = 28;
    private const int DiskFullWindows = unchecked((int)0x80070070);

    private const string Tables = """
        PRAGMA application_id = 1196444487;
        PRAGMA user_version = 10300;
        CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT NOT NULL, srs_id INTEGER NOT NULL PRIMARY KEY, organization TEXT NOT NULL, organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT);
        CREATE TABLE gpkg_contents (table_name TEXT NOT NULL PRIMARY KEY, data_type TEXT NOT NULL, identifier TEXT UNIQUE, description TEXT DEFAULT '', last_change DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')), min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER, CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id));
        CREATE TABLE gpkg_geometry_columns (table_name TEXT NOT NULL, column_name TEXT NOT NULL, geometry_type_name TEXT NOT NULL, srs_id INTEGER NOT NULL, z TINYINT NOT NULL, m TINYINT NOT NULL, CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name), CONSTRAINT uk_gc_table_name UNIQUE (table_name), CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name), CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys (srs_id));
        """;

    static GeoPackageFile() => SQLitePCL.Batteries_V2.Init();

    /// <summary>Makes a file, whole or with what the writing threw.</summary>
    /// <param name="path">The file; it must not exist yet.</param>
    /// <param name="write">Writes its tables.</param>
    /// <exception cref="IOException">The file is there already, or cannot be written.</exception>
    public static void Create(string path, Action<SqliteConnection, SqliteTransaction> write)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        if (File.Exists(path))
        {
            throw new IOException($"The file {path} exists already.");
        }

        try
        {
            using SqliteConnection file = new(new SqliteConnectionStringBuilder { DataSource = path, Mode = SqliteOpenMode.ReadWriteCreate, Pooling = false }.ToString());
            file.Open();

            // The file is new, and dropped whole where anything fails: no journal is needed.
            Run(file, "PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; PRAGMA page_size = 8192;");
            using SqliteTransaction once = file.BeginTransaction();
            Run(file, Tables, once);
            write(file, once);
            once.Commit();
        }
        catch (SqliteException e)
        {
            throw e.SqliteErrorCode == SqliteFull
                ? new IOException($"The disk is full: {path} could not be written.", OperatingSystem.IsWindows() ? DiskFullWindows : DiskFullUnix)
                : new IOException($"The file {path} could not be written ({e.Message.TrimEnd('.')}).", e);
        }
    }

    /// <summary>Adds the reference systems that every file has, and one of its own.</summary>
    public static void AddSystems(SqliteConnection file, SqliteTransaction once, GroundCrs? crs = null, int system = Wgs84)
    {
        const string add = "INSERT INTO gpkg_spatial_ref_sys VALUES ($name, $id, $organization, $code, $definition, $description)";
        Row("Undefined cartesian SRS", -1, "NONE", -1, "undefined", "undefined cartesian coordinate reference system");
        Row("Undefined geographic SRS", 0, "NONE", 0, "undefined", "undefined geographic coordinate reference system");
        Row("WGS 84", Wgs84, "EPSG", Wgs84, GroundCrs.FromEpsg(Wgs84).Wkt, "longitude and latitude in degrees on WGS 84");
        if (crs is not null)
        {
            Row(crs.Name, system, crs.EpsgCode is null ? "NONE" : "EPSG", system, crs.Wkt, crs.DatumNote);
        }

        void Row(string name, int id, string organization, int code, string definition, string description) =>
            Insert(file, once, add, ("$name", name), ("$id", id), ("$organization", organization), ("$code", code), ("$definition", definition), ("$description", description));
    }

    /// <summary>Says what a table holds.</summary>
    public static void Describe(SqliteConnection file, SqliteTransaction once, string table, string description, Envelope extent, int system, string kind, bool heights)
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

    /// <summary>A shape as the standard stores it.</summary>
    public static byte[] Blob(GeoPackageGeoWriter writer, Geometry shape, int system)
    {
        shape.SRID = system;
        return writer.Write(shape);
    }

    /// <summary>Runs statements.</summary>
    public static void Run(SqliteConnection file, string sql, SqliteTransaction? once = null)
    {
        using SqliteCommand command = file.CreateCommand();
        command.Transaction = once;
#pragma warning disable CA2100 // The text is ours.
        command.CommandText = sql;
#pragma warning restore CA2100
        command.ExecuteNonQuery();
    }

    /// <summary>Adds a row.</summary>
    public static void Insert(SqliteConnection file, SqliteTransaction once, string sql, params (string Name, object Value)[] values)
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
