using System.Globalization;
using System.Text;

namespace Keyline.Formats;

/// <summary>A geographic coordinate system with its shift to WGS 84.</summary>
/// <param name="Code">EPSG code; 0 where it came from a WKT text.</param>
/// <param name="Name">Its name.</param>
/// <param name="Datum">Name of its datum.</param>
/// <param name="Shift">The step from its datum to WGS 84.</param>
/// <param name="Accuracy">Published accuracy of the shift in metres.</param>
/// <param name="ShiftCode">EPSG code of the shift; 0 for none.</param>
internal sealed record GeographicEntry(int Code, string Name, string Datum, DatumShift Shift, double Accuracy, int ShiftCode);

/// <summary>A projected coordinate system of the embedded table.</summary>
/// <param name="Code">EPSG code.</param>
/// <param name="Name">Its name.</param>
/// <param name="Geographic">What it is projected from.</param>
/// <param name="MetresPerUnit">Metres in one unit of its coordinates.</param>
/// <param name="Method">T transverse Mercator, L1 and L2 Lambert conic with one and two parallels, A Albers, S oblique stereographic.</param>
/// <param name="Parameters">Degrees and metres in the order of the table's header.</param>
internal sealed record ProjectedEntry(int Code, string Name, GeographicEntry Geographic, double MetresPerUnit, string Method, double[] Parameters)
{
    /// <summary>The system as OGC WKT 1, in its own unit or in metres.</summary>
    public string ToWkt(bool inMetres)
    {
        double unit = inMetres ? 1.0 : MetresPerUnit;
        (string method, string[] names) = Method switch
        {
            "T" => ("Transverse_Mercator", OneParallel),
            "L1" => ("Lambert_Conformal_Conic_1SP", OneParallel),
            "S" => ("Oblique_Stereographic", OneParallel),
            "L2" => ("Lambert_Conformal_Conic_2SP", TwoParallels),
            _ => ("Albers_Conic_Equal_Area", TwoParallels),
        };
        StringBuilder wkt = new();
        wkt.Append(CultureInfo.InvariantCulture, $"PROJCS[\"{Name}\",{EpsgTable.GeographicWkt(Geographic)},PROJECTION[\"{method}\"]");
        for (int i = 0; i < names.Length; i++)
        {
            double value = i >= names.Length - 2 ? Parameters[i] / unit : Parameters[i];
            wkt.Append(CultureInfo.InvariantCulture, $",PARAMETER[\"{names[i]}\",{value:R}]");
        }

        string unitName = unit == 1.0 ? "metre" : LengthUnits.NameOf(unit);
        wkt.Append(CultureInfo.InvariantCulture, $",UNIT[\"{unitName}\",{unit:R}],AXIS[\"Easting\",EAST],AXIS[\"Northing\",NORTH],AUTHORITY[\"EPSG\",\"{Code}\"]]");
        return wkt.ToString();
    }

    private static readonly string[] OneParallel = ["latitude_of_origin", "central_meridian", "scale_factor", "false_easting", "false_northing"];
    private static readonly string[] TwoParallels = ["latitude_of_origin", "central_meridian", "standard_parallel_1", "standard_parallel_2", "false_easting", "false_northing"];
}

/// <summary>Coordinate systems carried with the library, read once from an embedded text.</summary>
/// <remarks>
/// <para>Source: EPSG Geodetic Parameter Dataset v10.076 (International Association of Oil and Gas Producers).</para>
/// <para>Only systems whose datum has one published shift to WGS 84 are in it: where several regional shifts compete
/// (NAD27, ED50) a choice would be a guess of up to tens of metres.</para>
/// </remarks>
internal static class EpsgTable
{
    private static readonly Lazy<Tables> Loaded = new(Load);

    /// <summary>The projected system of a code, or null.</summary>
    public static ProjectedEntry? Projected(int code) => Loaded.Value.Projected.GetValueOrDefault(code);

    /// <summary>The geographic system of a code, or null.</summary>
    public static GeographicEntry? Geographic(int code) => Loaded.Value.Geographic.GetValueOrDefault(code);

    /// <summary>The projected system of this name, in whichever spelling, or null where none or several have it.</summary>
    public static ProjectedEntry? ProjectedNamed(string name) => Loaded.Value.ByName.GetValueOrDefault(Plain(name));

    /// <summary>The geographic system on a datum of this name, in whichever spelling, or null.</summary>
    public static GeographicEntry? ByDatumName(string name) => Loaded.Value.ByDatum.GetValueOrDefault(Plain(name));

    /// <summary>A geographic system as OGC WKT 1, in degrees from Greenwich.</summary>
    public static string GeographicWkt(GeographicEntry g)
    {
        double[] p = g.Shift.Parameters;
        string authority = g.Code > 0 ? FormattableString.Invariant($",AUTHORITY[\"EPSG\",\"{g.Code}\"]") : "";
        return FormattableString.Invariant($"GEOGCS[\"{g.Name}\",DATUM[\"{g.Datum.Replace(' ', '_')}\",SPHEROID[\"{g.Datum}\",{g.Shift.SemiMajor:R},{g.Shift.InverseFlattening:R}],")
            + FormattableString.Invariant($"TOWGS84[{p[0]:R},{p[1]:R},{p[2]:R},{p[3]:R},{p[4]:R},{p[5]:R},{p[6]:R}]],PRIMEM[\"Greenwich\",0],UNIT[\"degree\",0.0174532925199433]{authority}]");
    }

    private static Tables Load()
    {
        using Stream stream = typeof(EpsgTable).Assembly.GetManifestResourceStream("Keyline.Formats.epsg.txt")
            ?? throw new InvalidOperationException("The table of coordinate systems is missing from the assembly.");
        using StreamReader reader = new(stream, Encoding.UTF8);
        Tables tables = new([], [], [], []);
        while (reader.ReadLine() is { } line)
        {
            string[] part = line.Split('|');
            if (part[0] == "G")
            {
                double[] shift = Array.ConvertAll(part[6..13], Number);
                GeographicEntry entry = new(Integer(part[1]), part[2], part[3], new DatumShift(Number(part[4]), Number(part[5]), shift), Number(part[13]), Integer(part[14]));
                tables.Geographic.Add(entry.Code, entry);
                foreach (string name in part[15].Split(';').Append(part[3]).Append(part[2]).Where(n => n.Length > 0))
                {
                    tables.ByDatum.TryAdd(Plain(name), entry);
                }
            }
            else if (part[0] == "P")
            {
                int code = Integer(part[1]);
                ProjectedEntry entry = new(code, part[2], tables.Geographic[Integer(part[3])], Number(part[4]), part[5], Array.ConvertAll(part[6..], Number));
                tables.Projected.Add(code, entry);
                string plain = Plain(entry.Name);
                tables.ByName[plain] = tables.ByName.ContainsKey(plain) ? null : entry;
            }
        }

        return tables;
    }

    private static string Plain(string name)
    {
        string plain = new(name.Where(char.IsLetterOrDigit).Select(char.ToUpperInvariant).ToArray());
        return name.StartsWith("D_", StringComparison.OrdinalIgnoreCase) ? plain[1..] : plain;
    }

    private static double Number(string text) => double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture);

    private static int Integer(string text) => int.Parse(text, NumberStyles.Integer, CultureInfo.InvariantCulture);

    private sealed record Tables(Dictionary<int, GeographicEntry> Geographic, Dictionary<int, ProjectedEntry> Projected, Dictionary<string, GeographicEntry> ByDatum, Dictionary<string, ProjectedEntry?> ByName);
}
