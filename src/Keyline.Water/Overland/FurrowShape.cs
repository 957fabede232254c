namespace Keyline.Water;

/// <summary>The cross-section of a furrow with a ridge below it on sloping land, filled to some level.</summary>
/// <remarks>
/// <para>Units: metres above the furrow's bottom, square metres. Promises: level and area are inverse to each other to rounding.</para>
/// <para>Cost: a square root. Source: geometry; a V up to the ground, then the triangle behind a ridge of height h on slope s, h² / 2 (1 / s + z).</para>
/// </remarks>
internal readonly struct FurrowShape(double depth, double side, double ridge, double slope)
{
    // Behind a ridge on nearly level land water reaches far back; beyond half the usual distance of lines it is the next one's.
    private const double FarthestBack = 1.5;

    private readonly double _depth = depth;
    private readonly double _side = side;
    private readonly double _ridge = ridge;
    private readonly double _spread = Math.Min(1 / Math.Max(slope, 1e-6), FarthestBack / Math.Max(ridge, 1e-9)) + side;

    /// <summary>Run over rise of the water's two sides above the ground, together.</summary>
    public double Spread => _spread;

    /// <summary>Area when full to the ridge's top, square metres.</summary>
    public double Full => Area(_depth + _ridge);

    /// <summary>Area at a level.</summary>
    public double Area(double level)
    {
        if (level <= _depth)
        {
            return _side * level * level;
        }

        double above = level - _depth;
        return (_side * _depth * _depth) + (2 * _side * _depth * above) + (above * above / 2 * _spread);
    }

    /// <summary>Level at an area.</summary>
    public double Level(double area)
    {
        double below = _side * _depth * _depth;
        if (area <= below)
        {
            return Math.Sqrt(Math.Max(area, 0) / _side);
        }

        double width = 2 * _side * _depth;
        return _depth + (2 * (area - below) / (width + Math.Sqrt((width * width) + (2 * _spread * (area - below)))));
    }

    /// <summary>What a ridge of height <paramref name="height"/> with sides <paramref name="side"/> run over rise holds behind it on slope <paramref name="slope"/>.</summary>
    public static double PoolBehindRidge(double height, double side, double slope) => height * height / 2 * ((1 / slope) + side);

    /// <summary>The same on a line that falls along itself at <paramref name="grade"/>, with end blocks every <paramref name="length"/> metres: the mean along it.</summary>
    public static double PoolOnGrade(double height, double side, double slope, double grade, double length)
    {
        double left = Math.Max(height - (grade * length), 0);
        return ((1 / slope) + side) / (6 * grade * length) * ((height * height * height) - (left * left * left));
    }
}
