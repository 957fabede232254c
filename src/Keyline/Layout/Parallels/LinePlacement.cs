using Keyline.Elevation;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout.Parallels;

/// <summary>Fills the chosen bands with parallels and keeps what has room.</summary>
/// <remarks>
/// <para>Units: metres. A line is kept where it lies in its own band, in the workable ground, and no nearer than
/// <see cref="LeastGapShare"/> spacings to a line placed before it; what is then shorter than the least length is dropped.
/// Lines nearer their guide are placed first, so at a seam the better line stays. Pockets that are left are filled by lines
/// that reach over from a neighbouring band.</para>
/// <para>Promises: lines neither cross nor come closer than the gap; between bands no gap is wider than about one and a
/// half spacings where the bands run along each other for the least length of a line.</para>
/// <para>Cost: proportional to the length of all candidate lines.</para>
/// </remarks>
internal sealed class LinePlacement
{
    /// <summary>Least distance to a line of another family, in spacings.</summary>
    public const double LeastGapShare = 0.52;

    /// <summary>Least distance to other lines of a line that fills a pocket outside its own band, in spacings.</summary>
    public const double LeastPocketShare = 0.6;

    private const int RingsBeyond = 12;
    private const int MostPinnedRings = 12;
    private const double MostPinnedOverLimit = 0.15;
    private const double Step = 1.0;
    private const double SeamOverrunShare = 1.0;

    private const double CrossingReach = 1.5;

    private static readonly GeometryFactory Flat = new();

    private readonly LayoutOptions _options;
    private readonly StepAround _stepAround;
    private readonly SegmentBins _placed;
    private readonly List<PlacedLine> _lines = [];

    public LinePlacement(Envelope extent, StepAround stepAround, LayoutOptions options)
    {
        _options = options;
        _stepAround = stepAround;
        _placed = new SegmentBins(extent, Math.Max(options.Spacing, 2));
    }

    public IReadOnlyList<PlacedLine> Lines => _lines;

    /// <summary>Where the lines begin that fill pockets of the part placed last.</summary>
    public int PocketsFrom { get; private set; }

    /// <summary>Whether a place lies within a spacing of a line already placed.</summary>
    public bool IsTaken(XY p) => _placed.AnyWithin(p, _options.Spacing);

    /// <summary>Places a pinned guide, where it is to be ripped, and as many parallels either side of it as hold the grade limit.</summary>
    public void PlacePinned(LinePath guide, int number, bool ripped, LayoutRaster terrain, AreaClip clip, Func<XY, double> limit)
    {
        GuideKey key = new(-1, 0, number);
        if (ripped)
        {
            Place(clip.Inside(guide, _options.MinimumLength), key, GuideSide.Upslope, 0, LeastGapShare * _options.Spacing);
        }
        else
        {
            // No rip, but no other line may run along it either.
            _placed.Add(guide, -1);
        }

        SegmentBins index = new(terrain.Frame.Extent, 8);
        index.Add(guide, 0);
        foreach (int sign in (int[])[1, -1])
        {
            for (int ring = 1; ring <= MostPinnedRings; ring++)
            {
                List<LinePath> found = [];
                foreach (LinePath raw in ParallelLines.Offset(guide, sign * ring * _options.Spacing, index))
                {
                    if (raw.Length() >= _options.MinimumLength)
                    {
                        found.AddRange(PathFairing.Drivable(PathFairing.Fair(raw.Resample(Step), _options.MinimumRadius), _options.MinimumRadius).SelectMany(fair => clip.Inside(fair, _options.MinimumLength)));
                    }
                }

                if (found.Count == 0 || OverLimit(found, terrain, limit) > MostPinnedOverLimit)
                {
                    break;
                }

                GuideSide side = Rises(guide, sign, terrain) ? GuideSide.Upslope : GuideSide.Downslope;
                Place(found, key, side, ring * _options.Spacing, LeastGapShare * _options.Spacing);
            }
        }
    }

