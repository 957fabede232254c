using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout.Parallels;
using Keyline.Planar;
using NetTopologySuite.Geometries;
using NetTopologySuite.Simplify;

namespace Keyline.Layout;

/// <summary>A field made ready to be laid out, any number of times.</summary>
internal sealed class FieldSurvey
{
    private const double LeastMargin = 40;
    private const double MostMargin = 80;
    private const double ChordTolerance = 0.01;

    private readonly ElevationGrid _ground;
    private readonly ElevationGrid? _land;
    private readonly Grid<float> _position;
    private readonly IReadOnlyList<XY> _keypoints;
    private IReadOnlyList<GuideBlock>? _parts;

    private FieldSurvey(ElevationGrid ground, ElevationGrid? land, Grid<float> position, LayoutRaster terrain, WorkableGround workGround, FieldArea field, LayoutOptions options, double margin, IReadOnlyList<XY> keypoints)
    {
        _ground = ground;
        _land = land;
        _position = position;
        _keypoints = keypoints;
        Terrain = terrain;
        WorkGround = workGround;
        Field = field;
        Options = options;
        Margin = margin;
    }

    public LayoutRaster Terrain { get; }

    public WorkableGround WorkGround { get; }

    public FieldArea Field { get; }

    public LayoutOptions Options { get; }

    /// <summary>How far around the field guides may run, metres.</summary>
    public double Margin { get; }

    public static FieldSurvey Prepare(ElevationGrid ground, ElevationGrid smoothed, LandformReading landform, FieldArea field, LayoutOptions options, IProgress<PlanProgress>? progress, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(smoothed);
        ArgumentNullException.ThrowIfNull(landform);
        ArgumentNullException.ThrowIfNull(field);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        progress?.Report(new PlanProgress("guides", 0));
        double margin = Math.Clamp(20 * options.Spacing, LeastMargin, MostMargin);
        Grid<float> position = DriftPosition.Compute(smoothed, landform, cancellationToken);
        LayoutRaster terrain = LayoutRaster.Create(ground, position, field.Boundary.EnvelopeInternal, margin, options, cancellationToken);
        WorkableGround workGround = WorkableGround.Create(terrain.Frame, terrain.LandSlope, field, options.Headland, options.Limits.SteepestLand);
        if (workGround.Workable.IsEmpty)
        {
            throw new GroundDataException(FormattableString.Invariant(
                $"Nothing in the field can be worked once the {options.Headland:F1} m headland, the avoided areas and land steeper than {options.Limits.SteepestLand:F0} % are left out: narrow the headland or raise the slope limit if that is safe."));
        }

        XY[] keypoints = [.. landform.Keypoints.Where(k => k.Class == KeypointClass.Clear && field.Boundary.Covers(k.Location)).Select(k => new XY(k.Location.X, k.Location.Y))];
        return new FieldSurvey(ground, LayoutCheck.Land(ground, field.Boundary.EnvelopeInternal, cancellationToken), position, terrain, workGround, field, options, margin, keypoints);
    }

    /// <summary>The plan with the guides that are best at given prices.</summary>
    public RipLayout Chosen(LayoutPrices prices, IProgress<PlanProgress>? progress, CancellationToken cancellationToken)
    {
        LinePlacement placement = new(Terrain.Frame.Extent, new StepAround(Field, Options), Options);
        PlacePinned(placement);
        IReadOnlyList<GuideBlock> parts = Parts(placement, progress, cancellationToken);
        LayoutCost cost = LayoutCost.Nothing;
        for (int p = 0; p < parts.Count; p++)
        {
            (IReadOnlyList<GuideBand> bands, LayoutCost partCost) = parts[p].Survey.Choose(prices);
            cost = cost.Plus(partCost);
            progress?.Report(new PlanProgress("lines", (double)p / parts.Count));
            placement.PlacePart(parts[p], p, bands, cancellationToken);
        }

        progress?.Report(new PlanProgress("check", 0));
        return Finish(placement.Lines, key => key.Part < 0 ? null : parts[key.Part].Levels[key.Level], cost, cancellationToken);
    }

