using Keyline.Elevation;
using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.OverlayNG;

namespace Keyline.Layout;

/// <summary>A line that found its place, before it is measured and numbered.</summary>
internal sealed record PlacedLine(LinePath Path, int Level, int Piece, GuideSide Side, double Offset);

/// <summary>Fills the chosen bands with parallels and keeps what has room.</summary>
/// <remarks>
/// <para>Units: metres. A line is kept where it lies in its own band, in the workable ground, and no nearer than
/// <see cref="LeastGapShare"/> spacings to a line placed before it; what is then shorter than the least length is dropped.
/// Lines nearer their guide are placed first, so at a seam the better line stays.</para>
/// <para>Promises: lines neither cross nor come closer than the gap; between bands no gap is wider than about one and a
/// half spacings where the bands run along each other.</para>
/// <para>Cost: proportional to the length of all candidate lines.</para>
/// </remarks>
internal sealed class LinePlacement
{
    /// <summary>Least distance to a line of another family, in spacings.</summary>
    public const double LeastGapShare = 0.52;

    /// <summary>Least distance to other lines of a line that fills a pocket outside its own band, in spacings.</summary>
    public const double LeastPocketShare = 0.8;

    private const int RingsBeyond = 4;
    private const double Step = 1.0;
    private const double SeamOverrunShare = 0.75;

    private readonly DesignSurface _design;
    private readonly GridFrame _frame;
    private readonly IReadOnlyList<GuideLevel> _levels;
    private readonly Geometry _workable;
    private readonly LayoutOptions _options;
    private readonly SegmentIndex _placed;
    private readonly List<PlacedLine> _lines = [];

    private LinePlacement(DesignSurface design, GridFrame frame, IReadOnlyList<GuideLevel> levels, Geometry workable, LayoutOptions options)
    {
        _design = design;
        _frame = frame;
        _levels = levels;
        _workable = workable;
        _options = options;
        _placed = new SegmentIndex(frame.Extent, Math.Max(options.Spacing, 2));
    }

    public static IReadOnlyList<PlacedLine> Place(DesignSurface design, GridFrame frame, IReadOnlyList<GuideLevel> levels, IReadOnlyList<GuideBand> bands, Geometry workable, LayoutOptions options, CancellationToken cancellationToken)
    {
        LinePlacement placement = new(design, frame, levels, workable, options);
        int[] guides = [.. bands.Select(b => b.Guide).Distinct().Order()];
        foreach (int guide in guides)
        {
            placement.PlaceGuide(guide);
        }

        // Parallels are independent of each other; only their placing has an order.
        List<(int Ring, int Band)> jobs = [];
        for (int b = 0; b < bands.Count; b++)
        {
            int most = (int)Math.Ceiling(bands[b].MaximumOffset / options.Spacing) + RingsBeyond;
            for (int ring = 1; ring <= most; ring++)
            {
                jobs.Add((ring, b));
            }
        }

        jobs.Sort();
        Dictionary<int, SegmentIndex> indexes = guides.ToDictionary(g => g, placement.IndexOf);
        List<Candidate>[] candidates = new List<Candidate>[jobs.Count];
        Parallel.For(0, jobs.Count, new ParallelOptions { CancellationToken = cancellationToken }, k =>
            candidates[k] = placement.Parallels(bands[jobs[k].Band], jobs[k].Ring, indexes[bands[jobs[k].Band].Guide]));

        // Lines in their own band first; then, where pockets are left, lines that reach over from a neighbouring band.
        for (int pass = 0; pass < 2; pass++)
        {
            double gap = (pass == 0 ? LeastGapShare : LeastPocketShare) * options.Spacing;
            for (int k = 0; k < jobs.Count; k++)
            {
                GuideBand band = bands[jobs[k].Band];
                foreach (Candidate candidate in candidates[k])
                {
                    if (candidate.InBand == (pass == 0))
                    {
                        placement.Place(candidate.Path, band.Guide, candidate.Piece, band.Side, jobs[k].Ring * options.Spacing, gap, candidate.InBand);
                    }
                }
            }
        }

        return placement._lines;
    }

    private SegmentIndex IndexOf(int guide)
    {
        SegmentIndex index = new(_frame.Extent, 8);
        for (int p = 0; p < _levels[guide].Pieces.Count; p++)
        {
            index.Add(_levels[guide].Pieces[p], p);
        }

        return index;
    }

    private void PlaceGuide(int guide)
    {
        for (int piece = 0; piece < _levels[guide].Pieces.Count; piece++)
        {
            foreach (LinePath part in InWorkable(_levels[guide].Pieces[piece]))
            {
                Place(part, guide, piece, GuideSide.Upslope, 0, LeastGapShare * _options.Spacing, true);
            }
        }
    }

