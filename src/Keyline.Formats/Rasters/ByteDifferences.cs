using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Keyline.Formats;

/// <summary>Differences of neighbouring bytes.</summary>
internal static class ByteDifferences
{
    /// <summary>Every byte less the one before it, the first as it is; wraps around.</summary>
    /// <param name="from">Bytes, at least one.</param>
    /// <param name="to">As many; not the same memory.</param>
    public static void Take(ReadOnlySpan<byte> from, Span<byte> to)
    {
        to[0] = from[0];
        int i = 1;
        if (Vector128.IsHardwareAccelerated)
        {
            ref byte source = ref MemoryMarshal.GetReference(from);
            ref byte target = ref MemoryMarshal.GetReference(to);
            for (; i <= from.Length - Vector128<byte>.Count; i += Vector128<byte>.Count)
            {
                (Vector128.LoadUnsafe(ref source, (nuint)i) - Vector128.LoadUnsafe(ref source, (nuint)i - 1)).StoreUnsafe(ref target, (nuint)i);
            }
        }

        for (; i < from.Length; i++)
        {
            to[i] = unchecked((byte)(from[i] - from[i - 1]));
        }
    }
}
