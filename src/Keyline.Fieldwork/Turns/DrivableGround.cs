using Keyline.Field;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>Where in a field a tractor may drive and turn: the field less what is avoided, with a little room to both.</summary>
/// <remarks>
/// <para>Units: metres. The setback of an avoided area keeps the shanks away and may be driven over with the implement lifted, but
/// not closer to the thing itself than <see cref="Clearance"/>.</para>
/// <para>Promises: what it calls free lies in the field and out of what is avoided, whatever the cell: each cell's corners lie closer
/// to its centre than the clearance. Places within a cell or so of the edge may be called taken. The same field gives the same answer.</para>
/// <para>Cost: one test of a point a cell; then constant for each question.</para>
/// <para>Source: occupancy grid, common practice, no source.</para>
/// </remarks>
public sealed class DrivableGround
{
    /// <summary>Room left to the fence and to what is avoided, metres.</summary>
    public const double Clearance = 0.5;

    private const double FinestCell = 0.5;
    private const double MostCells = 12e6;

    private const byte Farthest = byte.MaxValue;

    private readonly bool[] _free;
    private readonly byte[] _rings;
    private readonly int _rows;
    private readonly int _columns;
    private readonly double _west;
    private readonly double _south;

    private DrivableGround(FieldArea field, double cell, int rows, int columns, double west, double south)
    {
        (Field, Cell, _rows, _columns, _west, _south) = (field, cell, rows, columns, west, south);
        _free = new bool[rows * columns];
        _rings = new byte[rows * columns];
    }

    /// <summary>The field.</summary>
    public FieldArea Field { get; }

    /// <summary>Side of a cell, metres.</summary>
    public double Cell { get; }

    /// <summary>Finds the ground of a field.</summary>
    /// <param name="field">The field.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static DrivableGround Of(FieldArea field, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(field);
        Envelope box = field.Boundary.EnvelopeInternal;
        double cell = Math.Max(FinestCell, Math.Sqrt(box.Area / MostCells));
        DrivableGround ground = new(field, cell, (int)Math.Ceiling(box.Height / cell) + 1, (int)Math.Ceiling(box.Width / cell) + 1, box.MinX, box.MinY);
        double room = Math.Max(Clearance, 0.75 * cell);
        Geometry inside = field.Boundary.Buffer(-room, 4);
        Geometry[] taken = [.. field.Avoided.Select(a => a.Shape.Buffer(room, 4))];
        if (!inside.IsEmpty)
        {
            ground.Fill(inside, taken, cancellationToken);
            ground.CountRings(cancellationToken);
        }

        return ground;
    }

    /// <summary>Whether a place may be driven over.</summary>
    /// <param name="x">Metres east.</param>
    /// <param name="y">Metres north.</param>
    public bool IsFree(double x, double y)
    {
        int row = (int)Math.Floor((y - _south) / Cell), column = (int)Math.Floor((x - _west) / Cell);
        return (uint)row < (uint)_rows && (uint)column < (uint)_columns && _free[(row * _columns) + column];
    }

    /// <summary>A distance within which every place is free, metres: 0 where there is none, and never more than is so.</summary>
    /// <param name="x">Metres east.</param>
    /// <param name="y">Metres north.</param>
    internal double RoomAt(double x, double y)
    {
        int row = (int)Math.Floor((y - _south) / Cell), column = (int)Math.Floor((x - _west) / Cell);
        return (uint)row < (uint)_rows && (uint)column < (uint)_columns ? (_rings[(row * _columns) + column] - 1) * Cell : -1;
    }

    // Rings of free cells about each cell, itself the first: one more than the least of the neighbours', from the one corner and then from the other.
    private void CountRings(CancellationToken cancellationToken)
    {
        for (int pass = 0; pass < 2; pass++)
        {
            int back = pass == 0 ? -1 : 1;
            for (int k = 0; k < _rows; k++)
            {
                cancellationToken.ThrowIfCancellationRequested();
                int r = pass == 0 ? k : _rows - 1 - k;
                bool edge = r == 0 || r == _rows - 1;
                for (int j = 0; j < _columns; j++)
                {
                    int c = pass == 0 ? j : _columns - 1 - j, at = (r * _columns) + c;
                    if (!_free[at] || edge || c == 0 || c == _columns - 1)
                    {
                        _rings[at] = _free[at] ? (byte)1 : (byte)0;
                        continue;
                    }

                    int beside = at + back, before = at + (back * _columns);
                    int least = Math.Min(Math.Min(_rings[beside], _rings[before]), Math.Min(_rings[before - 1], _rings[before + 1]));
                    int rings = Math.Min(least + 1, Farthest);
                    _rings[at] = (byte)(pass == 0 ? rings : Math.Min(rings, _rings[at]));
                }
            }
        }
    }

    // Row by row: the scan line's crossings with the outlines, so that a cell costs no search.
    private void Fill(Geometry inside, Geometry[] taken, CancellationToken cancellationToken)
    {
        double[][] edges = ScanLines.Crossings(inside, _south + (Cell / 2), Cell, _rows);
        for (int r = 0; r < _rows; r++)
        {
            Mark(edges[r], r, true);
        }

        foreach (Geometry area in taken)
        {
            cancellationToken.ThrowIfCancellationRequested();
            double[][] over = ScanLines.Crossings(area, _south + (Cell / 2), Cell, _rows);
            for (int r = 0; r < _rows; r++)
            {
                Mark(over[r], r, false);
            }
        }
    }

    private void Mark(double[] crossings, int row, bool free)
    {
        for (int k = 0; k + 1 < crossings.Length; k += 2)
        {
            int from = Math.Max(0, (int)Math.Ceiling(((crossings[k] - _west) / Cell) - 0.5));
            int to = Math.Min(_columns - 1, (int)Math.Floor(((crossings[k + 1] - _west) / Cell) - 0.5));
            for (int c = from; c <= to; c++)
            {
                _free[(row * _columns) + c] = free;
            }
        }
    }
}
