using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Keyline.Water;

/// <summary>What the flow along furrows depends on besides their water: the furrow's form, and the step.</summary>
internal readonly struct FurrowStep
{
    /// <summary>Share of a piece that a wave may cross in a step.</summary>
    public const double Courant = 0.8;

    public FurrowStep(Rip rip, double step, double length)
    {
        double side = rip.FurrowSide;
        double radius = side / (2 * Math.Sqrt(1 + (side * side)));
        double way = step / (Courant * length);
        Depth = rip.FurrowDepth;
        OverSide = 1 / side;
        Below = side * Depth * Depth;
        Width = 2 * side * Depth;
        Top = Depth + rip.RidgeHeight;
        Radius = radius;
        OverArea = radius * radius / side;
        Inertia = FlowRows.Gravity / 2 * way * way;
        Push = FlowRows.Gravity * side * step / length;
        Friction = FlowRows.Gravity * rip.Roughness * rip.Roughness;
        Brake = Friction * step;
        Most = length / (2 * step);
        Share = step / length;
        Step = step;
    }

    public double Step { get; }

    public double Depth { get; }

    public double OverSide { get; }

    /// <summary>Area of the furrow up to the ground, and its width there.</summary>
    public double Below { get; }

    public double Width { get; }

    /// <summary>The deepest that water flows.</summary>
    public double Top { get; }

    /// <summary>Hydraulic radius over depth; its square over the side, which with the radius to the power -2 is one over the area.</summary>
    public double Radius { get; }

    public double OverArea { get; }

    /// <summary>One over the depth at which a wave crosses just the stable share.</summary>
    public double Inertia { get; }

    public double Push { get; }

    public double Friction { get; }

    public double Brake { get; }

    public double Most { get; }

    public double Share { get; }
}

/// <summary>Flow along a line from piece to piece: the local inertial equation for the cross-section of a furrow.</summary>
/// <remarks>
/// <para>Units: metres, seconds; flow in cubic metres a second, above 0 toward the next piece. Promises: the vector row gives the scalar row's bits; what leaves a piece
/// reaches the next; both faces of a piece together take no more than it has.</para>
/// <para>Cost: a square root and two divisions a piece and step. Source: Bates, Horritt and Fewtrell 2010; waves that would run farther than is stable are slowed by
/// more inertia, as those over the ground: ours. Friction's powers of the radius come from the inverse cube root, in single precision.</para>
/// </remarks>
internal static class FurrowRows
{
    private const double ThinnestFlow = 1e-4;

    /// <summary>Heights of the water in a range of pieces.</summary>
    public static void Levels(RipNodes n, int from, int to, in FurrowStep step, bool vector)
    {
        int i = from;
        if (vector)
        {
            ref double area = ref MemoryMarshal.GetArrayDataReference(n.Furrow);
            ref double bed = ref MemoryMarshal.GetArrayDataReference(n.Bed);
            ref double spread = ref MemoryMarshal.GetArrayDataReference(n.Spread);
            ref double level = ref MemoryMarshal.GetArrayDataReference(n.Level);
            Vector<double> below = new(step.Below), depth = new(step.Depth), width = new(step.Width), square = new(step.Width * step.Width), overSide = new(step.OverSide);
            for (; i <= to - Vector<double>.Count; i += Vector<double>.Count)
            {
                Vector<double> a = Vector.LoadUnsafe(ref area, (nuint)i);
                Vector<double> s = Vector.LoadUnsafe(ref spread, (nuint)i);
                Vector<double> above = a - below;
                Vector<double> twice = above + above;
                Vector<long> low = Vector.LessThanOrEqual(above, Vector<double>.Zero);
                Vector<double> under = Vector.ConditionalSelect(Vector.GreaterThan(a, Vector<double>.Zero), a, Vector<double>.Zero);
                Vector<double> root = Vector.SquareRoot(Vector.ConditionalSelect(low, under * overSide, square + (s * twice)));
                (Vector.LoadUnsafe(ref bed, (nuint)i) + Vector.ConditionalSelect(low, root, depth + (twice / (width + root)))).StoreUnsafe(ref level, (nuint)i);
            }
        }

        for (; i < to; i++)
        {
            double a = n.Furrow[i];
            double above = a - step.Below;
            double twice = above + above;
            double root = Math.Sqrt(above <= 0 ? (a > 0 ? a : 0) * step.OverSide : (step.Width * step.Width) + (n.Spread[i] * twice));
            n.Level[i] = n.Bed[i] + (above <= 0 ? root : step.Depth + (twice / (step.Width + root)));
        }
    }

