using Keyline.Elevation;
using Keyline.Landform;
using NetTopologySuite.Algorithm.Locate;
using NetTopologySuite.Geometries;
using NetTopologySuite.Simplify;

namespace Keyline.Layout;

/// <summary>Lays out rip lines: graded guides chosen so that the grade limit holds and water drifts toward the ridges,
/// and true parallels of them.</summary>
/// <remarks>
/// <para>Units: metres, percent. Missing: the field must lie on known ground; beyond it heights are continued.</para>
/// <para>Promises: parallels lie at multiples of the spacing from their guide, measured level; no two lines cross; nothing
/// lies outside the field less headland, in an avoided area's setback or on land steeper than asked for; same input, same
/// plan. The grade limit is aimed at, not promised: the figures and findings say where it could not be kept.</para>
/// <para>Cost: about candidate levels times working cells; a 20 ha field takes about a second.</para>
/// <para>Source: first-order law of offset grade in docs/concepts.md; the method in docs/decisions.</para>
/// </remarks>
public static class RipLayoutDesigner
{
    private const double LeastMargin = 40;
    private const double MostMargin = 80;
    private const double ChordTolerance = 0.01;
    private const double CandidateShareOfSpacing = 2.5;
    private const int MostCandidates = 64;
    private const int LeastCandidates = 8;

    /// <summary>Lays out a field.</summary>
    /// <param name="ground">Heights as delivered, on which everything is measured.</param>
    /// <param name="smoothed">The same ground smoothed at the scale of the implement, on which lines are laid out.</param>
    /// <param name="landform">The landform read from the ground.</param>
    /// <param name="field">The field, in the same coordinates.</param>
    /// <param name="options">What to hold to.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">Nothing in the field can be worked.</exception>
    public static RipLayout Design(ElevationGrid ground, ElevationGrid smoothed, LandformReading landform, FieldArea field, LayoutOptions options, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(smoothed);
        ArgumentNullException.ThrowIfNull(landform);
        ArgumentNullException.ThrowIfNull(field);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();

        progress?.Report(new PlanProgress("guides", 0));
        double margin = Math.Clamp(20 * options.Spacing, LeastMargin, MostMargin);
        LayoutSurface surface = LayoutSurface.Create(smoothed, field.Boundary.EnvelopeInternal, margin);
        LayoutGround workGround = LayoutGround.Create(surface, field, options);
        if (workGround.Workable.IsEmpty)
        {
            throw new GroundDataException(FormattableString.Invariant(
                $"Nothing in the field can be worked once the {options.Headland:F1} m headland, the avoided areas and land steeper than {options.MaximumSlope:F0} % are left out: narrow the headland or raise the slope limit if that is safe."));
        }

        Grid<float> position = DriftPosition.Compute(smoothed, landform, cancellationToken);
        DesignSurface design = DesignSurface.Create(surface, SamplePosition(position, surface.Frame), options.DesignFall, cancellationToken);
        bool[] workable = Mask(surface.Frame, workGround.Workable);
        bool[] near = Mask(surface.Frame, field.Boundary.Buffer(margin - (2 * LayoutSurface.CellSize), 8));
        progress?.Report(new PlanProgress("guides", 0.3));
        double[] candidates = Candidates(design.Levels, workable, surface.Frame, options);
        GuideLevel[] levels = new GuideLevel[candidates.Length];
        double least = Math.Max(2 * options.MinimumLength, 4 * options.MinimumRadius);
        Parallel.For(0, levels.Length, new ParallelOptions { CancellationToken = cancellationToken }, i =>
            levels[i] = GuideLevel.Trace(design.Levels, surface.Frame, candidates[i], near, options.MinimumRadius, least));
        progress?.Report(new PlanProgress("guides", 0.5));
        IReadOnlyList<GuideBand> bands = GuideChooser.Choose(surface, design, levels, workable, options, cancellationToken);
        progress?.Report(new PlanProgress("lines", 0));
        IReadOnlyList<PlacedLine> placed = LinePlacement.Place(design, surface.Frame, levels, bands, workGround.Workable, options, cancellationToken);
        progress?.Report(new PlanProgress("check", 0));
        return Finish(ground, surface, position, field, options, workGround, levels, placed, cancellationToken);
    }

