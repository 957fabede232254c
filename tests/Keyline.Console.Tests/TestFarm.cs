using System.Globalization;
using System.Text;
using Keyline.Formats;

namespace Keyline.Console.Tests;

/// <summary>A small made farm in files of its own: 140 by 110 cells of 2 m with one valley and two ridges, in UTM 10N.</summary>
internal sealed class TestFarm : IDisposable
{
    public const int Columns = 140;
    public const int Rows = 110;
    public const double Cell = 2;
    public const double West = 600_000;
    public const double South = 4_100_000;

    // OGC WKT 1 as ESRI writes it in .prj files.
    private const string Utm10 = """PROJCS["WGS_1984_UTM_Zone_10N",GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",-123.0],PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]""";

    public TestFarm()
    {
        Folder = Directory.CreateTempSubdirectory("keyline-test-").FullName;
        WriteDem("dem.asc", Height);
        WriteField("field.geojson", [(30, 30), (250, 30), (250, 190), (30, 190)]);
        File.WriteAllText(At("avoid.geojson"), Feature("Polygon", Ring([(120, 60), (135, 60), (135, 75), (120, 75)]), """{"setback_m": 5, "name": "Dam"}"""));
    }

    public string Folder { get; }

    public string Dem => At("dem.asc");

    public string Field => At("field.geojson");

    public string Avoid => At("avoid.geojson");

    public string Out => At("out");

    public string At(string name) => Path.Combine(Folder, name);

    /// <summary>A valley down the middle, falling south, 5 to 8 % steep.</summary>
    public static double Height(double x, double y) => 100 + (0.06 * y) + (0.0001 * y * y) - (2 * Math.Cos(2 * Math.PI * (x - 140) / 200)) + 1;

    /// <summary>Writes an ESRI ASCII grid with its .prj.</summary>
    /// <param name="name">File name.</param>
    /// <param name="height">Height at metres east and north of the south-west corner; NaN for missing.</param>
    /// <param name="prj">Whether to write the .prj.</param>
    public string WriteDem(string name, Func<double, double, double> height, bool prj = true)
    {
        StringBuilder text = new();
        text.Append(CultureInfo.InvariantCulture, $"ncols {Columns}\nnrows {Rows}\nxllcorner {West}\nyllcorner {South}\ncellsize {Cell}\nNODATA_value -9999\n");
        for (int row = 0; row < Rows; row++)
        {
            for (int column = 0; column < Columns; column++)
            {
                double z = height((column + 0.5) * Cell, (Rows - row - 0.5) * Cell);
                text.Append(double.IsNaN(z) ? "-9999" : z.ToString("F3", CultureInfo.InvariantCulture)).Append(column + 1 < Columns ? ' ' : '\n');
            }
        }

        File.WriteAllText(At(name), text.ToString());
        if (prj)
        {
            File.WriteAllText(At(Path.ChangeExtension(name, ".prj")), Utm10);
        }

        return At(name);
    }

    /// <summary>Writes a field from corners in metres east and north of the south-west corner.</summary>
    public string WriteField(string name, (double East, double North)[] corners)
    {
        File.WriteAllText(At(name), Feature("Polygon", Ring(corners), "{}"));
        return At(name);
    }

    public string Write(string name, string text)
    {
        File.WriteAllText(At(name), text);
        return At(name);
    }

    public static string Feature(string type, string coordinates, string properties) =>
        $$"""{"type":"FeatureCollection","features":[{"type":"Feature","properties":{{properties}},"geometry":{"type":"{{type}}","coordinates":{{coordinates}} } }]}""";

    public static string Ring((double East, double North)[] corners) => "[" + Line([.. corners, corners[0]]) + "]";

    public static string Line((double East, double North)[] points) => "[" + string.Join(",", points.Select(p => Place(p.East, p.North))) + "]";

    /// <summary>A GeoJSON position in longitude and latitude.</summary>
    public static string Place(double east, double north)
    {
        (double longitude, double latitude) = GroundCrs.FromEpsg(32610).ToLonLat(West + east, South + north);
        return string.Create(CultureInfo.InvariantCulture, $"[{longitude:F9},{latitude:F9}]");
    }

    /// <summary>The words of a plan with everything given.</summary>
    public string[] Plan(params string[] more) =>
        ["plan", "--dem", Dem, "--field", Field, "--avoid", Avoid, "--spacing", "6 m", "--out", Out, .. more];

    /// <summary>The words of a plan with one option changed.</summary>
    public string[] PlanWith(string flag, string value)
    {
        List<string> words = [.. Plan()];
        int at = words.IndexOf(flag);
        if (at >= 0)
        {
            words[at + 1] = value;
        }
        else
        {
            words.AddRange([flag, value]);
        }

        return [.. words];
    }

    /// <summary>Names of everything in the folder, for checking that nothing was left.</summary>
    public string[] Contents() => [.. Directory.EnumerateFileSystemEntries(Folder, "*", SearchOption.AllDirectories).Select(p => Path.GetRelativePath(Folder, p)).Order(StringComparer.Ordinal)];

    public void Dispose() => Directory.Delete(Folder, recursive: true);
}
