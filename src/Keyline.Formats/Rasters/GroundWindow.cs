using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>The ground that is wanted of an elevation file: a box in longitude and latitude, and a margin around it.</summary>
/// <param name="LonLat">The box, degrees on WGS 84, x east and y north; east may pass 180 where the box crosses that meridian.</param>
/// <param name="Margin">Metres of ground around the box that are wanted too, 0 or more.</param>
public sealed record GroundWindow(Envelope LonLat, double Margin)
{
    private const int Steps = 8;

    /// <summary>The box with its margin, degrees.</summary>
    public Envelope Widened()
    {
        (double east, double north) = GroundScale.MetresPerDegree(Math.Min(85, Math.Max(Math.Abs(LonLat.MinY), Math.Abs(LonLat.MaxY))));
        Envelope wide = LonLat.Copy();
        wide.ExpandBy(Margin / east, Margin / north);
        return wide;
    }

    /// <summary>The window that holds both.</summary>
    /// <param name="other">Another window on the same side of the world.</param>
    public GroundWindow With(GroundWindow other)
    {
        ArgumentNullException.ThrowIfNull(other);
        Envelope box = LonLat.Copy();
        box.ExpandToInclude(other.LonLat);
        return new GroundWindow(box, Math.Max(Margin, other.Margin));
    }

    /// <summary>The cells of a file that hold the window; null where none does.</summary>
    internal CellRange? CellsIn(CellMapping map, GroundCrs crs, int rows, int columns)
    {
        double left = double.PositiveInfinity, top = left, right = double.NegativeInfinity, bottom = right;
        Envelope box = Widened();
        double middle = crs.IsGeographic ? map.At(columns / 2.0, rows / 2.0).X : 0;
        for (int i = 0; i <= Steps; i++)
        {
            for (int j = 0; j <= Steps; j++)
            {
                (double x, double y) = crs.FromLonLat(box.MinX + (box.Width * i / Steps), box.MinY + (box.Height * j / Steps));
                x = crs.IsGeographic ? middle + Math.IEEERemainder(x - middle, 360) : x;
                (double column, double row) = map.Of(x, y);
                if (double.IsNaN(column) || double.IsNaN(row))
                {
                    return null;
                }

                (left, right) = (Math.Min(left, column), Math.Max(right, column));
                (top, bottom) = (Math.Min(top, row), Math.Max(bottom, row));
            }
        }

        // Two cells more on each side: resampling looks half a cell further, and sides of the box bend between its steps.
        (left, top, right, bottom) = (Math.Floor(left) - 2, Math.Floor(top) - 2, Math.Ceiling(right) + 2, Math.Ceiling(bottom) + 2);
        if (!(right > 0 && bottom > 0 && left < columns && top < rows))
        {
            return null;
        }

        int firstColumn = (int)Math.Max(0, left), firstRow = (int)Math.Max(0, top);
        return new CellRange(firstRow, firstColumn, (int)Math.Min(rows, bottom) - firstRow, (int)Math.Min(columns, right) - firstColumn);
    }
}
