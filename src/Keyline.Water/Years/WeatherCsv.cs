using System.Globalization;

namespace Keyline.Water;

/// <summary>Reads daily weather from a table.</summary>
/// <remarks>
/// <para>Units: as the head of each column says: <c>date</c> (year-month-day), <c>rain_mm</c> or <c>rain_in</c>, <c>tmin_c</c> and <c>tmax_c</c> (or
/// <c>_f</c>), and where known <c>humidity_pct</c> (or <c>humidity_max_pct</c> and <c>humidity_min_pct</c>), <c>wind_m_s</c> (<c>km_h</c>, <c>mph</c>),
/// <c>radiation_mj_m2</c> (<c>w_m2</c>) or <c>sun_h</c>; or <c>et0_mm</c> (<c>et0_in</c>) instead.</para>
/// <para>Promises: days in order without a hole come out, or a sentence with its line. A given evapotranspiration wins; else Penman and Monteith's with
/// humidity, wind and radiation as far as they are known; else Hargreaves' from temperatures.</para>
/// <para>Cost: linear. Source: Allen and others, FAO Irrigation and Drainage Paper 56, 1998: vapour by equations 17 and 19, and where it is missing from the coldest
/// temperature (48); radiation by 35, and where it is missing by 50 with 0.16; wind of 2 m/s where it is missing (chapter 4). The table: docs/season.md.</para>
/// </remarks>
public static class WeatherCsv
{
    private const double Coldest = -90;
    private const double Warmest = 60;
    private const double FastestWind = 60;
    private const double UsualWind = 2;

    // Inland; 0.19 at coasts.
    private const double RadiationOfRange = 0.16;

    // A clear sky lets some three quarters through; a gauge that shows more than all is broken.
    private const double Slack = 1.05;

    /// <summary>Reads a table.</summary>
    /// <param name="text">CSV with points as decimal marks; lines that begin with # are left out.</param>
    /// <param name="name">Name for messages and tables.</param>
    /// <param name="site">Where it was measured; null for nowhere known, which does where evapotranspiration is given.</param>
    /// <exception cref="GroundDataException">It is no weather; the message says where.</exception>
    public static DailyWeather Read(TextReader text, string name, WeatherSite? site = null)
    {
        site ??= new WeatherSite();
        site.Validate();
        CsvTable table = CsvTable.Read(text, name);
        if (table.Rows.Count == 0)
        {
            throw new GroundDataException($"{name}: it holds no day.");
        }

        WeatherColumns columns = new(table, name);
        if (!columns.Reference.Given && !double.IsFinite(site.Latitude))
        {
            throw new GroundDataException($"{name}: it brings temperatures and no evapotranspiration, and the latitude is not known: give it.");
        }

        Days days = new(table, columns, name, site);
        DateOnly first = days.DateAt(0);
        int count = days.DateAt(table.Rows.Count - 1).DayNumber - first.DayNumber + 1;
        double[] rain = new double[Math.Max(count, 1)];
        double[] reference = new double[rain.Length];
        Array.Fill(rain, double.NaN);
        Array.Fill(reference, double.NaN);
        DateOnly before = first.AddDays(-1);
        for (int r = 0; r < table.Rows.Count; r++)
        {
            DateOnly date = days.DateAt(r);
            if (date <= before)
            {
                throw new GroundDataException(date == before
                    ? FormattableString.Invariant($"{name}: line {table.LineOf(r)} has {date:yyyy-MM-dd} once more: leave one of the two out.")
                    : FormattableString.Invariant($"{name}: line {table.LineOf(r)} goes back from {before:yyyy-MM-dd} to {date:yyyy-MM-dd}: put the days in order."));
            }

            before = date;
            int at = date.DayNumber - first.DayNumber;
            if (at >= rain.Length)
            {
                throw new GroundDataException(FormattableString.Invariant($"{name}: line {table.LineOf(r)} has {date:yyyy-MM-dd}, which is later than its last line: put the days in order."));
            }

            (rain[at], reference[at]) = days.Read(r, date.DayOfYear);
        }

        List<string> said = days.Say();
        if (columns.Unused.Count > 0)
        {
            said.Add($"Columns not used: {string.Join(", ", columns.Unused)}.");
        }

        WeatherHoles.Fill(name, first, rain, reference, site.LongestGap, said);
        return new DailyWeather(name, first, rain, reference, said);
    }

    private sealed class Days(CsvTable table, WeatherColumns columns, string name, WeatherSite site)
    {
        private int _given;
        private int _penman;
        private int _partly;
        private int _hargreaves;
        private int _snow;

