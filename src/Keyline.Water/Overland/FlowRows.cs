using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Keyline.Water;

/// <summary>What the flow between cells depends on besides depths, the same for a whole step.</summary>
/// <param name="Step">Seconds.</param>
/// <param name="Cell">Metres.</param>
/// <param name="Roughness">Manning's n squared, times the acceleration of gravity.</param>
/// <param name="Weighting">Share of a face's own flow in its memory; the rest is its neighbours'.</param>
/// <param name="Storage">Depth that stands before any flows, metres.</param>
/// <param name="Courant">Share of a cell that a wave may cross in the step.</param>
internal readonly record struct FlowStep(double Step, double Cell, double Roughness, double Weighting, double Storage, double Courant = 0.7)
{
    /// <summary>One over the depth at which a wave crosses just that share; deeper water is given the inertia that slows its waves to it.</summary>
    public double Inertia { get; } = FlowRows.Gravity * Step / (Courant * Cell) * (Step / (Courant * Cell));
}

/// <summary>Flow over faces between cells, row by row: the local inertial equation, friction taken implicitly and with the whole flow's speed.</summary>
/// <remarks>
/// <para>Units: metres, seconds; flow in square metres a second, above 0 toward the higher index. Promises: the vector row gives the
/// scalar row's bits; no face takes more than half of the water of the cell it
/// drains; where three would, the cell owes what is missing until more comes.</para>
/// <para>Cost: two faces a cell and step. Source: Bates, Horritt and Fewtrell, Journal of Hydrology 387, 2010, equation 11; the weighting
/// of neighbours, de Almeida and others, Water Resources Research 48, 2012, equation 9. The depth to the power -7/3 comes from three rounds
/// of Newton's method on the inverse cube root. Depths and the fall between them are in double precision, so that still water is
/// still; flows are in single precision, as one number for both cells of a face, so no water is lost by it. Friction is
/// the new flow's own, so that long steps over thin water do not swing; what the flow across adds to its speed is the step before's. Where
/// a wave would cross more of a cell than is stable, the flow's inertia is raised until it crosses just that: steady flow is the same, water that
/// stands in a pit stays still over long steps, and steps need follow only water that runs. These three: ours.</para>
/// </remarks>
internal static class FlowRows
{
    /// <summary>Height of the bed where there is no ground: nothing flows over it.</summary>
    public const double NoGround = 1e6;

    /// <summary>Cells worked at once; rows are padded so that a row's last ones may be overshot.</summary>
    public const int Block = 8;

    public const double Gravity = 9.80665;
    private const double ThinnestFlow = 1e-6;
    private const float Third = -1f / 3f;
    private const float CubeRootMagic = 1419967125f;

    /// <summary>Computes the faces of a row.</summary>
    /// <param name="depth">Depths of water.</param>
    /// <param name="bed">Heights of the bed.</param>
    /// <param name="flow">Flow of the step before.</param>
    /// <param name="cross">Flow of the step before in the other direction.</param>
    /// <param name="next">Flow of this step.</param>
    /// <param name="from">First face; face i lies between cells i - away and i.</param>
    /// <param name="to">Behind the last face.</param>
    /// <param name="away">1 along a row, the row's stride across it.</param>
    /// <param name="aside">From a cell's face in the other direction to its opposite one: the stride, or 1.</param>
    /// <param name="step">The step.</param>
    /// <param name="vector">Whether vectors are used.</param>
    /// <returns>About the greatest speed over the faces worked, metres a second.</returns>
    public static float Flow(double[] depth, double[] bed, float[] flow, float[] cross, float[] next, int from, int to, int away, int aside, in FlowStep step, bool vector)
    {
        if (vector)
        {
            return Vectors(depth, bed, flow, cross, next, from, to, away, aside, step);
        }

        float fastest = 0;
        for (int i = from; i < to; i++)
        {
            float other = ((cross[i - away] + cross[i]) + (cross[i - away + aside] + cross[i + aside])) * 0.25f;
            next[i] = Face(depth[i - away], bed[i - away], depth[i], bed[i], flow[i], flow[i - away], flow[i + away], other, step, out float speed);
            fastest = speed > fastest ? speed : fastest;
        }

        return fastest;
    }

