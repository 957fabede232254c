using Microsoft.Data.Sqlite;
using NetTopologySuite.Geometries;
using NetTopologySuite.IO;

namespace Keyline.Formats.Tests.Vectors;

/// <summary>Tables of features are stored as the standard says. Source: OGC 12-128r18, GeoPackage 1.3 (2021), requirements 2, 10 to 32.</summary>
public sealed class GeoPackageTablesTests : IDisposable
{
    private readonly string _root = Directory.CreateTempSubdirectory("keyline-gpkg-").FullName;

    public void Dispose() => Directory.Delete(_root, recursive: true);

    private static FeatureTable Table(string name = "fields") => new(
        name,
        "Two fields.",
        [("name", "TEXT"), ("area_ha", "REAL"), ("lines", "INTEGER")],
        [(Box(1), ["a 'quoted'", 2.5, 7]), (Box(2), [null, double.NaN, 8])]);

    private static Polygon Box(double west) => new(new LinearRing([new(west, 50), new(west + 1, 50), new(west + 1, 51), new(west, 50)]));

    [Fact]
    public void Rows_ComeBack_WithTheirShapesAndNothingForNoNumber()
    {
        string path = Path.Combine(_root, "a.gpkg");
        GeoPackageTables.Write(path, [Table(), Table("others") with { Rows = [] }]);
        using SqliteConnection file = new($"Data Source={path};Mode=ReadOnly;Pooling=False");
        file.Open();
        Assert.Equal("1196444487|10300", Text(file, "SELECT (SELECT * FROM pragma_application_id) || '|' || (SELECT * FROM pragma_user_version)"));
        Assert.Equal("ok", Text(file, "PRAGMA integrity_check"));
        Assert.Equal("features|4326|1.0|50.0|3.0|51.0", Text(file, "SELECT data_type || '|' || srs_id || '|' || min_x || '|' || min_y || '|' || max_x || '|' || max_y FROM gpkg_contents WHERE table_name = 'fields'"));
        Assert.Equal("geom|POLYGON|0|0", Text(file, "SELECT column_name || '|' || geometry_type_name || '|' || z || '|' || m FROM gpkg_geometry_columns WHERE table_name = 'fields'"));
        Assert.Equal("", Text(file, "SELECT coalesce(min_x, '') FROM gpkg_contents WHERE table_name = 'others'"));
        Assert.Equal("a 'quoted'|2.5|7", Text(file, "SELECT name || '|' || area_ha || '|' || lines FROM fields WHERE fid = 1"));
        Assert.Equal("1", Text(file, "SELECT name IS NULL AND area_ha IS NULL AND lines = 8 FROM fields WHERE fid = 2"));
        using SqliteCommand command = file.CreateCommand();
        command.CommandText = "SELECT geom FROM fields WHERE fid = 2";
        byte[] stored = (byte[])command.ExecuteScalar()!;
        Assert.True(new GeoPackageGeoReader().Read(stored).EqualsExact(Box(2)));

        // Clause 2.1.3: "GP", version, flags, and the reference system in the byte order the flags name.
        Assert.Equal("GP"u8.ToArray(), stored[..2]);
        Assert.Equal(4326, (stored[3] & 1) == 1 ? System.Buffers.Binary.BinaryPrimitives.ReadInt32LittleEndian(stored.AsSpan(4)) : System.Buffers.Binary.BinaryPrimitives.ReadInt32BigEndian(stored.AsSpan(4)));
    }

    private static string Text(SqliteConnection file, string sql)
    {
        using SqliteCommand command = file.CreateCommand();
#pragma warning disable CA2100 // The text is ours.
        command.CommandText = sql;
#pragma warning restore CA2100
        return Convert.ToString(command.ExecuteScalar(), System.Globalization.CultureInfo.InvariantCulture)!;
    }

    [Fact]
    public void TheSameTables_GiveTheSameBytes()
    {
        string one = Path.Combine(_root, "1.gpkg"), two = Path.Combine(_root, "2.gpkg");
        GeoPackageTables.Write(one, [Table()]);
        GeoPackageTables.Write(two, [Table()]);
        Assert.Equal(File.ReadAllBytes(one), File.ReadAllBytes(two));
        Assert.Throws<IOException>(() => GeoPackageTables.Write(one, [Table()]));
    }

    [Theory]
    [InlineData("Fields")]
    [InlineData("drop table")]
    [InlineData("1st")]
    [InlineData("")]
    [InlineData("geom")]
    public void ANameThatIsNone_IsRefused(string name) => Assert.Throws<ArgumentException>(() => GeoPackageTables.Write(Path.Combine(_root, "a.gpkg"), [Table(name)]));
}