        public DateOnly DateAt(int row) => DateOnly.TryParseExact(table.Rows[row][columns.Date], "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out DateOnly date) ? date
            : throw new GroundDataException($"{name}: line {table.LineOf(row)} has the date \"{table.Rows[row][columns.Date]}\": write it as 2027-03-01.");

        public (double Rain, double Reference) Read(int row, int dayOfYear)
        {
            double rain = Within(row, columns.Rain, 0, DailyWeather.MostRain, 1000, "mm");
            double given = Within(row, columns.Reference, 0, DailyWeather.MostReference, 1000, "mm");
            double low = Within(row, columns.Coldest, Coldest, Warmest, 1, "degrees C");
            double high = Within(row, columns.Warmest, Coldest, Warmest, 1, "degrees C");
            if (low > high)
            {
                throw new GroundDataException(FormattableString.Invariant($"{name}: line {table.LineOf(row)} has a coldest temperature of {low:0.#} above the warmest of {high:0.#} degrees C."));
            }

            double wind = Within(row, columns.Wind, 0, FastestWind, 1, "m/s");
            double humidity = Within(row, columns.Humidity, 0, 1, 100, "%");
            double most = Within(row, columns.HumidityMost, 0, 1, 100, "%");
            double least = Within(row, columns.HumidityLeast, 0, 1, 100, "%");
            double top = double.IsFinite(site.Latitude) ? ReferenceEvapotranspiration.TopOfAir(site.Latitude, dayOfYear) : double.NaN;
            double radiation = Within(row, columns.Radiation, 0, double.IsFinite(top) ? Math.Max(top * Slack, 0.1) : 60, 1, "MJ a square metre");
            double sun = Within(row, columns.Sun, 0, double.IsFinite(top) ? (ReferenceEvapotranspiration.Daylight(site.Latitude, dayOfYear) * Slack) + 0.2 : 24, 1, "hours of sun");
            if (rain > 0 && high < 0)
            {
                _snow++;
            }

            if (double.IsFinite(given))
            {
                _given++;
                return (rain, given);
            }

            if (double.IsNaN(low) || double.IsNaN(high) || double.IsNaN(top))
            {
                return (rain, double.NaN);
            }

            double vapour = Vapour(low, high, humidity, most, least);
            double light = double.IsFinite(radiation) ? radiation : double.IsFinite(sun) && top > 0 ? ReferenceEvapotranspiration.FromSunHours(site.Latitude, dayOfYear, sun) : double.NaN;
            int known = (double.IsFinite(vapour) ? 1 : 0) + (double.IsFinite(light) ? 1 : 0) + (double.IsFinite(wind) ? 1 : 0);

            // In the polar night nothing comes in, and the radiation a clear sky would bring, by which the equation divides, is none.
            if (known == 0 || !(top > 0.5))
            {
                _hargreaves++;
                return (rain, ReferenceEvapotranspiration.Hargreaves(high, low, site.Latitude, dayOfYear));
            }

            _penman++;
            _partly += known < 3 ? 1 : 0;
            DayWeather weather = new(
                high,
                low,
                double.IsFinite(vapour) ? vapour : ReferenceEvapotranspiration.Saturated(low),
                double.IsFinite(wind) ? ReferenceEvapotranspiration.WindAtTwoMetres(wind, site.WindHeight) : UsualWind,
                double.IsFinite(light) ? light : Math.Min(RadiationOfRange * Math.Sqrt(high - low) * top, 0.75 * top));
            return (rain, Math.Min(ReferenceEvapotranspiration.PenmanMonteith(weather, site.Latitude, site.Height, dayOfYear), DailyWeather.MostReference));
        }

        public List<string> Say()
        {
            List<string> said = [];
            Add(_given, "Evapotranspiration of {0} days is as given.");
            Add(_penman, "Evapotranspiration of {0} days is by Penman and Monteith (FAO-56).");
            Add(_partly, "On {0} of these days humidity, wind or radiation was missing and FAO-56's stand-in was used.");
            Add(_hargreaves, "Evapotranspiration of {0} days is by Hargreaves, from temperatures alone.");
            Add(_snow, "{0} days brought rain while it never thawed, as snow: it is taken as rain of that day.");
            return said;

            void Add(int count, string sentence)
            {
                if (count > 0)
                {
                    said.Add(string.Format(CultureInfo.InvariantCulture, sentence, count));
                }
            }
        }

        private static double Vapour(double low, double high, double humidity, double most, double least)
        {
            double cold = ReferenceEvapotranspiration.Saturated(low);
            double warm = ReferenceEvapotranspiration.Saturated(high);
            return double.IsFinite(most) && double.IsFinite(least) ? ((cold * most) + (warm * least)) / 2
                : double.IsFinite(humidity) ? humidity * (cold + warm) / 2
                : double.IsFinite(most) ? cold * most
                : double.NaN;
        }

        private double Within(int row, WeatherColumn column, double least, double most, double shown, string unit)
        {
            double value = column.Of(table, row);
            return double.IsNaN(value) || (value >= least && value <= most) ? value
                : throw new GroundDataException(FormattableString.Invariant(
                    $"{name}: line {table.LineOf(row)}, {column.Name} is {table.Rows[row][column.At]}: no day has less than {least * shown:0.#} or more than {most * shown:0.#} {unit} (leave the cell empty where nothing was measured)."));
        }
    }
}
