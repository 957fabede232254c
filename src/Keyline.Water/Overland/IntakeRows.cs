using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Keyline.Water;

/// <summary>Water taken up by the rows of a step: what flows in and rains on, and what the soil takes.</summary>
/// <remarks>
/// <para>Units: metres, seconds. Promises: the vector row gives the scalar row's bits; what leaves the surface is in the soil.</para>
/// <para>Cost: a square root a cell and step. Source: Green and Ampt's equation over a short step with the rate at its middle, a quadratic
/// that is exact for a dry soil's first moment; the layer beneath, Childs and Bybordi 1969, is the same form with the depth shifted.</para>
/// </remarks>
internal static class IntakeRows
{
    /// <summary>Adds a step's net inflow and rain to the depths of a row.</summary>
    public static void Fill(double[] depth, double[] bed, float[] flowX, float[] flowY, int from, int to, int stride, double perCell, double rain, bool vector)
    {
        int i = from;
        if (vector)
        {
            ref double h = ref MemoryMarshal.GetArrayDataReference(depth);
            ref double z = ref MemoryMarshal.GetArrayDataReference(bed);
            ref float x = ref MemoryMarshal.GetArrayDataReference(flowX);
            ref float y = ref MemoryMarshal.GetArrayDataReference(flowY);
            Vector<double> share = new(perCell);
            Vector<double> falls = new(rain);
            Vector<double> none = new(FlowRows.NoGround);
            int width = Vector<double>.Count;
            for (; i <= to - (2 * width); i += 2 * width)
            {
                Net(ref x, ref y, i, stride, out Vector<double> first, out Vector<double> second);
                Add(ref h, ref z, i, first, share, falls, none);
                Add(ref h, ref z, i + width, second, share, falls, none);
            }
        }

        for (; i < to; i++)
        {
            double net = ((double)flowX[i] - flowX[i + 1]) + ((double)flowY[i] - flowY[i + stride]);
            depth[i] = depth[i] + (perCell * net) + (bed[i] < FlowRows.NoGround ? rain : 0);
        }
    }

