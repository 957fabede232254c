using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;

namespace Keyline.Formats;

/// <summary>The GeoTIFF keys of an image: coordinate system, units, and whether coordinates mean centres or corners of cells.</summary>
/// <remarks>Source: OGC 19-008r4, GeoTIFF 1.1 (2019), sections 7 and annex B.</remarks>
internal sealed partial class GeoKeys
{
    private const int UserDefined = 32767;
    private readonly Dictionary<int, int> _shorts = [];
    private readonly Dictionary<int, double[]> _doubles = [];
    private readonly Dictionary<int, string> _texts = [];

    private GeoKeys()
    {
    }

    /// <summary>Whether the file has any keys.</summary>
    public bool IsEmpty => _shorts.Count + _doubles.Count + _texts.Count == 0;

    /// <summary>Whether tie points name the centres of cells (PixelIsPoint).</summary>
    public bool IsPoint => Short(1025) == 2;

    /// <summary>Metres in a unit of projected coordinates as the keys have it; NaN where they are silent.</summary>
    public double MetresPerUnit
    {
        get
        {
            int code = Short(3076);
            return code == UserDefined ? Double(3077, double.NaN) : LengthUnits.FromEpsg(code);
        }
    }

    /// <summary>Metres in a unit of height as the keys have it; NaN where they are silent.</summary>
    public double MetresPerHeightUnit
    {
        get
        {
            int code = Short(4099);
            if (code > 0 && !double.IsNaN(LengthUnits.FromEpsg(code)))
            {
                return LengthUnits.FromEpsg(code);
            }

            // Vertical systems by their EPSG codes: those in feet are few. Codes from 5001 to 5199 are GeoTIFF 1.0's own
            // and say nothing of the unit; 5754 is in a foot of its own.
            return Short(4096) switch
            {
                < 3855 or (> 5000 and < 5200) or 5754 or >= UserDefined => double.NaN,
                5702 or 6360 or 8052 => LengthUnits.SurveyFoot,
                6130 or 6131 or 6132 or 8050 or 8228 => LengthUnits.Foot,
                _ => 1.0,
            };
        }
    }

    /// <summary>What the heights are counted from, as far as the keys say; null where they are silent.</summary>
    public string? VerticalDatum
    {
        get
        {
            // Names of the EPSG dataset v10.076 for the systems that national elevation comes in.
            string? name = Short(4096) switch
            {
                5702 or 5703 or 6360 or 8228 => "NAVD88",
                3855 => "EGM2008",
                5773 => "EGM96",
                5798 => "EGM84",
                5701 => "ODN (Newlyn)",
                5711 => "AHD",
                5720 or 5719 => "NGF-IGN69",
                5783 => "DHHN92",
                7837 => "DHHN2016",
                5621 or 9389 => "EVRF",
                5709 => "NAP",
                5713 => "CGVD28",
                6647 => "CGVD2013",
                7839 => "NZVD2016",
                8690 => "SVS2010",
                _ => null,
            };
            return name ?? (_texts.GetValueOrDefault(4097) is { Length: > 0 } citation ? citation : null);
        }
    }

    public static GeoKeys Read(TiffDirectory tags)
    {
        GeoKeys keys = new();
        long[] table = tags.Integers(34735);
        double[] doubles = tags.Doubles(34736);
        string text = tags.Text(34737);
        for (int i = 4; i + 3 < table.Length; i += 4)
        {
            int key = (int)table[i], place = (int)table[i + 1], count = (int)table[i + 2], at = (int)table[i + 3];
            if (place == 0)
            {
                keys._shorts[key] = at;
            }
            else if (place == 34736 && at + count <= doubles.Length)
            {
                keys._doubles[key] = doubles[at..(at + count)];
            }
            else if (place == 34737 && at + count <= text.Length + 1)
            {
                keys._texts[key] = text.Substring(at, Math.Min(count, text.Length - at)).TrimEnd('|', '\0');
            }
        }

        return keys;
    }