    private static RipLayout Finish(ElevationGrid ground, LayoutSurface surface, Grid<float> position, FieldArea field, LayoutOptions options, LayoutGround workGround, GuideLevel[] levels, IReadOnlyList<PlacedLine> placed, CancellationToken cancellationToken)
    {
        GeometryFactory factory = field.Boundary.Factory;
        Dictionary<(int Level, int Piece), string> ids = [];
        List<GuideLine> guides = [];
        foreach ((int level, int piece) in placed.Select(p => (p.Level, p.Piece)).Distinct().OrderByDescending(k => k.Level).ThenBy(k => k.Piece))
        {
            string id = FormattableString.Invariant($"G{guides.Count + 1}");
            ids[(level, piece)] = id;
            Coordinate[] at = LinePlacement.ToCoordinates(levels[level].Pieces[piece]);
            LineString whole = factory.CreateLineString(at);
            Geometry inField = whole.Intersection(field.Boundary);
            LineString shown = Enumerable.Range(0, inField.NumGeometries).Select(inField.GetGeometryN).OfType<LineString>().OrderByDescending(l => l.Length).FirstOrDefault() ?? whole;
            guides.Add(new GuideLine(id, Lift(shown, ground, surface), levels[level].Level));
        }

        IReadOnlyList<(int Line, bool Reversed)> order = DrivingOrder.Find([.. placed.Select(p => p.Path)], cancellationToken);
        int digits = Math.Max(3, order.Count.ToString(System.Globalization.CultureInfo.InvariantCulture).Length);
        List<CheckedLine> drawn = [];
        foreach ((int line, bool reversed) in order)
        {
            PlacedLine p = placed[line];
            LineString flat = factory.CreateLineString(LinePlacement.ToCoordinates(p.Path));
            LineString thin = (LineString)DouglasPeuckerSimplifier.Simplify(flat, ChordTolerance);
            string number = (drawn.Count + 1).ToString("D" + digits, System.Globalization.CultureInfo.InvariantCulture);
            drawn.Add(new CheckedLine("R" + number, ids[(p.Level, p.Piece)], Lift(reversed ? (LineString)thin.Reverse() : thin, ground, surface)));
        }

        LayoutCheckResult check = LayoutCheck.Run(drawn, ground, field, workGround.Workable, options, position, cancellationToken);
        List<RipLine> lines = [];
        for (int i = 0; i < drawn.Count; i++)
        {
            PlacedLine p = placed[order[i].Line];
            lines.Add(new RipLine
            {
                Id = drawn[i].Id,
                GuideId = drawn[i].GuideId,
                Side = p.Side,
                Offset = p.Offset,
                Line = drawn[i].Line,
                Sequence = i + 1,
                Measures = check.Measures[i],
            });
        }

        return new RipLayout(guides, lines, workGround.Workable, workGround.Steep, check.Figures, check.Findings, Notes(workGround, field, options, lines));
    }

    private static List<string> Notes(LayoutGround ground, FieldArea field, LayoutOptions options, List<RipLine> lines)
    {
        List<string> notes = [];
        if (!ground.Steep.IsEmpty)
        {
            notes.Add(FormattableString.Invariant($"{ground.Steep.Area / 1e4:F2} ha of the field is steeper than {options.MaximumSlope:F0} % and is left out."));
        }

        if (ground.SmallSteepArea > 0)
        {
            notes.Add(FormattableString.Invariant($"{ground.SmallSteepArea:F0} m2 in patches smaller than {LayoutGround.LeastPatch:F0} m2 is steeper than {options.MaximumSlope:F0} % and is worked over: look at them before driving."));
        }

        if (field.Avoided.Count > 0)
        {
            notes.Add(FormattableString.Invariant($"{field.Avoided.Count} avoided areas with their setbacks are left out."));
        }

        if (lines.Count == 0)
        {
            notes.Add(FormattableString.Invariant($"No line of at least {options.MinimumLength:F0} m fits the field."));
        }

        return notes;
    }

    private static LineString Lift(LineString line, ElevationGrid ground, LayoutSurface surface)
    {
        CoordinateZ[] at = new CoordinateZ[line.NumPoints];
        for (int i = 0; i < at.Length; i++)
        {
            Coordinate c = line.GetCoordinateN(i);
            double z = ground.HeightAt(c.X, c.Y);
            at[i] = new CoordinateZ(c.X, c.Y, double.IsNaN(z) ? GridSampling.Bilinear(surface.Heights, surface.Frame, c.X, c.Y) : z);
        }

        return line.Factory.CreateLineString(at);
    }

    private static double[] SamplePosition(Grid<float> position, GridFrame frame)
    {
        double[] result = new double[checked((int)frame.CellCount)];
        for (int r = 0; r < frame.Rows; r++)
        {
            for (int c = 0; c < frame.Columns; c++)
            {
                result[(r * frame.Columns) + c] = GridSampling.Bilinear(position.Array, position.Frame, frame.CentreX(c), frame.CentreY(r));
            }
        }

        PullPush.Fill(result, frame.Rows, frame.Columns);
        return result;
    }

    private static bool[] Mask(GridFrame frame, Geometry area)
    {
        IndexedPointInAreaLocator locator = new(area);
        bool[] mask = new bool[checked((int)frame.CellCount)];
        for (int r = 0; r < frame.Rows; r++)
        {
            for (int c = 0; c < frame.Columns; c++)
            {
                mask[(r * frame.Columns) + c] = locator.Locate(new Coordinate(frame.CentreX(c), frame.CentreY(r))) != Location.Exterior;
            }
        }

        return mask;
    }

    // Levels that part the workable ground into strips of equal area, about two and a half spacings wide on the mean.
    private static double[] Candidates(double[] levels, bool[] workable, GridFrame frame, LayoutOptions options)
    {
        double[] inside = [.. levels.Where((_, i) => workable[i]).Order()];
        if (inside.Length == 0)
        {
            inside = [levels[0]];
        }

        int count = (int)Math.Clamp(Math.Sqrt(inside.Length * frame.CellArea) / (CandidateShareOfSpacing * options.Spacing), LeastCandidates, MostCandidates);
        List<double> result = [inside[0] - 1];
        for (int k = 1; k < count; k++)
        {
            double level = inside[(int)((long)k * inside.Length / count)];
            if (level > result[^1])
            {
                result.Add(level);
            }
        }

        result.Add(inside[^1] + 1);
        return [.. result];
    }
}
