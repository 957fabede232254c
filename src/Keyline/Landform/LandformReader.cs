using Keyline.Drainage;
using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>Reads the landform: valleys, ridges, keypoints, keylines and the position of each cell between valley and ridge.</summary>
/// <remarks>
/// <para>Units: metres, square metres, percent. Missing: NaN heights; nothing is read there. Edges: water leaves the grid, and
/// shape is not judged within about a smoothing length of the edge.</para>
/// <para>Promises: ridge lines never cross valley lines; at most one keypoint a valley and none where no break of slope stands
/// out; lines share no memory with the ground; same input, same answer. Flat, plane and tiny grids give empty lists.</para>
/// <para>Cost: O(n log n); about a second for four million cells of 1 m.</para>
/// <para>Source: each step names its own; the whole is our reading of P. A. Yeomans, The Keyline Plan, 1954, and The City
/// Forest, 1971.</para>
/// </remarks>
public static class LandformReader
{
    /// <summary>A floor joined by a valley of at least this share of its own ground is no longer that of the upper valley. Ours, no source.</summary>
    private const double EqualShare = 0.5;

    /// <summary>Reads the landform of smoothed ground.</summary>
    /// <param name="smoothed">Heights smoothed at the implement's scale (several metres); the lines returned lie on it.</param>
    /// <param name="options">What counts as a valley, a ridge and a keypoint; null for the defaults.</param>
    /// <param name="progress">Told of the stages and of the share of each that is done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentNullException">No ground was given.</exception>
    /// <exception cref="ArgumentOutOfRangeException">An option that no reading can be made with.</exception>
    /// <exception cref="OperationCanceledException">The work was stopped.</exception>
    public static LandformReading Read(ElevationGrid smoothed, LandformOptions? options = null, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(smoothed);
        options ??= new LandformOptions();
        options.Validate();

        StageProgress stage = new(progress, "shape of the ground");
        ElevationGrid working = WorkingGround.Thin(smoothed);
        double cell = working.Frame.CellSize;
        double scale = Math.Max(options.ShapeScale, cell);
        stage.Report(0.1);
        ElevationGrid broad = GaussianSmoothing.Apply(working, scale, cancellationToken);
        stage.Report(0.8);
        GroundShape shape = GroundShape.Measure(broad, scale / 2, cancellationToken);
        stage.Report(1);

        stage = new(progress, "drainage");
        ElevationGrid inverted = Invert(working);
        DrainageTree[] trees = new DrainageTree[2];
        StageProgress draining = stage;
        Parallel.For(0, 2, WorkThreads.Options(cancellationToken), i => trees[i] = i == 0
            ? DrainageTree.Build(working, options.MaximumSill, draining, cancellationToken)
            : DrainageTree.Build(inverted, double.PositiveInfinity, null, cancellationToken));

        stage = new(progress, "valley lines");
        List<Stem> stems = LineNetwork.Find(working, trees[0], shape, 1, options, null, cancellationToken);
        stage.Report(0.5);
        List<ValleyLines.Made> made = ValleyLines.Make(smoothed, working, trees[0], stems, stage, cancellationToken);
        stage = new(progress, "ridge lines");
        (List<RidgeLine> ridges, Dictionary<int, int> ridgeOfStem) = RidgeLines.Make(smoothed, inverted, trees[0], trees[1], shape, stems, options, stage, cancellationToken);
        stage = new(progress, "landform position");
        Grid<float> position = LandformPosition.Solve(
            smoothed, made.Select(m => m.Valley.Line), ridges.Select(r => r.Line), options.Reach, stage, cancellationToken);

        StageProgress finding = new(progress, "keypoints");
        int done = 0;
        List<Keypoint>[] breaks = new List<Keypoint>[made.Count];
        Parallel.For(0, made.Count, WorkThreads.Options(cancellationToken), i =>
        {
            breaks[i] = Breaks(made[i], smoothed.Frame.CellSize, cell, stems, trees[0], options);
            finding.Report(Interlocked.Increment(ref done) / (double)made.Count);
        });
        ValleyLine[] valleys = [.. made.Select(m => m.Valley)];
        List<Coordinate> unplaced = KeypointPins.Place(valleys, breaks, options, cancellationToken);
        Keypoint[] keypoints = [.. breaks.Where(b => b.Count > 0).Select(b => b[0])];

        // Half of the stage's time goes to each keypoint's own contour and half to what is read from all of them.
        StageProgress drawing = new(progress, "keylines");
        int drawn = 0;
        ContourKeyline?[] keylines = new ContourKeyline?[keypoints.Length];
        Parallel.For(0, keypoints.Length, WorkThreads.Options(cancellationToken), i =>
        {
            keylines[i] = KeylineTracer.Trace(smoothed, keypoints[i], shape, position);
            drawing.Report(Interlocked.Increment(ref drawn) / (2.0 * keypoints.Length));
        });
        Dictionary<int, int> ridgeOfValley = made.Where(m => ridgeOfStem.ContainsKey(m.Stem.Id)).ToDictionary(m => m.Valley.Number, m => ridgeOfStem[m.Stem.Id]);
        LandformExtras extras = new()
        {
            CommonKeylines = CommonKeylineFinder.Find(smoothed, valleys, keypoints, shape, position, options.CommonHeight, cancellationToken),
            Sequences = KeypointSequences.Find(ridges, valleys, keypoints, ridgeOfValley, cancellationToken),
            UnplacedPins = unplaced,
            Shape = LandShape.Read(broad, shape, valleys.Length, keypoints.Length, cancellationToken),
            GeneralGuide = keypoints.Length > 0 ? null : GeneralGuide.Place(smoothed, null, cancellationToken),
        };
        drawing.Report(1);
        return new LandformReading(valleys, ridges, keypoints, [.. breaks.SelectMany(b => b.Skip(1))], [.. keylines.OfType<ContourKeyline>()], position, extras);
    }

