using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>A line to be driven.</summary>
/// <param name="Id">Its name in the plan.</param>
/// <param name="Line">Its course, projected metres.</param>
/// <param name="Warning">What to beware of along it; empty where there is nothing.</param>
/// <param name="IsHeadland">Whether it runs along the fence, where the others turn.</param>
public sealed record WorkLine(string Id, LineString Line, string Warning = "", bool IsHeadland = false);

/// <summary>What a job is reckoned with.</summary>
/// <remarks>Units: metres, hours, shares. Defaults are common practice, no source.</remarks>
public sealed record WorkOptions
{
    /// <value>Texture of the soil. Default: medium.</value>
    public SoilTexture Soil { get; init; } = SoilTexture.Medium;

    /// <value>What the tractor stands on. Default: firm, as grass is.</value>
    public SoilSurface Surface { get; init; } = SoilSurface.Firm;

    /// <value>Distance between passes, metres; NaN for that of the shanks. Default NaN.</value>
    public double Spacing { get; init; } = double.NaN;

    /// <value>Whether the order of the lines is improved with the turns that fit; otherwise it is kept. Default true.</value>
    public bool ImproveOrder { get; init; } = true;

    /// <value>Lines driven after all others, in this order, as those along the fence; each either way about, a closed one begun wherever it is reached soonest. Default none.</value>
    public IReadOnlyList<WorkLine> Last { get; init; } = [];

    /// <value>Road from the field worked before, metres; 0 where there is none. Default 0.</value>
    public double MoveDistance { get; init; }

    /// <value>Speed on the road, metres a second. Default 20 km/h, common practice, no source.</value>
    public double MoveSpeed { get; init; } = 20 / 3.6;

    /// <value>To make ready for the road and for work again, hours a move. Default 0.25, common practice, no source.</value>
    public double MoveSetup { get; init; } = 0.25;

    /// <value>Where the tractor comes in and goes out, or null.</value>
    public Coordinate? Gate { get; init; }

    /// <value>Land that is too steep to turn on, or null.</value>
    public Geometry? Steep { get; init; }

    /// <value>Hours at work in a day. Default 8.</value>
    public double HoursADay { get; init; } = 8;

    /// <value>Share of days lost to weather. Default 0.25.</value>
    public double DaysLost { get; init; } = 0.25;

    /// <value>To fill up once a day, hours. Default 0.25.</value>
    public double RefillTime { get; init; } = 0.25;

    /// <value>Load of the engine in a turn, share of its power. Default 0.3.</value>
    public double TurningLoad { get; init; } = 0.3;

    /// <summary>Checks every value.</summary>
    /// <exception cref="ArgumentOutOfRangeException">One that nothing can be reckoned with.</exception>
    public void Validate()
    {
        if (!(HoursADay > 0 && HoursADay <= 24))
        {
            throw new ArgumentOutOfRangeException(nameof(HoursADay), HoursADay, "A day has work for above 0 and up to 24 hours.");
        }

        if (!(DaysLost >= 0 && DaysLost < 1))
        {
            throw new ArgumentOutOfRangeException(nameof(DaysLost), DaysLost, "The share of days lost to weather is 0 or more and below 1.");
        }

        if (!(MoveDistance >= 0 && double.IsFinite(MoveDistance) && MoveSpeed > 0 && MoveSetup >= 0))
        {
            throw new ArgumentOutOfRangeException(nameof(MoveDistance), MoveDistance, "The road from field to field is 0 m or more, driven above 0 m/s, and making ready takes 0 hours or more.");
        }

        if (!(RefillTime >= 0 && RefillTime < HoursADay))
        {
            throw new ArgumentOutOfRangeException(nameof(RefillTime), RefillTime, "Filling up takes 0 hours or more and less than a day's work.");
        }
    }
}
