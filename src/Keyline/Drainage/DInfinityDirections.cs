using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>A cell that water flows to, and how much of it.</summary>
/// <param name="Row">Row of the receiver, 0 at the north; it lies one outside the grid where the water leaves there.</param>
/// <param name="Column">Column of the receiver, 0 at the west; it lies one outside the grid where the water leaves there.</param>
/// <param name="Part">The part of the water, above 0 and at most 1.</param>
public readonly record struct FlowShare(int Row, int Column, double Part);

/// <summary>The direction in which each cell drains, any of all round, with its water shared between the two cells beside it.</summary>
/// <remarks>
/// <para>Units: degrees clockwise from north, from 0 up to but not including 360, pointing down the slope, as
/// <see cref="Terrain.Aspect"/> has them.</para>
/// <para>Missing: NaN, as is a cell that drains nowhere. A triangle with a missing corner is left out.</para>
/// <para>Promises: a plane drains straight down; on filled ground every cell with a height leads to an outlet without a loop,
/// because a triangle leads only to lower cells, and a cell without a falling triangle drains as in
/// <see cref="D8Directions"/>, level ground and outlets among them; of equally steep triangles the first clockwise from north
/// wins; the same bits on any number of cores. Parts are right to 1e-6.</para>
/// <para>Cost: linear in cells; 6 bytes a cell, and what draining level ground takes.</para>
/// <para>Source: Tarboton 1997, A new method for the determination of flow directions and upslope areas in grid digital
/// elevation models, Water Resources Research 33(2), 309-319 (doi:10.1029/96WR03137), table 1 and equations 1 to 6; the
/// angle there runs counter-clockwise from east, so that this one is 90 degrees less it.</para>
/// </remarks>
public sealed class DInfinityDirections
{
    private readonly float[] _degrees;
    private readonly bool[] _ground;

    private DInfinityDirections(GridFrame frame, float[] degrees, bool[] ground)
    {
        Frame = frame;
        _degrees = degrees;
        _ground = ground;
    }

    /// <summary>Where the grid lies.</summary>
    public GridFrame Frame { get; }

    /// <summary>All directions in degrees clockwise from north, row after row from the north; NaN for no flow.</summary>
    public ReadOnlySpan<float> Degrees => _degrees;

    internal float[] Array => _degrees;

    internal bool[] Ground => _ground;

    /// <summary>The direction of a cell in degrees clockwise from north, or NaN.</summary>
    /// <param name="row">Row, 0 at the north.</param>
    /// <param name="column">Column, 0 at the west.</param>
    public float this[int row, int column] => _degrees[Cell(row, column)];

    /// <summary>Takes over directions made elsewhere. Every cell counts as ground.</summary>
    /// <param name="frame">Where the grid lies.</param>
    /// <param name="degrees">Degrees clockwise from north, row after row from the north; as many as the frame has cells; NaN
    /// for no flow.</param>
    /// <exception cref="ArgumentException">The count does not fit the frame, or a direction lies outside 0 to 360.</exception>
    public static DInfinityDirections Copy(GridFrame frame, ReadOnlySpan<float> degrees)
    {
        ArgumentNullException.ThrowIfNull(frame);
        if (degrees.Length != frame.CellCount)
        {
            throw new ArgumentException($"The frame has {frame.CellCount} cells and {degrees.Length} directions were given.", nameof(degrees));
        }

        foreach (float angle in degrees)
        {
            if (!float.IsNaN(angle) && !(angle >= 0 && angle < 360))
            {
                throw new ArgumentException(
                    FormattableString.Invariant($"The direction {angle} is neither NaN nor from 0 up to but not including 360 degrees."), nameof(degrees));
            }
        }

        bool[] ground = new bool[degrees.Length];
        System.Array.Fill(ground, true);
        return new DInfinityDirections(frame, degrees.ToArray(), ground);
    }

    /// <summary>Finds where each cell drains.</summary>
    /// <param name="filled">Heights without hollows, as <see cref="DepressionFilling"/> leaves them. Hollows are not refused:
    /// their floors come out with no flow.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static DInfinityDirections Route(ElevationGrid filled, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(filled);
        float[] z = filled.Array;
        float[] degrees = GC.AllocateUninitializedArray<float>(z.Length);
        bool[] ground = GC.AllocateUninitializedArray<bool>(z.Length);
        byte[] codes = new byte[z.Length];
        bool anyLevel = DInfinityFacets.Route(z, filled.Frame, degrees, ground, codes, cancellationToken);
        if (anyLevel)
        {
            FlatDrainage.Resolve(z, filled.Frame, codes, cancellationToken);
            FlowBands.ForEach(filled.Frame, (_, first, end) => FromCodes(codes.AsSpan(first, end - first), degrees.AsSpan(first, end - first)), cancellationToken);
        }

        return new DInfinityDirections(filled.Frame, degrees, ground);
    }

    private static void FromCodes(ReadOnlySpan<byte> codes, Span<float> degrees)
    {
        for (int i = 0; i < degrees.Length; i++)
        {
            if (float.IsNaN(degrees[i]) && codes[i] != D8Directions.NoFlow)
            {
                degrees[i] = 45f * codes[i];
            }
        }
    }

    /// <summary>Where the water of a cell goes.</summary>
    /// <param name="row">Row, 0 at the north.</param>
    /// <param name="column">Column, 0 at the west.</param>
    /// <returns>One or two receivers, clockwise, whose parts add up to 1; none where there is no flow. A receiver may lie one
    /// cell outside the grid or be a missing cell: that part leaves.</returns>
    public IReadOnlyList<FlowShare> Shares(int row, int column)
    {
        int cell = Cell(row, column);
        if (float.IsNaN(_degrees[cell]))
        {
            return [];
        }

        double part = Split(_degrees[cell], out int direction);
        FlowShare first = At(direction, 1 - part);
        return part > 0 ? [first, At((direction + 1) & 7, part)] : [first];

        FlowShare At(int to, double share) => new(row + Neighbours.RowStep(to), column + Neighbours.ColumnStep(to), share);
    }

    /// <summary>The direction code at or before an angle, and the part of the water that goes to the code after it.</summary>
    internal static double Split(float degrees, out int direction)
    {
        // What is left of an angle after whole eighths has no rounding; only a guess that is one off is put right.
        direction = (int)(degrees * (1f / 45f));
        float rest = degrees - (45f * direction);
        if (rest < 0)
        {
            direction--;
            rest += 45f;
        }
        else if (rest >= 45f)
        {
            direction++;
            rest -= 45f;
        }

        return rest * (1 / 45.0);
    }

    private int Cell(int row, int column)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(row);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(row, Frame.Rows);
        ArgumentOutOfRangeException.ThrowIfNegative(column);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(column, Frame.Columns);
        return (row * Frame.Columns) + column;
    }
}
