using Keyline.Field;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>A line as it is driven, with the way to it.</summary>
/// <param name="Number">Its place in the order, from 1.</param>
/// <param name="Line">The line.</param>
/// <param name="Course">Its course in the direction it is driven.</param>
/// <param name="Reversed">Whether that is against the direction it was given in.</param>
/// <param name="Change">The way from the line before; null for the first.</param>
public sealed record WorkStop(int Number, WorkLine Line, LineString Course, bool Reversed, RowChange? Change);

/// <summary>The work of ripping a field's lines with a machine: order, turns, hours, fuel, and what does not fit.</summary>
/// <remarks>
/// <para>Units: metres, hours, litres. Promises: every line once; every way between lines is drawn; one that does not fit is a finding with its place.
/// The same input gives the same job, whatever the number of threads.</para>
/// <para>Cost: seconds for a thousand lines. Source: as <see cref="RowOrder"/>, <see cref="RowChanges"/>, <see cref="PullEstimate"/>, <see cref="WorkTimes"/>.</para>
/// </remarks>
public sealed class WorkJob
{
    private readonly IReadOnlyDictionary<int, TurnMend?> _mends;

    private WorkJob(FieldArea field, Machine machine, WorkOptions options, PullEstimate pull, IReadOnlyList<WorkStop> stops, double given, IReadOnlyDictionary<int, TurnMend?> mends)
    {
        (Field, Machine, Options, Pull, Stops, GivenOrderHours, _mends) = (field, machine, options, pull, stops, given, mends);
        Length = stops.Sum(s => s.Course.Length);
        Spacing = double.IsNaN(options.Spacing) ? machine.PassSpacing : options.Spacing;
        Times = [At(pull.Speed.Least, pull.DrawbarNeeded.Least), At(pull.Speed.Usual, pull.DrawbarNeeded.Usual), At(pull.Speed.Most, pull.DrawbarNeeded.Most)];
        Findings = Judge();
    }

    /// <summary>The field.</summary>
    public FieldArea Field { get; }

    /// <summary>The machine.</summary>
    public Machine Machine { get; }

    /// <summary>What it was reckoned with.</summary>
    public WorkOptions Options { get; }

    /// <summary>What pulls the implement, and how fast.</summary>
    public PullEstimate Pull { get; }

    /// <summary>The lines in the order they are driven.</summary>
    public IReadOnlyList<WorkStop> Stops { get; }

    /// <summary>What does not fit, in the order of the work.</summary>
    public IReadOnlyList<WorkFinding> Findings { get; }

    /// <summary>Length in the ground, metres.</summary>
    public double Length { get; }

    /// <summary>Distance between passes, metres; NaN where it is not known.</summary>
    public double Spacing { get; }

    /// <summary>Ground worked: length times spacing, hectares; NaN where the spacing is not known.</summary>
    public double Hectares => Length * Spacing / 1e4;

    /// <summary>Hours between lines in the order given, with the same turns.</summary>
    public double GivenOrderHours { get; }

    /// <summary>Hours between lines in this order.</summary>
    public double OrderHours => Between(Stops, Options.Gate, Machine).Sum() / 3600;

    private IReadOnlyList<WorkTimes?> Times { get; }

    /// <summary>Hours and fuel where the soil takes least draft; null where it is not pulled even so.</summary>
    public WorkTimes? Easy => Times[0];

    /// <summary>Hours and fuel where the soil takes the usual draft; null where it is not pulled.</summary>
    public WorkTimes? Usual => Times[1];

    /// <summary>Hours and fuel where the soil takes most draft; null where it is not pulled.</summary>
    public WorkTimes? Hard => Times[2];

