using System.Text.Json;
using System.Xml.Linq;
using Keyline.Check;
using Keyline.Formats.Tests.Support;
using Microsoft.Data.Sqlite;
using NetTopologySuite.Geometries;
using NetTopologySuite.IO;
using NetTopologySuite.IO.Converters;

namespace Keyline.Formats.Tests.Plans;

/// <summary>The plan's GeoPackage says what its GeoJSON says, table by table, and every table that is drawn has a style.</summary>
public sealed class PlanGeoPackageTests : IDisposable
{
    private readonly string _root = Directory.CreateTempSubdirectory("keyline-plan-gpkg-").FullName;

    public void Dispose() => Directory.Delete(_root, recursive: true);

    [Fact]
    public void EveryFeature_IsInTheTableOfItsKind_WithItsShapeAndAttributes()
    {
        (KeylinePlan plan, GroundCrs crs, PlanProvenance provenance) = (SmallPlan.Make(), GroundCrs.FromEpsg(32610), new PlanProvenance("1.2.3", [], []));
        string path = Path.Combine(_root, "plan.gpkg");
        IReadOnlyList<Terrain.ContourLine> contours = Terrain.ContourLines.Trace(plan.Smoothed, [Math.Round((double)plan.Smoothed.HeightAt(plan.Field.Boundary.Centroid.X, plan.Field.Boundary.Centroid.Y), 1)]);
        Assert.NotEmpty(contours);
        SetOut.StakedLine staked = SetOut.Staking.Along("G1", plan.Layout.Lines[0].Line, new SetOut.SetOutOptions());
        PlanGeoPackage.Write(path, plan, crs, provenance, contours, [StakeFiles.Table([staked], crs)], TestContext.Current.CancellationToken);

        using MemoryStream text = new();
        PlanGeoJson.Write(text, plan, crs, provenance, TestContext.Current.CancellationToken);
        JsonElement[] features = [.. JsonDocument.Parse(text.ToArray()).RootElement.GetProperty("features").EnumerateArray()];
        using SqliteConnection file = new($"Data Source={path};Mode=ReadOnly;Pooling=False");
        file.Open();
        JsonSerializerOptions shapes = new() { Converters = { new GeoJsonConverterFactory() } };
        Assert.True(features.Length > 10);
        Assert.Equal(features.Length, features.Select(f => f.GetProperty("properties").GetProperty("kind").GetString()!.Replace('-', '_')).Distinct().Sum(t => (int)Count(file, t)));
        foreach (JsonElement feature in features)
        {
            JsonElement properties = feature.GetProperty("properties");
            string table = properties.GetProperty("kind").GetString()!.Replace('-', '_');
            Dictionary<string, object> row = Row(file, table, properties.GetProperty("id").GetString()!);
            Geometry shape = JsonSerializer.Deserialize<Geometry>(feature.GetProperty("geometry").GetRawText(), shapes)!;
            Assert.True(new GeoPackageGeoReader().Read((byte[])row["geom"]).EqualsExact(shape), table);
            foreach (JsonProperty property in properties.EnumerateObject().Where(p => p.Name != "kind"))
            {
                object expected = property.Value.ValueKind switch
                {
                    JsonValueKind.Number => property.Value.GetDouble(),
                    JsonValueKind.True => 1L,
                    JsonValueKind.False => 0L,
                    JsonValueKind.Null => DBNull.Value,
                    _ => property.Value.GetString()!,
                };
                Assert.Equal(expected, row[property.Name]);
            }
        }

        Assert.Equal(contours.Count, Count(file, "contour"));
        Assert.Equal(staked.Stakes.Count, Count(file, "stake"));
        Dictionary<string, object> stake = Row(file, "stake", staked.Stakes[1].Name);
        Assert.Equal(("G1", Math.Round(staked.Stakes[1].Station, 2)), (stake["line"], stake["distance_m"]));
        Assert.Equal(Math.Round(staked.Stakes[1].Place.Z, 3), stake["planned_height_m"]);
        (double lon, double lat) = crs.ToLonLat(staked.Stakes[1].Place.X, staked.Stakes[1].Place.Y);
        Geometry place = new GeoPackageGeoReader().Read((byte[])stake["geom"]);
        Assert.Equal((lon, lat), (place.Coordinate.X, place.Coordinate.Y), (a, b) => Math.Abs(a.Item1 - b.Item1) + Math.Abs(a.Item2 - b.Item2) < 1e-7);
        Assert.Contains("stake", PlanStyles.Names);
        Findings(plan, file, crs);
        Assert.All(features.Select(f => f.GetProperty("properties").GetProperty("kind").GetString()!.Replace('-', '_')).Distinct(), table => Assert.Contains(table, PlanStyles.Names));
    }

