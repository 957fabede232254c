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
    /// <summary>A floor joined by a valley of at least this share of its own ground is no longer that of the upper valley.</summary>
    private const double EqualShare = 0.5;

    /// <summary>Reads the landform of smoothed ground.</summary>
    /// <param name="smoothed">Heights smoothed at the implement's scale (several metres); the lines returned lie on it.</param>
    /// <param name="options">What counts as a valley, a ridge and a keypoint; null for the defaults.</param>
    /// <param name="progress">Told of the stages.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentNullException">No ground was given.</exception>
    /// <exception cref="ArgumentOutOfRangeException">An option that no reading can be made with.</exception>
    /// <exception cref="OperationCanceledException">The work was stopped.</exception>
    public static LandformReading Read(ElevationGrid smoothed, LandformOptions? options = null, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(smoothed);
        options ??= new LandformOptions();
        options.Validate();

        progress?.Report(new PlanProgress("shape of the ground", 0));
        ElevationGrid working = WorkingGround.Thin(smoothed);
        double cell = working.Frame.CellSize;
        double scale = Math.Max(options.ShapeScale, cell);
        ElevationGrid broad = GaussianSmoothing.Apply(working, scale, cancellationToken);
        GroundShape shape = GroundShape.Measure(broad, scale / 2, cancellationToken);
        progress?.Report(new PlanProgress("drainage", 0));
        ElevationGrid inverted = Invert(working);
        DrainageTree[] trees = new DrainageTree[2];
        Parallel.For(0, 2, new ParallelOptions { CancellationToken = cancellationToken }, i => trees[i] = i == 0
            ? DrainageTree.Build(working, options.MaximumSill, cancellationToken)
            : DrainageTree.Build(inverted, double.PositiveInfinity, cancellationToken));
        progress?.Report(new PlanProgress("valley lines", 0));
        List<Stem> stems = LineNetwork.Find(working, trees[0], shape, 1, options);
        List<ValleyLines.Made> made = ValleyLines.Make(smoothed, working, trees[0], stems);
        progress?.Report(new PlanProgress("ridge lines", 0));
        (List<RidgeLine> ridges, Dictionary<int, int> ridgeOfStem) = RidgeLines.Make(smoothed, inverted, trees[0], trees[1], shape, stems, options);
        progress?.Report(new PlanProgress("landform position", 0));
        Grid<float> position = LandformPosition.Solve(
            smoothed, made.Select(m => m.Valley.Line), ridges.Select(r => r.Line), options.Reach, cancellationToken);

        progress?.Report(new PlanProgress("keypoints", 0));
        List<Keypoint>[] breaks = new List<Keypoint>[made.Count];
        Parallel.For(0, made.Count, new ParallelOptions { CancellationToken = cancellationToken }, i =>
            breaks[i] = Breaks(made[i], smoothed.Frame.CellSize, cell, stems, trees[0], options));
        ValleyLine[] valleys = [.. made.Select(m => m.Valley)];
        List<Coordinate> unplaced = KeypointPins.Place(valleys, breaks, options);
        Keypoint[] keypoints = [.. breaks.Where(b => b.Count > 0).Select(b => b[0])];

        progress?.Report(new PlanProgress("keylines", 0));
        ContourKeyline?[] keylines = new ContourKeyline?[keypoints.Length];
        Parallel.For(0, keypoints.Length, new ParallelOptions { CancellationToken = cancellationToken }, i =>
            keylines[i] = KeylineTracer.Trace(smoothed, keypoints[i], working.Frame, shape, position));
        Dictionary<int, int> ridgeOfValley = made.Where(m => ridgeOfStem.ContainsKey(m.Stem.Id)).ToDictionary(m => m.Valley.Number, m => ridgeOfStem[m.Stem.Id]);
        LandformExtras extras = new()
        {
            CommonKeylines = CommonKeylineFinder.Find(smoothed, valleys, keypoints, working.Frame, shape, position, options.CommonHeight, cancellationToken),
            Sequences = KeypointSequences.Find(ridges, valleys, keypoints, ridgeOfValley),
            UnplacedPins = unplaced,
            Shape = LandShape.Read(broad, shape, valleys.Length, keypoints.Length),
            GeneralGuide = keypoints.Length > 0 ? null : GeneralGuide.Place(smoothed, null, cancellationToken),
        };
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
