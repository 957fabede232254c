using System.Numerics;
using System.Runtime.CompilerServices;

namespace Keyline.Layout.Even;

/// <summary>The nearest point of a window: the trapezoid |y| at most k x between two lengths x.</summary>
/// <remarks>Works on plain numbers and on vectors of them with the same operations in the same order, so both give the same bits
/// in the same precision.</remarks>
internal static class WindowShape
{
    /// <summary>The nearest point of the trapezoid to (x, y).</summary>
    public static (double X, double Y) Nearest(double x, double y, double k, double least, double most)
    {
        double up = Math.Abs(y);
        if (up <= k * x && x >= least && x <= most)
        {
            return (x, y);
        }

        double sideX = Math.Clamp((x + (k * up)) / (1 + (k * k)), least, most);
        double sideY = k * sideX;
        double nearY = Math.Min(up, k * least);
        double farY = Math.Min(up, k * most);
        double side = Square(x - sideX) + Square(up - sideY);
        double near = Square(x - least) + Square(up - nearY);
        double far = Square(x - most) + Square(up - farY);
        (double px, double py) = side <= near && side <= far ? (sideX, sideY) : near <= far ? (least, nearY) : (most, farY);
        return (px, y < 0 ? -py : py);
    }

    /// <inheritdoc cref="Nearest(double, double, double, double, double)"/>
    /// <param name="x">Along the middle.</param>
    /// <param name="y">Across it.</param>
    /// <param name="k">Tangent of the half angle, as y is scaled.</param>
    /// <param name="over">1 / (1 + k^2).</param>
    /// <param name="least">Least length.</param>
    /// <param name="most">Greatest length.</param>
    /// <param name="nearestX">The nearest point.</param>
    /// <param name="nearestY">The nearest point.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Nearest(Vector<float> x, Vector<float> y, Vector<float> k, Vector<float> over, Vector<float> least, Vector<float> most, out Vector<float> nearestX, out Vector<float> nearestY)
    {
        Vector<float> up = Vector.Abs(y);
        Vector<float> sideX = Vector.Min(Vector.Max((x + (k * up)) * over, least), most);
        Vector<float> sideY = k * sideX;
        Vector<float> nearY = Vector.Min(up, k * least);
        Vector<float> farY = Vector.Min(up, k * most);
        Vector<float> side = ((x - sideX) * (x - sideX)) + ((up - sideY) * (up - sideY));
        Vector<float> near = ((x - least) * (x - least)) + ((up - nearY) * (up - nearY));
        Vector<float> far = ((x - most) * (x - most)) + ((up - farY) * (up - farY));
        Vector<int> bySide = Vector.LessThanOrEqual(side, Vector.Min(near, far));
        Vector<int> byNear = Vector.LessThanOrEqual(near, far);
        Vector<float> px = Vector.ConditionalSelect(bySide, sideX, Vector.ConditionalSelect(byNear, least, most));
        Vector<float> py = Vector.ConditionalSelect(bySide, sideY, Vector.ConditionalSelect(byNear, nearY, farY));
        Vector<int> inside = Vector.LessThanOrEqual(up, k * x) & Vector.GreaterThanOrEqual(x, least) & Vector.LessThanOrEqual(x, most);
        nearestX = Vector.ConditionalSelect(inside, x, px);
        Vector<float> signed = Vector.ConditionalSelect(Vector.LessThan(y, Vector<float>.Zero), -py, py);
        nearestY = Vector.ConditionalSelect(inside, y, signed);
    }

    private static double Square(double a) => a * a;
}
