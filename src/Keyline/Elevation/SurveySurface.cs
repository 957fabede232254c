using NetTopologySuite.Geometries;

namespace Keyline.Elevation;

/// <summary>A surface through survey shots, and how far to trust it.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>Missing: cells whose centre lies outside the convex hull of the shots: no surface is carried beyond them.</para>
/// <para>Promises: the same shots in any order of lines give the same surface within rounding, and in the same order the same
/// bits on any number of cores. Every shot is tried against the surface of all the others; one that misses it by more than five
/// times what is usual for its place, and by 10 cm, is suspected, the worst first and the rest tried again without it, up to a tenth of them.</para>
/// <para>Cost: see the methods; for a thin plate of 500 shots about a second.</para>
/// <para>Source: the methods name theirs; 1.4826 times the median absolute deviation as the usual size is F. R. Hampel,
/// J. Am. Stat. Assoc. 69, 1974.</para>
/// </remarks>
public sealed class SurveySurface
{
    private const int LeastShots = 4;
    private const int MostForThinPlate = 3000;
    // A centimetre apart is the same place, and 10 cm off a blunder: several times what corrected satellite positioning repeats to; common practice, no source.
    private const double SamePlace = 0.01;
    private const double LeastBlunder = 0.10;
    // Five sizes, and no more than a tenth of the shots: ours, no source. The size from a median: 1 / 0.6745, of the normal distribution.
    private const double BlunderSizes = 5.0;
    private const double SizeOfMedian = 1.4826;
    private const double MostSuspects = 0.1;
    private const double NearInSpacings = 4.0;
    private const double MostWork = 4e9;

    // Tried from a plate through every shot to one that is stiff; in units of the plate over a box of side 1.
    private static readonly double[] Smoothings = [0, 1e-5, 1e-4, 1e-3, 1e-2];

    private SurveySurface(ElevationGrid ground, SurveyMethod method, double smoothing, IReadOnlyList<ShotResidual> residuals, IReadOnlyList<ShotResidual> suspects, IReadOnlyList<RepeatedShots> repeated)
    {
        (Ground, Method, Smoothing, Residuals, Suspects, Repeated) = (ground, method, smoothing, residuals, suspects, repeated);
        double[] sizes = [.. residuals.Select(r => Math.Abs(r.Residual)).Where(v => !double.IsNaN(v)).Order()];
        RootMeanSquare = sizes.Length == 0 ? double.NaN : Math.Sqrt(sizes.Average(v => v * v));
        MedianSize = Quantiles.Median(sizes);
    }

    /// <summary>Heights on square cells.</summary>
    public ElevationGrid Ground { get; }

    /// <summary>The method used.</summary>
    public SurveyMethod Method { get; }

    /// <summary>The smoothing used; 0 for triangles.</summary>
    public double Smoothing { get; }

    /// <summary>Every shot used, in their order, with its distance from the surface made without it.</summary>
    public IReadOnlyList<ShotResidual> Residuals { get; }

    /// <summary>Shots that look like blunders, the worst first, each with its residual when it was found.</summary>
    public IReadOnlyList<ShotResidual> Suspects { get; }

    /// <summary>Places shot more than once.</summary>
    public IReadOnlyList<RepeatedShots> Repeated { get; }

    /// <summary>Root of the mean square of the residuals of shots left out, metres; NaN where none could be had.</summary>
    public double RootMeanSquare { get; }

    /// <summary>Median size of the residuals of shots left out, metres; NaN where none could be had.</summary>
    public double MedianSize { get; }

