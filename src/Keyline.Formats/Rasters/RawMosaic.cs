using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>Puts tiles of elevation together into one, and measures how they meet.</summary>
/// <remarks>
/// <para>Missing: cells that no tile has.</para>
/// <para>Promises: where tiles overlap, the first in order that has a height is kept. Tiles on the cells of the one with the
/// smallest cells are copied as they are; others are resampled (bilinear) onto them, and a note says so. Tiles in different
/// coordinate systems are refused.</para>
/// <para>Cost: proportional to the cells; 2 bytes a cell beside the heights.</para>
/// </remarks>
internal static class RawMosaic
{
    // Cells of two tiles are the same where they differ by less than this share of a cell.
    private const double SameCell = 0.02;

    /// <summary>Joins the parts of tiles that are wanted.</summary>
    /// <param name="tiles">The tiles, in the order they take precedence.</param>
    /// <param name="ranges">The cells wanted of each.</param>
    /// <param name="maximumCells">Most cells of the whole.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">They do not go together.</exception>
    public static (RawGround Ground, IReadOnlyList<TileSeam> Seams) Join(IReadOnlyList<RawFile> tiles, IReadOnlyList<CellRange> ranges, long maximumCells, CancellationToken cancellationToken)
    {
        RawFile first = tiles[0];
        foreach (RawFile tile in tiles)
        {
            if (tile.Crs.EpsgCode != first.Crs.EpsgCode || tile.Crs.Name != first.Crs.Name)
            {
                throw new GroundDataException($"{tile.Name} is in {tile.Crs.Name} and {first.Name} in {first.Crs.Name}: bring all tiles to one coordinate system, or give those of one only.");
            }
        }

        RawFile finest = tiles.MinBy(t => Math.Abs(t.Mapping.Determinant))!;
        CellMapping map = finest.Mapping;
        (double left, double top, double right, double bottom) = (double.PositiveInfinity, double.PositiveInfinity, double.NegativeInfinity, double.NegativeInfinity);
        for (int i = 0; i < tiles.Count; i++)
        {
            CellRange part = ranges[i];
            foreach ((int column, int row) in new[] { (part.Column, part.Row), (part.Column + part.Columns, part.Row), (part.Column, part.Row + part.Rows), (part.Column + part.Columns, part.Row + part.Rows) })
            {
                (double x, double y) = tiles[i].Mapping.At(column, row);
                (double c, double r) = map.Of(x, y);
                (left, top, right, bottom) = (Math.Min(left, c), Math.Min(top, r), Math.Max(right, c), Math.Max(bottom, r));
            }
        }

        (left, top) = (Math.Floor(left + SameCell), Math.Floor(top + SameCell));
        (double rows, double columns) = (Math.Ceiling(bottom - SameCell) - top, Math.Ceiling(right - SameCell) - left);
        if (!(rows * columns <= Math.Min(maximumCells, int.MaxValue)))
        {
            throw new GroundDataException(FormattableString.Invariant($"{finest.Name} and the tiles beside it span {rows:0} x {columns:0} cells, more than the {maximumCells} that are read at once; give those of the farm only."));
        }

        (double west, double north) = map.At(left, top);
        RawGround whole = new()
        {
            Rows = (int)rows,
            Columns = (int)columns,
            Heights = new float[(int)(rows * columns)],
            Mapping = map with { X = west, Y = north },
            Crs = first.Crs,
            Notes = [],
        };
        Array.Fill(whole.Heights, float.NaN);
        ushort[] owners = new ushort[whole.Heights.Length];
        SeamGauge gauge = new(whole, owners, tiles);
        for (int i = 0; i < tiles.Count; i++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            RawGround part = tiles[i].Cut(ranges[i], cancellationToken);
            Lay(part, whole, owners, (ushort)(i + 1), gauge, tiles[i].Name);
            foreach (string note in part.Notes.Where(n => !whole.Notes.Contains(n)))
            {
                whole.Notes.Add(note);
            }
        }

        return (whole, gauge.Measure(cancellationToken));
    }

    private static void Lay(RawGround part, RawGround whole, ushort[] owners, ushort owner, SeamGauge gauge, string name)
    {
        (double column, double row) = whole.Mapping.Of(part.Mapping.X, part.Mapping.Y);
        bool same = IsSame(part.Mapping.A, whole.Mapping.A, part.Columns) && IsSame(part.Mapping.D, whole.Mapping.D, part.Rows)
            && IsSame(part.Mapping.B, whole.Mapping.B, part.Rows) && IsSame(part.Mapping.C, whole.Mapping.C, part.Columns)
            && Math.Abs(column - Math.Round(column)) < SameCell && Math.Abs(row - Math.Round(row)) < SameCell;
        if (!same)
        {
            whole.Notes.Add($"{name} lies on other cells than the tiles beside it; its heights were resampled (bilinear) onto theirs.");
        }

        (int firstColumn, int firstRow) = ((int)Math.Round(column), (int)Math.Round(row));
        (int left, int top, int right, int bottom) = Extent(part, whole);
        for (int r = top; r < bottom; r++)
        {
            for (int c = left; c < right; c++)
            {
                float z;
                if (same)
                {
                    (int pr, int pc) = (r - firstRow, c - firstColumn);
                    if ((uint)pr >= (uint)part.Rows || (uint)pc >= (uint)part.Columns)
                    {
                        continue;
                    }

                    z = part.Heights[(pr * part.Columns) + pc];
                }
                else
                {
                    (double x, double y) = whole.Mapping.At(c + 0.5, r + 0.5);
                    (double pc, double pr) = part.Mapping.Of(x, y);
                    z = GroundResampler.Bilinear(part, pc - 0.5, pr - 0.5);
                }

                if (float.IsNaN(z))
                {
                    continue;
                }

                int at = (r * whole.Columns) + c;
                if (owners[at] == 0)
                {
                    (whole.Heights[at], owners[at]) = (z, owner);
                }
                else
                {
                    gauge.Overlap(owners[at], owner, at, z - whole.Heights[at]);
                }
            }
        }

        bool IsSame(double a, double b, int cells) => Math.Abs(a - b) * cells < SameCell * Math.Sqrt(Math.Abs(whole.Mapping.Determinant));
    }

    // The cells of the whole that a part may have a say in.
    private static (int Left, int Top, int Right, int Bottom) Extent(RawGround part, RawGround whole)
    {
        (double left, double top, double right, double bottom) = (double.PositiveInfinity, double.PositiveInfinity, double.NegativeInfinity, double.NegativeInfinity);
        foreach ((int column, int row) in new[] { (0, 0), (part.Columns, 0), (0, part.Rows), (part.Columns, part.Rows) })
        {
            (double x, double y) = part.Mapping.At(column, row);
            (double c, double r) = whole.Mapping.Of(x, y);
            (left, top, right, bottom) = (Math.Min(left, c), Math.Min(top, r), Math.Max(right, c), Math.Max(bottom, r));
        }

        return ((int)Math.Clamp(Math.Floor(left), 0, whole.Columns), (int)Math.Clamp(Math.Floor(top), 0, whole.Rows), (int)Math.Clamp(Math.Ceiling(right), 0, whole.Columns), (int)Math.Clamp(Math.Ceiling(bottom), 0, whole.Rows));
    }
}
