using Keyline.Field;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Check;

/// <summary>Grade, drift, side slope and turning along one line.</summary>
internal sealed class LineProfile
{
    private const double SampleStep = 2.0;
    private const double CurvatureArm = 4.0;
    private const double WorthReporting = 1.25;
    private const double LongOnSteepLand = 25.0;
    private const double PlainlySteeper = 1.1;
    private const double LongDriftToValley = 100.0;
    private const double MostlyToValley = 0.1;
    private const double WetReach = 2.0;
    private const double LeastFall = 0.1;

    private readonly string _id;
    private readonly CheckGround _ground;
    private readonly LineLimits _limits;
    private readonly LinePath _path;
    private readonly double _step;
    private readonly double[] _z;
    private readonly List<LayoutFinding> _findings = [];

    private LineProfile(CheckedLine line, CheckGround ground, LineLimits limits)
    {
        _id = line.Id;
        _ground = ground;
        _limits = limits;
        _path = Sample(line.Line);
        _step = _path.Count > 1 ? _path.Length() / (_path.Count - 1) : 0;
        _z = [.. _path.Points.Select(p => ground.Ground.HeightAt(p.X, p.Y))];
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
        int missing = Array.FindIndex(_z, double.IsNaN);
        if (missing >= 0)
        {
            Find(FindingKind.OverMissingGround, _path.Points[missing], $"Line {_id} runs over missing ground, where nothing can be measured.");
        }

        double[] slope = new double[_path.Count];
        double side = SideSlopes(slope);
        int width = Math.Max(1, Math.Min(_path.Count - 1, (int)Math.Round(LineMeasures.GradeBase / Math.Max(_step, 1e-9))));
        List<double> grades = [];
        int drifting = 0;
        int toRidge = 0;
        int driftJudged = 0;
        int within = 0;
        int judged = 0;
        Run steep = default;
        Run fall = default;
        double longestFall = 0;
        XY fallAt = default;
        bool reported = false;
        for (int i = 0; i + width < _path.Count; i++)
        {
            double grade = (_z[i + width] - _z[i]) / (width * _step) * 100;
            if (double.IsNaN(grade))
            {
                continue;
            }

            XY middle = _path.Points[i + (width / 2)];
            double steepness = Math.Abs(grade);
            grades.Add(steepness);
            double land = slope[i + (width / 2)];
            double limit = _limits.RowGrade is null ? _limits.MaximumGrade : _limits.GradeLimitAt(double.IsNaN(land) ? 0 : land, _ground.OutletDistance(middle));
            if (!(land > _limits.MaximumSlope))
            {
                judged++;
                within += steepness <= limit ? 1 : 0;
            }

            if (steepness > LineMeasures.LevelGrade)
            {
                drifting++;
                double climb = _ground.Position(_path.Points[i + width]) - _ground.Position(_path.Points[i]);
                if (!double.IsNaN(climb) && climb != 0)
                {
                    driftJudged++;
                    toRidge += grade * climb < 0 ? 1 : 0;
                }
            }

            if (steepness > WorthReporting * Math.Max(limit, LineMeasures.LevelGrade))
            {
                steep = steep.And(steepness, middle);
            }
            else
            {
                reported |= ReportSteep(steep, limit, reported);
                steep = default;
            }

            int sense = steepness < LeastFall ? 0 : Math.Sign(grade);
            fall = sense == 0 ? default : sense == fall.Sign ? fall.And(steepness, middle) : new Run(1, steepness, middle, sense);
            if (fall.Count * _step > longestFall)
            {
                (longestFall, fallAt) = (fall.Count * _step, middle);
            }

            if (i + width + 1 >= _path.Count)
            {
                reported |= ReportSteep(steep, limit, reported);
            }
        }

        longestFall = grades.Count > 0 ? Math.Min(longestFall + ((width - 1) * _step), length) : 0;
        double driftLength = grades.Count > 0 ? length * drifting / grades.Count : 0;
        double ridgeShare = driftJudged > 0 ? (double)toRidge / driftJudged : double.NaN;
        (double tight, double radius, XY tightAt) = Turns();
        if (tight > CurvatureArm)
        {
            Find(FindingKind.TurnTooTight, tightAt, FormattableString.Invariant($"Line {_id} turns on a radius of {radius:F1} m, tighter than the {_limits.MinimumRadius:F1} m asked for."));
        }

        if (length < _limits.MinimumLength - 0.01)
        {
            Find(FindingKind.TooShort, _path.Points[0], FormattableString.Invariant($"Line {_id} is {length:F1} m long, shorter than the {_limits.MinimumLength:F1} m asked for."));
        }

        if (driftLength >= LongDriftToValley && ridgeShare < MostlyToValley)
        {
            Find(FindingKind.DriftsToValley, _path.Points[_path.Count / 2], FormattableString.Invariant($"Line {_id} leads water toward the valley along {100 * (1 - ridgeShare):F0} % of the {driftLength:F0} m of it that drift."));
        }

        if (longestFall > _limits.CriticalLength)
        {
            FindLongFall(longestFall, fallAt);
        }

        if (_limits.MinimumFall > 0 && grades.Count > 0 && grades.Max() < _limits.MinimumFall)
        {
            Find(FindingKind.TooLevel, _path.Points[_path.Count / 2], FormattableString.Invariant($"Line {_id} falls less than the {_limits.MinimumFall:0.##} % asked for along its whole course."));
        }

        FindWetEnds(width);
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
        return new Result(measures, grades, tight, judged, within, _findings);
    }

