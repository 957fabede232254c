namespace Keyline.Water;

/// <summary>Weather of a day; NaN where it was not measured.</summary>
/// <param name="Warmest">Degrees Celsius.</param>
/// <param name="Coldest">Degrees Celsius.</param>
/// <param name="VapourPressure">Kilopascals.</param>
/// <param name="Wind">At 2 m, metres a second.</param>
/// <param name="Sunshine">Radiation from the sun, megajoules a square metre and day.</param>
public readonly record struct DayWeather(double Warmest, double Coldest, double VapourPressure, double Wind, double Sunshine);

/// <summary>Evapotranspiration of short grass that lacks nothing.</summary>
/// <remarks>
/// <para>Units: metres a day; degrees Celsius, kilopascals, megajoules a square metre and day. Latitude in radians, north above 0.</para>
/// <para>Cost: none. Source: Allen, Pereira, Raes and Smith, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, 1998, equation 6 with
/// 7, 8, 11, 12, 21 to 25, 34, 35, 37 to 40; from temperatures alone, equation 52 (Hargreaves).</para>
/// </remarks>
public static class ReferenceEvapotranspiration
{
    private const double SolarConstant = 0.0820;
    private const double StefanBoltzmann = 4.903e-9;
    private const double Albedo = 0.23;

    /// <summary>Radiation at the top of the air, MJ a square metre and day.</summary>
    /// <param name="latitude">Radians.</param>
    /// <param name="day">Day of the year, from 1.</param>
    public static double TopOfAir(double latitude, int day)
    {
        double distance = 1 + (0.033 * Math.Cos(2 * Math.PI * day / 365));
        double declination = Declination(day);
        double sunset = Sunset(latitude, day);
        return 24 * 60 / Math.PI * SolarConstant * distance * ((sunset * Math.Sin(latitude) * Math.Sin(declination)) + (Math.Cos(latitude) * Math.Cos(declination) * Math.Sin(sunset)));
    }

    /// <summary>Hours of daylight.</summary>
    /// <param name="latitude">Radians.</param>
    /// <param name="day">Day of the year.</param>
    public static double Daylight(double latitude, int day) => 24 / Math.PI * Sunset(latitude, day);

    /// <summary>Radiation at the ground from hours of bright sun, MJ a square metre and day.</summary>
    /// <param name="latitude">Radians.</param>
    /// <param name="day">Day of the year.</param>
    /// <param name="hours">Hours of bright sun.</param>
    public static double FromSunHours(double latitude, int day, double hours) => (0.25 + (0.50 * hours / Daylight(latitude, day))) * TopOfAir(latitude, day);

    /// <summary>Pressure of saturated vapour, kilopascals.</summary>
    /// <param name="temperature">Degrees Celsius.</param>
    public static double Saturated(double temperature) => 0.6108 * Math.Exp(17.27 * temperature / (temperature + 237.3));

    /// <summary>By Penman and Monteith, metres a day.</summary>
    /// <param name="weather">The day's weather, all of it.</param>
    /// <param name="latitude">Radians.</param>
    /// <param name="height">Above the sea, metres.</param>
    /// <param name="day">Day of the year.</param>
    /// <param name="groundHeat">Heat into the ground, MJ a square metre and day; 0 for single days.</param>
    public static double PenmanMonteith(DayWeather weather, double latitude, double height, int day, double groundHeat = 0)
    {
        double mean = (weather.Warmest + weather.Coldest) / 2;
        double pressure = 101.3 * Math.Pow((293 - (0.0065 * height)) / 293, 5.26);
        double psychrometric = 0.665e-3 * pressure;
        double slope = 4098 * Saturated(mean) / ((mean + 237.3) * (mean + 237.3));
        double saturated = (Saturated(weather.Warmest) + Saturated(weather.Coldest)) / 2;
        double clear = (0.75 + (2e-5 * height)) * TopOfAir(latitude, day);
        double kelvins = (Math.Pow(weather.Warmest + 273.16, 4) + Math.Pow(weather.Coldest + 273.16, 4)) / 2;
        double lost = StefanBoltzmann * kelvins * (0.34 - (0.14 * Math.Sqrt(weather.VapourPressure))) * ((1.35 * Math.Min(weather.Sunshine / clear, 1)) - 0.35);
        double net = ((1 - Albedo) * weather.Sunshine) - lost;
        double mm = ((0.408 * slope * (net - groundHeat)) + (psychrometric * 900 / (mean + 273) * weather.Wind * (saturated - weather.VapourPressure)))
            / (slope + (psychrometric * (1 + (0.34 * weather.Wind))));
        return Math.Max(mm, 0) / 1000;
    }

    /// <summary>By Hargreaves, from temperatures alone, metres a day.</summary>
    /// <param name="warmest">Degrees Celsius.</param>
    /// <param name="coldest">Degrees Celsius.</param>
    /// <param name="latitude">Radians.</param>
    /// <param name="day">Day of the year.</param>
    public static double Hargreaves(double warmest, double coldest, double latitude, int day) =>
        Math.Max(0.0023 * (((warmest + coldest) / 2) + 17.8) * Math.Sqrt(Math.Max(warmest - coldest, 0)) * 0.408 * TopOfAir(latitude, day), 0) / 1000;

    /// <summary>Wind at 2 m from wind at another height above short grass, metres a second.</summary>
    /// <param name="wind">Metres a second.</param>
    /// <param name="height">Metres above the ground.</param>
    public static double WindAtTwoMetres(double wind, double height) => wind * 4.87 / Math.Log((67.8 * height) - 5.42);

    private static double Declination(int day) => 0.409 * Math.Sin((2 * Math.PI * day / 365) - 1.39);

    private static double Sunset(double latitude, int day) => Math.Acos(Math.Clamp(-Math.Tan(latitude) * Math.Tan(Declination(day)), -1, 1));
}
