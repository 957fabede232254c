using Keyline.Planar;

namespace Keyline.Check;

/// <summary>Grade, drift, side slope and turning along one line.</summary>
internal sealed class LineProfile
{
    private const double CurvatureArm = 4.0;
    private const double WorthReporting = 1.25;
    private const double LongOnSteepLand = 25.0;
    private const double PlainlySteeper = 1.1;
    private const double LongDriftToValley = 100.0;
    private const double MostlyToValley = 0.1;
    private const double LeastFall = 0.1;

    // A bend wider than this moves a tractor's track by under a millimetre over its own length: the line is straight.
    private const double StraightRadius = 10_000.0;

    private readonly SampledLine _line;
    private readonly string _id;
    private readonly CheckGround _ground;
    private readonly LineLimits _limits;
    private readonly List<LayoutFinding> _findings = [];

    private LineProfile(CheckedLine line, CheckGround ground, LineLimits limits)
    {
        _line = new SampledLine(line.Line, ground.Ground);
        _id = line.Id;
        _ground = ground;
        _limits = limits;
    }

    /// <summary>What was measured along a line.</summary>
    /// <param name="Measures">Its measures; those against other lines and the field are not yet there.</param>
    /// <param name="Grades">Absolute grades along it, percent, one a sample.</param>
    /// <param name="TightLength">Length that turns tighter than asked for, metres.</param>
    /// <param name="Judged">Samples on land gentle enough to be judged by the grade limit.</param>
    /// <param name="Within">How many of them are within it.</param>
    /// <param name="Findings">What breaks a limit.</param>
    public sealed record Result(LineMeasures Measures, IReadOnlyList<double> Grades, double TightLength, int Judged, int Within, IReadOnlyList<LayoutFinding> Findings);

    public static Result Measure(CheckedLine line, CheckGround ground, LineLimits limits) => new LineProfile(line, ground, limits).Measure(line.Line.Length);

    private Result Measure(double length)
    {
        FindMissing();
        double[] slope = new double[_line.Path.Count];
        double side = SideSlopes(slope);
        List<double> grades = [];
        double[] steepness = new double[_line.Windows];
        double[] limits = new double[_line.Windows];
        int[] steep = new int[_line.Windows];
        int[] sense = new int[_line.Windows];
        int drifting = 0;
        int toRidge = 0;
        int driftJudged = 0;
        int within = 0;
        int judged = 0;
        for (int i = 0; i < _line.Windows; i++)
        {
            double grade = _line.Grade(i);
            if (double.IsNaN(grade))
            {
                continue;
            }

            steepness[i] = Math.Abs(grade);
            grades.Add(steepness[i]);
            double land = slope[(i + (_line.Width / 2)) % slope.Length];
            limits[i] = LimitAt(land, Middle(i));
            if (!(land > _limits.MaximumSlope))
            {
                judged++;
                within += steepness[i] <= limits[i] ? 1 : 0;
            }

            if (steepness[i] > LineMeasures.LevelGrade)
            {
                drifting++;
                double climb = _ground.Position(_line.At(i + _line.Width)) - _ground.Position(_line.At(i));
                if (!double.IsNaN(climb) && climb != 0)
                {
                    driftJudged++;
                    toRidge += grade * climb < 0 ? 1 : 0;
                }
            }

            steep[i] = steepness[i] > WorthReporting * Math.Max(limits[i], LineMeasures.LevelGrade) ? 1 : 0;
            sense[i] = steepness[i] < LeastFall ? 0 : Math.Sign(grade);
        }

        FindSteep(steep, steepness, limits);
        double longestFall = Falls(sense, length);
        double driftLength = grades.Count > 0 ? length * drifting / grades.Count : 0;
        double ridgeShare = driftJudged > 0 ? (double)toRidge / driftJudged : double.NaN;
        (double tight, double radius) = Turns();
        FindWhole(length, driftLength, ridgeShare, grades);
        LineMeasures measures = new()
        {
            Length = length,
            MaximumGrade = grades.Count > 0 ? grades.Max() : double.NaN,
            MeanGrade = grades.Count > 0 ? grades.Average() : double.NaN,
            WithinGradeShare = judged > 0 ? (double)within / judged : grades.Count > 0 ? 1 : 0,
            ToRidgeShare = ridgeShare,
            DriftingLength = driftLength,
            MinimumRadius = radius,
            SteepestSideSlope = side,
            LongestFall = longestFall,
        };
        return new Result(measures, grades, tight, judged, within, [.. _findings, .. LineEndWater.Find(_id, _line, _ground, _limits)]);
    }

