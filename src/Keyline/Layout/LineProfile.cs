using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>Grade, drift and turning along one line.</summary>
internal sealed class LineProfile
{
    private const double SampleStep = 2.0;
    private const double CurvatureArm = 4.0;
    private const double WorthReporting = 1.25;

    public required LineMeasures Measures { get; init; }

    /// <summary>Absolute grades along the line, percent, one a sample.</summary>
    public required IReadOnlyList<double> Grades { get; init; }

    /// <summary>Length that turns tighter than asked for, metres.</summary>
    public required double TightLength { get; init; }

    public required IReadOnlyList<LayoutFinding> Findings { get; init; }

    public static LineProfile Measure(CheckedLine line, ElevationGrid ground, Grid<float>? position, LayoutOptions options)
    {
        LinePath path = Sample(line.Line);
        int n = path.Count;
        double step = n > 1 ? path.Length() / (n - 1) : 0;
        double[] z = new double[n];
        double[] place = new double[n];
        for (int i = 0; i < n; i++)
        {
            z[i] = ground.HeightAt(path.Points[i].X, path.Points[i].Y);
            place[i] = position is null ? double.NaN : GridSampling.Bilinear(position.Array, position.Frame, path.Points[i].X, path.Points[i].Y);
        }

        List<LayoutFinding> findings = [];
        int missing = Array.FindIndex(z, double.IsNaN);
        if (missing >= 0)
        {
            findings.Add(new LayoutFinding(FindingKind.OverMissingGround, line.Id, path.Points[missing].X, path.Points[missing].Y, $"Line {line.Id} runs over missing ground, where nothing can be measured."));
        }

        int width = Math.Max(1, Math.Min(n - 1, (int)Math.Round(LayoutCheck.GradeBase / Math.Max(step, 1e-9))));
        List<double> grades = [];
        int drifting = 0;
        int judged = 0;
        int toRidge = 0;
        int within = 0;
        int run = 0;
        double runWorst = 0;
        XY runAt = default;
        bool reported = false;
        for (int i = 0; i + width < n; i++)
        {
            double grade = (z[i + width] - z[i]) / (width * step) * 100;
            if (double.IsNaN(grade))
            {
                continue;
            }

            double steep = Math.Abs(grade);
            grades.Add(steep);
            within += steep <= options.MaximumGrade ? 1 : 0;
            if (steep > LayoutCheck.LevelGrade)
            {
                drifting++;
                double climb = place[i + width] - place[i];
                if (!double.IsNaN(climb) && climb != 0)
                {
                    judged++;
                    toRidge += grade * climb < 0 ? 1 : 0;
                }
            }

            if (steep > WorthReporting * options.MaximumGrade)
            {
                run++;
                if (steep > runWorst)
                {
                    (runWorst, runAt) = (steep, path.Points[i + (width / 2)]);
                }
            }
            else
            {
                reported |= Report(run);
                (run, runWorst) = (0, 0);
            }
        }

        reported |= Report(run);
        (double tight, double radius, XY tightAt) = Turns(path, step, options.MinimumRadius);
        if (tight > CurvatureArm)
        {
            findings.Add(new LayoutFinding(FindingKind.TurnTooTight, line.Id, tightAt.X, tightAt.Y, FormattableString.Invariant($"Line {line.Id} turns on a radius of {radius:F1} m, tighter than the {options.MinimumRadius:F1} m asked for.")));
        }

        double length = line.Line.Length;
        if (length < options.MinimumLength - 0.01)
        {
            findings.Add(new LayoutFinding(FindingKind.TooShort, line.Id, path.Points[0].X, path.Points[0].Y, FormattableString.Invariant($"Line {line.Id} is {length:F1} m long, shorter than the {options.MinimumLength:F1} m asked for.")));
        }

        return new LineProfile
        {
            Grades = grades,
            TightLength = tight,
            Findings = findings,
            Measures = new LineMeasures
            {
                Length = length,
                MaximumGrade = grades.Count > 0 ? grades.Max() : double.NaN,
                MeanGrade = grades.Count > 0 ? grades.Average() : double.NaN,
                WithinGradeShare = grades.Count > 0 ? (double)within / grades.Count : 0,
                ToRidgeShare = judged > 0 ? (double)toRidge / judged : double.NaN,
                DriftingLength = grades.Count > 0 ? length * drifting / grades.Count : 0,
                MinimumRadius = radius,
            },
        };

        bool Report(int samples)
        {
            if (reported || samples * step < LayoutCheck.GradeBase)
            {
                return false;
            }

            findings.Add(new LayoutFinding(FindingKind.TooSteepAlongLine, line.Id, runAt.X, runAt.Y, FormattableString.Invariant($"Line {line.Id} falls {runWorst:F1} % along it for {samples * step:F0} m, steeper than the {options.MaximumGrade:F1} % asked for.")));
            return true;
        }
    }

    private static (double Tight, double Radius, XY At) Turns(LinePath path, double step, double minimumRadius)
    {
        int arm = Math.Max(1, (int)Math.Round(CurvatureArm / Math.Max(step, 1e-9)));
        double most = 0;
        double tight = 0;
        XY at = default;
        for (int i = 0; i < path.Count; i++)
        {
            double k = Math.Abs(path.Curvature(i, arm));
            tight += k * minimumRadius > 1.02 ? step : 0;
            if (k > most)
            {
                (most, at) = (k, path.Points[i]);
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
}
