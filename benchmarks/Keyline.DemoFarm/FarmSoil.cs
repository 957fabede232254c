using System.Globalization;
using System.Text;
using System.Text.Json;
using Keyline.Formats;

namespace Keyline.DemoFarm;

/// <summary>An invented soil survey of the demo farm, and readings taken on it: all of it from formulas and a hash of numbers.</summary>
public static class FarmSoil
{

    // A later site holds where two overlap. Metres from the south-west corner of the ground.
    private static readonly (string Attributes, (double X, double Y)[] Outline)[] Sites =
    [
        ("name=red loam|texture=loam|sand_pct=42|clay_pct=21|rock_depth_cm=140|drainage=well|esp_pct=2|emerson_class=5|salinity_ds_m=0.6|cover_pct=62|organic_matter_pct=2.4|slope_pct=6", [(20, 10), (600, 10), (600, 480), (20, 480)]),
        ("name=stony crest|texture=sandy loam|rock_depth_cm=36|drainage=well|esp_pct=1|emerson_class=6|salinity_ds_m=0.3|cover_pct=48|slope_pct=4", [(180, 400), (440, 396), (446, 480), (170, 480)]),
        ("name=grey flat|texture=clay loam|rock_depth_cm=200|drainage=moderately well|esp_pct=11|emerson_class=3|salinity_ds_m=2.1|cover_pct=55|slope_pct=3", [(40, 60), (230, 40), (250, 150), (150, 190), (40, 180)]),
        ("name=hollow floor|texture=clay loam|rock_depth_cm=200|drainage=somewhat poor|esp_pct=3|emerson_class=5|salinity_ds_m=1.2|cover_pct=85|slope_pct=2", [(296, 40), (350, 40), (352, 170), (318, 220), (298, 170)]),
        ("name=bare slope|texture=loam|rock_depth_cm=90|drainage=well|esp_pct=4|emerson_class=5|salinity_ds_m=0.5|cover_pct=18|slope_pct=9", [(470, 250), (575, 240), (570, 350), (480, 360)]),
    ];

    /// <summary>Writes soil.geojson, penetrometer.csv, spade.csv and eca.csv.</summary>
    /// <param name="folder">Where to; must be there.</param>
    public static void Write(string folder)
    {
        GroundCrs crs = GroundCrs.FromEpsg(FarmGround.Epsg);
        WriteSites(Path.Combine(folder, "soil.geojson"), crs);
        File.WriteAllText(Path.Combine(folder, "penetrometer.csv"), Penetrometer(crs));
        File.WriteAllText(Path.Combine(folder, "spade.csv"), Spade(crs));
        File.WriteAllText(Path.Combine(folder, "eca.csv"), Conductivity(crs));
    }

    // The pan lies at 20 to 28 cm and is 8 to 16 cm thick, deeper to the east; on the grey flat it is thicker.
    private static (double Top, double Bottom) Pan(double x, double y)
    {
        double top = 23 + (3 * Math.Sin(x / 90)) + (2 * Math.Cos(y / 70));
        return (top, top + 10 + (4 * Math.Sin((x + y) / 110)) + (x < 230 && y < 180 ? 4 : 0));
    }

    private static string Penetrometer(GroundCrs crs)
    {
        StringBuilder text = new("point,longitude,latitude,depth_cm,pressure_kpa,moisture\n");
        for (int p = 0; p < 54; p++)
        {
            (double x, double y) = (80 + (470 * Chance(p, 1)), 75 + (350 * Chance(p, 2)));
            (double top, double bottom) = Pan(x, y);
            double shift = 3 * (Chance(p, 3) - 0.5);
            for (int depth = 5; depth <= 60; depth += 5)
            {
                double hard = 2600 / (1 + Math.Exp(-(depth - top - shift) / 1.6)) / (1 + Math.Exp((depth - bottom - shift) / 1.6));
                double kpa = 500 + (9 * depth) + hard + (120 * (Chance((100 * p) + depth, 4) - 0.5));
                kpa = p == 7 && depth == 50 ? 4200 : p == 30 ? kpa * 2.2 : kpa;
                text.Append(CultureInfo.InvariantCulture, $"P{p + 1},{FarmFiles.Place(crs, x, y)},{depth},{kpa:0},{(p == 30 ? "dry" : "moist")}\n");
            }
        }

        return text.ToString();
    }