    /// <summary>Fills the bands of a part.</summary>
    public void PlacePart(GuideBlock part, int number, IReadOnlyList<GuideBand> bands, CancellationToken cancellationToken)
    {
        int[] guides = [.. bands.Select(b => b.Guide).Distinct().Order()];
        foreach (int guide in guides)
        {
            for (int piece = 0; piece < part.Levels[guide].Pieces.Count; piece++)
            {
                Place([.. PathFairing.Drivable(part.Levels[guide].Pieces[piece], _options.MinimumRadius).SelectMany(fair => Fit(fair, part.Clip))], new GuideKey(number, guide, piece), GuideSide.Upslope, 0, LeastGapShare * _options.Spacing);
            }
        }

        // Parallels are independent of each other; only their placing has an order: by ring, then by band.
        (int Ring, int Band)[] jobs = [.. bands.SelectMany((band, b) => Enumerable.Range(1, Rings(band) + RingsBeyond).Select(ring => (ring, b))).Order()];
        (int Ring, int Band)[] own = [.. jobs.Where(j => j.Ring <= Rings(bands[j.Band]) + 1)];
        Dictionary<int, SegmentBins> indexes = guides.ToDictionary(g => g, g => IndexOf(part, g));
        ParallelOptions parallel = WorkThreads.Options(cancellationToken);
        List<Candidate>[] found = new List<Candidate>[jobs.Length];
        Parallel.For(0, own.Length, parallel, k => found[k] = InBand(part, bands[own[k].Band], own[k].Ring, indexes[bands[own[k].Band].Guide]));
        PlaceAll(own, LeastGapShare * _options.Spacing);

        // Pockets: whatever of any parallel still has room, once the bands are full.
        PocketsFrom = _lines.Count;
        Parallel.For(0, jobs.Length, parallel, k => found[k] = InPockets(part, bands[jobs[k].Band], jobs[k].Ring, indexes[bands[jobs[k].Band].Guide]));
        PlaceAll(jobs, LeastPocketShare * _options.Spacing);

        int Rings(GuideBand band) => (int)Math.Ceiling(band.MaximumOffset / _options.Spacing);

        void PlaceAll((int Ring, int Band)[] order, double gap)
        {
            for (int k = 0; k < order.Length; k++)
            {
                GuideBand band = bands[order[k].Band];
                foreach (Candidate candidate in found[k])
                {
                    Place([candidate.Path], new GuideKey(number, band.Guide, candidate.Piece), band.Side, order[k].Ring * _options.Spacing, gap);
                }
            }
        }
    }

    private static SegmentBins IndexOf(GuideBlock part, int guide)
    {
        SegmentBins index = new(part.Terrain.Frame.Extent, 8);
        for (int p = 0; p < part.Levels[guide].Pieces.Count; p++)
        {
            index.Add(part.Levels[guide].Pieces[p], p);
        }

        index.Freeze();
        return index;
    }

    private List<LinePath> Fit(LinePath path, AreaClip clip) => _stepAround.Join(path, clip.Inside(path, _options.MinimumLength / 3), clip, _options.MinimumLength);

    // What of a ring lies in its band, fitted to the workable ground. A band's far edge may be a seam with no line on it;
    // running over it a little lets the placing close the gap.
    private List<Candidate> InBand(GuideBlock part, GuideBand band, int ring, SegmentBins index)
    {
        GridFrame frame = part.Terrain.Frame;
        double[] levels = part.Surface.Levels;
        double low = band.Low == 0 ? double.NegativeInfinity : part.Levels[band.Low].Level;
        double high = band.High == part.Levels.Count - 1 ? double.PositiveInfinity : part.Levels[band.High].Level;
        double overrun = SeamOverrunShare * _options.Spacing;
        return [.. Offsets(part, band, ring, index, Wanted).SelectMany(raw => PathFairing.Drivable(PathFairing.Fair(raw.Path, _options.MinimumRadius), _options.MinimumRadius).SelectMany(fair => Fit(fair, part.Clip)).Select(fit => raw with { Path = fit }))];

        bool Wanted(XY p)
        {
            (int r, int c) = frame.NearestCellAt(p.X, p.Y);
            if (!part.Reachable[(r * frame.Columns) + c])
            {
                return false;
            }

            double level = GridSampling.Bilinear(levels, frame, p.X, p.Y);
            double slack = level >= low && level <= high ? 0 : overrun * LayoutHeights.Gradient(levels, frame, r, c).Norm;
            return level >= low - (band.Side == GuideSide.Downslope ? slack : 0) && level <= high + (band.Side == GuideSide.Upslope ? slack : 0);
        }
    }

