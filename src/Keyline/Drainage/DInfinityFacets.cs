using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;
using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Finds the steepest of the eight triangles around every cell, eight cells at once.</summary>
/// <remarks>
/// Slopes are compared squared and over one cell, so that only the winner needs a root or an angle, and the cell size does
/// not matter. A missing height makes a triangle's slope NaN, which is steeper than nothing. The arctangent is the single
/// precision one of the Cephes library (Moshier 1989, Methods and Programs for Mathematical Functions), right to 2e-7.
/// </remarks>
internal static class DInfinityFacets
{
    private const int Lanes = 8;
    private const int BandRows = 64;
    private const ulong EightTrue = 0x0101010101010101;
    private const float DegreesPerRadian = 57.29577951f;

    /// <summary>Fills in directions, which cells are ground, and for cells without a falling triangle a D8 code: the steepest
    /// fall, else the way out, else no flow. Other cells get code 0.</summary>
    /// <returns>Whether a cell of the ground has no falling triangle.</returns>
    public static bool Route(float[] z, GridFrame frame, float[] degrees, bool[] ground, byte[] codes, CancellationToken cancellationToken)
    {
        int bands = (frame.Rows + BandRows - 1) / BandRows;
        bool[] level = new bool[bands];
        Parallel.For(0, bands, WorkThreads.Options(cancellationToken), band =>
        {
            // Three rows framed by missing cells, so that the grid's edge needs no code of its own.
            int width = frame.Columns + 2 + Lanes;
            float[] north = new float[width];
            float[] centre = new float[width];
            float[] south = new float[width];
            float[] angles = new float[width];
            int first = band * BandRows;
            int last = Math.Min(first + BandRows, frame.Rows);
            Load(z, frame, first - 1, north);
            Load(z, frame, first, centre);
            for (int row = first; row < last; row++)
            {
                Load(z, frame, row + 1, south);
                Row(north, centre, south, angles, frame.Columns);
                int start = row * frame.Columns;
                angles.AsSpan(0, frame.Columns).CopyTo(degrees.AsSpan(start));
                level[band] |= Rest(north, centre, south, start, frame.Columns, degrees, ground, codes);
                (north, centre, south) = (centre, south, north);
            }
        });
        return System.Array.Exists(level, any => any);
    }

    private static void Load(float[] z, GridFrame frame, int row, float[] framed)
    {
        System.Array.Fill(framed, float.NaN);
        if (row >= 0 && row < frame.Rows)
        {
            z.AsSpan(row * frame.Columns, frame.Columns).CopyTo(framed.AsSpan(1));
        }
    }

    private static void Row(float[] north, float[] centre, float[] south, float[] angles, int columns)
    {
        ref float n = ref MemoryMarshal.GetArrayDataReference(north);
        ref float c = ref MemoryMarshal.GetArrayDataReference(centre);
        ref float s = ref MemoryMarshal.GetArrayDataReference(south);
        ref float a = ref MemoryMarshal.GetArrayDataReference(angles);
        for (nuint column = 0; column < (nuint)columns; column += Lanes)
        {
            Vector256<float> e = Vector256.LoadUnsafe(ref c, column + 1);
            Vector256<float> side = Vector256.LoadUnsafe(ref n, column + 1);
            Vector256<float> corner = Vector256.LoadUnsafe(ref n, column + 2);
            Winner best = default;
            best.Try(e, side, corner, 0, false);
            side = Vector256.LoadUnsafe(ref c, column + 2);
            best.Try(e, side, corner, 90, true);
            corner = Vector256.LoadUnsafe(ref s, column + 2);
            best.Try(e, side, corner, 90, false);
            side = Vector256.LoadUnsafe(ref s, column + 1);
            best.Try(e, side, corner, 180, true);
            corner = Vector256.LoadUnsafe(ref s, column);
            best.Try(e, side, corner, 180, false);
            side = Vector256.LoadUnsafe(ref c, column);
            best.Try(e, side, corner, 270, true);
            corner = Vector256.LoadUnsafe(ref n, column);
            best.Try(e, side, corner, 270, false);
            side = Vector256.LoadUnsafe(ref n, column + 1);
            best.Try(e, side, corner, 360, true);
            best.Degrees().StoreUnsafe(ref a, column);
        }
    }

    private static bool AllNumbers(Vector256<float> eight) => Vector256.EqualsAll(eight, eight);