    private List<Candidate> Parallels(GuideBand band, int ring, SegmentIndex index)
    {
        double distance = ring * _options.Spacing * (band.Side == GuideSide.Upslope ? 1 : -1);
        List<Candidate> found = [];
        for (int piece = 0; piece < _levels[band.Guide].Pieces.Count; piece++)
        {
            foreach (LinePath raw in ParallelLines.Offset(_levels[band.Guide].Pieces[piece], distance, index))
            {
                if (raw.Length() < _options.MinimumLength)
                {
                    continue;
                }

                LinePath fair = raw.Resample(Step).Fair(_options.MinimumRadius);
                bool[] inside = InBand(fair, band);
                foreach (LinePath part in PathRuns.Where(fair, inside).SelectMany(InWorkable))
                {
                    found.Add(new Candidate(piece, part, true));
                }

                foreach (LinePath part in PathRuns.Where(fair, [.. inside.Select(i => !i)]))
                {
                    found.Add(new Candidate(piece, part, false));
                }
            }
        }

        return found;
    }

    private bool[] InBand(LinePath path, GuideBand band)
    {
        // A band's far edge may be a seam with no line on it; running over it a little lets the placing close the gap.
        bool[] inside = new bool[path.Count];
        double low = band.Low == 0 ? double.NegativeInfinity : _levels[band.Low].Level;
        double high = band.High == _levels.Count - 1 ? double.PositiveInfinity : _levels[band.High].Level;
        double overrun = SeamOverrunShare * _options.Spacing;
        for (int i = 0; i < inside.Length; i++)
        {
            XY p = path.Points[i];
            double level = GridSampling.Bilinear(_design.Levels, _frame, p.X, p.Y);
            int r = Math.Clamp((int)Math.Round(_frame.RowAt(p.Y)), 0, _frame.Rows - 1);
            int c = Math.Clamp((int)Math.Round(_frame.ColumnAt(p.X)), 0, _frame.Columns - 1);
            double slack = overrun * LayoutSurface.Gradient(_design.Levels, _frame, r, c).Norm;
            inside[i] = level >= low - (band.Side == GuideSide.Downslope ? slack : 0) && level <= high + (band.Side == GuideSide.Upslope ? slack : 0);
        }

        return inside;
    }

    private List<LinePath> InWorkable(LinePath path)
    {
        GeometryFactory factory = _workable.Factory;
        LineString line = factory.CreateLineString(ToCoordinates(path));
        if (!line.EnvelopeInternal.Intersects(_workable.EnvelopeInternal))
        {
            return [];
        }

        Geometry inside = OverlayNGRobust.Overlay(line, _workable, NetTopologySuite.Operation.Overlay.SpatialFunction.Intersection);
        List<LineString> parts = [];
        for (int i = 0; i < inside.NumGeometries; i++)
        {
            if (inside.GetGeometryN(i) is LineString part && part.Length >= _options.MinimumLength)
            {
                parts.Add(part);
            }
        }

        List<LinePath> paths = [];
        foreach (LineString part in parts)
        {
            Coordinate[] at = part.Coordinates;
            bool ring = path.Closed && part.IsClosed;
            XY[] points = new XY[ring ? at.Length - 1 : at.Length];
            for (int i = 0; i < points.Length; i++)
            {
                points[i] = new XY(at[i].X, at[i].Y);
            }

            paths.Add(new LinePath(points, ring));
        }

        return paths;
    }

    private void Place(LinePath path, int guide, int piece, GuideSide side, double offset, double gap, bool clipped)
    {
        bool[] free = new bool[path.Count];
        for (int i = 0; i < free.Length; i++)
        {
            free[i] = !_placed.AnyWithin(path.Points[i], gap);
        }

        foreach (LinePath run in PathRuns.Where(path, free))
        {
            if (run.Length() < _options.MinimumLength)
            {
                continue;
            }

            // Lines that only fill pockets are clipped here, when it is known that there is room for them.
            foreach (LinePath part in clipped ? [run] : InWorkable(run))
            {
                _placed.Add(part, _lines.Count);
                _lines.Add(new PlacedLine(part, guide, piece, side, offset));
            }
        }
    }

    private sealed record Candidate(int Piece, LinePath Path, bool InBand);

    internal static Coordinate[] ToCoordinates(LinePath path)
    {
        Coordinate[] result = new Coordinate[path.Closed ? path.Count + 1 : path.Count];
        for (int i = 0; i < result.Length; i++)
        {
            XY p = path.Points[i % path.Count];
            result[i] = new Coordinate(p.X, p.Y);
        }

        return result;
    }
}