    /// <summary>The coordinate system the keys describe, or null where they describe none.</summary>
    /// <exception cref="GroundDataException">They describe one that cannot be used.</exception>
    public GroundCrs? ToCrs()
    {
        int model = Short(1024), projected = Short(3072), geographic = Short(2048);
        if (projected is > 0 and < UserDefined)
        {
            return GroundCrs.FromEpsg(projected);
        }

        string citation = string.Join(' ', _texts.GetValueOrDefault(1026, ""), _texts.GetValueOrDefault(3073, ""), _texts.GetValueOrDefault(2049, ""));
        int pe = citation.IndexOf("PROJCS[", StringComparison.Ordinal);
        if (pe >= 0)
        {
            return GroundCrs.FromWkt(citation[pe..(citation.LastIndexOf(']') + 1)]);
        }

        if (model == 1 || projected == UserDefined)
        {
            bool nameOnly = Short(3075) == 0 && Short(3074) is 0 or UserDefined;
            return nameOnly && NamedByCitation(citation) is { } code ? GroundCrs.FromEpsg(code) : GroundCrs.FromWkt(ProjectedWkt());
        }

        if (model == 2 || geographic > 0)
        {
            return geographic is > 0 and < UserDefined ? GroundCrs.FromEpsg(geographic) : GroundCrs.FromWkt(GeographicWkt());
        }

        return model == 3 ? throw new GroundDataException("It is in geocentric coordinates: reproject the elevation to the UTM zone of the field.") : null;
    }

    // A file may tell its system in words alone: by its name in the EPSG dataset, or as a UTM zone on the datum of its keys.
    private int? NamedByCitation(string citation)
    {
        foreach (string part in citation.Split(['|', '=', '\n', ';']))
        {
            if (EpsgTable.ProjectedNamed(part) is { } named)
            {
                return named.Code;
            }
        }

        Match zone = UtmWords().Match(citation);
        return zone.Success && EpsgTable.Geographic(Short(2048)) is { } geographic
            ? EpsgTable.ProjectedNamed($"{geographic.Name} / UTM zone {zone.Groups[1].Value}{zone.Groups[2].Value[..1].ToUpperInvariant()}")?.Code
            : null;
    }

