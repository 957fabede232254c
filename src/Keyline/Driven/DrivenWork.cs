using Keyline.Elevation;
using Keyline.Guidance;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Driven;

/// <summary>Gathers passes from matched tracks and sums them up.</summary>
/// <remarks>Units: metres, percent.</remarks>
internal sealed class DrivenWork(PlannedPath[] lines, PlannedIndex index, DrivenOptions options, ElevationGrid? ground)
{
    // Samples of a swing onto a line, about a turning circle.
    private const int LongestSwing = 10;

    // Metres a way may come nearer to or go farther from its line on the whole, per metre along it: about 3 degrees.
    private const double CrossingSlope = 0.05;

    // Metres of a way across the field that may happen to run along a line.
    private const double ShortRun = 30;

    // Percent of grade by which a driven stretch may exceed the plan and still be as steep as planned: heights of two surveys differ.
    private const double SameGrade = 0.5;

    private readonly List<PassSamples> _passes = [];
    private readonly List<LineString> _elsewhere = [];

    /// <summary>Takes an unbroken part of a track with the place of each of its samples.</summary>
    public void Take(TrackSamples track, PlannedPlace?[] places)
    {
        int start = 0, loose = 0;
        for (int i = 1; i <= places.Length; i++)
        {
            if (i < places.Length && Same(places[i - 1], places[i]))
            {
                continue;
            }

            if (places[start] is not null)
            {
                (int from, int to) = WithoutTurns(places, start, i);
                if (PassSamples.Length(places, from, to) is double run && run >= options.LeastStretch && !Crosses(places, from, to, run))
                {
                    Loose(track, loose, from);
                    _passes.Add(new PassSamples(track, places, from, to, index, options, ground));
                    loose = to;
                }
            }

            start = i;
        }

        Loose(track, loose, places.Length);
    }

    /// <summary>What it all comes to.</summary>
    public DrivenResult Result(SteadyShift? takenOff, CancellationToken cancellationToken)
    {
        LeaveTransits();
        DrivenSpacing spacing = new(lines.Length, _passes, index, options.Spacing, cancellationToken);
        List<DrivenLine> driven = [];
        List<DrivenStretch> stretches = [];
        ILookup<int, PassSamples> byLine = _passes.ToLookup(p => p.Line);
        int last = _passes.Count > 0 ? _passes.Max(p => lines[p.Line].Sequence) : int.MaxValue;
        for (int k = 0; k < lines.Length; k++)
        {
            driven.Add(Line(k, [.. byLine[k]], lines[k].Sequence > last, spacing, stretches));
        }

        double[] errors = [.. _passes.SelectMany(p => p.Errors)], sizes = [.. errors.Select(Math.Abs).Order()], grades = [.. _passes.SelectMany(p => p.Grades).Order()];
        DrivenFigures figures = new()
        {
            Planned = driven.Sum(l => l.Length),
            Driven = driven.Sum(l => l.Driven),
            Repeated = driven.Sum(l => l.Repeated),
            OnLines = _passes.Sum(p => (p.Errors.Length - 1) * TrackSamples.Step),
            Elsewhere = _elsewhere.Sum(e => e.Length),
            LinesWhole = driven.Count(l => l.Passes > 0 && l.Length - l.Driven < options.LeastStretch),
            LinesLeft = driven.Count(l => l.Passes == 0 && l.Sequence <= last),
            LinesNotReached = driven.Count(l => l.Passes == 0 && l.Sequence > last),
            LinesInPart = driven.Count(l => l.Passes > 0 && l.Length - l.Driven >= options.LeastStretch),
            MeanError = errors.Length > 0 ? errors.Average() : double.NaN,
            RootMeanSquareError = PassSamples.RootMeanSquare(errors),
            Error95 = Quantiles.Of(sizes, 0.95),
            GreatestError = sizes.Length > 0 ? sizes[^1] : double.NaN,
            WithinErrorShare = sizes.Length > 0 ? (double)sizes.Count(e => e <= options.AllowedError) / sizes.Length : double.NaN,
            MedianGrade = Quantiles.Median(grades),
            Grade95 = Quantiles.Of(grades, 0.95),
            MaximumGrade = grades.Length > 0 ? grades[^1] : double.NaN,
            MedianSpacing = spacing.Median,
            Spacing05 = spacing.Quantile(0.05),
            Spacing95 = spacing.Quantile(0.95),
            SpacingError95 = spacing.SpacingError95,
            OverlapArea = spacing.Narrow,
            GapArea = spacing.Wide,
        };
        return new DrivenResult(driven, [.. _passes.Select((p, i) => p.Summed(lines[p.Line].Id, i + 1))], [.. stretches.OrderBy(s => s.Kind)], figures, ShiftFit.Of(_passes, options.AllowedError), _elsewhere) { TakenOff = takenOff };
    }

    // A log does not say whether the implement was in the ground. A short run off its line is taken as a way across the field
    // where the line was driven there as well, or where it is no more than a part of the line.
    private void LeaveTransits()
    {
        foreach (PassSamples pass in _passes.Where(p => p.To - p.From < ShortRun && IsTransit(p)).ToArray())
        {
            _passes.Remove(pass);
            _elsewhere.Add(pass.Path);
        }
    }

    private bool IsTransit(PassSamples pass) =>
        (PassSamples.RootMeanSquare(pass.Errors) > options.AllowedError && pass.To - pass.From < index.Lengths[pass.Line] / 2)
        || (pass.MedianSize > options.AllowedError && _passes.Any(o => o != pass && o.Line == pass.Line && o.From <= pass.From && o.To >= pass.To && o.MedianSize <= options.AllowedError));

