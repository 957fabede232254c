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
/// of neighbours, de Almeida and others, Water Resources Research 48, 2012, equation 9. The depth to the power -7/3 comes from two rounds
/// of Halley's method on the inverse cube root. Depths and the fall between them are in double precision, so that still water is
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
    private const float ThinnestFlow = 1e-6f;
    private const float Third = 1f / 3f;
    private const float TwoNinths = 2f / 9f;
    private const float CubeRootMagic = 1419967125f;

    /// <summary>Computes the faces of some rows.</summary>
    /// <param name="depth">Depths of water.</param>
    /// <param name="bed">Heights of the bed.</param>
    /// <param name="flow">Flow of the step before.</param>
    /// <param name="cross">Flow of the step before in the other direction.</param>
    /// <param name="next">Flow of this step.</param>
    /// <param name="faces">First face, behind the last of the first row, and how many rows of the same columns; face i lies between cells i - away and i.</param>
    /// <param name="stride">Cells from one row to the next.</param>
    /// <param name="away">1 along a row, the stride across it.</param>
    /// <param name="step">The step.</param>
    /// <param name="vector">Whether vectors are used.</param>
    /// <returns>About the greatest speed over the faces worked, metres a second.</returns>
    public static float Flow(double[] depth, double[] bed, float[] flow, float[] cross, float[] next, (int From, int To, int Rows) faces, int stride, int away, in FlowStep step, bool vector)
    {
        // From a cell's face in the other direction to its opposite one.
        int aside = away == 1 ? stride : 1;
        if (vector)
        {
            return Vectors(depth, bed, flow, cross, next, faces, stride, away, aside, step);
        }

        float fastest = 0;
        for (int row = 0; row < faces.Rows; row++)
        {
            for (int i = faces.From + (row * stride); i < faces.To + (row * stride); i++)
            {
                float other = ((cross[i - away] + cross[i]) + (cross[i - away + aside] + cross[i + aside])) * 0.25f;
                next[i] = Face(depth[i - away], bed[i - away], depth[i], bed[i], flow[i], flow[i - away], flow[i + away], other, step, out float speed);
                fastest = speed > fastest ? speed : fastest;
            }
        }

        return fastest;
    }

    /// <summary>One over the cube root of a number above 0, to single precision.</summary>
    public static float InverseCubeRoot(float h)
    {
        float y = BitConverter.Int32BitsToSingle((int)MathF.FusedMultiplyAdd(BitConverter.SingleToInt32Bits(h), -Third, CubeRootMagic));
        y = Closer(y);
        return Closer(y);

        // Halley's way: with 1 - h y^3 = r, y (1 - r)^(-1/3).
        float Closer(float y)
        {
            float r = MathF.FusedMultiplyAdd(-(y * y), h * y, 1f);
            return MathF.FusedMultiplyAdd(y * r, MathF.FusedMultiplyAdd(r, TwoNinths, Third), y);
        }
    }

    /// <summary>The same of several numbers, with the same bits.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector<float> InverseCubeRoot(Vector<float> h)
    {
        Vector<float> y = Vector.AsVectorSingle(Vector.ConvertToInt32Native(Vector.FusedMultiplyAdd(Vector.ConvertToSingle(Vector.AsVectorInt32(h)), new Vector<float>(-Third), new Vector<float>(CubeRootMagic))));
        y = Closer(y, h);
        return Closer(y, h);
    }

    /// <summary>One face: the plain form that the vectors must equal.</summary>
    public static float Face(double leftDepth, double leftBed, double rightDepth, double rightBed, float flow, float before, float behind, float other, in FlowStep step, out float speed)
    {
        speed = 0;
        double left = leftBed + leftDepth;
        double right = rightBed + rightDepth;
        float deep = (float)((left > right ? left : right) - (leftBed > rightBed ? leftBed : rightBed) - step.Storage);
        if (!(deep > ThinnestFlow))
        {
            return 0;
        }

        float y = InverseCubeRoot(deep);
        float square = y * y;
        float cube = square * y;
        float drag = square * square * cube;
        float memory = MathF.FusedMultiplyAdd((float)step.Weighting, flow, (float)((1 - step.Weighting) / 2) * (before + behind));
        float inertia = (float)step.Inertia * deep;
        inertia = inertia > 1f ? inertia : 1f;
        float pushed = MathF.FusedMultiplyAdd(inertia, memory, -((float)(Gravity * step.Step / step.Cell) * deep * (float)(right - left)));
        float size = pushed < 0 ? -pushed : pushed;
        float own = flow < 0 ? -flow : flow;
        float brake = (float)(step.Roughness * step.Step) * drag;
        float open = MathF.FusedMultiplyAdd(brake, MathF.Sqrt(MathF.FusedMultiplyAdd(flow, flow, other * other)) - own, inertia);
        float q = (pushed + pushed) / (open + MathF.Sqrt(MathF.FusedMultiplyAdd(open, open, 4f * brake * size)));
        float most = (float)(step.Cell / (2 * step.Step));
        float high = (float)leftDepth * most;
        float low = (float)rightDepth * -most;
        high = high > 0 ? high : 0;
        low = low < 0 ? low : 0;
        q = q < high ? q : high;
        q = q > low ? q : low;
        speed = (q < 0 ? -q : q) * cube;
        return q;
    }

    private static float Vectors(double[] depth, double[] bed, float[] flow, float[] cross, float[] next, (int From, int To, int Rows) faces, int stride, int away, int aside, in FlowStep step)
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
        Vector<float> thin = new(ThinnestFlow);
        Vector<float> fastest = Vector<float>.Zero;
        Vector<double> storage = new(step.Storage);
        for (int row = 0; row < faces.Rows; row++)
        {
            for (int i = faces.From + (row * stride); i < faces.To + (row * stride); i += 2 * width)
            {
                Surfaces(ref h, ref z, i, away, storage, out Vector<double> deep0, out Vector<double> drop0);
                Surfaces(ref h, ref z, i + width, away, storage, out Vector<double> deep1, out Vector<double> drop1);
                Vector<float> deep = Vector.Narrow(deep0, deep1);
                Vector<int> runs = Vector.GreaterThan(deep, thin);
                if (runs == Vector<int>.Zero)
                {
                    Vector<float>.Zero.StoreUnsafe(ref n, (nuint)i);
                    continue;
                }

                Vector<float> y = InverseCubeRoot(deep);
                Vector<float> square = y * y;
                Vector<float> cube = square * y;
                Vector<float> brake = rough * (square * square * cube);
                Vector<float> was = Vector.LoadUnsafe(ref q, (nuint)i);
                Vector<float> memory = Vector.FusedMultiplyAdd(own, was, side * (Vector.LoadUnsafe(ref q, (nuint)(i - away)) + Vector.LoadUnsafe(ref q, (nuint)(i + away))));
                Vector<float> inertia = Vector.MaxNative(heavy * deep, Vector<float>.One);
                Vector<float> pushed = Vector.FusedMultiplyAdd(inertia, memory, -(push * deep * Vector.Narrow(drop0, drop1)));
                Vector<float> other = ((Vector.LoadUnsafe(ref o, (nuint)(i - away)) + Vector.LoadUnsafe(ref o, (nuint)i))
                    + (Vector.LoadUnsafe(ref o, (nuint)(i - away + aside)) + Vector.LoadUnsafe(ref o, (nuint)(i + aside)))) * quarter;
                Vector<float> open = Vector.FusedMultiplyAdd(brake, Vector.SquareRoot(Vector.FusedMultiplyAdd(was, was, other * other)) - Vector.Abs(was), inertia);
                Vector<float> result = (pushed + pushed) / (open + Vector.SquareRoot(Vector.FusedMultiplyAdd(open, open, four * brake * Vector.Abs(pushed))));
                Vector<float> high = Vector.MaxNative(Depths(ref h, i - away, width) * most, Vector<float>.Zero);
                Vector<float> low = Vector.MinNative(Depths(ref h, i, width) * -most, Vector<float>.Zero);
                result = Vector.MaxNative(Vector.MinNative(result, high), low);
                result = Vector.ConditionalSelect(runs, result, Vector<float>.Zero);
                result.StoreUnsafe(ref n, (nuint)i);
                fastest = Vector.MaxNative(fastest, Vector.ConditionalSelect(runs, Vector.Abs(result) * cube, Vector<float>.Zero));
            }
        }

        float greatest = 0;
        for (int k = 0; k < Vector<float>.Count; k++)
        {
            greatest = fastest[k] > greatest ? fastest[k] : greatest;
        }

        return greatest;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector<float> Closer(Vector<float> y, Vector<float> h)
    {
        Vector<float> r = Vector.FusedMultiplyAdd(-(y * y), h * y, Vector<float>.One);
        return Vector.FusedMultiplyAdd(y * r, Vector.FusedMultiplyAdd(r, new Vector<float>(TwoNinths), new Vector<float>(Third)), y);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector<float> Depths(ref double h, int i, int width) => Vector.Narrow(Vector.LoadUnsafe(ref h, (nuint)i), Vector.LoadUnsafe(ref h, (nuint)(i + width)));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Surfaces(ref double h, ref double z, int i, int away, Vector<double> storage, out Vector<double> deep, out Vector<double> drop)
    {
        Vector<double> leftBed = Vector.LoadUnsafe(ref z, (nuint)(i - away));
        Vector<double> rightBed = Vector.LoadUnsafe(ref z, (nuint)i);
        Vector<double> left = leftBed + Vector.LoadUnsafe(ref h, (nuint)(i - away));
        Vector<double> right = rightBed + Vector.LoadUnsafe(ref h, (nuint)i);
        deep = Vector.MaxNative(left, right) - Vector.MaxNative(leftBed, rightBed) - storage;
        drop = right - left;
    }
}