    // Masks here are all ones or all zeros; the general selection, which may not know it, takes three instructions for this one.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<float> Pick(Vector256<float> mask, Vector256<float> yes, Vector256<float> no) =>
        Avx.IsSupported ? Avx.BlendVariable(no, yes, mask) : Vector256.ConditionalSelect(mask, yes, no);

    // What the triangles left over: cells that are missing, or level, or lower than all around, or hemmed in by missing cells.
    private static bool Rest(float[] north, float[] centre, float[] south, int start, int columns, float[] degrees, bool[] ground, byte[] codes)
    {
        bool level = false;
        ref float angle = ref degrees[start];
        ref bool solid = ref ground[start];
        for (int c = 0; c < columns; c++)
        {
            // Where eight flow, eight have ground.
            while (c + Lanes <= columns && AllNumbers(Vector256.LoadUnsafe(ref angle, (nuint)c)))
            {
                Unsafe.WriteUnaligned(ref Unsafe.As<bool, byte>(ref Unsafe.Add(ref solid, c)), EightTrue);
                c += Lanes;
            }

            if (c == columns)
            {
                break;
            }

            int i = start + c;
            ground[i] = !float.IsNaN(centre[c + 1]);
            if (!float.IsNaN(degrees[i]))
            {
                continue;
            }

            codes[i] = FlowCode.None;
            if (ground[i])
            {
                level = true;
                codes[i] = D8Rows.OfCell(north.AsSpan(c, 3), centre.AsSpan(c, 3), south.AsSpan(c, 3));
            }
        }

        return level;
    }

    /// <summary>The steepest triangle so far, for eight cells.</summary>
    private struct Winner
    {
        private Vector256<float> _steepest;
        private Vector256<float> _along;
        private Vector256<float> _across;
        private Vector256<float> _from;

        /// <summary>Tries the triangle between a side neighbour, in direction <paramref name="from"/>, and a corner beside it.</summary>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public void Try(Vector256<float> centre, Vector256<float> side, Vector256<float> corner, float from, bool backward)
        {
            Vector256<float> along = centre - side;
            Vector256<float> across = side - corner;
            Vector256<float> diagonal = Vector256.MaxNative(centre - corner, Vector256<float>.Zero);
            Vector256<float> onSide = Vector256.LessThanOrEqual(across, Vector256<float>.Zero);
            Vector256<float> onCorner = Vector256.GreaterThanOrEqual(across, along);
            Vector256<float> falling = Vector256.MaxNative(along, Vector256<float>.Zero);
            Vector256<float> steep = (along * along) + (across * across);
            steep = Pick(onCorner, diagonal * diagonal * Vector256.Create(0.5f), steep);
            steep = Pick(onSide, falling * falling, steep);
            across = Pick(onCorner, along, across);
            across = Vector256.AndNot(across, onSide);

            Vector256<float> wins = Vector256.GreaterThan(steep, _steepest);
            _steepest = Pick(wins, steep, _steepest);
            _along = Pick(wins, along, _along);
            _across = Pick(wins, backward ? -across : across, _across);
            _from = Pick(wins, Vector256.Create(from), _from);
        }

        /// <summary>The directions; NaN where no triangle falls.</summary>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public readonly Vector256<float> Degrees()
        {
            Vector256<float> one = Vector256<float>.One;
            Vector256<float> tangent = _across / _along;
            Vector256<float> size = Vector256.Abs(tangent);
            Vector256<float> wide = Vector256.GreaterThan(size, Vector256.Create(0.4142135624f));
            Vector256<float> x = Pick(wide, (size - one) / (size + one), size);
            Vector256<float> y = x * x;
            Vector256<float> p = (y * Vector256.Create(8.05374449538e-2f)) - Vector256.Create(1.38776856032e-1f);
            p = (p * y) + Vector256.Create(1.99777106478e-1f);
            p = (p * y) - Vector256.Create(3.33329491539e-1f);
            p = ((p * y * x) + x) * Vector256.Create(DegreesPerRadian);
            p += Pick(wide, Vector256.Create(45f), Vector256<float>.Zero);
            Vector256<float> turned = _from + Vector256.CopySign(p, tangent);
            turned = Pick(Vector256.Equals(turned, Vector256.Create(360f)), Vector256<float>.Zero, turned);
            Vector256<float> falls = Vector256.GreaterThan(_steepest, Vector256<float>.Zero);
            return Pick(falls, turned, Vector256.Create(float.NaN));
        }
    }
}