    private DrivenLine Line(int k, PassSamples[] passes, bool isToCome, DrivenSpacing spacing, List<DrivenStretch> told)
    {
        PlannedPath line = lines[k];
        double length = index.Lengths[k];
        double[] errors = [.. passes.SelectMany(p => p.Errors)], grades = [.. passes.SelectMany(p => p.Grades)];
        double drivenLength = 0, repeated = 0;
        foreach ((double from, double to, int times) in Cover(passes, length))
        {
            drivenLength += times > 0 ? to - from : 0;
            repeated += times > 1 && to - from >= options.LeastStretch ? to - from : 0;
            if (to - from < options.LeastStretch || times == 1)
            {
                continue;
            }

            told.Add(times == 0 && isToCome
                ? Stretch(DrivenStretchKind.NotReached, k, from, to, 0, $"Line {line.Id} is not yet reached")
                : times == 0
                ? Stretch(DrivenStretchKind.Skipped, k, from, to, 0, passes.Length == 0 ? $"Line {line.Id} was not driven" : FormattableString.Invariant($"Line {line.Id} was not driven from {from:0} to {to:0} m"))
                : Stretch(DrivenStretchKind.Repeated, k, from, to, times, FormattableString.Invariant($"Line {line.Id} was driven {times} times from {from:0} to {to:0} m")));
        }

        foreach (PassSamples pass in passes)
        {
            foreach ((double from, double to, double worst) in pass.OffLine(options))
            {
                (string found, string allowed) = Digits.Apart(worst, options.AllowedError, 2);
                told.Add(Stretch(DrivenStretchKind.OffLine, k, from, to, worst, FormattableString.Invariant(
                    $"Line {line.Id} was driven up to {found} m off for {to - from:0} m from {from:0} m on, more than the {allowed} m allowed")));
            }

            foreach ((double from, double to, double worst) in pass.TooSteep(options))
            {
                double planned = pass.PlannedGrade(from, to);
                (string found, string asked) = Digits.Apart(worst, options.MaximumGrade, 2, "0.##");
                bool asPlanned = planned > options.MaximumGrade && worst <= planned + SameGrade;
                told.Add(Stretch(asPlanned ? DrivenStretchKind.SteepAsPlanned : DrivenStretchKind.TooSteep, k, from, to, worst, FormattableString.Invariant(
                    $"Line {line.Id} fell up to {found} % for {to - from:0} m from {from:0} m on, steeper than the {asked} % asked for")
                    + (asPlanned ? FormattableString.Invariant($"; it is planned so, up to {planned:0.00} %") : "")));
            }
        }

        return new DrivenLine(
            line.Id, line.Sequence, length, drivenLength, repeated, passes.Length, errors.Length > 0 ? errors.Average() : double.NaN, PassSamples.RootMeanSquare(errors),
            errors.Length > 0 ? errors.Max(Math.Abs) : double.NaN, grades.Length > 0 ? grades.Max() : double.NaN, spacing.MedianOf(k));
    }

    private DrivenStretch Stretch(DrivenStretchKind kind, int line, double from, double to, double worst, string sentence) =>
        new(kind, lines[line].Id, from, to, worst, index.Stretch(line, from, to), sentence + ".");

    // The line in stretches by how often each was driven.
    private static IEnumerable<(double From, double To, int Times)> Cover(PassSamples[] passes, double length)
    {
        (double At, int Change)[] turns = [.. passes.SelectMany(p => new[] { (p.From, 1), (p.To, -1) }).Append((length, 0)).OrderBy(t => t.Item1).ThenByDescending(t => t.Item2)];
        double from = 0;
        int times = 0;
        foreach ((double at, int change) in turns)
        {
            if (at > from)
            {
                yield return (from, at, times);
                from = at;
            }

            times += change;
        }
    }

    // A tractor that swings onto a line or off it runs along it for some metres, far off: that is still the turn.
    private (int From, int To) WithoutTurns(PlannedPlace?[] places, int from, int to)
    {
        double[] sizes = [.. Enumerable.Range(from, to - from).Select(i => Math.Abs(places[i]!.Value.Right)).Order()];
        double usual = Quantiles.Median(sizes) + options.AllowedError;
        int first = from, last = to;
        while (first < Math.Min(from + LongestSwing, to) && Math.Abs(places[first]!.Value.Right) > usual)
        {
            first++;
        }

        while (last > Math.Max(to - LongestSwing, first) && Math.Abs(places[last - 1]!.Value.Right) > usual)
        {
            last--;
        }

        return (first, last);
    }

    // A way that runs over a line at a narrow angle is within its reach for a while and does not follow it.
    private bool Crosses(PlannedPlace?[] places, int from, int to, double run)
    {
        int middle = (from + to) / 2;
        return Math.Abs(Median(middle, to) - Median(from, middle)) > (CrossingSlope * run / 2) + (options.AllowedError / 3);

        double Median(int a, int b) => Quantiles.Median([.. Enumerable.Range(a, b - a).Select(i => places[i]!.Value.Right).Order()]);
    }

    private bool Same(PlannedPlace? a, PlannedPlace? b) => a is { } p && b is { } q
        ? p.Line == q.Line && p.Sense == q.Sense && Math.Abs(q.Station - p.Station) <= options.LeastStretch
        : a is null && b is null;

    private void Loose(TrackSamples track, int from, int to)
    {
        if (to - from > 1)
        {
            _elsewhere.Add(GeometryFactory.Default.CreateLineString([.. Enumerable.Range(from, to - from).Select(i => new CoordinateZ(track.At[i].X, track.At[i].Y, track.Height[i]))]));
        }
    }
}
