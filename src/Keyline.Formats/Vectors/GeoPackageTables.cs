using Microsoft.Data.Sqlite;
using NetTopologySuite.Geometries;
using NetTopologySuite.IO;

namespace Keyline.Formats;

/// <summary>One table of features for a GeoPackage.</summary>
/// <param name="Name">The table's name: lower-case letters, digits and underscores.</param>
/// <param name="Description">What it holds.</param>
/// <param name="Columns">Its columns beside the shape: the name, and <c>TEXT</c>, <c>REAL</c> or <c>INTEGER</c>.</param>
/// <param name="Rows">For each feature its shape and a value for each column: text, a number, or null for none.</param>
public sealed record FeatureTable(string Name, string Description, IReadOnlyList<(string Name, string Type)> Columns, IReadOnlyList<(Geometry Shape, IReadOnlyList<object?> Values)> Rows);

/// <summary>Writes tables of features in longitude and latitude as a GeoPackage; styles are left to the reader.</summary>
/// <remarks>
/// <para>Units: WGS 84 degrees. Heights are written where a shape has them.</para>
/// <para>Promises: the time of the last change is always 1 January 1980, so that the same tables give the same bytes.</para>
/// <para>Cost: proportional to what is written.</para>
/// <para>Source: OGC 12-128r18, GeoPackage 1.3 (2021); shapes are written by NetTopologySuite.IO.GeoPackage, the file by SQLite.</para>
/// </remarks>
public static class GeoPackageTables
{
    /// <summary>Writes the file.</summary>
    /// <param name="path">The file; it must not exist yet.</param>
    /// <param name="tables">The tables, at least one; names must differ.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="ArgumentException">No table, or a name that is none.</exception>
    /// <exception cref="IOException">The file is there already, or cannot be written.</exception>
    public static void Write(string path, IReadOnlyList<FeatureTable> tables, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(tables);
        if (tables.Count == 0 || tables.Any(t => !IsName(t.Name) || !t.Columns.All(c => IsName(c.Name) && c.Type is "TEXT" or "REAL" or "INTEGER")))
        {
            throw new ArgumentException("A GeoPackage needs tables and columns with plain names and types of their own.", nameof(tables));
        }

        GeoPackageFile.Create(path, (file, once) =>
        {
            GeoPackageFile.AddSystems(file, once);
            foreach (FeatureTable table in tables)
            {
                Write(file, once, table, cancellationToken);
            }
        });
    }

    private static bool IsName(string name) => name.Length > 0 && char.IsAsciiLetterLower(name[0]) && name.All(c => char.IsAsciiLetterLower(c) || char.IsAsciiDigit(c) || c == '_') && name is not ("fid" or "geom");

    private static void Write(SqliteConnection file, SqliteTransaction once, FeatureTable table, CancellationToken cancellationToken)
    {
        string[] names = [.. table.Columns.Select(c => c.Name)];
        GeoPackageFile.Run(file, $"CREATE TABLE \"{table.Name}\" (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, geom BLOB{string.Concat(table.Columns.Select(c => $", \"{c.Name}\" {c.Type}"))})", once);
        bool heights = table.Rows.Count > 0 && table.Rows.All(r => r.Shape.Coordinates.All(c => double.IsFinite(c.Z)));
        GeoPackageGeoWriter shapes = new() { HandleOrdinates = heights ? Ordinates.XYZ : Ordinates.XY };
        using SqliteCommand command = file.CreateCommand();
        command.Transaction = once;
#pragma warning disable CA2100 // Names were checked to be plain.
        command.CommandText = $"INSERT INTO \"{table.Name}\" (geom{string.Concat(names.Select(n => $", \"{n}\""))}) VALUES ($geom{string.Concat(names.Select((_, i) => FormattableString.Invariant($", $p{i}")))})";
#pragma warning restore CA2100
        SqliteParameter geom = command.Parameters.AddWithValue("$geom", DBNull.Value);
        SqliteParameter[] p = [.. names.Select((_, i) => command.Parameters.AddWithValue(FormattableString.Invariant($"$p{i}"), DBNull.Value))];
        command.Prepare();
        Envelope extent = new();
        foreach ((Geometry shape, IReadOnlyList<object?> values) in table.Rows)
        {
            cancellationToken.ThrowIfCancellationRequested();
            extent.ExpandToInclude(shape.EnvelopeInternal);
            geom.Value = GeoPackageFile.Blob(shapes, shape, GeoPackageFile.Wgs84);
            for (int i = 0; i < p.Length; i++)
            {
                // Numbers that are none have no place in a database.
                p[i].Value = values[i] is null or double.NaN ? DBNull.Value : values[i];
            }

            command.ExecuteNonQuery();
        }

        string[] kinds = [.. table.Rows.Select(r => r.Shape.GeometryType.ToUpperInvariant()).Distinct()];
        GeoPackageFile.Describe(file, once, table.Name, table.Description, extent, GeoPackageFile.Wgs84, kinds.Length == 1 ? kinds[0] : "GEOMETRY", heights);
    }
}