    /// <summary>Plans the work.</summary>
    /// <param name="lines">The lines in the order to begin with.</param>
    /// <param name="field">The field.</param>
    /// <param name="machine">The machine.</param>
    /// <param name="options">What to reckon with.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">The field has no room for the machine, or there is no line.</exception>
    /// <exception cref="ArgumentException">The machine or an option is not possible.</exception>
    public static WorkJob Plan(IReadOnlyList<WorkLine> lines, FieldArea field, Machine machine, WorkOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(lines);
        ArgumentNullException.ThrowIfNull(field);
        ArgumentNullException.ThrowIfNull(machine);
        options ??= new WorkOptions();
        options.Validate();
        PullEstimate pull = PullEstimate.Of(machine, options.Soil, options.Surface);
        machine.CheckFits(field);
        if (lines.Count == 0)
        {
            throw new GroundDataException("There is no line to work: give a plan with lines.");
        }

        RowChanges changes = new(machine, DrivableGround.Of(field, cancellationToken));
        RowStop[] given = [.. Enumerable.Range(0, lines.Count).Select(i => new RowStop(i, false))];
        IReadOnlyList<WorkStop> asGiven = WithLast(Drawn(lines, given, changes, cancellationToken), options.Last, changes);
        double before = Weighed(asGiven, options.Gate, machine);
        IReadOnlyList<WorkStop> stops = asGiven;
        if (options.ImproveOrder)
        {
            LineString[] courses = [.. lines.Select(l => l.Line)];
            GroundParts ground = GroundParts.Of(changes.Ground, cancellationToken);
            int[] parts = ground.Count < 2 ? new int[lines.Count] : [.. courses.Select(ground.PartOf)];
            Dictionary<WorkLine, int> partOf = lines.Zip(parts).DistinctBy(p => p.First).ToDictionary(p => p.First, p => p.Second);
            IReadOnlyList<WorkStop> improved = WithLast(Drawn(lines, RowOrder.Improve(courses, ByPart(given, parts), changes, machine.TurningSpeed, options.Gate, parts, cancellationToken), changes, cancellationToken), options.Last, changes);
            stops = Weighed(improved, options.Gate, machine) + Apart(improved) < before + Apart(asGiven) ? improved : asGiven;

            double Apart(IReadOnlyList<WorkStop> order) => RowOrder.FromPartToPart * order.Take(lines.Count).Zip(order.Take(lines.Count).Skip(1)).Count(p => partOf[p.First.Line] != partOf[p.Second.Line]);
        }

        int[] unfit = [.. Enumerable.Range(1, stops.Count - 1).Where(i => !stops[i].Change!.Fits)];
        TurnMend?[] mends = new TurnMend?[unfit.Length];
        Parallel.For(0, unfit.Length, WorkThreads.Options(cancellationToken), k => mends[k] = TurnMend.Find(stops[unfit[k] - 1].Course, stops[unfit[k]].Course, changes));
        return new WorkJob(field, machine, options, pull, stops, Between(asGiven, options.Gate, machine).Sum() / 3600, unfit.Zip(mends).ToDictionary(m => m.First, m => m.Second));
    }

    /// <summary>The same lines in the same order with the same turns, worked by the machine set to another depth.</summary>
    /// <param name="machine">The machine; only its depth and speeds may differ from this job's.</param>
    /// <exception cref="ArgumentException">It is not possible.</exception>
    public WorkJob With(Machine machine) => new(Field, machine, Options, PullEstimate.Of(machine, Options.Soil, Options.Surface), Stops, GivenOrderHours, _mends);

    private static WorkStop[] Drawn(IReadOnlyList<WorkLine> lines, IReadOnlyList<RowStop> order, RowChanges changes, CancellationToken cancellationToken)
    {
        LineString[] courses = [.. order.Select(s => s.Reversed ? (LineString)lines[s.Line].Line.Reverse() : lines[s.Line].Line)];
        RowChange?[] ways = new RowChange?[order.Count];
        Parallel.For(1, order.Count, WorkThreads.Options(cancellationToken), i => ways[i] = changes.Between(RowEnds.End(courses[i - 1]), RowEnds.Start(courses[i])));
        return [.. order.Select((s, i) => new WorkStop(i + 1, lines[s.Line], courses[i], s.Reversed, ways[i]))];
    }

    // Each part of a parted field as a whole, in the order in which the parts come first.
    private static RowStop[] ByPart(RowStop[] given, int[] parts) => [.. given.GroupBy(s => parts[s.Line]).SelectMany(g => g)];

    // What comes last is entered at whichever end is reached sooner, a round at the place that lies nearest.
    private static List<WorkStop> WithLast(WorkStop[] stops, IReadOnlyList<WorkLine> last, RowChanges changes)
    {
        List<WorkStop> all = [.. stops];
        foreach (WorkLine line in last)
        {
            Pose left = RowEnds.End(all[^1].Course);
            LineString course = line.Line.IsClosed ? BegunAt(line.Line, new Coordinate(left.X, left.Y)) : line.Line, back = (LineString)course.Reverse();
            RowChange there = changes.Between(left, RowEnds.Start(course)), other = changes.Between(left, RowEnds.Start(back));
            bool reversed = Cost(other) < Cost(there);
            all.Add(new WorkStop(all.Count + 1, line, reversed ? back : course, reversed, reversed ? other : there));
        }

        return all;

        static double Cost(RowChange change) => change.Seconds + (change.Fits ? 0 : RowOrder.NoFit);
    }

    private static LineString BegunAt(LineString round, Coordinate place)
    {
        Coordinate[] points = round.Coordinates[..^1];
        int first = Enumerable.Range(0, points.Length).MinBy(i => points[i].Distance(place));
        return round.Factory.CreateLineString([.. points[first..], .. points[..(first + 1)]]);
    }

    private static double Weighed(IReadOnlyList<WorkStop> stops, Coordinate? gate, Machine machine) => Between(stops, gate, machine).Sum() + (RowOrder.NoFit * stops.Count(s => s.Change is { Fits: false }));

