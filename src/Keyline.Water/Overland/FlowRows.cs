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
internal readonly record struct FlowStep(double Step, double Cell, double Roughness, double Weighting, double Storage);

/// <summary>Flow over faces between cells, row by row: the local inertial equation, friction taken implicitly and with the whole flow's speed.</summary>
/// <remarks>
/// <para>Units: metres, seconds; flow in square metres a second, above 0 toward the higher index. Promises: the vector row gives the
/// scalar row's bits; no face takes more than half of the water of the cell it
/// drains; where three would, the cell owes what is missing until more comes.</para>
/// <para>Cost: two faces a cell and step. Source: Bates, Horritt and Fewtrell, Journal of Hydrology 387, 2010, equation 11; the weighting
/// of neighbours, de Almeida and others, Water Resources Research 48, 2012, equation 9. The depth to the power -7/3 comes from three rounds
/// of Newton's method on the inverse cube root in single precision, which only friction sees. Friction is
/// the new flow's own, so that long steps over thin water do not swing; what the flow across adds to its speed is the step before's: ours.</para>
/// </remarks>
internal static class FlowRows
{
    /// <summary>Height of the bed where there is no ground: nothing flows over it.</summary>
    public const double NoGround = 1e6;

    /// <summary>Cells worked at once; rows are padded so that a row's last ones may be overshot.</summary>
    public const int Block = 8;

    private const double Gravity = 9.80665;
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
    public static void Flow(double[] depth, double[] bed, double[] flow, double[] cross, double[] next, int from, int to, int away, int aside, in FlowStep step, bool vector)
    {
        if (vector)
        {
            Vectors(depth, bed, flow, cross, next, from, to, away, aside, step);
            return;
        }

        for (int i = from; i < to; i++)
        {
            double other = ((cross[i - away] + cross[i]) + (cross[i - away + aside] + cross[i + aside])) * 0.25;
            next[i] = Face(depth[i - away], bed[i - away], depth[i], bed[i], flow[i], flow[i - away], flow[i + away], other, step);
        }
    }

    /// <summary>One face: the plain form that the vectors must equal.</summary>
    public static double Face(double leftDepth, double leftBed, double rightDepth, double rightBed, double flow, double before, double behind, double other, in FlowStep step)
    {
        double left = leftBed + leftDepth;
        double right = rightBed + rightDepth;
        double deep = (left > right ? left : right) - (leftBed > rightBed ? leftBed : rightBed) - step.Storage;
        if (!(deep > ThinnestFlow))
        {
            return 0;
        }

        float h = (float)deep;
        float y = BitConverter.Int32BitsToSingle((int)((BitConverter.SingleToInt32Bits(h) * Third) + CubeRootMagic));
        y *= 4f - (h * (y * y * y));
        y *= Third * -1f;
        y *= 4f - (h * (y * y * y));
        y *= Third * -1f;
        y *= 4f - (h * (y * y * y));
        y *= Third * -1f;
        float square = y * y;
        double drag = y * (square * square * square);

        double side = (1 - step.Weighting) / 2;
        double memory = (step.Weighting * flow) + (side * (before + behind));
        double pushed = memory - (Gravity * step.Step / step.Cell * deep * (right - left));
        double size = pushed < 0 ? -pushed : pushed;
        double own = flow < 0 ? -flow : flow;
        double brake = step.Roughness * step.Step * drag;
        double open = 1 + (brake * (Math.Sqrt((flow * flow) + (other * other)) - own));
        double q = (pushed + pushed) / (open + Math.Sqrt((open * open) + (4 * brake * size)));
        double most = step.Cell / (2 * step.Step);
        double high = leftDepth * most;
        double low = -(rightDepth * most);
        high = high > 0 ? high : 0;
        low = low < 0 ? low : 0;
        q = q < high ? q : high;
        return q > low ? q : low;
    }

