using Keyline.Elevation;
using Keyline.Planar;

namespace Keyline.Check;

/// <summary>How far apart lines stand.</summary>
/// <remarks>
/// <para>Units: metres. Left and right apart, to whatever line lies next there (<see cref="LineIndex"/>), within three spacings.
/// A side counts where a line lies within a spacing and a quarter, or where the ground a spacing off is workable; where the
/// workable ground is not known, where any line is within reach.</para>
/// </remarks>
internal sealed class LineNeighbours
{
    private const double SampleStep = 4.0;
    private const double Reach = 3.0;
    private const double FirstReach = 1.5;
    private const double Beside = 1.25;
    private const double TooCloseShare = 0.5;
    private const double GuideTolerance = 0.02;
    private const double Close = 0.1;
    private const double Fair = 0.25;
    private const double BareFrom = 1.5;
    private const double LongOff = 20.0;

    private const int OffKey = 1;
    private const int BareKey = 2;

    public double MedianSpacing { get; private init; } = double.NaN;

    /// <summary>Share (0 to 1) of the length whose neighbour of the same guide is within 2 % of the spacing.</summary>
    public double WithinShare { get; private init; } = double.NaN;

    /// <summary>5th and 95th percentile of the distance to the neighbour of the same guide, metres.</summary>
    public (double Low, double High) SpacingRange { get; private init; } = (double.NaN, double.NaN);

    /// <summary>Shares (0 to 1) of the length, side by side, whose next line is within 10 % and within 25 % of the spacing.</summary>
    public (double Close, double Fair) NextWithin { get; private init; } = (double.NaN, double.NaN);

    /// <summary>Median distance to the next line on the left and on the right, metres; NaN where there is none.</summary>
    public required (double Left, double Right)[] Sides { get; init; }

    /// <summary>Findings of each line.</summary>
    public required IReadOnlyList<LayoutFinding>[] Findings { get; init; }

    /// <summary>Measures lines against each other; nothing where no spacing is asked for.</summary>
    /// <param name="lines">The lines.</param>
    /// <param name="index">The same lines.</param>
    /// <param name="limits">The spacing, and how long a line must be to have its place.</param>
    /// <param name="isWorkable">Whether a line may run at a place; null where that is not known.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static LineNeighbours Measure(IReadOnlyList<CheckedLine> lines, LineIndex index, LineLimits limits, Func<XY, bool>? isWorkable, CancellationToken cancellationToken)
    {
        IReadOnlyList<LayoutFinding>[] findings = new IReadOnlyList<LayoutFinding>[lines.Count];
        (double Left, double Right)[] sides = new (double, double)[lines.Count];
        Array.Fill(findings, []);
        Array.Fill(sides, (double.NaN, double.NaN));
        if (double.IsNaN(limits.Spacing))
        {
            return new LineNeighbours { Sides = sides, Findings = findings };
        }

        OneLine[] measured = new OneLine[lines.Count];
        Parallel.For(0, lines.Count, WorkThreads.Options(cancellationToken), i =>
        {
            measured[i] = new OneLine(lines[i].Id, i, index, limits, isWorkable);
            findings[i] = measured[i].Findings;
            sides[i] = (Median(measured[i].Left), Median(measured[i].Right));
        });

        double[] guide = [.. measured.SelectMany(m => m.SameGuide).Order()];
        double judged = measured.Sum(m => m.Judged);
        return new LineNeighbours
        {
            MedianSpacing = Quantiles.Median(guide),
            WithinShare = guide.Length > 0 ? (double)guide.Count(d => Math.Abs(d - limits.Spacing) <= GuideTolerance * limits.Spacing) / guide.Length : double.NaN,
            SpacingRange = (Quantiles.Of(guide, 0.05), Quantiles.Of(guide, 0.95)),
            NextWithin = judged > 0 ? (measured.Sum(m => m.WithinClose) / judged, measured.Sum(m => m.WithinFair) / judged) : (double.NaN, double.NaN),
            Sides = sides,
            Findings = findings,
        };
    }

    private static double Median(double[] gaps) => Quantiles.Median([.. gaps.Where(double.IsFinite).Order()]);

    /// <summary>One line among the others, sampled in the middle of even steps.</summary>
    private sealed class OneLine
    {
        private readonly string _id;
        private readonly int _line;
        private readonly double _spacing;
        private readonly double _leastLength;
        private readonly LinePath _path;
        private readonly double _step;
        private readonly List<LayoutFinding> _findings = [];