    /// <summary>The plan of guides that are given and not chosen.</summary>
    /// <param name="part">All the workable ground, with its guides.</param>
    /// <param name="steps">The bands: guide, and the levels they lie between.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public RipLayout Laid(GuideBlock part, Func<GuideBlock, IReadOnlyList<(int Guide, int Low, int High)>> steps, CancellationToken cancellationToken)
    {
        LinePlacement placement = new(Terrain.Frame.Extent, new StepAround(Field, Options), Options);
        IReadOnlyList<(int Guide, int Low, int High)> bands = steps(part);
        placement.PlacePart(part, 0, [.. bands.Select(b => part.Survey.Band(b.Guide, b.Low, b.High))], cancellationToken);
        return Finish(placement.Lines, key => part.Levels[key.Level], part.Survey.Cost(bands, Options.Prices), cancellationToken);
    }

    /// <summary>Numbers, lifts and measures placed lines.</summary>
    /// <param name="placed">The lines.</param>
    /// <param name="levelOf">The level of a guide; null for a pinned one.</param>
    /// <param name="cost">What the guides cost.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public RipLayout Finish(IReadOnlyList<PlacedLine> placed, Func<GuideKey, CandidateGuide?> levelOf, LayoutCost cost, CancellationToken cancellationToken)
    {
        GeometryFactory factory = Field.Boundary.Factory;
        Dictionary<GuideKey, string> ids = [];
        List<GuideLine> guides = [];
        foreach (GuideKey key in placed.Select(p => p.Guide).Distinct().OrderBy(k => k.Part).ThenByDescending(k => k.Level).ThenBy(k => k.Piece))
        {
            string id = FormattableString.Invariant($"G{guides.Count + 1}");
            ids[key] = id;
            CandidateGuide? level = levelOf(key);
            LineString whole = level is null ? Field.PinnedGuides[key.Piece] : factory.CreateLineString(LinePlacement.ToCoordinates(level.Pieces[key.Piece]));
            Geometry inField = whole.Intersection(Field.Boundary);
            LineString shown = Enumerable.Range(0, inField.NumGeometries).Select(inField.GetGeometryN).OfType<LineString>().OrderByDescending(l => l.Length).FirstOrDefault() ?? whole;
            guides.Add(new GuideLine(id, Lift(shown), level?.Level ?? double.NaN, level is null, level?.IsKeyline ?? false));
        }

        DrivingOrder order = DrivingOrder.Find([.. placed.Select(p => p.Path)], Field.Gate is { } gate ? new XY(gate.X, gate.Y) : null, Options.MinimumRadius, cancellationToken);
        int digits = Math.Max(3, order.Stops.Count.ToString(System.Globalization.CultureInfo.InvariantCulture).Length);
        List<CheckedLine> drawn = [];
        foreach ((int line, bool reversed) in order.Stops)
        {
            PlacedLine p = placed[line];
            LineString flat = factory.CreateLineString(LinePlacement.ToCoordinates(p.Path));
            LineString thin = (LineString)DouglasPeuckerSimplifier.Simplify(flat, ChordTolerance);
            string number = (drawn.Count + 1).ToString("D" + digits, System.Globalization.CultureInfo.InvariantCulture);
            drawn.Add(new CheckedLine("R" + number, ids[p.Guide], Lift(reversed ? (LineString)thin.Reverse() : thin)));
        }

        LayoutCheckResult check = LayoutCheck.Run(drawn, _ground, _land, Field, WorkGround.Workable, Options.Limits, _position, cancellationToken);
        List<RipLine> lines = [];
        for (int i = 0; i < drawn.Count; i++)
        {
            PlacedLine p = placed[order.Stops[i].Line];
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

        return new RipLayout(WorkGround.Workable, WorkGround.Steep, check.Figures)
        {
            Guides = guides,
            GuideLevels = placed.Select(p => (p.Guide.Part, p.Guide.Part < 0 ? p.Guide.Piece : p.Guide.Level)).Distinct().Count(),
            Lines = lines,
            Findings = check.Findings,
            Cost = cost,
            Driving = order.Plan,
            Notes = Notes(lines, guides.Count(g => g.IsPinned)),
        };
    }

    // Parts do not depend on prices, so they are surveyed once. What pinned guides take is left out of them.
    private IReadOnlyList<GuideBlock> Parts(LinePlacement placement, IProgress<PlanProgress>? progress, CancellationToken cancellationToken)
    {
        if (_parts is null)
        {
            IReadOnlyList<Geometry> areas = GuideBlock.Split(WorkGround.Workable);
            GuideBlock[] parts = new GuideBlock[areas.Count];
            for (int i = 0; i < parts.Length; i++)
            {
                progress?.Report(new PlanProgress("guides", (double)i / parts.Length));
                Geometry area = areas[i];
                XY[] keypoints = [.. _keypoints.Where(k => area.EnvelopeInternal.Contains(k.X, k.Y))];
                parts[i] = GuideBlock.Create(Terrain, area, placement.Lines.Count == 0 ? _ => false : placement.IsTaken, Margin, Options, keypoints, Field.OutletDistance, cancellationToken);
            }

            _parts = parts;
        }

        return _parts;
    }

    private void PlacePinned(LinePlacement placement)
    {
        if (Field.PinnedGuides.Count == 0)
        {
            return;
        }

        AreaClip clip = new(WorkGround.Workable);
        for (int i = 0; i < Field.PinnedGuides.Count; i++)
        {
            Coordinate[] at = Field.PinnedGuides[i].Coordinates;
            bool ring = at.Length > 3 && at[0].Equals2D(at[^1]);
            LinePath guide = new LinePath([.. at.Take(ring ? at.Length - 1 : at.Length).Select(c => new XY(c.X, c.Y))], ring).Resample(1);
            placement.PlacePinned(guide, i, Terrain, clip, p => Options.Limits.GradeLimitAt(GridSampling.Bilinear(Terrain.LandSlope, Terrain.Frame, p.X, p.Y), Field.OutletDistance(p)));
        }
    }

    private List<string> Notes(List<RipLine> lines, int pinned)
    {
        List<string> notes = [];
        if (Options.Shanks is { } shanks)
        {
            notes.Add(shanks.Describe(Options.Spacing));
        }

        if (!WorkGround.Steep.IsEmpty)
        {
            notes.Add(FormattableString.Invariant($"{WorkGround.Steep.Area / 1e4:F2} ha of the field is steeper than {Options.Limits.SteepestLand:F0} % and is left out."));
        }

        if (WorkGround.SmallSteepArea > 0)
        {
            notes.Add(FormattableString.Invariant($"{WorkGround.SmallSteepArea:F0} m2 in patches smaller than {WorkableGround.LeastPatch:F0} m2 is steeper than {Options.Limits.SteepestLand:F0} % and is worked over: look at them before driving."));
        }

        if (Field.Avoided.Count > 0)
        {
            notes.Add(FormattableString.Invariant($"{Field.Avoided.Count} avoided areas with their setbacks are left out."));
        }

        if (pinned < Field.PinnedGuides.Count)
        {
            notes.Add(FormattableString.Invariant($"{Field.PinnedGuides.Count - pinned} of {Field.PinnedGuides.Count} pinned guides have no place in the field: no stretch of {Options.MinimumLength:F0} m of them lies on workable ground clear of the others."));
        }

        if (lines.Count == 0)
        {
            notes.Add(FormattableString.Invariant($"No line of at least {Options.MinimumLength:F0} m fits the Field."));
        }

        return notes;
    }

    private LineString Lift(LineString line)
    {
        CoordinateZ[] at = new CoordinateZ[line.NumPoints];
        for (int i = 0; i < at.Length; i++)
        {
            Coordinate c = line.GetCoordinateN(i);
            double z = _ground.HeightAt(c.X, c.Y);
            at[i] = new CoordinateZ(c.X, c.Y, double.IsNaN(z) ? GridSampling.Bilinear(Terrain.Heights, Terrain.Frame, c.X, c.Y) : z);
        }

        return line.Factory.CreateLineString(at);
    }
}
