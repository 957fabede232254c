namespace Keyline.Water;

/// <summary>Where weather was measured, and how holes in it are treated.</summary>
/// <remarks>Radians, metres, days. A wrong latitude of a few degrees changes evapotranspiration by a few percent; height matters less.</remarks>
public sealed record WeatherSite
{
    /// <summary>Default longest hole that is filled, days. A judgement.</summary>
    public const int DefaultLongestGap = 5;

    /// <value>Latitude, radians, north above 0; NaN where it is not known, which does only where the days bring evapotranspiration.</value>
    public double Latitude { get; init; } = double.NaN;

    /// <value>Height above the sea, metres. Default 100.</value>
    public double Height { get; init; } = 100;

    /// <value>Height of the wind gauge above short grass, metres. Default 2.</value>
    public double WindHeight { get; init; } = 2;

    /// <value>Longest run of days without rain or temperatures that is filled: no rain, and evapotranspiration on a straight line between the days
    /// about it. Longer runs are refused. Default 5; 0 refuses every hole.</value>
    public int LongestGap { get; init; } = DefaultLongestGap;

    /// <summary>Checks every value.</summary>
    /// <exception cref="GroundDataException">A place there is none of.</exception>
    public void Validate()
    {
        if (double.IsFinite(Latitude) && !(Math.Abs(Latitude) <= Math.PI / 2))
        {
            throw new GroundDataException(FormattableString.Invariant($"The latitude is {Latitude * 180 / Math.PI:0.##} degrees: it must lie between -90 and 90, north above zero."));
        }

        if (!(Height is >= -450 and <= 6000) || !(WindHeight is >= 0.5 and <= 200) || LongestGap is < 0 or > 60)
        {
            throw new GroundDataException(FormattableString.Invariant(
                $"Weather measured {Height:0.#} m above the sea, wind at {WindHeight:0.#} m, holes of {LongestGap} days filled: these must lie between -450 and 6000 m, 0.5 and 200 m, 0 and 60 days."));
        }
    }
}