    /// <summary>One over the cube root of a number above 0, to single precision.</summary>
    public static float InverseCubeRoot(float h)
    {
        float y = BitConverter.Int32BitsToSingle((int)((BitConverter.SingleToInt32Bits(h) * Third) + CubeRootMagic));
        y *= 4f - (h * (y * y * y));
        y *= Third * -1f;
        y *= 4f - (h * (y * y * y));
        y *= Third * -1f;
        y *= 4f - (h * (y * y * y));
        return y * (Third * -1f);
    }

    /// <summary>The same of several numbers, with the same bits.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector<float> InverseCubeRoot(Vector<float> h)
    {
        Vector<float> four = new(4f);
        Vector<float> thirdUp = new(Third * -1f);
        Vector<float> y = Vector.AsVectorSingle(Vector.ConvertToInt32Native((Vector.ConvertToSingle(Vector.AsVectorInt32(h)) * new Vector<float>(Third)) + new Vector<float>(CubeRootMagic)));
        y *= four - (h * (y * y * y));
        y *= thirdUp;
        y *= four - (h * (y * y * y));
        y *= thirdUp;
        y *= four - (h * (y * y * y));
        return y * thirdUp;
    }

    /// <summary>One face: the plain form that the vectors must equal.</summary>
    public static float Face(double leftDepth, double leftBed, double rightDepth, double rightBed, float flow, float before, float behind, float other, in FlowStep step, out float speed)
    {
        speed = 0;
        double left = leftBed + leftDepth;
        double right = rightBed + rightDepth;
        double free = (left > right ? left : right) - (leftBed > rightBed ? leftBed : rightBed) - step.Storage;
        if (!(free > ThinnestFlow))
        {
            return 0;
        }

        float deep = (float)free;
        float y = InverseCubeRoot(deep);
        float square = y * y;
        float drag = y * (square * square * square);
        float memory = ((float)step.Weighting * flow) + ((float)((1 - step.Weighting) / 2) * (before + behind));
        float inertia = (float)step.Inertia * deep;
        inertia = inertia > 1f ? inertia : 1f;
        float pushed = (inertia * memory) - ((float)(Gravity * step.Step / step.Cell) * deep * (float)(right - left));
        float size = pushed < 0 ? -pushed : pushed;
        float own = flow < 0 ? -flow : flow;
        float brake = (float)(step.Roughness * step.Step) * drag;
        float open = inertia + (brake * (MathF.Sqrt((flow * flow) + (other * other)) - own));
        float q = (pushed + pushed) / (open + MathF.Sqrt((open * open) + (4f * brake * size)));
        float most = (float)(step.Cell / (2 * step.Step));
        float high = (float)leftDepth * most;
        float low = -((float)rightDepth * most);
        high = high > 0 ? high : 0;
        low = low < 0 ? low : 0;
        q = q < high ? q : high;
        q = q > low ? q : low;
        speed = (q < 0 ? -q : q) * (square * y);
        return q;
    }