    private void Find(FindingKind kind, XY at, string sentence) => _findings.Add(new LayoutFinding(kind, _id, at.X, at.Y, sentence));

    private bool ReportSteep(Run run, double limit, bool reported)
    {
        if (reported || run.Count * _step < LineMeasures.GradeBase)
        {
            return false;
        }

        Find(FindingKind.TooSteepAlongLine, run.At, FormattableString.Invariant($"Line {_id} falls {run.Worst:F1} % along it for {run.Count * _step:F0} m, steeper than the {limit:F1} % asked for."));
        return true;
    }

    // Fills the land's slope at each sample, percent, and returns the steepest side slope, degrees.
    private double SideSlopes(double[] slope)
    {
        double most = double.NaN;
        XY mostAt = default;
        Run onSteep = default;
        Run longest = default;
        for (int i = 0; i < _path.Count; i++)
        {
            XY g = _ground.LandGradient(_path.Points[i]);
            slope[i] = 100 * g.Norm;
            double side = Math.Atan(Math.Abs(g.Dot(_path.Tangent(i).Left))) * 180 / Math.PI;
            if (side > most || (double.IsNaN(most) && !double.IsNaN(side)))
            {
                (most, mostAt) = (side, _path.Points[i]);
            }

            onSteep = slope[i] > PlainlySteeper * _limits.MaximumSlope ? onSteep.And(slope[i], _path.Points[i]) : default;
            longest = onSteep.Count > longest.Count ? onSteep : longest;
        }

        if (longest.Count * _step > LongOnSteepLand)
        {
            Find(FindingKind.OnSteepLand, longest.At, FormattableString.Invariant($"Line {_id} runs {longest.Count * _step:F0} m over land as steep as {longest.Worst:F0} %, above the {_limits.MaximumSlope:F0} % asked for."));
        }

        if (most > _limits.MaximumSideSlope)
        {
            Find(FindingKind.SideSlopeTooSteep, mostAt, FormattableString.Invariant($"Line {_id} tilts the tractor {most:F0} degrees sideways, above the {_limits.MaximumSideSlope:F0} degrees asked for."));
        }

        return most;
    }

    private void FindLongFall(double longest, XY at)
    {
        // An outlet at the line's lower end takes the water off.
        XY low = _z[0] < _z[^1] ? _path.Points[0] : _path.Points[^1];
        if (_ground.OutletDistance(low) > 2 * _limits.Spacing)
        {
            Find(FindingKind.FallsTooFar, at, FormattableString.Invariant($"Line {_id} falls one way for {longest:F0} m without an outlet, farther than the {_limits.CriticalLength:F0} m asked for."));
        }
    }

    private void FindWetEnds(int width)
    {
        if (_path.Count < 2)
        {
            return;
        }

        foreach (AvoidedArea wet in _ground.Wet)
        {
            for (int e = 0; e < 2; e++)
            {
                XY end = e == 0 ? _path.Points[0] : _path.Points[^1];
                double fall = e == 0 ? _z[width] - _z[0] : _z[^(width + 1)] - _z[^1];
                double near = wet.KeptClear.Distance(wet.Shape.Factory.CreatePoint(new Coordinate(end.X, end.Y)));
                if (near <= WetReach * _limits.Spacing && fall / (width * _step) * 100 > LineMeasures.LevelGrade)
                {
                    string name = wet.Name.Length > 0 ? wet.Name : "a wet or saline area";
                    Find(FindingKind.DrainsToWet, end, FormattableString.Invariant($"Line {_id} leads water to {name}, {near:F1} m from its setback."));
                    break;
                }
            }
        }
    }

    private (double Tight, double Radius, XY At) Turns()
    {
        int arm = Math.Max(1, (int)Math.Round(CurvatureArm / Math.Max(_step, 1e-9)));
        double most = 0;
        double tight = 0;
        XY at = default;
        for (int i = 0; i < _path.Count; i++)
        {
            double k = Math.Abs(_path.CurvatureAt(i, arm));
            tight += k * _limits.MinimumRadius > 1.02 ? _step : 0;
            if (k > most)
            {
                (most, at) = (k, _path.Points[i]);
            }
        }

        return (tight, most > 0 ? 1 / most : double.PositiveInfinity, at);
    }

    private static LinePath Sample(LineString line)
    {
        Coordinate[] at = line.Coordinates;
        XY[] points = new XY[at.Length];
        for (int i = 0; i < at.Length; i++)
        {
            points[i] = new XY(at[i].X, at[i].Y);
        }

        return new LinePath(points, false).Resample(SampleStep);
    }

    // Samples in a row with something in common.
    private readonly record struct Run(int Count, double Worst, XY At, int Sign)
    {
        public Run And(double value, XY at) => value > Worst || Count == 0 ? new Run(Count + 1, value, at, Sign) : this with { Count = Count + 1 };
    }
}