    // Each flow is one number, and goes whole from one cell to the other: differences are taken in double precision.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Net(ref float x, ref float y, int i, int stride, out Vector<double> first, out Vector<double> second)
    {
        Vector.Widen(Vector.LoadUnsafe(ref x, (nuint)i), out Vector<double> west0, out Vector<double> west1);
        Vector.Widen(Vector.LoadUnsafe(ref x, (nuint)(i + 1)), out Vector<double> east0, out Vector<double> east1);
        Vector.Widen(Vector.LoadUnsafe(ref y, (nuint)i), out Vector<double> north0, out Vector<double> north1);
        Vector.Widen(Vector.LoadUnsafe(ref y, (nuint)(i + stride)), out Vector<double> south0, out Vector<double> south1);
        first = (west0 - east0) + (north0 - south0);
        second = (west1 - east1) + (north1 - south1);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Add(ref double h, ref double z, int i, Vector<double> net, Vector<double> share, Vector<double> falls, Vector<double> none)
    {
        Vector<double> fallen = Vector.ConditionalSelect(Vector.LessThan(Vector.LoadUnsafe(ref z, (nuint)i), none), falls, Vector<double>.Zero);
        (Vector.LoadUnsafe(ref h, (nuint)i) + (share * net) + fallen).StoreUnsafe(ref h, (nuint)i);
    }

    /// <summary>Lets the soil of a run of cells take in what it can.</summary>
    public static void Soak(double[] depth, double[] taken, int from, int to, in SoilStep soil, bool vector)
    {
        if (soil.TakesAll)
        {
            for (int k = from; k < to; k++)
            {
                double water = depth[k] > 0 ? depth[k] : 0;
                taken[k] += water;
                depth[k] -= water;
            }

            return;
        }

        int i = from;
        if (vector)
        {
            ref double h = ref MemoryMarshal.GetArrayDataReference(depth);
            ref double f = ref MemoryMarshal.GetArrayDataReference(taken);
            Vector<double> turn = new(soil.Turn);
            for (; i <= to - Vector<double>.Count; i += Vector<double>.Count)
            {
                Vector<double> water = Vector.LoadUnsafe(ref h, (nuint)i);
                if (water == Vector<double>.Zero)
                {
                    continue;
                }

                Vector<double> so = Vector.LoadUnsafe(ref f, (nuint)i);
                Vector<long> above = Vector.LessThan(so, turn);
                Vector<double> run = Vector.ConditionalSelect(above, new Vector<double>(soil.Run), new Vector<double>(soil.PanRun));
                Vector<double> pull = Vector.ConditionalSelect(above, new Vector<double>(soil.Pull), new Vector<double>(soil.PanPull));
                Vector<double> front = Vector.ConditionalSelect(above, so, so - new Vector<double>(soil.Shift));
                Vector<double> a = front - (run * new Vector<double>(0.5));
                Vector<double> can = Vector.SquareRoot((a * a) + ((run + run) * (front + pull))) - a;
                Vector<double> goes = Vector.ConditionalSelect(Vector.LessThan(can, water), can, water);
                goes = Vector.ConditionalSelect(Vector.GreaterThan(goes, Vector<double>.Zero), goes, Vector<double>.Zero);
                (so + goes).StoreUnsafe(ref f, (nuint)i);
                (water - goes).StoreUnsafe(ref h, (nuint)i);
            }
        }

        for (; i < to; i++)
        {
            double water = depth[i];
            bool above = taken[i] < soil.Turn;
            double run = above ? soil.Run : soil.PanRun;
            double pull = above ? soil.Pull : soil.PanPull;
            double front = above ? taken[i] : taken[i] - soil.Shift;
            double a = front - (run * 0.5);
            double can = Math.Sqrt((a * a) + ((run + run) * (front + pull))) - a;
            double goes = can < water ? can : water;
            goes = goes > 0 ? goes : 0;
            taken[i] += goes;
            depth[i] = water - goes;
        }
    }

    /// <summary>The deepest water of some rows of the same columns.</summary>
    public static double Deepest(double[] depth, int from, int to, int rows, int stride)
    {
        double most = 0;
        Vector<double> deep = Vector<double>.Zero;
        for (int row = 0; row < rows; row++)
        {
            int i = from + (row * stride);
            int behind = to + (row * stride);
            for (; i <= behind - Vector<double>.Count; i += Vector<double>.Count)
            {
                deep = Vector.MaxNative(deep, new Vector<double>(depth, i));
            }

            for (; i < behind; i++)
            {
                most = depth[i] > most ? depth[i] : most;
            }
        }

        for (int k = 0; k < Vector<double>.Count; k++)
        {
            most = deep[k] > most ? deep[k] : most;
        }

        return most;
    }
}

/// <summary>A soil over one step: its conductivity times the step, and where its second layer takes over.</summary>
internal readonly record struct SoilStep(bool TakesAll, double Run, double Pull, double Turn, double PanRun, double PanPull, double Shift)
{
    public static SoilStep Of(SoilColumn soil, double step)
    {
        if (double.IsInfinity(soil.Conductivity))
        {
            return new SoilStep(true, 0, 0, 0, 0, 0, 0);
        }

        double run = soil.Conductivity * step;
        if (soil.Pan is not { } pan)
        {
            return new SoilStep(false, run, soil.Pull, double.PositiveInfinity, run, soil.Pull, 0);
        }

        // f = (suction2 + L) / (L1/K1 + (L-L1)/K2) = K2 (1 + M2 / G), G = (L - L1 + L1 K2/K1) times the lower layer's room.
        double full = soil.Deficit * soil.PanDepth;
        double lag = soil.Conductivity > 0 ? soil.PanDepth * pan.Conductivity / soil.Conductivity : double.PositiveInfinity;
        double room = Math.Max(pan.Deficit, 1e-9);
        return double.IsInfinity(lag)
            ? new SoilStep(false, 0, 0, double.PositiveInfinity, 0, 0, 0)
            : new SoilStep(false, run, soil.Pull, full, pan.Conductivity * step, (pan.Suction + soil.PanDepth - lag) * room, full - (lag * room));
    }
}
