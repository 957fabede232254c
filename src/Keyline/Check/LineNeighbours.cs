using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Check;

/// <summary>How lines stand to each other: spacing, closeness, crossings.</summary>
internal sealed class LineNeighbours
{
    private const double SampleStep = 4.0;
    private const double TooCloseShare = 0.5;
    private const double SpacingTolerance = 0.02;
    private const double SpacingOff = 0.1;
    private const double LongOff = 20.0;

    public required double MedianSpacing { get; init; }

    public required double WithinShare { get; init; }

    public required int Crossings { get; init; }

    /// <summary>5th and 95th percentile of the distance to the neighbour of the same guide, metres.</summary>
    public required (double Low, double High) SpacingRange { get; init; }

    /// <summary>Median distance to the next line on the left and on the right, metres; NaN where there is none.</summary>
    public required (double Left, double Right)[] Sides { get; init; }

    /// <summary>Findings of each line.</summary>
    public required IReadOnlyList<LayoutFinding>[] Findings { get; init; }

    public static LineNeighbours Measure(IReadOnlyList<CheckedLine> lines, double spacing, CancellationToken cancellationToken)
    {
        SegmentBins index = new(Extent(lines), Math.Max(spacing, 2));
        LinePath[] paths = new LinePath[lines.Count];
        Dictionary<string, int> guides = [];
        int[] guide = new int[lines.Count];
        for (int i = 0; i < lines.Count; i++)
        {
            paths[i] = new LinePath([.. lines[i].Line.Coordinates.Select(c => new XY(c.X, c.Y))], false);
            index.Add(paths[i], i);
            if (!guides.TryGetValue(lines[i].GuideId, out guide[i]))
            {
                guides[lines[i].GuideId] = guide[i] = guides.Count;
            }
        }

        IReadOnlyList<LayoutFinding>[] findings = new IReadOnlyList<LayoutFinding>[lines.Count];
        List<double>[] spacings = new List<double>[lines.Count];
        (double Left, double Right)[] sides = new (double, double)[lines.Count];
        Parallel.For(0, lines.Count, WorkThreads.Options(cancellationToken), i =>
        {
            spacings[i] = [];
            List<LayoutFinding> found = [];
            double closest = TooCloseShare * spacing;
            XY closeAt = default;
            bool close = false;
            List<double> left = [];
            List<double> right = [];
            (double Length, double Worst, XY At) off = default;
            (double Length, double Worst, XY At) longestOff = default;
            LinePath samples = paths[i].Resample(SampleStep);
            for (int k = 0; k < samples.Count; k++)
            {
                XY p = samples.Points[k];
                (double any, double same, double toLeft, double toRight) = index.Nearest(p, samples.Tangent(k), 1.5 * spacing, i, guide);
                if (!double.IsInfinity(same))
                {
                    spacings[i].Add(same);
                }

                Keep(left, toLeft);
                Keep(right, toRight);
                bool isOff = !double.IsInfinity(same) && Math.Abs(same - spacing) > SpacingOff * spacing;
                off = !isOff ? default : off.Length == 0 || Math.Abs(same - spacing) > Math.Abs(off.Worst - spacing) ? (off.Length + SampleStep, same, p) : (off.Length + SampleStep, off.Worst, off.At);
                longestOff = off.Length > longestOff.Length ? off : longestOff;

                if (any < closest)
                {
                    (closest, closeAt, close) = (any, p, true);
                }
            }

            if (close)
            {
                found.Add(new LayoutFinding(FindingKind.TooClose, lines[i].Id, closeAt.X, closeAt.Y, FormattableString.Invariant($"Line {lines[i].Id} comes within {closest:F2} m of another, less than half the spacing of {spacing:F2} m.")));
            }

            if (longestOff.Length > LongOff)
            {
                found.Add(new LayoutFinding(FindingKind.SpacingOff, lines[i].Id, longestOff.At.X, longestOff.At.Y, FormattableString.Invariant($"Line {lines[i].Id} runs {longestOff.Worst:F2} m from the next line of its guide, along {longestOff.Length:F0} m, where {spacing:F2} m was asked for.")));
            }

            sides[i] = (Median(left), Median(right));
            findings[i] = found;
        });

        int crossings = Crossing(lines, paths, index, findings);
        double[] all = [.. spacings.SelectMany(s => s).Order()];
        int within = all.Count(d => Math.Abs(d - spacing) <= SpacingTolerance * spacing);
        return new LineNeighbours
        {
            MedianSpacing = all.Length > 0 ? all[all.Length / 2] : double.NaN,
            WithinShare = all.Length > 0 ? (double)within / all.Length : double.NaN,
            Crossings = crossings,
            SpacingRange = all.Length > 0 ? (all[all.Length / 20], all[(int)(0.95 * (all.Length - 1))]) : (double.NaN, double.NaN),
            Sides = sides,
            Findings = findings,
        };
    }

    private static void Keep(List<double> values, double value)
    {
        if (!double.IsInfinity(value))
        {
            values.Add(value);
        }
    }

    private static double Median(List<double> values)
    {
        values.Sort();
        return values.Count > 0 ? values[values.Count / 2] : double.NaN;
    }

    /// <summary>The box around all lines; a box at the origin where there are none.</summary>
    internal static Envelope Extent(IReadOnlyList<CheckedLine> lines)
    {
        Envelope box = new();
        foreach (CheckedLine line in lines)
        {
            box.ExpandToInclude(line.Line.EnvelopeInternal);
        }

        return box.IsNull ? new Envelope(0, 1, 0, 1) : box;
    }

    private static int Crossing(IReadOnlyList<CheckedLine> lines, LinePath[] paths, SegmentBins index, IReadOnlyList<LayoutFinding>[] findings)
    {
        int count = 0;
        for (int i = 0; i < lines.Count; i++)
        {
            List<LayoutFinding> found = [.. findings[i]];
            if (!lines[i].Line.IsSimple)
            {
                count++;
                Coordinate start = lines[i].Line.Coordinate;
                found.Add(new LayoutFinding(FindingKind.LinesCross, lines[i].Id, start.X, start.Y, $"Line {lines[i].Id} crosses itself."));
            }

            SortedDictionary<int, Coordinate> met = [];
            for (int k = 0; k < paths[i].SegmentCount; k++)
            {
                foreach ((int owner, Coordinate at) in index.Meeting(paths[i].Points[k], paths[i].End(k), i))
                {
                    met.TryAdd(owner, at);
                }
            }

            foreach ((int other, Coordinate at) in met)
            {
                count++;
                found.Add(new LayoutFinding(FindingKind.LinesCross, lines[i].Id, at.X, at.Y, $"Line {lines[i].Id} crosses or touches line {lines[other].Id}."));
            }

            findings[i] = found;
        }

        return count;
    }
}