    [GeneratedRegex(@"UTM\s+zone\s+(\d{1,2})\s*,?\s*(N|S|Northern|Southern)\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex UtmWords();

    private string ProjectedWkt()
    {
        int conversion = Short(3074);
        (string method, (string Name, double Value)[] parameters) = conversion switch
        {
            >= 16001 and <= 16060 => ("Transverse_Mercator", Utm(conversion - 16000, 0)),
            >= 16101 and <= 16160 => ("Transverse_Mercator", Utm(conversion - 16100, 10_000_000)),
            _ => Short(3075) switch
            {
                1 => ("Transverse_Mercator", OneParallel()),
                9 => ("Lambert_Conformal_Conic_1SP", OneParallel()),
                16 => ("Oblique_Stereographic", OneParallel()),
                8 => ("Lambert_Conformal_Conic_2SP", TwoParallels()),
                11 => ("Albers_Conic_Equal_Area", TwoParallels()),
                0 => throw new GroundDataException("Its coordinate system has no code and no parameters: reproject the elevation to the UTM zone of the field, or say which system it is in."),
                int other => throw new GroundDataException(FormattableString.Invariant(
                    $"Its projection (GeoTIFF method {other}) is not one this program works in: reproject the elevation to the UTM zone of the field.")),
            },
        };
        double unit = double.IsNaN(MetresPerUnit) ? 1.0 : MetresPerUnit;
        StringBuilder wkt = new();
        string name = _texts.GetValueOrDefault(3073) ?? _texts.GetValueOrDefault(1026) ?? "unnamed";
        wkt.Append(CultureInfo.InvariantCulture, $"PROJCS[\"{Plain(name)}\",{GeographicWkt()},PROJECTION[\"{method}\"]");
        foreach ((string parameter, double value) in parameters)
        {
            wkt.Append(CultureInfo.InvariantCulture, $",PARAMETER[\"{parameter}\",{value:R}]");
        }

        wkt.Append(CultureInfo.InvariantCulture, $",UNIT[\"{LengthUnits.NameOf(unit)}\",{unit:R}]]");
        return wkt.ToString();
    }

    private static (string Name, double Value)[] Utm(int zone, double north) =>
        [("latitude_of_origin", 0), ("central_meridian", (6 * zone) - 183), ("scale_factor", 0.9996), ("false_easting", 500_000), ("false_northing", north)];

    private (string Name, double Value)[] OneParallel() =>
    [
        ("latitude_of_origin", First(0, 3081, 3089, 3085)), ("central_meridian", First(0, 3080, 3088, 3084)), ("scale_factor", First(1, 3092, 3093)),
        ("false_easting", First(0, 3082, 3086, 3090)), ("false_northing", First(0, 3083, 3087, 3091)),
    ];

    private (string Name, double Value)[] TwoParallels() =>
    [
        ("latitude_of_origin", First(0, 3085, 3081, 3089)), ("central_meridian", First(0, 3084, 3080, 3088)), ("standard_parallel_1", First(0, 3078)), ("standard_parallel_2", First(0, 3079)),
        ("false_easting", First(0, 3086, 3082)), ("false_northing", First(0, 3087, 3083)),
    ];

    private string GeographicWkt()
    {
        int code = Short(2048);
        if (code is > 0 and < UserDefined)
        {
            return EpsgTable.Geographic(code) is { } known
                ? EpsgTable.GeographicWkt(known)
                : throw new GroundDataException(FormattableString.Invariant(
                    $"Its datum (EPSG:{code}) has no shift to WGS 84 known to this program: reproject the elevation to the UTM zone of the field (WGS 84, NAD83 or ETRS89)."));
        }

        int unit = Short(2054);
        string datum = _texts.GetValueOrDefault(2049) ?? "unnamed";
        int datumCode = Short(2050);
        if (unit is not (0 or 9102) || !(Double(2057, double.NaN) > 0 || datumCode > 0))
        {
            throw new GroundDataException("Its datum is not described well enough to bring it to WGS 84: reproject the elevation to the UTM zone of the field.");
        }

        // Datum codes stand 2000 above the codes of their plain geographic systems in the EPSG set of that age.
        if (datumCode is > 6000 and < 7000 && EpsgTable.Geographic(datumCode - 2000) is { } named)
        {
            return EpsgTable.GeographicWkt(named);
        }

        double a = Double(2057, double.NaN), inverse = Double(2059, double.NaN);
        double minor = Double(2058, double.NaN);
        inverse = double.IsNaN(inverse) ? (a == minor ? 0 : a / (a - minor)) : inverse;
        double[] shift = _doubles.GetValueOrDefault(2062, []);
        string towgs84 = shift.Length is 3 or 7
            ? ",TOWGS84[" + string.Join(',', shift.Concat(new double[7 - shift.Length]).Select(v => v.ToString("R", CultureInfo.InvariantCulture))) + "]"
            : "";
        return FormattableString.Invariant($"GEOGCS[\"{Plain(datum)}\",DATUM[\"{Plain(datum)}\",SPHEROID[\"unnamed\",{a:R},{inverse:R}]{towgs84}],PRIMEM[\"Greenwich\",{Double(2061, 0):R}],UNIT[\"degree\",0.0174532925199433]]");
    }

    private static string Plain(string name) => name.Replace('"', ' ').Replace('\n', ' ').Replace('\r', ' ').Trim();

    private double First(double otherwise, params ReadOnlySpan<int> keys)
    {
        foreach (int key in keys)
        {
            if (_doubles.ContainsKey(key) || _shorts.ContainsKey(key))
            {
                return Double(key, otherwise);
            }
        }

        return otherwise;
    }

    private int Short(int key) => _shorts.GetValueOrDefault(key);

    private double Double(int key, double otherwise) =>
        _doubles.TryGetValue(key, out double[]? v) && v.Length > 0 ? v[0] : _shorts.TryGetValue(key, out int s) ? s : otherwise;
}
