namespace Keyline.Planar;

/// <summary>A point on the map, metres.</summary>
internal readonly record struct XY(double X, double Y)
{
    public static XY operator +(XY a, XY b) => new(a.X + b.X, a.Y + b.Y);

    public static XY operator -(XY a, XY b) => new(a.X - b.X, a.Y - b.Y);

    public static XY operator *(XY a, double k) => new(a.X * k, a.Y * k);

    /// <summary>A quarter turn to the left.</summary>
    public XY Left => new(-Y, X);

    public double Norm => Math.Sqrt((X * X) + (Y * Y));

    public double Dot(XY other) => (X * other.X) + (Y * other.Y);

    public double Cross(XY other) => (X * other.Y) - (Y * other.X);

    public XY Unit()
    {
        double n = Norm;
        return n > 0 ? new XY(X / n, Y / n) : new XY(1, 0);
    }

    /// <summary>The coordinates alone: what a record prints by itself would go round through <see cref="Left"/>.</summary>
    public override string ToString() => FormattableString.Invariant($"({X}, {Y})");
}
