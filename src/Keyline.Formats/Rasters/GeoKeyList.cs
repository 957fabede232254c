using System.Text;
using ProjNet.CoordinateSystems;

namespace Keyline.Formats;

/// <summary>GeoTIFF keys being written.</summary>
/// <remarks>Source: OGC 19-008r4, GeoTIFF 1.1 (2019), section 7 and annex B; the keys each method takes as the list of
/// projection methods of the GeoTIFF 1.0 specification (Ritter and Ruth, 2000, section 6.3.3.3) names them.</remarks>
internal sealed class GeoKeyList
{
    /// <summary>Says that a system is described rather than named.</summary>
    public const int UserDefined = 32767;

    /// <summary>EPSG code of the metre.</summary>
    public const int MetreCode = 9001;

    private const int NumbersTag = 34736;
    private const int TextsTag = 34737;
    private const int DegreeCode = 9102;
    private readonly SortedDictionary<int, (int Place, int Count, int Value)> _keys = [];
    private readonly List<double> _numbers = [];
    private readonly StringBuilder _texts = new();

    /// <summary>The numbers that keys point to.</summary>
    public double[] Numbers => [.. _numbers];

    /// <summary>The texts that keys point to.</summary>
    public string Texts => _texts.ToString();

    public void Short(int key, int value) => _keys[key] = (0, 1, value);

    public void Double(int key, params ReadOnlySpan<double> values)
    {
        _keys[key] = (NumbersTag, values.Length, _numbers.Count);
        _numbers.AddRange(values);
    }

    public void Text(int key, string text)
    {
        // A bar ends a text here, and letters beyond ASCII are not allowed.
        string plain = new([.. text.Select(ch => ch is > '\x7e' or < ' ' or '|' ? '?' : ch)]);
        _keys[key] = (TextsTag, plain.Length + 1, _texts.Length);
        _texts.Append(plain).Append('|');
    }

    /// <summary>The directory of keys, in their order.</summary>
    public short[] Table() => [1, 1, 1, (short)_keys.Count, .. _keys.SelectMany(k => new[] { (short)k.Key, unchecked((short)k.Value.Place), (short)k.Value.Count, (short)k.Value.Value })];

    /// <summary>Describes a system that has no code.</summary>
    public void Describe(GroundCrs crs)
    {
        Geographic(crs);
        if (crs.IsGeographic || WktCrs.Parse(crs.Wkt) is not ProjectedCoordinateSystem system)
        {
            return;
        }

        Short(3072, UserDefined);
        Short(3074, UserDefined);
        Text(3073, crs.Name);
        Unit(crs.MetresPerUnit);
        IProjection projection = system.Projection;
        Dictionary<string, double> given = new(StringComparer.OrdinalIgnoreCase);
        for (int i = 0; i < projection.NumParameters; i++)
        {
            given[projection.GetParameter(i).Name] = projection.GetParameter(i).Value;
        }

        double Value(string name, double otherwise = 0) => given.GetValueOrDefault(name, otherwise);
        string method = projection.ClassName.Replace(' ', '_').ToUpperInvariant();
        bool lambert = method.StartsWith("LAMBERT", StringComparison.Ordinal);
        bool twoParallels = lambert && given.ContainsKey("standard_parallel_2") && given["standard_parallel_2"] != given.GetValueOrDefault("standard_parallel_1");
        Short(3075, method.StartsWith("ALBERS", StringComparison.Ordinal) ? 11 : twoParallels ? 8 : lambert ? 9 : method.Contains("STEREOGRAPHIC", StringComparison.Ordinal) ? 16 : 1);
        if (twoParallels || method.StartsWith("ALBERS", StringComparison.Ordinal))
        {
            Double(3078, Value("standard_parallel_1"));
            Double(3079, Value("standard_parallel_2"));
        }
        else
        {
            Double(3092, Value("scale_factor", 1));
        }

        double latitude = given.TryGetValue("latitude_of_origin", out double lat) ? lat : given.TryGetValue("latitude_of_center", out lat) ? lat : Value("standard_parallel_1");
        double longitude = given.TryGetValue("central_meridian", out double lon) ? lon : Value("longitude_of_center");
        (int longitudeKey, int latitudeKey, int eastKey, int northKey) = twoParallels ? (3084, 3085, 3086, 3087) : (3080, 3081, 3082, 3083);
        Double(longitudeKey, longitude);
        Double(latitudeKey, latitude);
        Double(eastKey, Value("false_easting"));
        Double(northKey, Value("false_northing"));
    }

    private void Geographic(GroundCrs crs)
    {
        GeographicEntry geographic = crs.Geographic;
        if (geographic.Code is > 0 and < UserDefined)
        {
            Short(2048, geographic.Code);
            return;
        }

        Short(2048, UserDefined);
        Short(2050, UserDefined);
        Short(2054, DegreeCode);
        Short(2056, UserDefined);
        Text(2049, geographic.Name);
        Double(2057, geographic.Shift.SemiMajor);
        Double(2059, geographic.Shift.InverseFlattening);
        Double(2062, geographic.Shift.Parameters);
    }

    private void Unit(double metres)
    {
        int code = LengthUnits.Same(metres, 1.0) ? MetreCode : LengthUnits.Same(metres, LengthUnits.SurveyFoot) ? 9003 : LengthUnits.Same(metres, LengthUnits.Foot) ? 9002 : UserDefined;
        Short(3076, code);
        if (code == UserDefined)
        {
            Double(3077, metres);
        }
    }
}