    private static List<Keypoint> Breaks(ValleyLines.Made made, double groundCell, double workingCell, List<Stem> stems, DrainageTree tree, LandformOptions options)
    {
        if (!made.Valley.IsPrimary && made.Valley.Order > 2)
        {
            return [];
        }

        double own = UpperValley(made, stems, tree);
        ValleyProfile? profile = double.IsFinite(own) ? ValleyProfile.Sample(made.Valley.Line.Coordinates, groundCell, own) : made.Valley.Profile;
        return KeypointFinder.Find(made.Valley, profile, groundCell, workingCell, options);
    }

    private static ElevationGrid Invert(ElevationGrid ground) =>
        ElevationGrid.TakeOver(ground.Frame, Array.ConvertAll(ground.Array, z => -z));

    /// <summary>Distance down the floor to where another valley of like size joins; the whole length where none does.</summary>
    private static double UpperValley(ValleyLines.Made made, List<Stem> stems, DrainageTree tree)
    {
        Dictionary<int, double> joining = [];
        foreach (Stem s in stems)
        {
            if (s.Joins == made.Stem.Id)
            {
                joining[s.Cells[^1]] = Math.Max(s.Area, joining.GetValueOrDefault(s.Cells[^1]));
            }
        }

        double walked = 0;
        List<int> cells = made.Stem.Cells;
        int begun = cells.Count - made.Valley.Line.NumPoints;
        for (int i = begun + 1; i < made.Stem.OwnCells; i++)
        {
            walked += made.Valley.Line.GetCoordinateN(i - begun).Distance(made.Valley.Line.GetCoordinateN(i - begun - 1));
            if (joining.TryGetValue(cells[i], out double area) && area >= EqualShare * tree.Area[cells[i - 1]])
            {
                return walked;
            }
        }

        return double.PositiveInfinity;
    }
}
