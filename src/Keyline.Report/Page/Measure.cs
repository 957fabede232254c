using System.Globalization;

namespace Keyline.Report;

/// <summary>What a number of the report counts, which says the units it is shown in.</summary>
internal enum Unit
{
    /// <summary>A plain number.</summary>
    Number,

    /// <summary>Percent; given as a share from 0 to 1.</summary>
    Share,

    /// <summary>Percent; given in percent.</summary>
    Percent,

    /// <summary>Metres, feet.</summary>
    Length,

    /// <summary>Kilometres, miles; given in metres.</summary>
    Distance,

    /// <summary>Hectares, acres; given in square metres.</summary>
    Area,

    /// <summary>Square metres, square feet.</summary>
    SmallArea,

    /// <summary>Centimetres, inches; given in metres.</summary>
    Depth,

    /// <summary>Millimetres, inches of water; given in metres.</summary>
    Rain,

    /// <summary>Kilometres an hour, miles an hour.</summary>
    Speed,

    /// <summary>Degrees.</summary>
    Angle,

    /// <summary>Litres, US gallons.</summary>
    Fuel,

    /// <summary>Hours.</summary>
    Hours,

    /// <summary>Cubic metres, US gallons.</summary>
    Volume,

    /// <summary>Litres a second, cubic feet a second.</summary>
    Flow,

    /// <summary>Kilowatts, horsepower.</summary>
    Power,

    /// <summary>Kilonewtons, pounds of force.</summary>
    Force,

    /// <summary>A number for each kilometre or each mile; given for each kilometre.</summary>
    PerDistance,

    /// <summary>Money for each hectare or each acre; given for each hectare.</summary>
    PerArea,

    /// <summary>Metres a second, feet a second.</summary>
    WaterSpeed,

    /// <summary>Millimetres an hour, inches an hour.</summary>
    WaterRate,

    /// <summary>Kilograms a hectare, pounds an acre.</summary>
    MassForArea,

    /// <summary>Litres a hectare, gallons an acre.</summary>
    FuelForArea,
}

