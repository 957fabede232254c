using Keyline.Check;
using Keyline.Guidance;
using Keyline.Elevation;
using Keyline.Planar;
using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Implementation;

namespace Keyline.Driven;

/// <summary>The samples of one pass, with errors and grades.</summary>
/// <remarks>Units: metres, percent.</remarks>
internal sealed class PassSamples
{
    private const int GradeSamples = (int)(LineMeasures.GradeBase / TrackSamples.Step);
    private readonly double[] _stations;
    private readonly double[] _heights;
    private readonly double[] _plannedGrades;

    public PassSamples(TrackSamples track, PlannedPlace?[] places, int from, int to, PlannedIndex index, DrivenOptions options, ElevationGrid? ground)
    {
        PlannedPlace[] at = [.. places[from..to].Select(p => p!.Value)];
        Line = at[0].Line;
        Sense = at[0].Sense;
        At = track.At[from..to];
        Direction = track.Direction[from..to];
        _stations = Array.ConvertAll(at, p => p.Station);
        Errors = Array.ConvertAll(at, p => p.Sense * p.Right);
        From = Math.Max(0, _stations.Min());
        To = Math.Min(index.Lengths[Line], _stations.Max());

        // The first and last sample lie up to a step inside the line's ends.
        From = From < TrackSamples.Step ? 0 : From;
        To = index.Lengths[Line] - To < TrackSamples.Step ? index.Lengths[Line] : To;
        _heights = ground is null ? track.Height[from..to] : Array.ConvertAll(At, p => ground.HeightAt(p.X, p.Y));
        GradeAt = Slopes(_heights);
        _plannedGrades = Slopes(Array.ConvertAll(_stations, s => index.HeightAt(Line, s)));
    }

    public int Line { get; }

    public int Sense { get; }

    public double From { get; }

    public double To { get; }

    public XY[] At { get; }

    public XY[] Direction { get; }

    /// <summary>Station of a sample along the planned line.</summary>
    public double Station(int sample) => _stations[sample];

    /// <summary>Cross-track errors, positive to the right as driven.</summary>
    public double[] Errors { get; }

    /// <summary>Sizes of the grades that are known.</summary>
    public double[] Grades => Array.FindAll(GradeAt, g => !double.IsNaN(g));

    /// <summary>Sizes of the errors, in order.</summary>
    private double[] Sizes => [.. Errors.Select(Math.Abs).Order()];

    /// <summary>Median size of the errors.</summary>
    public double MedianSize => Quantiles.Median(Sizes);

    /// <summary>The way of the implement.</summary>
    public LineString Path
    {
        get
        {
            double[] packed = new double[3 * At.Length];
            for (int i = 0; i < At.Length; i++)
            {
                (packed[3 * i], packed[(3 * i) + 1], packed[(3 * i) + 2]) = (At[i].X, At[i].Y, _heights[i]);
            }

            return GeometryFactory.Default.CreateLineString(new PackedDoubleCoordinateSequence(packed, 3, 0));
        }
    }

    // By the sample the base begins at.
    private double[] GradeAt { get; }

    /// <summary>How much of a line samples cover.</summary>
    public static double Length(PlannedPlace?[] places, int from, int to)
    {
        double low = double.PositiveInfinity, high = double.NegativeInfinity;
        for (int i = from; i < to; i++)
        {
            (low, high) = (Math.Min(low, places[i]!.Value.Station), Math.Max(high, places[i]!.Value.Station));
        }

        return high - low;
    }

    public static double RootMeanSquare(double[] errors) => errors.Length > 0 ? Math.Sqrt(errors.Sum(e => e * e) / errors.Length) : double.NaN;

    /// <summary>Stretches farther off the line than allowed.</summary>
    public IEnumerable<(double From, double To, double Worst)> OffLine(DrivenOptions options) =>
        Runs(Errors.Length, i => Math.Abs(Errors[i]), options.AllowedError, options.LeastStretch, 0);

    /// <summary>Stretches steeper than allowed.</summary>
    public IEnumerable<(double From, double To, double Worst)> TooSteep(DrivenOptions options) =>
        Runs(GradeAt.Length, i => GradeAt[i], options.MaximumGrade, options.LeastStretch, GradeSamples);

    /// <summary>Steepest planned grade between two stations by the plan's own heights; NaN where it has none.</summary>
    public double PlannedGrade(double from, double to) => _plannedGrades
        .Where((g, i) => !double.IsNaN(g) && Math.Max(_stations[i], _stations[i + GradeSamples]) >= from && Math.Min(_stations[i], _stations[i + GradeSamples]) <= to)
        .DefaultIfEmpty(double.NaN).Max();

    /// <summary>The pass as it is given out.</summary>
    public DrivenPass Summed(string id, int number)
    {
        double[] sizes = Sizes, grades = Grades;
        return new DrivenPass
        {
            LineId = id,
            Number = number,
            IsReversed = Sense < 0,
            From = From,
            To = To,
            MeanError = Errors.Average(),
            RootMeanSquareError = RootMeanSquare(Errors),
            Error95 = Quantiles.Of(sizes, 0.95),
            GreatestError = sizes[^1],
            MeanGrade = grades.Length > 0 ? grades.Average() : double.NaN,
            MaximumGrade = grades.Length > 0 ? grades.Max() : double.NaN,
            PlannedMaximumGrade = PlannedGrade(double.NegativeInfinity, double.PositiveInfinity),
            Path = Path,
        };
    }

    private static double[] Slopes(double[] heights)
    {
        double[] grades = new double[Math.Max(0, heights.Length - GradeSamples)];
        for (int i = 0; i < grades.Length; i++)
        {
            grades[i] = Math.Abs(heights[i + GradeSamples] - heights[i]) / (GradeSamples * TrackSamples.Step) * 100;
        }

        return grades;
    }

    private IEnumerable<(double From, double To, double Worst)> Runs(int count, Func<int, double> value, double limit, double least, int reach)
    {
        int start = -1;
        double worst = 0;
        for (int i = 0; i <= count; i++)
        {
            if (i < count && value(i) > limit)
            {
                start = start < 0 ? i : start;
                worst = Math.Max(worst, value(i));
                continue;
            }

            if (start >= 0)
            {
                double a = _stations[start], b = _stations[Math.Min(i - 1 + reach, _stations.Length - 1)];
                if (Math.Abs(b - a) >= least)
                {
                    yield return (Math.Min(a, b), Math.Max(a, b), worst);
                }
            }

            (start, worst) = (-1, 0);
        }
    }
}
