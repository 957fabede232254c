using Keyline.Elevation;
using Keyline.Planar;
using NetTopologySuite.Algorithm.Locate;
using NetTopologySuite.Geometries;

namespace Keyline.Layout.Parallels;

/// <summary>One connected piece of workable ground, laid out by guides of its own.</summary>
/// <remarks>
/// <para>Units: metres. Pieces too small to carry guides of their own go with the nearest larger one.</para>
/// <para>Cost: candidates times the cells of the piece and its margin.</para>
/// </remarks>
internal sealed class GuideBlock
{
    private const double CandidateShareOfSpacing = 1.2;
    private const int MostCandidates = 112;
    private const int LeastCandidates = 8;
    private const double LeastArea = 4000;
    private const double Beside = 8;

    private GuideBlock(LayoutRaster terrain, GuideSurface surface, Geometry area, bool[] reachable, IReadOnlyList<CandidateGuide> levels, GuideSurvey survey)
    {
        Reachable = reachable;
        Terrain = terrain;
        Surface = surface;
        Area = area;
        Levels = levels;
        Survey = survey;
        Clip = new AreaClip(area);
    }

    public LayoutRaster Terrain { get; }

    /// <summary>The surface whose level lines are the candidates.</summary>
    public GuideSurface Surface { get; }

    /// <summary>The workable ground of this part.</summary>
    public Geometry Area { get; }

    public AreaClip Clip { get; }

    /// <summary>Cells in or beside the workable ground, so that lines reach its edge and step over small gaps.</summary>
    public bool[] Reachable { get; }

    /// <summary>Candidates, rising; the first and last bound the part.</summary>
    public IReadOnlyList<CandidateGuide> Levels { get; }

    public GuideSurvey Survey { get; }

    /// <summary>Splits workable ground into its connected parts, the largest first.</summary>
    public static IReadOnlyList<Geometry> Split(Geometry workable)
    {
        Polygon[] pieces = [.. Enumerable.Range(0, workable.NumGeometries).Select(workable.GetGeometryN).OfType<Polygon>().Where(p => !p.IsEmpty)
            .OrderByDescending(p => p.Area).ThenBy(p => p.EnvelopeInternal.MinX).ThenBy(p => p.EnvelopeInternal.MinY)];
        List<List<Polygon>> groups = [];
        foreach (Polygon piece in pieces)
        {
            if (groups.Count == 0 || piece.Area >= LeastArea)
            {
                groups.Add([piece]);
            }
            else
            {
                groups.MinBy(g => g[0].Distance(piece))!.Add(piece);
            }
        }

        return [.. groups.Select(g => (Geometry)workable.Factory.CreateMultiPolygon([.. g]))];
    }

    /// <summary>Traces and surveys the candidates of a part.</summary>
    /// <param name="whole">The cells the part lies on.</param>
    /// <param name="guides">The surface of guides on them.</param>
    /// <param name="area">The part's workable ground.</param>
    /// <param name="taken">Tells cells that lines already lie on.</param>
    /// <param name="margin">How far around the part guides may run, metres.</param>
    /// <param name="options">Limits.</param>
    /// <param name="keypoints">Places a guide should run through.</param>
    /// <param name="outletDistance">Distance from a place to the nearest stable outlet, metres.</param>
    /// <param name="progress">Told of each candidate traced and each surveyed: two steps a candidate.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static GuideBlock Create(LayoutRaster whole, GuideSurface guides, Geometry area, Func<XY, bool> taken, double margin, LayoutOptions options, IReadOnlyList<XY> keypoints, Func<XY, double> outletDistance, IProgress<PlanProgress>? progress, CancellationToken cancellationToken)
    {
        LayoutRaster terrain = whole.Window(area.EnvelopeInternal, margin);
        GuideSurface surface = guides.Window(whole, terrain);
        bool[] inside = Mask(terrain.Frame, area, cancellationToken);
        bool[] near = Near(inside, terrain.Frame, margin - (2 * terrain.Frame.CellSize));
        bool[] workable = new bool[inside.Length];
        for (int i = 0; i < workable.Length; i++)
        {
            workable[i] = inside[i] && !taken(new XY(terrain.Frame.CentreX(i % terrain.Frame.Columns), terrain.Frame.CentreY(i / terrain.Frame.Columns)));
        }

        (double[] candidates, bool[] keyline) = Candidates(terrain, surface, workable, options, keypoints);
        CandidateGuide[] levels = new CandidateGuide[candidates.Length];
        double least = Math.Max(2 * options.MinimumLength, 4 * options.MinimumRadius);
        StageProgress stage = new(progress, "guides", 2 * levels.Length);
        Parallel.For(0, levels.Length, WorkThreads.Options(cancellationToken), i =>
        {
            levels[i] = CandidateGuide.Trace(surface.Levels, terrain.Frame, candidates[i], near, options.MinimumRadius, least, keyline[i]);
            stage.Step();
        });
        return new GuideBlock(terrain, surface, area, Near(inside, terrain.Frame, Beside), levels, GuideSurvey.Make(terrain, surface, levels, workable, options, outletDistance, stage, cancellationToken));
    }