    /// <summary>Flow from each piece of a range to the next, and what it carried and was at its greatest.</summary>
    /// <returns>The greatest speed, metres a second.</returns>
    public static double Flow(RipNodes n, int from, int to, in FurrowStep step, bool vector)
    {
        int i = from;
        double fastest = vector ? Vectors(n, ref i, to, step) : 0;
        for (; i < to; i++)
        {
            double q = Face(n, i, step, out double speed, out float y);
            n.Flow[i] = q;
            n.Carried[i] += q * step.Step;
            double size = q < 0 ? -q : q;
            fastest = speed > fastest ? speed : fastest;
            if (size > n.MostFlow[i])
            {
                n.MostFlow[i] = size;
                n.Fastest[i] = speed;
                n.Strongest[i] = 1000 * step.Friction * (speed * speed) * y;
            }
        }

        return fastest;
    }

    /// <summary>Moves a step's water along a line.</summary>
    public static void Move(RipNodes n, int first, int last, in FurrowStep step, bool vector)
    {
        n.Furrow[first] -= n.Flow[first] * step.Share;
        int i = first + 1;
        if (vector)
        {
            ref double area = ref MemoryMarshal.GetArrayDataReference(n.Furrow);
            ref double flow = ref MemoryMarshal.GetArrayDataReference(n.Flow);
            Vector<double> share = new(step.Share);
            for (; i <= last + 1 - Vector<double>.Count; i += Vector<double>.Count)
            {
                (Vector.LoadUnsafe(ref area, (nuint)i) + (Vector.LoadUnsafe(ref flow, (nuint)(i - 1)) * share) - (Vector.LoadUnsafe(ref flow, (nuint)i) * share)).StoreUnsafe(ref area, (nuint)i);
            }
        }

        for (; i <= last; i++)
        {
            n.Furrow[i] = n.Furrow[i] + (n.Flow[i - 1] * step.Share) - (n.Flow[i] * step.Share);
        }
    }

    private static double Face(RipNodes n, int i, in FurrowStep step, out double speed, out float y)
    {
        double here = n.Level[i];
        double next = n.Level[i + 1];
        double deep = (here > next ? here : next) - (n.Bed[i] > n.Bed[i + 1] ? n.Bed[i] : n.Bed[i + 1]);
        deep = deep < step.Top ? deep : step.Top;
        (speed, y) = (0, 0);
        if (!(deep > ThinnestFlow))
        {
            return 0;
        }

        y = FlowRows.InverseCubeRoot((float)(deep * step.Radius));
        float square = y * y;
        float fourth = square * square;
        double overArea = (double)(fourth * square) * step.OverArea;
        double was = n.Flow[i];
        double heavy = deep * step.Inertia;
        heavy = heavy > 1 ? heavy : 1;
        double pushed = (heavy * was) - (deep * deep * step.Push * (next - here));
        double q = pushed / (heavy + ((was < 0 ? -was : was) * step.Brake * (fourth * overArea)));
        double high = n.Furrow[i] * step.Most;
        double low = -(n.Furrow[i + 1] * step.Most);
        q = q < high ? q : high;
        q = q > low ? q : low;
        speed = (q < 0 ? -q : q) * overArea;
        return q;
    }

