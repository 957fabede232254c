using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Directions of one byte a cell as the angles that files and people use.</summary>
/// <remarks>
/// <para>Units: degrees clockwise from north, 0, 45, ... 315. Missing, and no flow: NaN.</para>
/// <para>Promises: exact; a store is read a window at a time, as it is asked for.</para>
/// <para>Cost: linear in cells; 4 bytes a cell of the grid, or of the window read.</para>
/// <para>Source: the codes of <see cref="D8Directions"/>.</para>
/// </remarks>
public static class DirectionDegrees
{
    /// <summary>Degrees from one code to the next.</summary>
    public const float PerCode = 45;

    /// <summary>The directions of a grid.</summary>
    /// <param name="directions">Where each cell drains.</param>
    public static Grid<float> Of(D8Directions directions)
    {
        ArgumentNullException.ThrowIfNull(directions);
        return new Grid<float>(directions.Frame, Array.ConvertAll(directions.CodeArray, Of));
    }

    /// <summary>The directions of a grid too large to hold.</summary>
    /// <param name="codes">Codes 0 to 7 clockwise from north, and 255 for no flow, as <see cref="LargeDrainage"/> leaves them.</param>
    public static IGridSource<float> Of(IGridSource<byte> codes)
    {
        ArgumentNullException.ThrowIfNull(codes);
        return new Source(codes);
    }

    private static float Of(byte code) => code == FlowCode.None ? float.NaN : PerCode * code;

    private sealed class Source(IGridSource<byte> codes) : IGridSource<float>
    {
        private byte[] _window = [];

        public GridFrame Frame => codes.Frame;

        public void Read(CellRange range, Span<float> values)
        {
            if (_window.Length < values.Length)
            {
                _window = new byte[values.Length];
            }

            Span<byte> window = _window.AsSpan(0, values.Length);
            codes.Read(range, window);
            for (int i = 0; i < window.Length; i++)
            {
                values[i] = Of(window[i]);
            }
        }
    }
}
