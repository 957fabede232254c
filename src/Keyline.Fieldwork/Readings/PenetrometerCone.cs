namespace Keyline.Fieldwork;

/// <summary>The cone of a penetrometer, by which a push becomes a pressure.</summary>
/// <remarks>
/// <para>Units: SI. Cost: O(1). Source: ASAE S313.3 and EP542, as the United States Forest Service's summary has them: a cone of 30 degrees, base 20.27 mm for soft
/// and 12.83 mm for hard soil (0.5 and 0.2 square inches), shaft 15.88 and 9.53 mm, pushed 30 mm a second, replaced when 3 % of its base is worn off.</para>
/// </remarks>
public static class PenetrometerCone
{
    /// <summary>Base of the cone for soft soil, metres.</summary>
    public const double SoftBase = 0.02027;

    /// <summary>Base of the cone for hard soil, metres.</summary>
    public const double HardBase = 0.01283;

    /// <summary>Share of the base's width by which a cone may be worn.</summary>
    public const double MostWear = 0.03;

    /// <summary>How fast it is pushed, metres a second.</summary>
    public const double Speed = 0.030;

    /// <summary>Area of a base, square metres.</summary>
    /// <param name="width">Its diameter, metres.</param>
    public static double Area(double width)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(width);
        return Math.PI * width * width / 4;
    }

    /// <summary>Pressure of a push, pascals.</summary>
    /// <param name="force">Newtons.</param>
    /// <param name="width">Diameter of the cone's base, metres.</param>
    public static double Pressure(double force, double width) => force / Area(width);

    /// <summary>Whether a cone is worn too far: narrower by more than 3 % than the standard one it is nearest to.</summary>
    /// <param name="width">Diameter measured, metres.</param>
    public static bool IsWorn(double width) => width < (1 - MostWear) * (width < (SoftBase + HardBase) / 2 ? HardBase : SoftBase);
}
