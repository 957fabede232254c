namespace Keyline.Fieldwork;

/// <summary>How much ground a machine covers in an hour.</summary>
/// <remarks>
/// <para>Units: square metres a second from metres and metres a second; the efficiency is a share of the time. Cost: constant.</para>
/// <para>Source: ASABE EP496, Agricultural Machinery Management, field capacity C = S w E / 10 (ha/h, km/h, m).</para>
/// </remarks>
public static class FieldCapacity
{
    /// <summary>Hectares an hour.</summary>
    /// <param name="speed">Speed at work, metres a second.</param>
    /// <param name="width">Width of a pass, metres.</param>
    /// <param name="efficiency">Share of the time spent at work over the whole width.</param>
    public static double HectaresAnHour(double speed, double width, double efficiency) => speed * 3.6 * width * efficiency / 10;

    /// <summary>The efficiency that came out: the time the work alone would have taken over the time it took.</summary>
    /// <param name="working">Hours at work.</param>
    /// <param name="all">All hours in the field.</param>
    public static double Efficiency(double working, double all) => all > 0 ? working / all : double.NaN;
}