        public OneLine(string id, int line, LineIndex index, LineLimits limits, Func<XY, bool>? isWorkable)
        {
            _id = id;
            _line = line;
            _spacing = limits.Spacing;
            _leastLength = limits.MinimumLength;
            LinePath whole = index.Paths[line];
            double length = whole.Length();
            int steps = Math.Max(1, (int)Math.Round(length / SampleStep));
            _step = length / steps;
            _path = whole.Resample(_step / 2);
            Left = new double[steps];
            Right = new double[steps];
            (int[] leftLine, int[] rightLine) = (new int[steps], new int[steps]);
            (int[] leftKeys, int[] rightKeys) = (new int[steps], new int[steps]);
            List<double> same = [];
            List<int> near = [];
            double[] any = new double[steps];
            for (int k = 0; k < steps; k++)
            {
                XY p = At(k);
                XY direction = _path.Tangent(Sample(k));
                double station = (k + 0.5) * _step;
                NextLines next = index.Around(line, station, p, direction, FirstReach * _spacing, near);
                if (double.IsInfinity(next.Left) || double.IsInfinity(next.Right))
                {
                    NextLines far = index.Around(line, station, p, direction, Reach * _spacing, near);
                    next = next with { Left = far.Left, Right = far.Right, LeftLine = far.LeftLine, RightLine = far.RightLine };
                }

                (Left[k], Right[k], leftLine[k], rightLine[k]) = (next.Left, next.Right, next.LeftLine, next.RightLine);
                leftKeys[k] = Judge(next.Left, p + (direction.Left * _spacing), isWorkable);
                rightKeys[k] = Judge(next.Right, p - (direction.Left * _spacing), isWorkable);
                if (double.IsFinite(next.SameGuide))
                {
                    same.Add(next.SameGuide);
                }

                any[k] = next.Any;
            }

            SameGuide = same;
            FindClose(any);
            FindOff(leftKeys, Left, leftLine, true);
            FindOff(rightKeys, Right, rightLine, false);
        }

        /// <summary>Distance to the next line on the left at each sample, metres; infinite where none is within reach.</summary>
        public double[] Left { get; }

        public double[] Right { get; }

        public IReadOnlyList<double> SameGuide { get; }

        /// <summary>Length whose side is judged, metres, each side for itself.</summary>
        public double Judged { get; private set; }

        public double WithinClose { get; private set; }

        public double WithinFair { get; private set; }

        public IReadOnlyList<LayoutFinding> Findings => _findings;

        private static int Sample(int step) => (2 * step) + 1;

        private XY At(int step) => _path.At(Sample(step));

        // Counts one side of a sample, and tells whether it is off the spacing or bare.
        private int Judge(double gap, XY beside, Func<XY, bool>? isWorkable)
        {
            if (gap > Beside * _spacing && !(isWorkable?.Invoke(beside) ?? double.IsFinite(gap)))
            {
                return 0;
            }

            double off = Math.Abs(gap - _spacing) / _spacing;
            Judged += _step;
            WithinClose += off <= Close ? _step : 0;
            WithinFair += off <= Fair ? _step : 0;
            return off <= Close ? 0 : gap > BareFrom * _spacing ? BareKey : OffKey;
        }

        private void FindClose(double[] any)
        {
            double least = TooCloseShare * _spacing;
            foreach ((int Start, int Count, int Key) run in SampleRuns.Of([.. any.Select(d => d < least ? 1 : 0)], _path.Closed))
            {
                int worst = SampleRuns.Worst(run, any.Length, k => least - any[k]);
                Find(FindingKind.TooClose, At(worst), FormattableString.Invariant($"Line {_id} comes within {any[worst]:F2} m of another, less than half the spacing of {_spacing:F2} m."), any[worst], least, run.Count * _step);
            }
        }

        private void FindOff(int[] keys, double[] gaps, int[] neighbours, bool left)
        {
            string side = left ? "left" : "right";
            foreach ((int start, int count, _) in SampleRuns.Of([.. keys.Select(k => k == 0 ? 0 : 1)], _path.Closed))
            {
                int[] run = [.. Enumerable.Range(start, count).Select(k => k % keys.Length)];
                double length = count * _step;
                double bare = run.Count(k => keys[k] == BareKey) * _step;
                bool outermost = run.All(k => double.IsInfinity(gaps[k]));
                if (length <= (outermost ? Math.Max(LongOff, _leastLength) : LongOff) || IsToldByNeighbour(run, neighbours))
                {
                    continue;
                }

                double worst = run.Select(k => gaps[k]).MaxBy(g => Math.Abs(g - _spacing));
                XY middle = At(run[count / 2]);
                if (bare <= LongOff)
                {
                    string far = double.IsInfinity(worst) ? FormattableString.Invariant($"more than {Reach * _spacing:F2}") : FormattableString.Invariant($"{(worst < _spacing ? "as near as" : "as far as")} {worst:F2}");
                    Find(FindingKind.SpacingOff, middle, FormattableString.Invariant($"Line {_id} runs {far} m from the next line on its {side}, along {length:F0} m, where {_spacing:F2} m was asked for."), worst, _spacing, length, left);
                }
                else if (double.IsInfinity(worst))
                {
                    Find(FindingKind.BareStrip, middle, FormattableString.Invariant($"Line {_id} has no line within {Reach * _spacing:F2} m on its {side} in places along {length:F0} m, where the ground can be worked and {_spacing:F2} m was asked for."), worst, BareFrom * _spacing, length, left);
                }
                else
                {
                    Find(FindingKind.BareStrip, middle, FormattableString.Invariant($"Line {_id} leaves a bare strip of up to {worst:F2} m to the next line on its {side}, along {length:F0} m, where {_spacing:F2} m was asked for."), worst, BareFrom * _spacing, length, left);
                }
            }
        }

        // What lies between two lines alone is told once, by the first of them.
        private bool IsToldByNeighbour(int[] run, int[] neighbours) =>
            neighbours[run[0]] >= 0 && neighbours[run[0]] < _line && Array.TrueForAll(run, k => neighbours[k] == neighbours[run[0]]);

        private void Find(FindingKind kind, XY at, string sentence, double value, double limit, double length, bool? left = null) =>
            _findings.Add(new LayoutFinding(kind, _id, at.X, at.Y, sentence) { Value = value, Limit = limit, Length = length, IsOnLeft = left });
    }
}
