namespace Keyline.Water;

/// <summary>Flow in a furrow that its soil just stands.</summary>
/// <param name="Flow">Cubic metres a second.</param>
/// <param name="Speed">Metres a second.</param>
/// <param name="Depth">Depth of the water, metres.</param>
/// <param name="MeanShear">Pascals.</param>
/// <param name="GreatestShear">Pascals, at the bottom.</param>
public readonly record struct FurrowFlow(double Flow, double Speed, double Depth, double MeanShear, double GreatestShear);

/// <summary>The longest line that may fall one way before the water it gathers cuts the loosened soil at its end.</summary>
/// <remarks>
/// <para>Units: metres, seconds, pascals; grades as rise over run. The line is taken as a furrow of V shape that gathers the excess of
/// its whole spacing; where the furrow is too shallow for the flow, it spills before it cuts.</para>
/// <para>Cost: none. Source: Manning's equation for a V; permissible speed of fresh loosened soil 0.3 m/s and mean shear 2.3 Pa: half of what
/// Fortier and Scobey, Transactions of the ASCE 89, 1926, allow aged canals in silt loam (0.61 m/s), a judgement; local codes rule.</para>
/// </remarks>
public static class SafeLine
{
    /// <summary>Speed that freshly loosened soil stands, metres a second.</summary>
    public const double FreshSoilSpeed = 0.3;

    /// <summary>Mean shear that freshly loosened silt loam stands, pascals.</summary>
    public const double FreshSoilShear = 2.3;

    private const double Gravity = 9.81;

    /// <summary>The flow at which water in a furrow has a speed.</summary>
    /// <param name="speed">Metres a second.</param>
    /// <param name="grade">Rise over run, above 0.</param>
    /// <param name="side">Run over rise of the furrow's sides.</param>
    /// <param name="roughness">Manning's n.</param>
    public static FurrowFlow AtSpeed(double speed, double grade, double side = 2, double roughness = 0.03) =>
        At(Math.Pow(speed * roughness / Math.Sqrt(grade), 1.5), grade, side, roughness);

    /// <summary>The flow at which water in a furrow has a mean shear.</summary>
    /// <param name="shear">Pascals.</param>
    /// <param name="grade">Rise over run, above 0.</param>
    /// <param name="side">Run over rise of the furrow's sides.</param>
    /// <param name="roughness">Manning's n.</param>
    public static FurrowFlow AtShear(double shear, double grade, double side = 2, double roughness = 0.03) => At(shear / (1000 * Gravity * grade), grade, side, roughness);

    /// <summary>The longest line, metres: speed and shear both kept.</summary>
    /// <param name="grade">Rise over run along the line, above 0; a level line is never too long, and gets infinity.</param>
    /// <param name="spacing">Metres from line to line.</param>
    /// <param name="excess">Rain that the ground between the lines does not take in, metres a second.</param>
    /// <param name="speed">Speed the soil stands, metres a second.</param>
    /// <param name="shear">Mean shear the soil stands, pascals.</param>
    /// <param name="side">Run over rise of the furrow's sides.</param>
    /// <param name="roughness">Manning's n.</param>
    public static double Longest(double grade, double spacing, double excess, double speed = FreshSoilSpeed, double shear = FreshSoilShear, double side = 2, double roughness = 0.03) => !(grade > 0) || !(excess > 0)
        ? double.PositiveInfinity
        : Math.Min(AtSpeed(speed, grade, side, roughness).Flow, AtShear(shear, grade, side, roughness).Flow) / (excess * spacing);

    /// <summary>Water that runs evenly in a furrow.</summary>
    /// <param name="flow">Cubic metres a second, 0 or more.</param>
    /// <param name="grade">Rise over run, above 0.</param>
    /// <param name="side">Run over rise of the furrow's sides.</param>
    /// <param name="roughness">Manning's n.</param>
    public static FurrowFlow Carrying(double flow, double grade, double side = 2, double roughness = 0.03) =>
        At(Math.Pow(flow * roughness / (Wet(side) * Math.Sqrt(grade)), 3.0 / 8), grade, side, roughness);

    /// <summary>The steepest that a furrow may fall with a flow in it: speed and shear both kept.</summary>
    /// <param name="flow">Cubic metres a second, above 0.</param>
    /// <param name="speed">Speed the soil stands, metres a second.</param>
    /// <param name="shear">Mean shear the soil stands, pascals.</param>
    /// <param name="side">Run over rise of the furrow's sides.</param>
    /// <param name="roughness">Manning's n.</param>
    /// <returns>Rise over run.</returns>
    public static double Steepest(double flow, double speed = FreshSoilSpeed, double shear = FreshSoilShear, double side = 2, double roughness = 0.03)
    {
        // Flow is speed times area, area the radius squared times what the sides make of it.
        double radius = Math.Sqrt(flow / (speed * Wet(side)));
        double pull = shear / (1000 * Gravity);
        return Math.Min(Math.Pow(speed * roughness / Math.Pow(radius, 2.0 / 3), 2), Math.Pow(flow * roughness / (Wet(side) * Math.Pow(pull, 8.0 / 3)), -6.0 / 13));
    }

    // Area over the square of the hydraulic radius.
    private static double Wet(double side) => 4 * (1 + (side * side)) / side;

    private static FurrowFlow At(double radius, double grade, double side, double roughness)
    {
        double depth = 2 * radius * Math.Sqrt(1 + (side * side)) / side;
        double speed = Math.Pow(radius, 2.0 / 3) * Math.Sqrt(grade) / roughness;
        return new FurrowFlow(speed * side * depth * depth, speed, depth, 1000 * Gravity * radius * grade, 1000 * Gravity * depth * grade);
    }
}