    private static float Vectors(double[] depth, double[] bed, float[] flow, float[] cross, float[] next, int from, int to, int away, int aside, in FlowStep step)
    {
        ref double h = ref MemoryMarshal.GetArrayDataReference(depth);
        ref double z = ref MemoryMarshal.GetArrayDataReference(bed);
        ref float q = ref MemoryMarshal.GetArrayDataReference(flow);
        ref float o = ref MemoryMarshal.GetArrayDataReference(cross);
        ref float n = ref MemoryMarshal.GetArrayDataReference(next);
        int width = Vector<double>.Count;
        Vector<float> four = new(4f);
        Vector<float> own = new((float)step.Weighting);
        Vector<float> side = new((float)((1 - step.Weighting) / 2));
        Vector<float> heavy = new((float)step.Inertia);
        Vector<float> push = new((float)(Gravity * step.Step / step.Cell));
        Vector<float> rough = new((float)(step.Roughness * step.Step));
        Vector<float> most = new((float)(step.Cell / (2 * step.Step)));
        Vector<float> quarter = new(0.25f);
        Vector<double> thin = new(ThinnestFlow);
        Vector<float> fastest = Vector<float>.Zero;
        for (int i = from; i < to; i += 2 * width)
        {
            Surfaces(ref h, ref z, i, away, step.Storage, out Vector<double> deep0, out Vector<double> drop0);
            Surfaces(ref h, ref z, i + width, away, step.Storage, out Vector<double> deep1, out Vector<double> drop1);
            Vector<long> runs0 = Vector.GreaterThan(deep0, thin);
            Vector<long> runs1 = Vector.GreaterThan(deep1, thin);
            if ((runs0 | runs1) == Vector<long>.Zero)
            {
                Vector<float>.Zero.StoreUnsafe(ref n, (nuint)i);
                continue;
            }

            Vector<float> deep = Vector.Narrow(deep0, deep1);
            Vector<float> y = InverseCubeRoot(deep);
            Vector<float> square = y * y;
            Vector<float> drag = y * (square * square * square);
            Vector<float> was = Vector.LoadUnsafe(ref q, (nuint)i);
            Vector<float> memory = (own * was) + (side * (Vector.LoadUnsafe(ref q, (nuint)(i - away)) + Vector.LoadUnsafe(ref q, (nuint)(i + away))));
            Vector<float> inertia = heavy * deep;
            inertia = Vector.ConditionalSelect(Vector.GreaterThan(inertia, Vector<float>.One), inertia, Vector<float>.One);
            Vector<float> pushed = (inertia * memory) - (push * deep * Vector.Narrow(drop0, drop1));
            Vector<float> other = ((Vector.LoadUnsafe(ref o, (nuint)(i - away)) + Vector.LoadUnsafe(ref o, (nuint)i))
                + (Vector.LoadUnsafe(ref o, (nuint)(i - away + aside)) + Vector.LoadUnsafe(ref o, (nuint)(i + aside)))) * quarter;
            Vector<float> brake = rough * drag;
            Vector<float> open = inertia + (brake * (Vector.SquareRoot((was * was) + (other * other)) - Vector.Abs(was)));
            Vector<float> result = (pushed + pushed) / (open + Vector.SquareRoot((open * open) + (four * brake * Vector.Abs(pushed))));
            Vector<float> high = Depths(ref h, i - away, width) * most;
            Vector<float> low = -(Depths(ref h, i, width) * most);
            high = Vector.ConditionalSelect(Vector.GreaterThan(high, Vector<float>.Zero), high, Vector<float>.Zero);
            low = Vector.ConditionalSelect(Vector.LessThan(low, Vector<float>.Zero), low, Vector<float>.Zero);
            result = Vector.ConditionalSelect(Vector.LessThan(result, high), result, high);
            result = Vector.ConditionalSelect(Vector.GreaterThan(result, low), result, low);
            result = Vector.ConditionalSelect(Vector.Narrow(runs0, runs1), result, Vector<float>.Zero);
            result.StoreUnsafe(ref n, (nuint)i);
            Vector<float> speed = Vector.Abs(result) * (square * y);
            fastest = Vector.ConditionalSelect(Vector.GreaterThan(speed, fastest), speed, fastest);
        }

        float greatest = 0;
        for (int k = 0; k < Vector<float>.Count; k++)
        {
            greatest = fastest[k] > greatest ? fastest[k] : greatest;
        }

        return greatest;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector<float> Depths(ref double h, int i, int width) => Vector.Narrow(Vector.LoadUnsafe(ref h, (nuint)i), Vector.LoadUnsafe(ref h, (nuint)(i + width)));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Surfaces(ref double h, ref double z, int i, int away, double storage, out Vector<double> deep, out Vector<double> drop)
    {
        Vector<double> leftBed = Vector.LoadUnsafe(ref z, (nuint)(i - away));
        Vector<double> rightBed = Vector.LoadUnsafe(ref z, (nuint)i);
        Vector<double> left = leftBed + Vector.LoadUnsafe(ref h, (nuint)(i - away));
        Vector<double> right = rightBed + Vector.LoadUnsafe(ref h, (nuint)i);
        deep = Vector.ConditionalSelect(Vector.GreaterThan(left, right), left, right)
            - Vector.ConditionalSelect(Vector.GreaterThan(leftBed, rightBed), leftBed, rightBed) - new Vector<double>(storage);
        drop = right - left;
    }
}
