using Keyline.Elevation;
using Keyline.Terrain;
using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>The keyline of a keypoint: its contour, out to where it turns from valley shape to ridge shape on either side.</summary>
/// <remarks>
/// <para>Units: metres. Missing: the contour ends where heights do.</para>
/// <para>Promises: passes the keypoint within a cell; level; higher ground on the left.</para>
/// <para>Cost: one contour over the ground within 800 m of the keypoint.</para>
/// <para>Source: P. A. Yeomans, The Keyline Plan, 1954, ch. 1; its ends after K. B. Yeomans: the keyline stops where the
/// contour turns from valley to ridge shape.</para>
/// </remarks>
internal static class KeylineTracer
{
    /// <summary>Ground about the keypoint that is searched, metres.</summary>
    private const double Window = 800;

    /// <summary>A contour bent outward more than this is round a ridge, 1/m (a radius of 500 m).</summary>
    private const double RidgeCurvature = 0.002;

    /// <summary>The outward bend must last this long, metres.</summary>
    private const double Lasting = 15;

    /// <summary>Landform position at which a contour is on the ridge whatever its shape.</summary>
    private const double OnRidge = 0.85;

    /// <summary>A contour that has come this far back from the ridge is in the next valley.</summary>
    private const double ComingBack = 0.1;

    public static ContourKeyline? Trace(ElevationGrid ground, Keypoint keypoint, GridFrame working, GroundShape shape, Grid<float> position)
    {
        Coordinate key = keypoint.Location.Coordinate;
        double level = ground.HeightAt(key.X, key.Y);
        if (double.IsNaN(level))
        {
            return null;
        }

        (double[] heights, GridFrame window) = Around(ground, key);
        Coordinate[]? nearest = null;
        int start = 0;
        double distance = double.PositiveInfinity;
        bool closed = false;
        foreach (ContourPath path in ContourTracer.Trace(heights, window, level))
        {
            for (int i = 0; i < path.Points.Length; i++)
            {
                double d = path.Points[i].Distance(key);
                if (d < distance)
                {
                    (distance, nearest, start, closed) = (d, path.Points, i, path.Closed);
                }
            }
        }

        if (nearest is null || distance > 2 * working.CellSize)
        {
            return null;
        }

        List<Coordinate> back = Walk(nearest, start, -1, closed, working, shape, position);
        List<Coordinate> ahead = Walk(nearest, start, 1, closed, working, shape, position);
        back.Reverse();
        List<Coordinate> line = [.. back, .. ahead.Skip(1)];
        if (line.Count < 2)
        {
            return null;
        }

        Coordinate[] points = [.. line.Select(p => new CoordinateZ(p.X, p.Y, level))];
        return new ContourKeyline(keypoint.ValleyNumber, new LineString(points), level);
    }

    /// <summary>Heights of the ground about a place.</summary>
    private static (double[] Heights, GridFrame Frame) Around(ElevationGrid ground, Coordinate place)
    {
        GridFrame f = ground.Frame;
        int left = Math.Max(0, (int)f.ColumnAt(place.X - Window));
        int right = Math.Min(f.Columns - 1, (int)f.ColumnAt(place.X + Window) + 1);
        int top = Math.Max(0, (int)f.RowAt(place.Y + Window));
        int bottom = Math.Min(f.Rows - 1, (int)f.RowAt(place.Y - Window) + 1);
        GridFrame frame = new(bottom - top + 1, right - left + 1, f.CellSize, f.West + (left * f.CellSize), f.North - (top * f.CellSize));
        double[] heights = new double[checked((int)frame.CellCount)];
        for (int r = 0; r < frame.Rows; r++)
        {
            ReadOnlySpan<float> row = ground.Row(top + r).Slice(left, frame.Columns);
            for (int c = 0; c < row.Length; c++)
            {
                heights[(r * frame.Columns) + c] = row[c];
            }
        }

        return (heights, frame);
    }

    /// <summary>Points of the contour from the keypoint outward, up to its turn.</summary>
    private static List<Coordinate> Walk(
        Coordinate[] contour, int start, int step, bool closed, GridFrame working, GroundShape shape, Grid<float> position)
    {
        List<Coordinate> points = [contour[start]];
        int keep = 1;
        int highestAt = 1;
        double highest = 0;
        double outward = 0;
        int n = closed && contour[0].Equals2D(contour[^1]) ? contour.Length - 1 : contour.Length;
        for (int k = 1; k < (closed ? (n + 1) / 2 : n); k++)
        {
            int i = start + (k * step);
            if (closed)
            {
                i = ((i % n) + n) % n;
            }
            else if (i < 0 || i >= n)
            {
                break;
            }

            Coordinate p = contour[i];
            points.Add(p);
            double bend = Value(shape.ContourCurvature, working, p);
            double here = Value(position.Array, position.Frame, p);
            if (here >= highest)
            {
                highest = here;
                highestAt = points.Count;
            }

            if (here >= OnRidge)
            {
                keep = points.Count;
                break;
            }

            if (here < highest - ComingBack)
            {
                keep = Math.Min(keep, highestAt);
                break;
            }

            outward = bend < -RidgeCurvature ? outward + p.Distance(points[^2]) : 0;
            if (outward == 0)
            {
                keep = points.Count;
            }
            else if (outward > Lasting)
            {
                break;
            }
        }

        return points.GetRange(0, keep);
    }

    /// <summary>Value of the cell a point lies in; 0 outside.</summary>
    private static double Value(float[] values, GridFrame frame, Coordinate p)
    {
        int r = (int)Math.Floor(frame.RowAt(p.Y) + 0.5);
        int c = (int)Math.Floor(frame.ColumnAt(p.X) + 0.5);
        return frame.Contains(r, c) ? values[(r * frame.Columns) + c] : 0;
    }
}
