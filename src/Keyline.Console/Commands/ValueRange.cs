using System.Numerics;
using System.Runtime.InteropServices;

namespace Keyline.Console.Commands;

/// <summary>Least and greatest of values, and how many are missing.</summary>
internal static class ValueRange
{
    /// <summary>Takes them.</summary>
    /// <typeparam name="T">A number that vectors hold.</typeparam>
    /// <param name="values">Values; not-a-number is always missing.</param>
    /// <param name="missing">The value that means missing as well.</param>
    /// <returns>Least and greatest, infinities the wrong way round where there is none, and the count of missing ones. Nothing has no sign.</returns>
    public static (double Least, double Greatest, long Missing) Of<T>(ReadOnlySpan<T> values, T missing)
        where T : unmanaged, INumber<T>
    {
        int i = 0;
        while (i < values.Length && IsMissing(values[i], missing))
        {
            i++;
        }

        long gone = i;
        if (i == values.Length)
        {
            return (double.PositiveInfinity, double.NegativeInfinity, gone);
        }

        T least = values[i], greatest = values[i];
        if (Vector.IsHardwareAccelerated)
        {
            // In place of a missing one stands a value that changes nothing.
            ref T from = ref MemoryMarshal.GetReference(values);
            Vector<T> instead = new(least), none = new(missing), low = instead, high = instead;
            for (; i <= values.Length - Vector<T>.Count; i += Vector<T>.Count)
            {
                Vector<T> here = Vector.LoadUnsafe(ref from, (nuint)i);
                Vector<T> there = Vector.AndNot(Vector.Equals(here, here), Vector.Equals(here, none));
                if (!Vector.EqualsAll(there, Vector<T>.AllBitsSet))
                {
                    gone += Missing(values.Slice(i, Vector<T>.Count), missing);
                    here = Vector.ConditionalSelect(there, here, instead);
                }

                low = Vector.Min(low, here);
                high = Vector.Max(high, here);
            }

            for (int lane = 0; lane < Vector<T>.Count; lane++)
            {
                least = T.Min(least, low[lane]);
                greatest = T.Max(greatest, high[lane]);
            }
        }

        for (; i < values.Length; i++)
        {
            if (IsMissing(values[i], missing))
            {
                gone++;
                continue;
            }

            least = T.Min(least, values[i]);
            greatest = T.Max(greatest, values[i]);
        }

        return (double.CreateChecked(least) + 0.0, double.CreateChecked(greatest) + 0.0, gone);
    }

    private static bool IsMissing<T>(T value, T missing)
        where T : INumber<T> => T.IsNaN(value) || value == missing;

    private static int Missing<T>(ReadOnlySpan<T> values, T missing)
        where T : INumber<T>
    {
        int count = 0;
        foreach (T value in values)
        {
            count += IsMissing(value, missing) ? 1 : 0;
        }

        return count;
    }
}
