using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace Keyline.Terrain;

/// <summary>Writes a finished row of a large grid past the caches.</summary>
/// <remarks>
/// <para>Promises: the same bits as a plain copy. Seen by every thread once <see cref="Settle"/> was called by the one that wrote.</para>
/// <para>Cost: a plain store first reads the line of memory it writes to; this does not, so that a pass that reads four bytes a cell and writes
/// four moves eight and not twelve. Worth it only where the grid is larger than the caches: what is read again soon had better stay in them.</para>
/// <para>Source: Intel 64 and IA-32 Architectures Optimization Reference Manual, "Non-temporal store instructions".</para>
/// </remarks>
internal static class StreamedRow
{
    /// <summary>Grids of fewer cells than this are written the plain way: 16 MB, about what a core's share of the last cache holds.</summary>
    public const int LeastCells = 1 << 22;

    private const int Lanes = 8;
    private const int BytesOfLane = sizeof(float);

    /// <summary>Copies a row.</summary>
    /// <param name="from">What to write.</param>
    /// <param name="to">Where to; as long, on a boundary of four bytes.</param>
    public static unsafe void Copy(ReadOnlySpan<float> from, Span<float> to)
    {
        ArgumentOutOfRangeException.ThrowIfNotEqual(to.Length, from.Length);
        if (!Vector256.IsHardwareAccelerated || from.Length < 4 * Lanes)
        {
            from.CopyTo(to);
            return;
        }

        fixed (float* start = to)
        {
            // Such stores want whole vectors at multiples of their size.
            int head = (int)(((nuint)(Lanes * BytesOfLane) - ((nuint)start % (Lanes * BytesOfLane))) % (Lanes * BytesOfLane)) / BytesOfLane;
            from[..head].CopyTo(to);
            ref float source = ref MemoryMarshal.GetReference(from);
            int c = head;
            for (; c <= from.Length - Lanes; c += Lanes)
            {
                Vector256.LoadUnsafe(ref source, (nuint)c).StoreAlignedNonTemporal(start + c);
            }

            from[c..].CopyTo(to[c..]);
        }
    }

    /// <summary>To be called by a thread when it has written its rows, before others read them.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Settle()
    {
        if (Sse.IsSupported)
        {
            Sse.StoreFence();
        }
    }
}