    // Seconds from line to line, and from and to the gate.
    private static IEnumerable<double> Between(IReadOnlyList<WorkStop> stops, Coordinate? gate, Machine machine)
    {
        yield return GateSeconds(stops, gate, machine);
        foreach (WorkStop stop in stops)
        {
            yield return stop.Change?.Seconds ?? 0;
        }
    }

    private static double GateSeconds(IReadOnlyList<WorkStop> stops, Coordinate? gate, Machine machine) =>
        gate is null ? 0 : (gate.Distance(stops[0].Course.StartPoint.Coordinate) + gate.Distance(stops[^1].Course.EndPoint.Coordinate)) / machine.TurningSpeed;

    private WorkTimes? At(double speed, double drawbarNeeded)
    {
        if (!(speed > 0))
        {
            return null;
        }

        double turning = Stops.Sum(s => s.Change is { Kind: not RowChangeKind.Link } c ? c.Seconds : 0);
        double links = GateSeconds(Stops, Options.Gate, Machine) + Stops.Sum(s => s.Change is { Kind: RowChangeKind.Link } c ? c.Seconds : 0);
        return WorkTimes.Of(Pull, Options, speed, drawbarNeeded, Length, turning, links, 2 * Machine.Implement.LiftTime * Stops.Count);
    }

    private List<WorkFinding> Judge()
    {
        List<WorkFinding> found = [];
        if (!Pull.IsPulled)
        {
            Coordinate at = Stops[0].Course.StartPoint.Coordinate;
            found.Add(new WorkFinding(WorkFindingKind.NotPulled, "", "", at.X, at.Y, string.Join(' ', Pull.Sentences().Take(2))));
        }

        SweptOutline outline = new(Machine);
        NetTopologySuite.Algorithm.Locate.IndexedPointInAreaLocator? steep = Options.Steep is { IsEmpty: false, Dimension: Dimension.Surface } s ? new(s) : null;
        for (int i = 1; i < Stops.Count; i++)
        {
            (string from, string to) = (Stops[i - 1].Line.Id, Stops[i].Line.Id);
            RowChange change = Stops[i].Change!;
            if (change.Taken is (double x, double y))
            {
                found.Add(new WorkFinding(WorkFindingKind.TurnDoesNotFit, from, to, x, y, FormattableString.Invariant($"No turn from {from} to {to} keeps {What(x, y)}: {Mend(i)}.")));
            }
            else if (steep is not null && outline.Along(change.Way).Where(p => steep.Locate(new Coordinate(p.X, p.Y)) == Location.Interior).Select(p => ((double X, double Y)?)p).FirstOrDefault() is (double sx, double sy))
            {
                found.Add(new WorkFinding(WorkFindingKind.TurnOnSteepLand, from, to, sx, sy, FormattableString.Invariant($"The turn from {from} to {to} goes over land steeper than is worked: look at it before driving it with the implement raised.")));
            }
        }

        return found;
    }

    /// <summary>What of a line is left out at its start and its end, metres, so that the turns before it and after it fit; 0 where they fit or nothing helps.</summary>
    /// <param name="stop">Its place among <see cref="Stops"/>.</param>
    internal (double AtStart, double AtEnd) LeftOut(int stop) => (_mends.GetValueOrDefault(stop)?.Later ?? 0, _mends.GetValueOrDefault(stop + 1)?.Sooner ?? 0);

    // What would help; where nothing shorter does, because something lies between the two, what is left to do.
    private string Mend(int stop)
    {
        (WorkStop left, WorkStop entered) = (Stops[stop - 1], Stops[stop]);
        if (_mends.GetValueOrDefault(stop) is { } mend)
        {
            return mend.Say(left.Line.Id, entered.Line.Id);
        }

        LineString straight = Field.Boundary.Factory.CreateLineString([left.Course.EndPoint.Coordinate, entered.Course.StartPoint.Coordinate]);
        return Field.Avoided.FirstOrDefault(a => a.Shape.Intersects(straight)) is { } between
            ? $"{(between.Name.Length > 0 ? between.Name : "something avoided")} lies between them; cross it, with the implement lifted, only where that is agreed, or go round by the road"
            : FormattableString.Invariant($"{TurnMend.Most:0} m less of either line would not help; leave one of the two out, or lift, back and turn by eye where there is room");
    }

    private string What(double x, double y)
    {
        Point at = Field.Boundary.Factory.CreatePoint(new Coordinate(x, y));
        double fence = Field.Boundary.Contains(at) ? Field.Boundary.Boundary.Distance(at) : 0;
        AvoidedArea? near = Field.Avoided.Where(a => a.Shape.Distance(at) < Math.Min(fence, 5)).MinBy(a => a.Shape.Distance(at));
        return near is null ? "the machine in the field" : near.Name.Length > 0 ? $"the machine off {near.Name}" : "the machine off what is avoided";
    }
}
