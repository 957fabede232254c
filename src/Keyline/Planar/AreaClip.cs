using NetTopologySuite.Algorithm.Locate;
using NetTopologySuite.Geometries;

namespace Keyline.Planar;

/// <summary>Cuts paths to an area.</summary>
/// <remarks>
/// <para>Units: metres. Promises: the pieces kept lie in the area; a closed path wholly inside stays closed.</para>
/// <para>Cost: proportional to the path, and to the boundary segments in the bins it runs through.</para>
/// </remarks>
internal sealed class AreaClip
{
    private const double BinSize = 8;
    private const double Inset = 1e-3;

    private readonly IndexedPointInAreaLocator _locator;
    private readonly SegmentBins _rim;
    private readonly Envelope _box;

    public AreaClip(Geometry area)
    {
        _box = area.EnvelopeInternal;
        _locator = new IndexedPointInAreaLocator(area);
        _ = _locator.Locate(_box.Centre);
        _rim = new SegmentBins(_box, BinSize);
        for (int g = 0; g < area.NumGeometries; g++)
        {
            if (area.GetGeometryN(g) is not Polygon polygon || polygon.IsEmpty)
            {
                continue;
            }

            AddRing(polygon.ExteriorRing);
            for (int h = 0; h < polygon.NumInteriorRings; h++)
            {
                AddRing(polygon.GetInteriorRingN(h));
            }
        }
    }

    public bool Covers(XY p) => _locator.Locate(new Coordinate(p.X, p.Y)) != Location.Exterior;

    /// <summary>The pieces of a path inside the area that are at least so long, in its direction.</summary>
    public List<LinePath> Inside(LinePath path, double leastLength)
    {
        List<List<XY>> pieces = [];
        Envelope box = new();
        foreach (XY p in path.Points)
        {
            box.ExpandToInclude(p.X, p.Y);
        }

        if (!box.Intersects(_box))
        {
            return [];
        }

        List<double> cuts = [];
        List<XY> run = [];
        bool anyCut = false;
        for (int i = 0; i < path.SegmentCount; i++)
        {
            XY a = path.Points[i];
            XY b = path.End(i);
            cuts.Clear();
            _rim.CutsAlong(a, b, cuts);
            if (cuts.Count == 0)
            {
                // Between crossings nothing changes, so the run decides; the first segment has to be looked up.
                if (i == 0 && !Covers((a + b) * 0.5))
                {
                    anyCut = true;
                }

                if (run.Count > 0)
                {
                    run.Add(b);
                }
                else if (i == 0 && !anyCut)
                {
                    run.Add(a);
                    run.Add(b);
                }

                continue;
            }

            anyCut = true;
            cuts.Sort();
            double from = 0;
            for (int k = 0; k <= cuts.Count; k++)
            {
                double to = k < cuts.Count ? cuts[k] : 1;
                XY p = a + ((b - a) * from);
                XY q = a + ((b - a) * to);
                if (Covers((p + q) * 0.5))
                {
                    if (run.Count == 0)
                    {
                        run.Add(Toward(p, q));
                    }

                    run.Add(k < cuts.Count ? Toward(q, p) : q);
                }
                else
                {
                    run = Close(run, pieces);
                }

                from = to;
            }
        }

        if (!anyCut)
        {
            return path.Length() >= leastLength ? [path] : [];
        }

        JoinAround(path, run, pieces);
        Close(run, pieces);
        return [.. pieces.Select(p => new LinePath([.. p], false)).Where(p => p.Length() >= leastLength)];
    }

    // A closed path that starts inside: its last run goes on into its first piece.
    private static void JoinAround(LinePath path, List<XY> run, List<List<XY>> pieces)
    {
        if (path.Closed && run.Count > 1 && pieces.Count > 0 && run[^1] == path.Points[0] && pieces[0][0] == path.Points[0])
        {
            run.AddRange(pieces[0].Skip(1));
            pieces.RemoveAt(0);
        }
    }

    private static XY Toward(XY from, XY to)
    {
        double length = (to - from).Norm;
        return length > 2 * Inset ? from + ((to - from) * (Inset / length)) : from;
    }

    private static List<XY> Close(List<XY> run, List<List<XY>> pieces)
    {
        if (run.Count == 0)
        {
            return run;
        }

        if (run.Count >= 2)
        {
            pieces.Add(run);
        }

        return [];
    }

    private void AddRing(LineString ring)
    {
        Coordinate[] at = ring.Coordinates;
        for (int i = 1; i < at.Length; i++)
        {
            _rim.Add(new XY(at[i - 1].X, at[i - 1].Y), new XY(at[i].X, at[i].Y), 0);
        }
    }
}
