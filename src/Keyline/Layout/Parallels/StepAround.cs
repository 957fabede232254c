using Keyline.Field;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout.Parallels;

/// <summary>Lines that step around a small thing to be avoided instead of stopping at it, where that costs less.</summary>
/// <remarks>
/// <para>Units: metres. The step is a shift to one side: in by a cosine, along at its full width past the thing, out by a
/// cosine, no tighter than the turning radius. Stopping and starting again costs two line ends; stepping costs the ground
/// that the shifted stretch works twice or leaves, its width times its length.</para>
/// <para>Promises: a stepped line lies in the workable ground; what cannot be stepped stays cut.</para>
/// <para>Source: ours; the curvature of a raised cosine of height h over length w is at most h pi^2 / (2 w^2).</para>
/// </remarks>
internal sealed class StepAround
{
    private const double ShiftStep = 0.25;
    private const double RoomForCurvature = 1.15;

    private readonly AreaClip[] _avoided;
    private readonly LayoutOptions _options;
    private readonly double _mostShift;

    /// <summary>Ready for a field.</summary>
    /// <param name="field">With what is to be avoided.</param>
    /// <param name="options">Spacing, radius and the price of a line end.</param>
    /// <param name="mostShift">Widest step to the side, spacings.</param>
    public StepAround(FieldArea field, LayoutOptions options, double mostShift = 1)
    {
        _mostShift = mostShift * options.Spacing;
        _avoided = [.. field.Avoided.Where(a => a.KeptClear is Polygon or MultiPolygon).Select(a => new AreaClip(a.KeptClear))];
        _options = options;
    }

    /// <summary>Joins the pieces of a cut path where stepping around costs less than stopping; drops what is then too short.</summary>
    /// <param name="whole">The path before it was cut, points about 1 m apart.</param>
    /// <param name="pieces">Its pieces inside, in order.</param>
    /// <param name="inside">The workable ground.</param>
    /// <param name="leastLength">Pieces shorter than this are dropped, metres.</param>
    public List<LinePath> Join(LinePath whole, List<LinePath> pieces, AreaClip inside, double leastLength)
    {
        if (pieces.Count > 1 && !whole.Closed && _avoided.Length > 0)
        {
            for (int k = 0; k + 1 < pieces.Count;)
            {
                LinePath? stepped = Step(whole, pieces[k], pieces[k + 1], inside);
                if (stepped is null)
                {
                    k++;
                }
                else
                {
                    pieces[k] = stepped;
                    pieces.RemoveAt(k + 1);
                }
            }
        }

        return [.. pieces.Where(p => p.Length() >= leastLength)];
    }

    private LinePath? Step(LinePath whole, LinePath before, LinePath after, AreaClip inside)
    {
        int from = NearestPoint(whole, before.Points[^1]);
        int to = NearestPoint(whole, after.Points[0]);
        if (to <= from || !CutByAvoided(whole.Points[(from + to) / 2]))
        {
            return null;
        }

        double best = 2 * _options.Prices.LineEnd;
        LinePath? chosen = null;
        for (int side = -1; side <= 1; side += 2)
        {
            for (double shift = ShiftStep; shift <= _mostShift; shift += ShiftStep)
            {
                int ramp = (int)Math.Ceiling(RoomForCurvature * Math.PI * Math.Sqrt(shift * Math.Max(_options.MinimumRadius, 1) / 2));
                double cost = shift * (to - from + ramp);
                if (cost >= best)
                {
                    break;
                }

                if (Shifted(whole, before, after, from, to, ramp, side * shift) is { } path
                    && inside.Inside(path, 0) is [{ } only] && only.Length() > path.Length() - 0.1)
                {
                    (best, chosen) = (cost, path);
                    break;
                }
            }
        }

        return chosen;
    }

    private LinePath? Shifted(LinePath whole, LinePath before, LinePath after, int from, int to, int ramp, double shift)
    {
        int start = from - ramp - 1;
        int end = to + ramp + 1;
        int first = NearestPoint(whole, before.Points[0]);
        int last = NearestPoint(whole, after.Points[^1]);
        if (start < first || end > last)
        {
            return null;
        }

        List<XY> points = [];
        for (int i = first; i <= last; i++)
        {
            double share = i < from ? (double)(i - start) / (from - start) : i > to ? (double)(end - i) / (end - to) : 1;
            double height = share <= 0 ? 0 : share >= 1 ? shift : shift * 0.5 * (1 - Math.Cos(Math.PI * share));
            points.Add(whole.Points[i] + (whole.Tangent(i).Left * height));
        }

        // The ends lie where the pieces were cut, which is seldom at a point of the whole.
        points[0] = before.Points[0];
        points[^1] = after.Points[^1];

        LinePath path = new([.. points], false);
        double limit = _options.MinimumRadius > 0 ? 1 / _options.MinimumRadius : double.PositiveInfinity;
        for (int i = start - first; i <= end - first; i++)
        {
            if (Math.Abs(path.CurvatureAt(Math.Clamp(i, 0, path.Count - 1), 3)) > limit)
            {
                return null;
            }
        }

        return path;
    }

    private bool CutByAvoided(XY p) => Array.Exists(_avoided, a => a.Covers(p));

    private static int NearestPoint(LinePath path, XY p)
    {
        int nearest = 0;
        double best = double.PositiveInfinity;
        for (int i = 0; i < path.Count; i++)
        {
            XY d = path.Points[i] - p;
            if (d.Dot(d) < best)
            {
                (best, nearest) = (d.Dot(d), i);
            }
        }

        return nearest;
    }
}