    private static string Spade(GroundCrs crs)
    {
        StringBuilder text = new("point,longitude,latitude,texture,infiltration_mm_h,cover_pct,emerson_class,notes\n");
        for (int p = 0; p < 24; p++)
        {
            (double x, double y) = (85 + (460 * Chance(p, 5)), 80 + (340 * Chance(p, 6)));
            bool bare = x > 470 && y is > 240 and < 360;
            double cover = (bare ? 20 : 58) + (24 * (Chance(p, 7) - 0.5)), intake = 14 * Math.Exp(0.9 * (Chance(p, 8) + Chance(p, 9) - 1)) * (bare ? 0.4 : 1);
            text.Append(CultureInfo.InvariantCulture, $"S{p + 1},{FarmFiles.Place(crs, x, y)},{(x < 230 && y < 170 ? "clay loam" : "loam")},{(p % 2 == 0 ? intake.ToString("0.0", CultureInfo.InvariantCulture) : "")},{cover:0},{(p % 6 == 0 ? "5" : "")},{(p == 3 ? "\"roots turn sideways at 25 cm, plates\"" : "")}\n");
        }

        return text.ToString();
    }

    // Transects 20 m apart, a reading each 10 m; the first transect is driven again at the end. The instrument drifts upward.
    private static string Conductivity(GroundCrs crs)
    {
        StringBuilder text = new("longitude,latitude,eca_ms_m,temperature_c,time_min,pass\n");
        double minutes = 0;
        for (int line = 0; line <= 17; line++)
        {
            bool again = line == 17;
            double y = again ? 90 : 90 + (20 * line);
            for (int step = 0; step <= 46; step++)
            {
                double x = line % 2 == 0 || again ? 82 + (10 * step) : 542 - (10 * step);
                minutes += 0.15;
                double soil = 18 + (0.045 * (300 - Math.Min(x, 300))) + (9 * Math.Exp(-Math.Pow((x - 325) / 40, 2) - Math.Pow((y - 130) / 90, 2))) + (14 / (1 + Math.Exp((x - 210) / 18)) / (1 + Math.Exp((y - 165) / 12)));
                double read = (soil + (2 * (Chance((1000 * line) + step, 10) - 0.5)) + (1.2 * minutes / 60)) / (0.4470 + (1.4034 * Math.Exp(-17 / 26.815)));
                text.Append(CultureInfo.InvariantCulture, $"{FarmFiles.Place(crs, x, y)},{read:0.00},17.0,{minutes:0.00},{(again ? 2 : line == 0 ? 1 : 0)}\n");
            }
        }

        return text.ToString();
    }

    // A number from 0 to 1 of two others: the same everywhere.
    private static double Chance(int a, int b)
    {
        uint h = ((uint)a * 2_654_435_761) ^ ((uint)b * 2_246_822_519);
        h = (h ^ (h >> 15)) * 2_246_822_519;
        h = (h ^ (h >> 13)) * 3_266_489_917;
        return (h ^ (h >> 16)) / 4_294_967_296.0;
    }

    private static void WriteSites(string path, GroundCrs crs) =>
        FarmFiles.WriteFeatures(path, crs, Sites.Select(site => ((Action<Utf8JsonWriter>)(json => WriteAttributes(json, site.Attributes)), true, site.Outline)));

    private static void WriteAttributes(Utf8JsonWriter json, string attributes)
    {
        foreach (string[] pair in attributes.Split('|').Select(a => a.Split('=')))
        {
            if (double.TryParse(pair[1], NumberStyles.Float, CultureInfo.InvariantCulture, out double number))
            {
                json.WriteNumber(pair[0], number);
            }
            else
            {
                json.WriteString(pair[0], pair[1]);
            }
        }
    }
}