    private XY Middle(int window) => _line.At(window + (_line.Width / 2));

    // Where the land's slope is not known the rule's cap holds.
    private double LimitAt(double land, XY at) =>
        _limits.RowGrade is null ? _limits.MaximumGrade : _limits.GradeLimitAt(double.IsNaN(land) ? double.PositiveInfinity : land, _ground.OutletDistance(at));

    private void Find(FindingKind kind, XY at, string sentence, double value, double limit, double length) =>
        _findings.Add(new LayoutFinding(kind, _id, at.X, at.Y, sentence) { Value = value, Limit = limit, Length = length });

    private void FindMissing()
    {
        int[] missing = [.. _line.Heights.Select(z => double.IsNaN(z) ? 1 : 0)];
        foreach ((int start, int count, _) in SampleRuns.Of(missing, _line.Path.Closed))
        {
            double length = count * _line.Step;
            Find(FindingKind.OverMissingGround, _line.At(start), FormattableString.Invariant($"Line {_id} runs {length:F0} m over missing ground, where nothing can be measured."), double.NaN, double.NaN, length);
        }
    }

    private void FindSteep(int[] steep, double[] steepness, double[] limits)
    {
        foreach ((int Start, int Count, int Key) run in SampleRuns.Of(steep, _line.Path.Closed))
        {
            double length = run.Count * _line.Step;
            if (length < LineMeasures.GradeBase)
            {
                continue;
            }

            int worst = SampleRuns.Worst(run, steep.Length, i => steepness[i] - limits[i]);
            (string found, string asked) = Digits.Apart(steepness[worst], limits[worst], 1);
            Find(
                FindingKind.TooSteepAlongLine,
                Middle(worst),
                FormattableString.Invariant($"Line {_id} falls {found} % along it for {length:F0} m, steeper than the {asked} % asked for."),
                steepness[worst],
                limits[worst],
                length);
        }
    }

    // Returns the longest stretch that falls one way, metres.
    private double Falls(int[] sense, double length)
    {
        double longest = 0;
        foreach ((int start, int count, int way) in SampleRuns.Of(sense, _line.Path.Closed))
        {
            double fall = Math.Min((count + _line.Width - 1) * _line.Step, length);
            longest = Math.Max(longest, fall);
            int last = start + count - 1 + _line.Width;

            // An outlet at the lower end takes the water off.
            if (fall > _limits.CriticalLength && _ground.OutletDistance(_line.At(way > 0 ? start : last)) > CheckGround.OutletReach(_limits))
            {
                (string found, string asked) = Digits.Apart(fall, _limits.CriticalLength, 0);
                Find(
                    FindingKind.FallsTooFar,
                    _line.At((start + last) / 2),
                    $"Line {_id} falls one way for {found} m without an outlet, farther than the {asked} m asked for.",
                    fall,
                    _limits.CriticalLength,
                    fall);
            }
        }

        return longest;
    }