    private static void Findings(KeylinePlan plan, SqliteConnection file, GroundCrs crs)
    {
        Assert.Contains(plan.Layout.Findings, f => f.BreaksLimit);
        Assert.Equal(plan.Layout.Findings.Count, Count(file, "finding"));
        using SqliteCommand command = file.CreateCommand();
        command.CommandText = "SELECT geom, line, breaks_limit, value, sentence FROM finding ORDER BY fid";
        using SqliteDataReader reader = command.ExecuteReader();
        foreach (LayoutFinding finding in plan.Layout.Findings)
        {
            Assert.True(reader.Read());
            Coordinate place = new GeoPackageGeoReader().Read((byte[])reader[0]).Coordinate;
            (double lon, double lat) = crs.ToLonLat(finding.X, finding.Y);
            Assert.Equal((lon, lat), (place.X, place.Y));
            Assert.Equal((finding.LineId, finding.BreaksLimit ? 1L : 0L, finding.Sentence), (reader.GetString(1), reader.GetInt64(2), reader.GetString(4)));
            Assert.Equal(double.IsFinite(finding.Value) ? Math.Round(finding.Value, 4) : DBNull.Value, reader[3]);
        }
    }

    private static long Count(SqliteConnection file, string table)
    {
        using SqliteCommand command = file.CreateCommand();
#pragma warning disable CA2100 // The text is ours.
        command.CommandText = $"SELECT count(*) FROM \"{table}\"";
#pragma warning restore CA2100
        return (long)command.ExecuteScalar()!;
    }

    private static Dictionary<string, object> Row(SqliteConnection file, string table, string id)
    {
        using SqliteCommand command = file.CreateCommand();
#pragma warning disable CA2100 // The text is ours.
        command.CommandText = $"SELECT * FROM \"{table}\" WHERE id = $id";
#pragma warning restore CA2100
        command.Parameters.AddWithValue("$id", id);
        using SqliteDataReader reader = command.ExecuteReader();
        Assert.True(reader.Read(), table + " " + id);
        return Enumerable.Range(0, reader.FieldCount).ToDictionary(reader.GetName, reader.GetValue);
    }

    [Fact]
    public void EveryStyle_NamesItsTable_AndColumnsThatAreThere()
    {
        (KeylinePlan plan, GroundCrs crs, PlanProvenance provenance) = (SmallPlan.Make(), GroundCrs.FromEpsg(32610), new PlanProvenance("1.2.3", [], []));
        string path = Path.Combine(_root, "plan.gpkg");
        PlanGeoPackage.Write(path, plan, crs, provenance, [], [], TestContext.Current.CancellationToken);
        using SqliteConnection file = new($"Data Source={path};Mode=ReadOnly;Pooling=False");
        file.Open();
        XNamespace sld = "http://www.opengis.net/sld", ogc = "http://www.opengis.net/ogc";
        int columns = 0;
        foreach (string table in PlanStyles.Names)
        {
            using MemoryStream stream = new();
            PlanStyles.Write(stream, table);
            XDocument style = XDocument.Parse(System.Text.Encoding.UTF8.GetString(stream.ToArray()));
            Assert.Equal(sld + "StyledLayerDescriptor", style.Root!.Name);
            Assert.Equal(table, style.Descendants(sld + "NamedLayer").Single().Element(sld + "Name")!.Value);
            Assert.NotEmpty(style.Descendants(sld + "Rule"));
            Assert.All(style.Descendants(sld + "Rule"), rule => Assert.Contains(rule.Elements(), e => e.Name.LocalName.EndsWith("Symbolizer", StringComparison.Ordinal)));
            using SqliteCommand command = file.CreateCommand();
            command.CommandText = "SELECT name FROM pragma_table_info($table)";
            command.Parameters.AddWithValue("$table", table);
            using SqliteDataReader reader = command.ExecuteReader();
            List<string> names = [];
            while (reader.Read())
            {
                names.Add(reader.GetString(0));
            }

            foreach (string property in names.Count > 0 ? style.Descendants(ogc + "PropertyName").Select(p => p.Value) : [])
            {
                Assert.Contains(property, names);
                columns++;
            }
        }

        Assert.True(columns > 5);
        Assert.Throws<ArgumentException>(() => PlanStyles.Write(new MemoryStream(), "roads"));
    }
}
