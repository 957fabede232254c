using System.Text;
using Keyline.Fieldwork;
using Keyline.Formats;
using Keyline.Water;

namespace Keyline.Fuzzing;

/// <summary>Files of the job around the lines: machines, soil, weather, storms, trials, records, layers of many fields, folders of tiles.</summary>
internal static class LaterKinds
{
    private const string Ring = "[[-122.0,36.0],[-121.99,36.0],[-121.99,36.01],[-122.0,36.01],[-122.0,36.0]]";
    private static readonly GroundCrs Utm = GroundCrs.FromEpsg(32610);

    public static IReadOnlyList<Kind> All { get; } =
    [
        new("machines", Texts(
            "{\"name\": \"Two legs\", \"tractor\": {\"power\": \"90 kW\", \"power_at\": \"pto\", \"drive\": \"front-assist\", \"mass\": \"6 t\", \"width\": \"2.3 m\"}, \"implement\": {\"shanks\": 2, \"shank_spacing\": \"0.7 m\", \"depth\": \"45 cm\"}, \"speed\": {\"slowest\": \"3 km/h\", \"fastest\": \"6 km/h\"}, \"max_side_slope\": 12}",
            "{\"tractor\": {\"power\": \"270 hp\"}, \"implement\": {\"shanks\": 5, \"shank_spacing\": \"20 in\", \"depth\": \"18 in\"}}"), s => MachineFile.Read(s, "f")) { IsBehind = true },
        new("soil zones", Texts("{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"properties\":{\"name\":\"low\",\"texture\":\"clay-loam\",\"sand_pct\":30,\"clay_pct\":34,\"rock_depth_cm\":90,\"drainage\":\"poor\",\"esp_pct\":8,\"emerson_class\":3,\"cover_pct\":55,\"slope_pct\":4},\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[" + Ring + "]}}]}"), Zones) { IsBehind = true },
        new("soil readings", Texts(
            "point,longitude,latitude,depth_cm,pressure_kpa,moisture\nP1,-121.995,36.005,5,604,moist\nP1,-121.995,36.005,10,805,moist\nP2,-121.994,36.005,5,1604,dry\n",
            "point,longitude,latitude,texture,infiltration_mm_h,cover_pct,emerson_class,notes\nS1,-121.995,36.005,loam,15.4,68,5,\nS2,-121.993,36.004,clay loam,,60,,gravel\n",
            "longitude,latitude,eca_ms_m,temperature_c,time_min,pass\n-121.995,36.005,35.3,17,0.15,1\n-121.9949,36.005,35,17,0.3,1\n"), Readings) { IsBehind = true },
        new("weather", Texts(
            "date,rain_mm,tmin_c,tmax_c\n2001-07-14,0,14.8,26.6\n2001-07-15,3.2,13,25\n2001-07-16,0,12,24\n",
            "date,rain_in,tmin_f,tmax_f,humidity_pct,wind_mph,sun_h\n2001-07-14,0,58,80,61,5,9\n2001-07-15,0.4,57,81,70,6,2\n",
            "# station\ndate,rain_mm,et0_mm\n2004-02-28,1,2\n2004-02-29,0,2.5\n2004-03-01,12,1\n"), s => WeatherCsv.Read(Text(s), "f", new WeatherSite { Latitude = 0.8, Height = 200 })) { IsBehind = true },
        new("storms", Texts("minute,mm\n0,0\n10,2\n20,8\n30,5\n", "minute,total_mm\n0,0\n15,4\n30,16\n60,20\n"), s => HyetographCsv.Read(Text(s), "f")) { IsBehind = true },
        new("rain tables", Texts("duration_min,y2,y10,y100\n10,8,14,22\n60,18,31,50\n1440,48,80,120\n"), s => RainTable.Read(Text(s), "f")) { IsBehind = true },
        new("trials", Texts("{\"format\":1,\"kind\":\"randomised\",\"field\":\"Top\",\"effect\":1.3,\"seed\":7,\"treatments\":[{\"id\":\"U\",\"text\":\"left\",\"control\":true},{\"id\":\"R\",\"text\":\"ripped\",\"control\":false}],\"plots\":[{\"id\":\"B1U\",\"block\":1,\"treatment\":\"U\",\"split\":\"\"},{\"id\":\"B1R\",\"block\":1,\"treatment\":\"R\",\"split\":\"\"}],\"points\":[{\"id\":\"B1U-1\",\"plot\":\"B1U\",\"kind\":\"fixed\",\"on_rip\":false}]}"), s => TrialFile.Read(s, "f")) { IsBehind = true },
        new("records", Texts("{\"format\":1,\"field\":\"Top\",\"work\":[{\"date\":\"2027-04-10\",\"what\":\"ripped\",\"depth_cm\":40,\"moisture\":\"crumbles\",\"note\":\"\"}]}"), s => FieldRecord.Read(s, "f")) { IsBehind = true },
        new("layers of fields", Texts("{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"id\":3,\"properties\":{\"name\":\"Top\",\"spacing\":\"10 ft\",\"max_grade\":2},\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[" + Ring + "]}},{\"type\":\"Feature\",\"properties\":{\"name\":\"Low\"},\"geometry\":{\"type\":\"MultiPolygon\",\"coordinates\":[[" + Ring + "]]}}]}"), s => FieldLayer.Read(s, "f", "name")) { IsBehind = true },
        new("located services", Texts("{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"properties\":{\"name\":\"gas main\",\"diameter_m\":0.3},\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[-122,36],[-121.99,36.01]]}}]}"), s => LocatedServices.Read(s, "f", Utm, 0.6, 3)) { IsBehind = true },
        new("folders of tiles", Texts("ncols 4\nnrows 3\nxllcorner 600000\nyllcorner 4000000\ncellsize 10\nNODATA_value -1\n1 2 3 4\n4 5 -1 7\n8 9 10 11.5\n"), Tiles) { IsBehind = true },
    ];

    private static IReadOnlyList<SoilSite> Zones(Stream stream) => SiteReader.Read(AttributedFile.ReadGeoJson(stream, "f").On(Utm).Select(s => new SiteRecord(s.Shape, s.Values, s.Where)), null, []);

    private static SoilReadings Readings(Stream stream) => ReadingsReader.Read(AttributedFile.ReadTable(stream, "f").On(Utm).Select(s => new SiteRecord(s.Shape, s.Values, s.Where)), 2e6);

    // The damaged tile between two sound ones that touch where it should.
    private static ElevationSource Tiles(Stream stream)
    {
        string folder = Directory.CreateTempSubdirectory("keyline-fuzz-").FullName;
        try
        {
            File.WriteAllText(Path.Combine(folder, "a.asc"), "ncols 4\nnrows 3\nxllcorner 599960\nyllcorner 4000000\ncellsize 10\n1 2 3 4\n4 5 6 7\n8 9 10 11.5\n");
            using (FileStream tile = File.Create(Path.Combine(folder, "b.asc")))
            {
                stream.CopyTo(tile);
            }

            File.WriteAllText(Path.Combine(folder, "c.asc"), "ncols 4\nnrows 3\nxllcorner 600040\nyllcorner 4000000\ncellsize 10\n5 6 7 8\n8 9 10 11\n12 13 14 15\n");
            return ElevationReader.Read(folder, new ElevationReadOptions { Crs = Utm, MaximumCells = Kind.MaximumCells });
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static StreamReader Text(Stream stream) => new(stream, Encoding.UTF8);

    private static byte[][] Texts(params string[] texts) => Array.ConvertAll(texts, Encoding.UTF8.GetBytes);
}