    // What the line is held to as a whole.
    private void FindWhole(double length, double driftLength, double ridgeShare, List<double> grades)
    {
        XY middle = _line.At(_line.Path.Count / 2);
        if (length < _limits.MinimumLength - 0.01)
        {
            (string found, string asked) = Digits.Apart(length, _limits.MinimumLength, 1);
            Find(FindingKind.TooShort, middle, $"Line {_id} is {found} m long, shorter than the {asked} m asked for.", length, _limits.MinimumLength, length);
        }

        if (driftLength >= LongDriftToValley && ridgeShare < MostlyToValley)
        {
            Find(FindingKind.DriftsToValley, middle, FormattableString.Invariant($"Line {_id} leads water toward the valley along {100 * (1 - ridgeShare):F0} % of the {driftLength:F0} m of it that drift."), 1 - ridgeShare, 1 - MostlyToValley, driftLength);
        }

        if (_limits.MinimumFall > 0 && grades.Count > 0 && grades.Max() < _limits.MinimumFall)
        {
            Find(FindingKind.TooLevel, middle, FormattableString.Invariant($"Line {_id} falls less than the {_limits.MinimumFall:0.##} % asked for along its whole course."), grades.Max(), _limits.MinimumFall, length);
        }
    }

    // Fills the land's slope at each sample, percent, and returns the steepest side slope, degrees.
    private double SideSlopes(double[] slope)
    {
        double[] tilt = new double[slope.Length];
        for (int i = 0; i < slope.Length; i++)
        {
            XY g = _ground.LandGradient(_line.At(i));
            slope[i] = 100 * g.Norm;
            tilt[i] = Math.Atan(Math.Abs(g.Dot(_line.Path.Tangent(i).Left))) * 180 / Math.PI;
        }

        int[] onSteep = [.. slope.Select(s => s > PlainlySteeper * _limits.MaximumSlope ? 1 : 0)];
        foreach ((int Start, int Count, int Key) run in SampleRuns.Of(onSteep, _line.Path.Closed))
        {
            double length = run.Count * _line.Step;
            if (length > LongOnSteepLand)
            {
                int worst = SampleRuns.Worst(run, slope.Length, i => slope[i]);
                (string found, string asked) = Digits.Apart(slope[worst], _limits.MaximumSlope, 0);
                Find(
                    FindingKind.OnSteepLand,
                    _line.At(worst),
                    FormattableString.Invariant($"Line {_id} runs {length:F0} m over land as steep as {found} %, above the {asked} % asked for."),
                    slope[worst],
                    _limits.MaximumSlope,
                    length);
            }
        }

        int[] tilted = [.. tilt.Select(t => t > _limits.MaximumSideSlope ? 1 : 0)];
        foreach ((int Start, int Count, int Key) run in SampleRuns.Of(tilted, _line.Path.Closed))
        {
            int worst = SampleRuns.Worst(run, tilt.Length, i => tilt[i]);
            (string found, string asked) = Digits.Apart(tilt[worst], _limits.MaximumSideSlope, 2, "0.##");
            Find(
                FindingKind.SideSlopeTooSteep,
                _line.At(worst),
                FormattableString.Invariant($"Line {_id} tilts the tractor {found} degrees sideways, above the {asked} degrees asked for."),
                tilt[worst],
                _limits.MaximumSideSlope,
                Math.Min(run.Count * _line.Step, _line.Path.Length()));
        }

        return tilt.Where(double.IsFinite).DefaultIfEmpty(double.NaN).Max();
    }

    private (double Tight, double Radius) Turns()
    {
        int arm = Math.Max(1, (int)Math.Round(CurvatureArm / Math.Max(_line.Step, 1e-9)));
        double most = 0;
        double tight = 0;
        XY at = default;
        for (int i = 0; i < _line.Path.Count; i++)
        {
            double k = Math.Abs(_line.Path.CurvatureAt(i, arm));
            tight += k * _limits.MinimumRadius > 1.02 ? _line.Step : 0;
            if (k > most)
            {
                (most, at) = (k, _line.At(i));
            }
        }

        double radius = most > 1 / StraightRadius ? 1 / most : double.PositiveInfinity;
        if (tight > CurvatureArm)
        {
            (string found, string asked) = Digits.Apart(radius, _limits.MinimumRadius, 1);
            Find(FindingKind.TurnTooTight, at, $"Line {_id} turns on a radius of {found} m, tighter than the {asked} m asked for.", radius, _limits.MinimumRadius, tight);
        }

        return (tight, radius);
    }
}