/// <summary>A number with what it counts. The page shows it in the reader's units and with the reader's decimal sign.</summary>
/// <param name="Unit">What it counts.</param>
/// <param name="Value">SI, or as <see cref="Unit"/> says; a number that is not finite is shown as a dash.</param>
/// <param name="Decimals">Digits after the decimal sign in metric units.</param>
internal readonly record struct Measure(Unit Unit, double Value, int Decimals)
{
    /// <summary>How near a whole number counts as one, in the unit shown: what is asked for in feet is kept in metres.</summary>
    private const double NearWhole = 0.01;

    private static readonly NumberFormatInfo English = Separated(".", ","), Spanish = Separated(",", ".");

    // The word that the page's script knows the unit by, its kind among the units of the house, and what one of the value counted is in SI.
    private static readonly Dictionary<Unit, (string Word, UnitKind? Kind, double Si, string Behind)> Metric = new()
    {
        [Unit.Number] = ("n", null, 1, ""),
        [Unit.Share] = ("pct", null, 1, " %"),
        [Unit.Percent] = ("pct", null, 1, " %"),
        [Unit.Length] = ("m", UnitKind.Length, 1, " m"),
        [Unit.Distance] = ("km", UnitKind.Way, 1, " km"),
        [Unit.Area] = ("ha", UnitKind.Area, 1, " ha"),
        [Unit.SmallArea] = ("m2", UnitKind.SmallArea, 1, " m²"),
        [Unit.Depth] = ("cm", UnitKind.SmallLength, 1, " cm"),
        [Unit.Rain] = ("mm", UnitKind.WaterDepth, 1, " mm"),
        [Unit.Speed] = ("kmh", UnitKind.Speed, 1 / 3.6, " km/h"),
        [Unit.Angle] = ("deg", null, 1, "°"),
        [Unit.Fuel] = ("l", UnitKind.Fuel, 0.001, " L"),
        [Unit.Hours] = ("h", null, 1, " h"),
        [Unit.Volume] = ("m3", UnitKind.WaterVolume, 1, " m³"),
        [Unit.Flow] = ("lps", UnitKind.WaterFlow, 0.001, " L/s"),
        [Unit.Power] = ("kw", UnitKind.Power, 1000, " kW"),
        [Unit.Force] = ("kn", UnitKind.Force, 1000, " kN"),
        [Unit.PerDistance] = ("pkm", UnitKind.ForEachWay, 0.001, "/km"),
        [Unit.PerArea] = ("pha", UnitKind.ForEachArea, 1e-4, "/ha"),
        [Unit.WaterSpeed] = ("mps", UnitKind.WaterSpeed, 1, " m/s"),
        [Unit.WaterRate] = ("mmh", UnitKind.WaterRate, 0.001 / 3600, " mm/h"),
        [Unit.MassForArea] = ("kgha", UnitKind.MassForArea, 1e-4, " kg/ha"),
        [Unit.FuelForArea] = ("lha", UnitKind.FuelForArea, 1e-7, " L/ha"),
    };

    private static readonly Dictionary<UnitKind, string> SpanishUs = new()
    {
        [UnitKind.Length] = " pies",
        [UnitKind.Area] = " acres",
        [UnitKind.SmallArea] = " pies²",
        [UnitKind.SmallLength] = " pulg",
        [UnitKind.WaterDepth] = " pulg",
        [UnitKind.WaterFlow] = " pies³/s",
        [UnitKind.ForEachArea] = "/acre",
        [UnitKind.WaterSpeed] = " pies/s",
        [UnitKind.WaterRate] = " pulg/h",
        [UnitKind.MassForArea] = " lb/acre",
        [UnitKind.FuelForArea] = " gal/acre",
    };

    private static readonly Lazy<IReadOnlyDictionary<string, object[][]>> Words = new(() => Units);

    /// <summary>For every word the metric and the US unit, for the script: what is put behind, the same in Spanish, the factor, more decimals.</summary>
    public static IReadOnlyDictionary<string, object[][]> Units => Metric.Values.DistinctBy(m => m.Word).ToDictionary(m => m.Word, m => m.Kind is not { } kind
        ? new object[][] { [m.Behind, m.Behind, 1.0, 0], [m.Behind, m.Behind, 1.0, 0] }
        : [[m.Behind, m.Behind, m.Si / UnitSystem.Metric.Size(kind), 0], [Us(kind), SpanishUs.TryGetValue(kind, out string? own) ? own : Us(kind), m.Si / UnitSystem.Us.Size(kind), UnitSystem.Us.MoreDecimals(kind)]]);

    /// <summary>The word that the page's script knows the unit by.</summary>
    public string Word => Metric[Unit].Word;

    /// <value>Whether a whole number in the reader's unit is shown without decimals: what was asked for is exact.</value>
    public bool IsAsked { get; init; }

    /// <summary>The same as something asked for.</summary>
    public Measure Asked => this with { IsAsked = true };

    /// <summary>A plain number.</summary>
    public static Measure Number(double value, int decimals = 0) => new(Unit.Number, value, decimals);

    /// <summary>A share from 0 to 1, shown in percent and rounded down, so that 100 % means all of it.</summary>
    public static Measure Share(double share, int decimals = 1)
    {
        double tens = Math.Pow(10, decimals);
        return new Measure(Unit.Share, Math.Floor((share * 100 * tens) + 1e-6) / tens, decimals);
    }

    /// <summary>A grade or slope in percent.</summary>
    public static Measure Percent(double percent, int decimals = 1) => new(Unit.Percent, percent, decimals);

    /// <summary>Metres.</summary>
    public static Measure Length(double metres, int decimals = 0) => new(Unit.Length, metres, decimals);

    /// <summary>Metres, shown in kilometres.</summary>
    public static Measure Distance(double metres) => new(Unit.Distance, metres, 1);

    /// <summary>Square metres, shown in hectares.</summary>
    public static Measure Area(double squareMetres, int decimals = 1) => new(Unit.Area, squareMetres, decimals);

    /// <summary>Metres of a finished sentence: whole feet where its digits stand for them, so that what was asked for in feet is told in feet.</summary>
    public static Measure Told(double metres, int decimals) => Length(UnitSystem.WholeFeet(metres, decimals) ?? metres, decimals).Asked;

    /// <summary>A number of a kind; null for a kind that the page does not show.</summary>
    /// <param name="kind">The kind.</param>
    /// <param name="value">SI.</param>
    /// <param name="decimals">Digits after the decimal sign in metric units.</param>
    public static Measure? Of(UnitKind kind, double value, int decimals)
    {
        foreach ((Unit unit, (_, UnitKind? known, double si, _)) in Metric)
        {
            if (known == kind)
            {
                // A pull is told as in its table: the standard leaves half of it open.
                return unit == Unit.Length ? Told(value, decimals) : new Measure(unit, value / si, unit == Unit.Force ? 0 : decimals);
            }
        }

        return null;
    }

    /// <summary>In metric units, for a reader whose browser runs no script.</summary>
    public string In(string language)
    {
        (_, UnitKind? kind, double si, string behind) = Metric[Unit];
        double shown = kind is { } k ? Value * si / UnitSystem.Metric.Size(k) : Value;
        int decimals = IsAsked && Math.Abs(shown - Math.Round(shown)) < NearWhole ? 0 : Decimals;
        return double.IsFinite(Value) ? shown.ToString("N" + decimals.ToString(CultureInfo.InvariantCulture), language == "es" ? Spanish : English) + behind : "–";
    }

    /// <summary>A number as the page's script shows it, for paper: in the reader's units, held together by spaces that do not break.</summary>
    /// <param name="word">The word that the script knows the unit by.</param>
    /// <param name="value">As <see cref="Unit"/> says.</param>
    /// <param name="decimals">Digits after the decimal sign in metric units.</param>
    /// <param name="isAsked">Whether a whole number is shown without decimals.</param>
    /// <param name="language">en or es.</param>
    /// <param name="isUs">In US units; Spanish has the decimal point with them.</param>
    public static string Shown(string word, double value, int decimals, bool isAsked, string language, bool isUs)
    {
        object[] unit = Words.Value[word][isUs ? 1 : 0];
        // Far more units than in metric, as gallons for cubic metres: rounded, so that no digit is made up. Feet stay whole.
        int more = (int)unit[3], fewer = Math.Max(0, -1 - decimals - more);
        double tens = Math.Pow(10, fewer), shown = value * (double)unit[2];
        more = isAsked && Math.Abs(shown - Math.Round(shown)) < NearWhole ? -decimals : more;
        string number = (fewer > 0 ? Math.Round(shown / tens, MidpointRounding.AwayFromZero) * tens : shown).ToString("N" + Math.Max(0, decimals + more).ToString(CultureInfo.InvariantCulture), language == "es" && !isUs ? Spanish : English);
        return number + ((string)unit[language == "es" ? 1 : 0]).Replace(' ', '\u00A0');
    }

    private static string Us(UnitKind kind) => (UnitSystem.Us.Symbol(kind)[0] == '/' ? "" : " ") + UnitSystem.Us.Symbol(kind).Replace('3', '³').Replace('2', '²');

    private static NumberFormatInfo Separated(string point, string group) => new() { NumberDecimalSeparator = point, NumberGroupSeparator = group, NumberNegativePattern = 1 };
}
