using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.OverlayNG;

namespace Keyline.Planar;

/// <summary>An area less, or with, everything within a distance of its outline, in time that grows with its corners.</summary>
/// <remarks>
/// <para>Units: metres. Promises: plain outlines give what NetTopologySuite's buffer gives; where corners stand many to the distance, as in
/// a traced or jagged outline, corners within 1 mm of the straight between others are left out, teeth and notches too narrow for the
/// distance to reach more than 0.5 mm into, and round corners are within 0.2 % of the distance.</para>
/// <para>Cost: near-linear in corners. A buffer of the whole outline crosses the arc at each corner with those of all corners within
/// the distance: 1,000 corners on 0.3 ha took five seconds. Here short pieces are widened each for itself and then joined. Dearest are teeth
/// just too wide to be closed over, of which the distance spans many.</para>
/// <para>Source: Minkowski sums of polylines as unions of those of their pieces; thinning after Zhao and Saalfeld, "Linear-time
/// sleeve-fitting polyline simplification algorithms", 1997.</para>
/// </remarks>
internal static class AreaInset
{
    private const int QuadrantSegments = 16;

    // So many corners within the distance, and more than so many in all, make the plain way slow.
    private const double ManyInDistance = 8;
    private const int ManyInAll = 200;
    private const int CornersInPiece = 8;
    private const double Thinning = 0.001;

    // How far the widened outline may reach into a tooth or a notch that is closed over, metres.
    private const double Mouth = 0.0005;

    /// <summary>Widens an area, or narrows it.</summary>
    /// <param name="shape">Projected metres.</param>
    /// <param name="distance">Metres; below 0 narrows.</param>
    public static Geometry Of(Geometry shape, double distance)
    {
        double far = Math.Abs(distance);
        if (shape.NumPoints <= ManyInAll || shape.Dimension == Dimension.Point || !(CornersNear(shape, far) > ManyInDistance))
        {
            return shape.Buffer(distance, QuadrantSegments);
        }

        if (!(far > 0))
        {
            return shape.Buffer(distance, QuadrantSegments);
        }

        Geometry zone = OverlayNGRobust.Union(Pieces(shape, distance).Select(p => p.Buffer(far, QuadrantSegments)));
        if (shape.Dimension != Dimension.Surface)
        {
            return distance > 0 ? zone : shape.Buffer(distance);
        }

        Envelope box = zone.EnvelopeInternal.Copy();
        box.ExpandBy(far);
        NetTopologySuite.Algorithm.Locate.IndexedPointInAreaLocator area = new(shape);
        Geometry clear = OverlayNGRobust.Overlay(shape.Factory.ToGeometry(box), zone, NetTopologySuite.Operation.Overlay.SpatialFunction.Difference);
        Polygon[] inside = [.. Polygons(clear).Where(p => area.Locate(p.InteriorPoint.Coordinate) != Location.Exterior)];
        return distance > 0
            ? OverlayNGRobust.Union([zone, .. inside])
            : inside.Length == 1 ? inside[0] : shape.Factory.CreateMultiPolygon(inside);
    }

    // How many corners share a square of the distance with one, on average.
    private static double CornersNear(Geometry shape, double far)
    {
        Dictionary<(long, long), int> squares = [];
        double all = 0, pairs = 0;
        foreach (Coordinate c in shape.Coordinates)
        {
            (long, long) square = ((long)Math.Floor(c.X / far), (long)Math.Floor(c.Y / far));
            squares[square] = squares.GetValueOrDefault(square) + 1;
        }

        foreach (int count in squares.Values)
        {
            all += count;
            pairs += (double)count * count;
        }

        return pairs / all;
    }

    private static IEnumerable<Polygon> Polygons(Geometry shape) => Enumerable.Range(0, shape.NumGeometries).Select(shape.GetGeometryN).OfType<Polygon>();

