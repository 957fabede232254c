namespace Keyline.Water;

/// <summary>A column of a weather table with what takes its numbers to the library's units.</summary>
internal readonly record struct WeatherColumn(int At, double Factor, double Offset, string Name)
{
    public bool Given => At >= 0;

    public double Of(CsvTable table, int row) => Given ? (table.NumberOrNone(row, At) * Factor) + Offset : double.NaN;
}

/// <summary>Finds the columns of a weather table by what their heads say.</summary>
internal sealed class WeatherColumns
{
    private const double Inch = 0.0254;
    private const double Millimetre = 0.001;

    private static readonly string[] Rains = ["rain", "rainfall", "precipitation", "precip"];

    // Degrees Fahrenheit to Celsius: (F - 32) 5 / 9.
    private static readonly (string Unit, double Factor, double Offset)[] Temperatures = [("c", 1, 0), ("f", 5.0 / 9, -32 * 5.0 / 9)];
    private static readonly (string Unit, double Factor, double Offset)[] Depths = [("mm", Millimetre, 0), ("in", Inch, 0), ("inches", Inch, 0)];
    private static readonly (string Unit, double Factor, double Offset)[] Percents = [("pct", 0.01, 0), ("percent", 0.01, 0)];
    private static readonly (string Unit, double Factor, double Offset)[] Speeds = [("m_s", 1, 0), ("km_h", 1 / 3.6, 0), ("mph", 0.44704, 0)];
    private static readonly (string Unit, double Factor, double Offset)[] Radiations = [("mj_m2", 1, 0), ("w_m2", 0.0864, 0)];
    private static readonly (string Unit, double Factor, double Offset)[] Hours = [("h", 1, 0), ("hours", 1, 0)];

    private readonly string[] _heads;
    private readonly string _name;
    private readonly HashSet<int> _used = [];

    public WeatherColumns(CsvTable table, string name)
    {
        _name = name;
        _heads = [.. table.Head.Select(Plain)];
        Date = Need("date");
        Rain = Find(Rains, Depths, "mm or in, as rain_mm");
        Reference = Find(["et0", "eto"], Depths, "mm or in, as et0_mm");
        Coldest = Find(["tmin", "temperature_min"], Temperatures, "c or f, as tmin_c");
        Warmest = Find(["tmax", "temperature_max"], Temperatures, "c or f, as tmax_c");
        Humidity = Find(["humidity", "humidity_mean"], Percents, "pct, as humidity_pct");
        HumidityMost = Find(["humidity_max"], Percents, "pct, as humidity_max_pct");
        HumidityLeast = Find(["humidity_min"], Percents, "pct, as humidity_min_pct");
        Wind = Find(["wind"], Speeds, "m_s, km_h or mph, as wind_m_s");
        Radiation = Find(["radiation"], Radiations, "mj_m2 or w_m2, as radiation_mj_m2");
        Sun = Find(["sun", "sunshine"], Hours, "h, as sun_h");
        if (!Rain.Given)
        {
            throw new GroundDataException($"{name}: it has no column of rain: name it rain_mm or rain_in (found: {string.Join(", ", table.Head)}).");
        }

        if (!Reference.Given && !(Coldest.Given && Warmest.Given))
        {
            throw new GroundDataException($"{name}: evapotranspiration cannot be told: give tmin_c and tmax_c (or _f), or et0_mm (found: {string.Join(", ", table.Head)}).");
        }

        Unused = [.. table.Head.Where((_, i) => !_used.Contains(i))];
    }

    public int Date { get; }

    public WeatherColumn Rain { get; }

    public WeatherColumn Reference { get; }

    public WeatherColumn Coldest { get; }

    public WeatherColumn Warmest { get; }

    public WeatherColumn Humidity { get; }

    public WeatherColumn HumidityMost { get; }

    public WeatherColumn HumidityLeast { get; }

    public WeatherColumn Wind { get; }

    public WeatherColumn Radiation { get; }

    public WeatherColumn Sun { get; }

    public IReadOnlyList<string> Unused { get; }

    // "Rain (mm)" and "rain_mm" are the same head.
    private static string Plain(string head) => string.Join('_', head.ToLowerInvariant().Split([' ', '(', ')', '[', ']', '/', '-', '_', '.'], StringSplitOptions.RemoveEmptyEntries)).Replace("%", "pct", StringComparison.Ordinal).Replace("°", "", StringComparison.Ordinal);

    private int Need(string head)
    {
        int at = Array.IndexOf(_heads, head);
        _used.Add(at);
        return at >= 0 ? at : throw new GroundDataException($"{_name}: it has no column {head} (found: {string.Join(", ", _heads)}).");
    }

    private WeatherColumn Find(string[] names, (string Unit, double Factor, double Offset)[] units, string wanted)
    {
        WeatherColumn found = new(-1, 1, 0, names[0]);
        for (int i = 0; i < _heads.Length; i++)
        {
            if (names.Contains(_heads[i]))
            {
                throw new GroundDataException($"{_name}: the column \"{_heads[i]}\" says no unit: write {wanted}.");
            }

            foreach ((string unit, double factor, double offset) in units)
            {
                if (!names.Any(n => _heads[i] == $"{n}_{unit}"))
                {
                    continue;
                }

                if (found.Given)
                {
                    throw new GroundDataException($"{_name}: the columns \"{_heads[found.At]}\" and \"{_heads[i]}\" say the same thing: leave one out.");
                }

                found = new WeatherColumn(i, factor, offset, _heads[i]);
                _used.Add(i);
            }
        }

        return found;
    }
}