    private static double Vectors(RipNodes n, ref int i, int to, in FurrowStep step)
    {
        int width = Vector<double>.Count;
        ref double flow = ref MemoryMarshal.GetArrayDataReference(n.Flow);
        Vector<double> radius = new(step.Radius), fastest = Vector<double>.Zero;
        for (; i <= to - (2 * width); i += 2 * width)
        {
            Vector<double> deep0 = Deep(n, i, step);
            Vector<double> deep1 = Deep(n, i + width, step);
            Vector<float> y = FlowRows.InverseCubeRoot(Vector.Narrow(deep0 * radius, deep1 * radius));
            Vector<float> square = y * y;
            Vector<float> fourth = square * square;
            Vector.Widen(fourth * square, out Vector<double> sixth0, out Vector<double> sixth1);
            Vector.Widen(fourth, out Vector<double> fourth0, out Vector<double> fourth1);
            Vector.Widen(y, out Vector<double> y0, out Vector<double> y1);
            fastest = Vector.Max(fastest, Half(i, deep0, sixth0, fourth0, y0, step, ref flow));
            fastest = Vector.Max(fastest, Half(i + width, deep1, sixth1, fourth1, y1, step, ref flow));
        }

        double greatest = 0;
        for (int k = 0; k < width; k++)
        {
            greatest = fastest[k] > greatest ? fastest[k] : greatest;
        }

        return greatest;

        Vector<double> Half(int at, Vector<double> deep, Vector<double> sixth, Vector<double> fourth, Vector<double> y, in FurrowStep s, ref double flows)
        {
            Vector<double> overArea = sixth * new Vector<double>(s.OverArea);
            Vector<double> was = Vector.LoadUnsafe(ref flows, (nuint)at);
            Vector<double> heavy = deep * new Vector<double>(s.Inertia);
            heavy = Vector.ConditionalSelect(Vector.GreaterThan(heavy, Vector<double>.One), heavy, Vector<double>.One);
            ref double level = ref MemoryMarshal.GetArrayDataReference(n.Level);
            Vector<double> drop = Vector.LoadUnsafe(ref level, (nuint)(at + 1)) - Vector.LoadUnsafe(ref level, (nuint)at);
            Vector<double> pushed = (heavy * was) - (deep * deep * new Vector<double>(s.Push) * drop);
            Vector<double> q = pushed / (heavy + (Vector.Abs(was) * new Vector<double>(s.Brake) * (fourth * overArea)));
            ref double area = ref MemoryMarshal.GetArrayDataReference(n.Furrow);
            Vector<double> high = Vector.LoadUnsafe(ref area, (nuint)at) * new Vector<double>(s.Most);
            Vector<double> low = -(Vector.LoadUnsafe(ref area, (nuint)(at + 1)) * new Vector<double>(s.Most));
            q = Vector.ConditionalSelect(Vector.LessThan(q, high), q, high);
            q = Vector.ConditionalSelect(Vector.GreaterThan(q, low), q, low);
            q = Vector.ConditionalSelect(Vector.GreaterThan(deep, new Vector<double>(ThinnestFlow)), q, Vector<double>.Zero);
            q.StoreUnsafe(ref flows, (nuint)at);
            ref double sum = ref MemoryMarshal.GetArrayDataReference(n.Carried);
            (Vector.LoadUnsafe(ref sum, (nuint)at) + (q * new Vector<double>(s.Step))).StoreUnsafe(ref sum, (nuint)at);
            Vector<double> size = Vector.Abs(q);
            Vector<double> speed = Vector.ConditionalSelect(Vector.GreaterThan(size, Vector<double>.Zero), size * overArea, Vector<double>.Zero);
            ref double greatestFlow = ref MemoryMarshal.GetArrayDataReference(n.MostFlow);
            Vector<double> before = Vector.LoadUnsafe(ref greatestFlow, (nuint)at);
            Vector<long> more = Vector.GreaterThan(size, before);
            if (more != Vector<long>.Zero)
            {
                Vector.ConditionalSelect(more, size, before).StoreUnsafe(ref greatestFlow, (nuint)at);
                Keep(n.Fastest, at, more, speed);
                Keep(n.Strongest, at, more, new Vector<double>(1000 * s.Friction) * (speed * speed) * y);
            }

            return speed;
        }

        static void Keep(double[] values, int at, Vector<long> where, Vector<double> value)
        {
            ref double v = ref MemoryMarshal.GetArrayDataReference(values);
            Vector.ConditionalSelect(where, value, Vector.LoadUnsafe(ref v, (nuint)at)).StoreUnsafe(ref v, (nuint)at);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector<double> Deep(RipNodes n, int i, in FurrowStep step)
    {
        ref double level = ref MemoryMarshal.GetArrayDataReference(n.Level);
        ref double bed = ref MemoryMarshal.GetArrayDataReference(n.Bed);
        Vector<double> here = Vector.LoadUnsafe(ref level, (nuint)i);
        Vector<double> next = Vector.LoadUnsafe(ref level, (nuint)(i + 1));
        Vector<double> low = Vector.LoadUnsafe(ref bed, (nuint)i);
        Vector<double> high = Vector.LoadUnsafe(ref bed, (nuint)(i + 1));
        Vector<double> deep = Vector.ConditionalSelect(Vector.GreaterThan(here, next), here, next) - Vector.ConditionalSelect(Vector.GreaterThan(low, high), low, high);
        Vector<double> top = new(step.Top);
        return Vector.ConditionalSelect(Vector.LessThan(deep, top), deep, top);
    }
}