    private static IEnumerable<Geometry> Pieces(Geometry shape, double distance)
    {
        foreach (Coordinate[] line in Lines(shape, distance))
        {
            Coordinate[] path = Thinned(line);
            for (int i = 0; i < path.Length - 1; i += CornersInPiece)
            {
                yield return shape.Factory.CreateLineString(path[i..Math.Min(i + CornersInPiece + 1, path.Length)]);
            }
        }
    }

    private static IEnumerable<Coordinate[]> Lines(Geometry shape, double distance)
    {
        if (shape.Dimension != Dimension.Surface)
        {
            foreach (Geometry part in NetTopologySuite.Geometries.Utilities.LinearComponentExtracter.GetLines(shape))
            {
                yield return part.Coordinates;
            }

            yield break;
        }

        // Two kept corners this far from each other are met by a circle of the distance before it is deeper between them than allowed.
        double widest = Math.Sqrt(8 * Math.Abs(distance) * Mouth);
        foreach (Polygon polygon in Polygons(shape))
        {
            for (int h = -1; h < polygon.NumInteriorRings; h++)
            {
                Coordinate[] ring = (h < 0 ? polygon.ExteriorRing : polygon.GetInteriorRingN(h)).Coordinates;
                bool insideIsLeft = NetTopologySuite.Algorithm.Orientation.IsCCW(ring) == h < 0;
                yield return Closed(ring, widest, insideIsLeft == distance < 0 ? 1 : -1);
            }
        }
    }

    // Leaves out corners that stand away from the side asked about, as long as the straight that closes them over is no longer than allowed.
    // Circles on that side come from it alone, and so reach over that straight no deeper than between any two corners as far apart.
    private static Coordinate[] Closed(Coordinate[] ring, double widest, int turn)
    {
        List<Coordinate> kept = [ring[0]];
        foreach (Coordinate next in ring.Skip(1))
        {
            while (kept.Count > 1 && kept[^2].Distance(next) <= widest && Turn(kept[^2], kept[^1], next) * turn > 0)
            {
                kept.RemoveAt(kept.Count - 1);
            }

            kept.Add(next);
        }

        return kept.Count > 3 ? [.. kept] : ring;

        static double Turn(Coordinate a, Coordinate b, Coordinate c) => ((b.X - a.X) * (c.Y - b.Y)) - ((b.Y - a.Y) * (c.X - b.X));
    }

    // From each kept corner a sleeve is narrowed by every next one, until one lies outside of it.
    private static Coordinate[] Thinned(Coordinate[] path)
    {
        List<Coordinate> kept = [path[0]];
        Coordinate from = path[0];
        double low = double.NegativeInfinity, high = double.PositiveInfinity, along = double.NaN, reached = 0;
        for (int i = 1; i < path.Length; i++)
        {
            Coordinate to = path[i];
            double distance = from.Distance(to), turn = Math.Atan2(to.Y - from.Y, to.X - from.X);
            along = double.IsNaN(along) && distance > Thinning ? turn : along;
            double aside = double.IsNaN(along) ? 0 : Math.IEEERemainder(turn - along, 2 * Math.PI);
            double width = distance > Thinning ? Math.Asin(Thinning / distance) : Math.PI;
            if (i > 1 && (aside < low || aside > high || distance < reached))
            {
                from = path[i - 1];
                kept.Add(from);
                (low, high, along, reached) = (double.NegativeInfinity, double.PositiveInfinity, double.NaN, 0);
                distance = from.Distance(to);
                along = distance > Thinning ? Math.Atan2(to.Y - from.Y, to.X - from.X) : double.NaN;
                (aside, width) = (0, distance > Thinning ? Math.Asin(Thinning / distance) : Math.PI);
            }

            (low, high, reached) = (Math.Max(low, aside - width), Math.Min(high, aside + width), Math.Max(reached, distance));
        }

        kept.Add(path[^1]);
        return kept.Count > 1 ? [.. kept] : path;
    }
}
