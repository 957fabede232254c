using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>The one neighbour each cell drains to.</summary>
/// <remarks>
/// <para>Units: codes 0 to 7 clockwise from north (0 north, 1 north-east, ... 7 north-west); 255 no flow.</para>
/// <para>Missing: no flow. Beside a missing cell and at the edge a cell with no lower neighbour drains outward.</para>
/// <para>Promises: on filled ground every cell with a height leads to an outlet without a loop; of equal drops the lowest code
/// wins; the same on any number of cores.</para>
/// <para>Cost: linear in cells; 2 bytes a cell, and 4 more for level ground while it is drained.</para>
/// <para>Source: steepest drop over distance, O'Callaghan and Mark 1984, Computer Vision, Graphics and Image Processing 28,
/// 323-344; level ground after Barnes, Lehman and Mulla 2014, An efficient assignment of drainage direction over flat
/// surfaces, Computers and Geosciences 62, 128-135 (doi:10.1016/j.cageo.2013.01.009).</para>
/// </remarks>
public sealed class D8Directions
{
    /// <summary>The code of a cell that drains nowhere: a pit, level ground without a way out, or a missing cell.</summary>
    public const byte NoFlow = FlowCode.None;

    private const int BandRows = 64;

    private readonly byte[] _codes;
    private readonly bool[] _ground;

    private D8Directions(GridFrame frame, byte[] codes, bool[] ground)
    {
        Frame = frame;
        _codes = codes;
        _ground = ground;
    }

    /// <summary>Where the grid lies.</summary>
    public GridFrame Frame { get; }

    /// <summary>All codes, row after row from the north.</summary>
    public ReadOnlySpan<byte> Codes => _codes;

    /// <summary>The code of a cell.</summary>
    /// <param name="row">Row, 0 at the north.</param>
    /// <param name="column">Column, 0 at the west.</param>
    public byte this[int row, int column]
    {
        get
        {
            ArgumentOutOfRangeException.ThrowIfNegative(row);
            ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(row, Frame.Rows);
            return _codes.AsSpan(row * Frame.Columns, Frame.Columns)[column];
        }
    }

    /// <summary>Takes over directions made elsewhere. Every cell counts as ground.</summary>
    /// <param name="frame">Where the grid lies.</param>
    /// <param name="codes">Codes, row after row from the north; as many as the frame has cells.</param>
    /// <exception cref="ArgumentException">The count does not fit the frame, or a code is neither 0 to 7 nor 255.</exception>
    public static D8Directions Copy(GridFrame frame, ReadOnlySpan<byte> codes)
    {
        ArgumentNullException.ThrowIfNull(frame);
        if (codes.Length != frame.CellCount)
        {
            throw new ArgumentException($"The frame has {frame.CellCount} cells and {codes.Length} codes were given.", nameof(codes));
        }

        foreach (byte code in codes)
        {
            if (code >= Neighbours.Count && code != NoFlow)
            {
                throw new ArgumentException($"The code {code} is neither 0 to 7 nor 255.", nameof(codes));
            }
        }

        bool[] ground = new bool[codes.Length];
        Array.Fill(ground, true);
        return new D8Directions(frame, codes.ToArray(), ground);
    }

    /// <summary>Finds where each cell drains.</summary>
    /// <param name="filled">Heights without hollows, as <see cref="DepressionFilling"/> leaves them. Hollows are not refused:
    /// their floors come out with no flow.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static D8Directions Route(ElevationGrid filled, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(filled);
        GridFrame frame = filled.Frame;
        float[] z = filled.Array;
        byte[] codes = GC.AllocateUninitializedArray<byte>(z.Length);
        bool[] ground = GC.AllocateUninitializedArray<bool>(z.Length);
        HeightWindow whole = HeightWindow.Of(filled);
        int bands = (frame.Rows + BandRows - 1) / BandRows;
        Parallel.For(0, bands, WorkThreads.Options(cancellationToken), band =>
        {
            int first = band * BandRows;
            CellRange rows = new(first, 0, Math.Min(BandRows, frame.Rows - first), frame.Columns);
            D8Rows.Route(whole, rows, codes, first * frame.Columns, frame.Columns);
            for (int i = first * frame.Columns; i < (first + rows.Rows) * frame.Columns; i++)
            {
                ground[i] = !float.IsNaN(z[i]);
            }
        });
        FlatDrainage.Resolve(z, frame, codes, cancellationToken);
        return new D8Directions(frame, codes, ground);
    }

    internal byte[] CodeArray => _codes;

    internal bool[] GroundArray => _ground;

    /// <summary>Whether a cell is part of the ground.</summary>
    internal bool HasGround(int cell) => _ground[cell];

    /// <summary>The cell a cell drains to, or -1 where it drains nowhere, off the grid or onto a missing cell.</summary>
    internal int Receiver(int cell)
    {
        if (_codes[cell] == NoFlow)
        {
            return -1;
        }

        int next = Neighbours.At(Frame, cell, _codes[cell]);
        return next >= 0 && _ground[next] ? next : -1;
    }
}