    // What of a ring lies in ground that no line has taken.
    private List<Candidate> InPockets(GuideBlock part, GuideBand band, int ring, SegmentBins index)
    {
        GridFrame frame = part.Terrain.Frame;
        double gap = LeastPocketShare * _options.Spacing;
        return [.. Offsets(part, band, ring, index, Wanted)
            .SelectMany(raw => PathFairing.Drivable(PathFairing.Fair(raw.Path, _options.MinimumRadius), _options.MinimumRadius).SelectMany(fair => part.Clip.Inside(fair, _options.MinimumLength)).Select(fit => raw with { Path = fit }))];

        bool Wanted(XY p)
        {
            (int r, int c) = frame.NearestCellAt(p.X, p.Y);
            return part.Reachable[(r * frame.Columns) + c] && !_placed.AnyWithin(p, gap);
        }
    }

    private IEnumerable<Candidate> Offsets(GuideBlock part, GuideBand band, int ring, SegmentBins index, Func<XY, bool> wanted)
    {
        double distance = ring * _options.Spacing * (band.Side == GuideSide.Upslope ? 1 : -1);
        for (int piece = 0; piece < part.Levels[band.Guide].Pieces.Count; piece++)
        {
            foreach (LinePath raw in ParallelLines.Offset(part.Levels[band.Guide].Pieces[piece], distance, index, wanted))
            {
                // A line cut by something to be avoided may be joined again, so its pieces may be shorter than a line.
                if (raw.Length() >= _options.MinimumLength / 3)
                {
                    yield return new Candidate(piece, raw.Resample(Step));
                }
            }
        }
    }

    private List<LinePath> Free(LinePath path, double gap)
    {
        bool[] free = new bool[path.Count];
        for (int i = 0; i < free.Length; i++)
        {
            free[i] = !_placed.AnyWithin(path.Points[i], gap);
        }

        return PathRuns.Where(path, free);
    }

    private void Place(IReadOnlyList<LinePath> paths, GuideKey key, GuideSide side, double offset, double gap)
    {
        // Pieces of one line keep their distance from each other too, so each is looked at again once those before it lie.
        foreach (LinePath part in paths.SelectMany(p => Free(p, gap)).SelectMany(Simple).SelectMany(p => Free(p, gap)))
        {
            if (part.Length() >= _options.MinimumLength)
            {
                _placed.Add(part, _lines.Count);
                _lines.Add(new PlacedLine(part, key, side, offset));
            }
        }
    }

    // Rounding a corner can, rarely, lay a line over itself: there it is cut.
    private static List<LinePath> Simple(LinePath path)
    {
        NetTopologySuite.Operation.Valid.IsSimpleOp simple = new(Flat.CreateLineString(path.ToCoordinates()));
        if (simple.IsSimple())
        {
            return [path];
        }

        Coordinate at = simple.NonSimpleLocation;
        XY crossing = new(at.X, at.Y);
        bool[] keep = [.. path.Points.Select(p => (p - crossing).Norm > CrossingReach)];
        return keep.All(k => k) ? [] : [.. PathRuns.Where(path, keep).SelectMany(Simple)];
    }

    private static double OverLimit(List<LinePath> lines, LayoutRaster terrain, Func<XY, double> limit)
    {
        int over = 0;
        int all = 0;
        foreach (LinePath line in lines)
        {
            for (int i = 10; i < line.Count; i += 2)
            {
                XY a = line.Points[i - 10];
                XY b = line.Points[i];
                double fall = GridSampling.Bilinear(terrain.Heights, terrain.Frame, a.X, a.Y) - GridSampling.Bilinear(terrain.Heights, terrain.Frame, b.X, b.Y);
                all++;
                over += 100 * Math.Abs(fall) > limit(b) * 10 * Step ? 1 : 0;
            }
        }

        return all > 0 ? (double)over / all : 0;
    }

    private static bool Rises(LinePath guide, int sign, LayoutRaster terrain)
    {
        XY p = guide.Points[guide.Count / 2];
        XY q = p + (guide.Tangent(guide.Count / 2).Left * (sign * 5));
        return GridSampling.Bilinear(terrain.Heights, terrain.Frame, q.X, q.Y) > GridSampling.Bilinear(terrain.Heights, terrain.Frame, p.X, p.Y);
    }

    private sealed record Candidate(int Piece, LinePath Path);
}