    private static void Vectors(double[] depth, double[] bed, double[] flow, double[] cross, double[] next, int from, int to, int away, int aside, in FlowStep step)
    {
        ref double h = ref MemoryMarshal.GetArrayDataReference(depth);
        ref double z = ref MemoryMarshal.GetArrayDataReference(bed);
        ref double q = ref MemoryMarshal.GetArrayDataReference(flow);
        ref double o = ref MemoryMarshal.GetArrayDataReference(cross);
        ref double n = ref MemoryMarshal.GetArrayDataReference(next);
        int width = Vector<double>.Count;
        Vector<float> third = new(Third);
        Vector<float> thirdUp = new(Third * -1f);
        Vector<float> magic = new(CubeRootMagic);
        Vector<float> four = new(4f);
        Vector<double> thin = new(ThinnestFlow);
        for (int i = from; i < to; i += 2 * width)
        {
            Surfaces(ref h, ref z, i, away, step.Storage, out Vector<double> deep0, out Vector<double> drop0);
            Surfaces(ref h, ref z, i + width, away, step.Storage, out Vector<double> deep1, out Vector<double> drop1);
            if (Vector.LessThanOrEqualAll(deep0, thin) && Vector.LessThanOrEqualAll(deep1, thin))
            {
                Vector<double>.Zero.StoreUnsafe(ref n, (nuint)i);
                Vector<double>.Zero.StoreUnsafe(ref n, (nuint)(i + width));
                continue;
            }

            Vector<float> d = Vector.Narrow(deep0, deep1);
            Vector<float> y = Vector.AsVectorSingle(Vector.ConvertToInt32Native((Vector.ConvertToSingle(Vector.AsVectorInt32(d)) * third) + magic));
            y *= four - (d * (y * y * y));
            y *= thirdUp;
            y *= four - (d * (y * y * y));
            y *= thirdUp;
            y *= four - (d * (y * y * y));
            y *= thirdUp;
            Vector<float> square = y * y;
            Vector.Widen(y * (square * square * square), out Vector<double> drag0, out Vector<double> drag1);
            Finish(ref h, ref q, ref o, ref n, i, away, aside, deep0, drop0, drag0, step);
            Finish(ref h, ref q, ref o, ref n, i + width, away, aside, deep1, drop1, drag1, step);
        }
    }

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

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Finish(ref double h, ref double q, ref double o, ref double n, int i, int away, int aside, Vector<double> deep, Vector<double> drop, Vector<double> drag, in FlowStep step)
    {
        Vector<double> flow = Vector.LoadUnsafe(ref q, (nuint)i);
        Vector<double> memory = (new Vector<double>(step.Weighting) * flow)
            + (new Vector<double>((1 - step.Weighting) / 2) * (Vector.LoadUnsafe(ref q, (nuint)(i - away)) + Vector.LoadUnsafe(ref q, (nuint)(i + away))));
        Vector<double> pushed = memory - (new Vector<double>(Gravity * step.Step / step.Cell) * deep * drop);
        Vector<double> other = ((Vector.LoadUnsafe(ref o, (nuint)(i - away)) + Vector.LoadUnsafe(ref o, (nuint)i))
            + (Vector.LoadUnsafe(ref o, (nuint)(i - away + aside)) + Vector.LoadUnsafe(ref o, (nuint)(i + aside)))) * new Vector<double>(0.25);
        Vector<double> brake = new Vector<double>(step.Roughness * step.Step) * drag;
        Vector<double> open = Vector<double>.One + (brake * (Vector.SquareRoot((flow * flow) + (other * other)) - Vector.Abs(flow)));
        Vector<double> result = (pushed + pushed) / (open + Vector.SquareRoot((open * open) + (new Vector<double>(4) * brake * Vector.Abs(pushed))));
        Vector<double> most = new(step.Cell / (2 * step.Step));
        Vector<double> high = Vector.LoadUnsafe(ref h, (nuint)(i - away)) * most;
        Vector<double> low = -(Vector.LoadUnsafe(ref h, (nuint)i) * most);
        high = Vector.ConditionalSelect(Vector.GreaterThan(high, Vector<double>.Zero), high, Vector<double>.Zero);
        low = Vector.ConditionalSelect(Vector.LessThan(low, Vector<double>.Zero), low, Vector<double>.Zero);
        result = Vector.ConditionalSelect(Vector.LessThan(result, high), result, high);
        result = Vector.ConditionalSelect(Vector.GreaterThan(result, low), result, low);
        Vector.ConditionalSelect(Vector.GreaterThan(deep, new Vector<double>(ThinnestFlow)), result, Vector<double>.Zero).StoreUnsafe(ref n, (nuint)i);
    }
}
