using Keyline.Elevation;
using NetTopologySuite.Algorithm.Locate;
using NetTopologySuite.Geometries;

namespace Keyline.Field;

/// <summary>Whether a field, its ground and what is asked for fit together.</summary>
public static class FieldFit
{
    /// <summary>A line spacing finer than this share of a cell says more than the ground can. Common practice, no source.</summary>
    public const double LeastSpacingInCells = 0.25;

    /// <summary>Checks that the field lies on known ground and the spacing makes sense on it.</summary>
    /// <param name="ground">Heights as delivered.</param>
    /// <param name="field">The field.</param>
    /// <param name="spacing">Distance asked for between neighbouring lines, metres.</param>
    /// <exception cref="GroundDataException">It does not fit; the message says why, where, and how to mend it.</exception>
    public static void Check(ElevationGrid ground, FieldArea field, double spacing)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(field);
        GridFrame frame = ground.Frame;
        Envelope box = field.Boundary.EnvelopeInternal;
        if (!frame.Extent.Intersects(box))
        {
            throw new GroundDataException(FormattableString.Invariant(
                $"The field lies outside the DEM: the field spans x {box.MinX:F0} to {box.MaxX:F0}, y {box.MinY:F0} to {box.MaxY:F0} m and the DEM x {frame.West:F0} to {frame.East:F0}, y {frame.South:F0} to {frame.North:F0} m; use a DEM that covers the field, or check the coordinate systems."));
        }

        if (!frame.Extent.Contains(box))
        {
            double beyond = field.Boundary.Difference(field.Boundary.Factory.ToGeometry(frame.Extent)).Area;
            throw new GroundDataException(FormattableString.Invariant(
                $"{beyond:F0} m2 of the field lies outside the DEM, which spans x {frame.West:F0} to {frame.East:F0}, y {frame.South:F0} to {frame.North:F0} m: use a DEM that covers the whole field, or redraw the field within it."));
        }

        CheckHeights(ground, field);
        CheckSpacing(frame, field, spacing);
    }

    private static void CheckHeights(ElevationGrid ground, FieldArea field)
    {
        GridFrame frame = ground.Frame;
        Envelope box = field.Boundary.EnvelopeInternal;
        IndexedPointInAreaLocator locator = new(field.Boundary);
        int top = Math.Max(0, (int)frame.RowAt(box.MaxY));
        int bottom = Math.Min(frame.Rows - 1, (int)Math.Ceiling(frame.RowAt(box.MinY)));
        int left = Math.Max(0, (int)frame.ColumnAt(box.MinX));
        int right = Math.Min(frame.Columns - 1, (int)Math.Ceiling(frame.ColumnAt(box.MaxX)));
        int missing = 0;
        double x = 0;
        double y = 0;
        float low = float.PositiveInfinity;
        float high = float.NegativeInfinity;
        for (int r = top; r <= bottom; r++)
        {
            ReadOnlySpan<float> row = ground.Row(r);
            for (int c = left; c <= right; c++)
            {
                if (locator.Locate(new Coordinate(frame.CentreX(c), frame.CentreY(r))) == Location.Exterior)
                {
                    continue;
                }

                if (float.IsNaN(row[c]))
                {
                    (x, y) = missing++ == 0 ? (frame.CentreX(c), frame.CentreY(r)) : (x, y);
                    continue;
                }

                low = Math.Min(low, row[c]);
                high = Math.Max(high, row[c]);
            }
        }

        if (missing > 0)
        {
            throw new GroundDataException(FormattableString.Invariant(
                $"The DEM has no heights for {missing * frame.CellArea:F0} m2 of the field, first near x {x:F0}, y {y:F0} m: fill the holes, use another DEM, or redraw the field around them."));
        }

        if (float.IsInfinity(low))
        {
            throw new GroundDataException(FormattableString.Invariant(
                $"No cell of the DEM has its centre in the field: cells of {frame.CellSize:0.##} m are too coarse for a field of {field.Boundary.Area:F0} m2 near x {box.Centre.X:F0}, y {box.Centre.Y:F0} m; use a finer DEM, or draw the whole field."));
        }

        if (!(high > low))
        {
            throw new GroundDataException("The DEM has one and the same height all over the field, so no fall can be laid out: check that it is an elevation file and the right band of it.");
        }
    }

    private static void CheckSpacing(GridFrame frame, FieldArea field, double spacing)
    {
        Envelope box = field.Boundary.EnvelopeInternal;
        if (spacing > Math.Min(box.Width, box.Height))
        {
            throw new GroundDataException(FormattableString.Invariant(
                $"The spacing of {spacing:F2} m is wider than the field, which is {Math.Min(box.Width, box.Height):F0} m across: give the distance between neighbouring rip lines."));
        }

        if (spacing < LeastSpacingInCells * frame.CellSize)
        {
            throw new GroundDataException(FormattableString.Invariant(
                $"The spacing of {spacing:F2} m is finer than a quarter of the DEM's {frame.CellSize:F2} m cells, which the heights cannot tell apart: use a finer DEM or a wider spacing of {LeastSpacingInCells * frame.CellSize:F2} m or more."));
        }
    }
}
