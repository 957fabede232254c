using System.Text.Json;
using System.Text.RegularExpressions;
using Keyline.Elevation;
using Keyline.Formats;
using Keyline.Field;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.PublicApi.Tests;

/// <summary>docs/formats.md is a contract: it lists the kinds and properties of plan.geojson that are written, and no others.</summary>
public sealed partial class DocumentedFormatsTests
{
    private static readonly string[] Numbers =
        ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen"];

    private static string Section { get; } = PlanSection();

    // What the page says of the order of features.
    private static string[] ListedKinds { get; } = [.. Word().Matches(Regex.Match(Section, @"Features come in this order:(.*?);", RegexOptions.Singleline).Groups[1].Value).Select(m => m.Groups[1].Value)];

    [Fact]
    public void PlanGeoJson_CountsTheKindsItLists()
    {
        Assert.Equal(ListedKinds.Distinct(), ListedKinds);
        Assert.Contains($"one of the {Numbers[ListedKinds.Length]} kinds above", Section, StringComparison.Ordinal);
    }

    [Fact]
    public void PlanGeoJson_WritesTheKindsAndPropertiesListed_InTheOrderSaid()
    {
        // The demo farm with outlets and a gate has every kind but one: its keypoints lie too far apart in height to share a keyline.
        string Farm(string name) => Checkout.PathOf("testdata", "farms", "three-hollows", name);
        ElevationSource dem = ElevationReader.Read(Farm("dem.tif"));
        FieldArea read = FieldReader.ReadField(Farm("field.geojson"), dem.Crs, FieldReader.ReadAvoided(Farm("avoid.geojson"), dem.Crs));
        Coordinate gate = read.Boundary.Coordinate;
        FieldArea farm = new(read.Boundary, read.Avoided, read.Name) { Gate = gate, Outlets = new LineString([gate, read.Boundary.Centroid.Coordinate]) };

        // Three combes side by side, 200 m from crest to crest, whose floors of 10 % break to 4 % at one height.
        const double west = 500_000, north = 4_000_000;
        ElevationGrid combes = ElevationGrid.Copy(
            new GridFrame(rows: 300, columns: 300, cellSize: 2, west, north),
            [.. from row in Enumerable.Range(0, 300) from column in Enumerable.Range(0, 300) select (float)Combe((2 * column) - 299, 299 - (2 * row))]);
        FieldArea middle = new(GeometryFactory.Default.ToGeometry(new Envelope(west + 200, west + 400, north - 400, north - 250)));
        static double Combe(double x, double y) => 100 + (3 * (1 - Math.Cos(2 * Math.PI * x / 200))) + (y * (y > 0 ? 0.10 : 0.04));

        Dictionary<string, SortedSet<string>> written = [];
        Read(dem.Grid, farm);
        Read(combes, middle);
        Assert.Equal(ListedKinds.Order(StringComparer.Ordinal), written.Keys.Order(StringComparer.Ordinal));
        void Read(ElevationGrid ground, FieldArea field)
        {
            KeylinePlan plan = KeylinePlanner.Design(ground, field, new LayoutOptions { Spacing = 6 });
            using MemoryStream stream = new();
            PlanGeoJson.Write(stream, plan, dem.Crs, new PlanProvenance("test", []));
            using JsonDocument json = JsonDocument.Parse(stream.ToArray());
            List<string> order = [];
            foreach (JsonElement properties in json.RootElement.GetProperty("features").EnumerateArray().Select(f => f.GetProperty("properties")))
            {
                string kind = properties.GetProperty("kind").GetString()!;
                if (order.Count == 0 || order[^1] != kind)
                {
                    order.Add(kind);
                }

                written.TryAdd(kind, []);
                written[kind].UnionWith(properties.EnumerateObject().Select(p => p.Name).Where(p => p is not ("kind" or "id")));
            }

            Assert.Equal(ListedKinds.Where(order.Contains), order);
        }

        foreach ((string kind, SortedSet<string> properties) in written)
        {
            Assert.Equal(properties, Documented(kind == "lesser-break" ? "keypoint" : kind));
        }
    }

    // Names in the first cells of the kind's table; where it has none, those in the sentences about it.
    private static SortedSet<string> Documented(string kind)
    {
        Match about = Regex.Match(Section, $@"\*\*{kind}\*\*(.*?)(?=\*\*[a-z]|\z)", RegexOptions.Singleline);
        Assert.True(about.Success, $"docs/formats.md says nothing of {kind}.");
        string[] cells = [.. Regex.Matches(about.Value, @"^\| (`[^|]*) \|", RegexOptions.Multiline).Select(m => m.Groups[1].Value)];
        string names = cells.Length > 0 ? string.Join(' ', cells) : Regex.Replace(about.Value, @"`null`|\([^)`]*`[^)]*\)", "");
        return [.. Word().Matches(names).Select(m => m.Groups[1].Value)];
    }

    private static string PlanSection()
    {
        string page = File.ReadAllText(Checkout.PathOf("docs", "formats.md")).ReplaceLineEndings("\n");
        int begin = page.IndexOf("### plan.geojson", StringComparison.Ordinal);
        return page[begin..page.IndexOf("### plan.json", begin, StringComparison.Ordinal)];
    }

    [GeneratedRegex("`([a-z0-9_-]+)`")]
    private static partial Regex Word();
}