    /// <summary>Makes the surface.</summary>
    /// <param name="shots">The shots, in a projected system.</param>
    /// <param name="options">How; null for the defaults.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">There are too few shots, they lie on a line, or there are too many for the method.</exception>
    /// <exception cref="ArgumentException">A shot is not finite, or an option is out of range.</exception>
    public static SurveySurface Fit(IReadOnlyList<SurveyShot> shots, SurveyOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(shots);
        options ??= new SurveyOptions();
        if (options.CellSize is { } asked && !(asked > 0 && double.IsFinite(asked)))
        {
            throw new ArgumentOutOfRangeException(nameof(options), asked, "The cell must be a finite number of metres above 0.");
        }

        if (options.Smoothing is { } stiff && !(stiff >= 0 && double.IsFinite(stiff)))
        {
            throw new ArgumentOutOfRangeException(nameof(options), stiff, "The smoothing must be 0 or above.");
        }

        if (shots.FirstOrDefault(s => !double.IsFinite(s.X) || !double.IsFinite(s.Y) || !double.IsFinite(s.Height)) is { } bad)
        {
            throw new ArgumentException($"The shot {bad.Name} has a place or height that is not finite.", nameof(shots));
        }

        (List<SurveyShot> single, List<RepeatedShots> repeated) = ShotPlaces.Merge(shots, SamePlace);
        Geometry hull = new GeometryFactory().CreateMultiPointFromCoords([.. single.Select(s => new Coordinate(s.X, s.Y))]).ConvexHull();
        if (single.Count < LeastShots || hull is not Polygon outline || outline.Area < 1e-3 * outline.Length * outline.Length / 16)
        {
            throw new GroundDataException(FormattableString.Invariant($"The survey has {single.Count} places{(single.Count < LeastShots ? "" : " that lie nearly on a line")}, which makes no surface: shoot at least {LeastShots} spread over the field, and better one every 10 m."));
        }

        SurveyMethod method = options.Method ?? (single.Count <= SurveyOptions.MostForThinPlate ? SurveyMethod.ThinPlate : SurveyMethod.Triangles);
        if (method == SurveyMethod.ThinPlate && single.Count > MostForThinPlate)
        {
            throw new GroundDataException(FormattableString.Invariant($"The survey has {single.Count} places, more than the {MostForThinPlate} a thin plate is put through: use triangles."));
        }

        double spacing = ShotPlaces.UsualSpacing(single);
        GridFrame frame = FrameOf(outline, options.CellSize ?? ShotPlaces.CellFor(spacing), method == SurveyMethod.ThinPlate ? single.Count : 1, options.MaximumCells);
        ShotFit fit = method == SurveyMethod.Triangles ? new TriangleFit(single, cancellationToken)
            : options.Smoothing is { } smoothing ? ThinPlateFit.Of(single, smoothing, cancellationToken)
            : ThinPlateFit.Best(single, Smoothings, cancellationToken);
        double used = fit is ThinPlateFit plate ? plate.Smoothing : 0;
        double[] all = fit.LeaveOneOut(cancellationToken);
        List<ShotResidual> suspects = Screen(fit, single, spacing, cancellationToken);
        double[] residuals = options.KeepSuspects ? all : fit.LeaveOneOut(cancellationToken);
        if (options.KeepSuspects && suspects.Count > 0)
        {
            fit = method == SurveyMethod.Triangles ? new TriangleFit(single, cancellationToken) : ThinPlateFit.Of(single, used, cancellationToken);
        }

        float[] heights = new float[frame.CellCount];
        Array.Fill(heights, float.NaN);
        fit.Fill(frame, heights, ShotPlaces.Spans(outline, frame), cancellationToken);
        HashSet<SurveyShot> suspected = new(suspects.Select(s => s.Shot), ReferenceEqualityComparer.Instance);
        bool Kept(SurveyShot shot) => options.KeepSuspects || !suspected.Contains(shot);
        return new SurveySurface(
            ElevationGrid.TakeOver(frame, heights),
            method,
            used,
            [.. single.Select((s, i) => new ShotResidual(s, residuals[i])).Where(r => Kept(r.Shot))],
            suspects,
            repeated);
    }

    private static GridFrame FrameOf(Polygon outline, double cell, int workPerCell, long mostCells)
    {
        Envelope box = outline.EnvelopeInternal;
        double west = Math.Floor(box.MinX / cell) * cell, north = Math.Ceiling(box.MaxY / cell) * cell;
        double rows = Math.Ceiling((north - box.MinY) / cell), columns = Math.Ceiling((box.MaxX - west) / cell);
        return rows * columns <= mostCells && rows * columns * workPerCell <= MostWork
            ? new GridFrame((int)Math.Max(1, rows), (int)Math.Max(1, columns), cell, west, north)
            : throw new GroundDataException(FormattableString.Invariant($"Cells of {cell:0.###} m make {rows:0} x {columns:0} of them over the survey, more than can be worked out: take larger cells."));
    }

    private static List<ShotResidual> Screen(ShotFit fit, List<SurveyShot> shots, double spacing, CancellationToken cancellationToken)
    {
        List<ShotResidual> suspects = [];
        int atOnce = Math.Max(1, shots.Count / 500), most = (int)(MostSuspects * shots.Count);
        while (suspects.Count < most)
        {
            cancellationToken.ThrowIfCancellationRequested();
            double[] residuals = fit.LeaveOneOut(cancellationToken), expected = fit.ExpectedSizes();
            double[] sizes = [.. residuals.Select((r, i) => Math.Abs(r) / expected[i])];
            double limit = BlunderSizes * SizeOfMedian * Quantiles.Median([.. sizes.Where(r => !double.IsNaN(r)).Order()]);
            List<int> taken = [];
            foreach (int i in Enumerable.Range(0, shots.Count).Where(i => sizes[i] > limit && Math.Abs(residuals[i]) > LeastBlunder).OrderByDescending(i => sizes[i]).ThenBy(i => i))
            {
                // A blunder makes its neighbours look like one too: of those near each other one goes at a time.
                if (taken.Count < Math.Min(atOnce, most - suspects.Count) && !taken.Exists(t => ShotPlaces.Distance(shots[i], shots[t]) < NearInSpacings * spacing))
                {
                    taken.Add(i);
                }
            }

            if (taken.Count == 0)
            {
                break;
            }

            suspects.AddRange(taken.Select(i => new ShotResidual(shots[i], residuals[i])));
            fit.Remove(taken, cancellationToken);
        }

        return suspects;
    }
}