    /// <summary>A part with levels given, for patterns that are not chosen.</summary>
    public static GuideBlock WithLevels(LayoutRaster terrain, GuideSurface surface, Geometry area, IReadOnlyList<double> levels, double margin, LayoutOptions options, Func<XY, double> outletDistance, CancellationToken cancellationToken)
    {
        bool[] inside = Mask(terrain.Frame, area, cancellationToken);
        bool[] near = Near(inside, terrain.Frame, margin - (2 * terrain.Frame.CellSize));
        CandidateGuide[] traced = new CandidateGuide[levels.Count];
        Parallel.For(0, traced.Length, WorkThreads.Options(cancellationToken), i =>
            traced[i] = CandidateGuide.Trace(surface.Levels, terrain.Frame, levels[i], near, options.MinimumRadius, 4 * options.MinimumRadius));
        return WithGuides(terrain, surface, area, traced, options, outletDistance, cancellationToken);
    }

    /// <summary>A part with guides given.</summary>
    public static GuideBlock WithGuides(LayoutRaster terrain, GuideSurface surface, Geometry area, IReadOnlyList<CandidateGuide> guides, LayoutOptions options, Func<XY, double> outletDistance, CancellationToken cancellationToken)
    {
        bool[] inside = Mask(terrain.Frame, area, cancellationToken);
        return new GuideBlock(terrain, surface, area, Near(inside, terrain.Frame, Beside), guides, GuideSurvey.Make(terrain, surface, guides, inside, options, outletDistance, null, cancellationToken));
    }

    public static bool[] Mask(GridFrame frame, Geometry area, CancellationToken cancellationToken)
    {
        IndexedPointInAreaLocator locator = new(area);
        Envelope box = area.EnvelopeInternal;
        bool[] mask = new bool[checked((int)frame.CellCount)];
        _ = locator.Locate(box.Centre);
        Parallel.For(0, frame.Rows, WorkThreads.Options(cancellationToken), r =>
        {
            double y = frame.CentreY(r);
            for (int c = 0; c < frame.Columns; c++)
            {
                double x = frame.CentreX(c);
                mask[(r * frame.Columns) + c] = box.Contains(x, y) && locator.Locate(new Coordinate(x, y)) != Location.Exterior;
            }
        });
        return mask;
    }

    // Cells within a distance of marked ones, by two chamfer passes of weights 1 and the root of 2 (Borgefors 1986); at most
    // 8 % too far counted, which a margin does not mind.
    private static bool[] Near(bool[] inside, GridFrame frame, double distance)
    {
        int rows = frame.Rows;
        int columns = frame.Columns;
        float[] steps = new float[inside.Length];
        for (int i = 0; i < steps.Length; i++)
        {
            steps[i] = inside[i] ? 0 : float.PositiveInfinity;
        }

        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < columns; c++)
            {
                Take(r, c, r, c - 1, 1);
                Take(r, c, r - 1, c - 1, MathF.Sqrt(2));
                Take(r, c, r - 1, c, 1);
                Take(r, c, r - 1, c + 1, MathF.Sqrt(2));
            }
        }

        for (int r = rows - 1; r >= 0; r--)
        {
            for (int c = columns - 1; c >= 0; c--)
            {
                Take(r, c, r, c + 1, 1);
                Take(r, c, r + 1, c + 1, MathF.Sqrt(2));
                Take(r, c, r + 1, c, 1);
                Take(r, c, r + 1, c - 1, MathF.Sqrt(2));
            }
        }

        return [.. steps.Select(s => s * frame.CellSize <= distance)];

        void Take(int r, int c, int fromRow, int fromColumn, float weight)
        {
            if (fromRow >= 0 && fromRow < rows && fromColumn >= 0 && fromColumn < columns)
            {
                int i = (r * columns) + c;
                steps[i] = Math.Min(steps[i], steps[(fromRow * columns) + fromColumn] + weight);
            }
        }
    }

    // Levels that part the workable ground into strips of equal area, a little over a spacing wide on the mean, and those
    // through keypoints.
    private static (double[] Levels, bool[] Keyline) Candidates(LayoutRaster terrain, GuideSurface surface, bool[] workable, LayoutOptions options, IReadOnlyList<XY> keypoints)
    {
        double[] inside = [.. surface.Levels.Where((_, i) => workable[i]).Order()];
        if (inside.Length == 0)
        {
            inside = [surface.Levels[0]];
        }

        int count = (int)Math.Clamp(Math.Sqrt(inside.Length * terrain.Frame.CellArea) / (CandidateShareOfSpacing * options.Spacing), LeastCandidates, MostCandidates);
        SortedDictionary<double, bool> levels = [];
        for (int k = 1; k < count; k++)
        {
            levels[inside[(int)((long)k * inside.Length / count)]] = false;
        }

        foreach (XY keypoint in keypoints)
        {
            double level = GridSampling.Bilinear(surface.Levels, terrain.Frame, keypoint.X, keypoint.Y);
            if (level > inside[0] && level < inside[^1])
            {
                levels[level] = true;
            }
        }

        levels.Remove(inside[0]);
        return ([inside[0] - 1, .. levels.Keys, inside[^1] + 1], [false, .. levels.Values, false]);
    }
}
