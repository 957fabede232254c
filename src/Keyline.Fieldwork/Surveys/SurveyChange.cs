using Keyline.Elevation;
using MathNet.Numerics.Distributions;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>How two surveys are compared.</summary>
/// <remarks>Units: metres.</remarks>
public sealed record SurveyChangeOptions
{
    /// <summary>The default of <see cref="Confidence"/>.</summary>
    public const double DefaultConfidence = 0.95;

    /// <summary>The default of <see cref="LineReach"/>.</summary>
    public const double DefaultLineReach = 3.048;

    /// <value>How sure a change must be to be told. Default 0.95.</value>
    public double Confidence { get; init; } = DefaultConfidence;

    /// <value>Standard error of a height of the first survey, metres; NaN where it is not known. Default NaN.</value>
    public double BeforeError { get; init; } = double.NaN;

    /// <value>The same of the second.</value>
    public double AfterError { get; init; } = double.NaN;

    /// <value>Ground nearer to a line than this was worked and tells no noise, metres. Default 3.048.</value>
    public double LineReach { get; init; } = DefaultLineReach;

    /// <summary>Checks every value.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A value nothing can be compared with.</exception>
    public void Validate()
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(Confidence, 0.5);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(Confidence, 1);
        ArgumentOutOfRangeException.ThrowIfNegative(double.IsNaN(BeforeError) ? 0 : BeforeError, nameof(BeforeError));
        ArgumentOutOfRangeException.ThrowIfNegative(double.IsNaN(AfterError) ? 0 : AfterError, nameof(AfterError));
        ArgumentOutOfRangeException.ThrowIfNegative(LineReach);
    }
}

/// <summary>Earth that moved between two surveys on ground that may have changed, over and above what noise alone makes it seem.</summary>
/// <param name="Volume">Cubic metres, 0 or more.</param>
/// <param name="Error">How far off that may be with the confidence asked for, where cells err each on its own, cubic metres.</param>
/// <param name="Area">Ground that changed by more than the level of detection, over and above as much as noise alone brings there, square metres.</param>
public sealed record MovedEarth(double Volume, double Error, double Area)
{
    /// <summary>Whether it is more than its error, so that earth can be said to have moved.</summary>
    public bool IsTold => Volume > Error;
}

/// <summary>What changed between two surveys of the same ground, beyond what their noise makes.</summary>
/// <remarks>
/// <para>Units: metres, above 0 where the ground was raised. Missing: NaN where either survey has no height. Promises: the shift that both surveys have in common on ground that was not worked is taken
/// off first; a change below the level of detection is never told, and of earth only what ground that did not change would not seem to have lost or gained as well
/// (of any ground one cell in twenty lies beyond a level of 95 %); same input, same bytes.</para>
/// <para>Cost: linear in cells, times the cells in reach of a line. Source: level of detection, t times the root of the sum of both errors squared, as J. M. Wheaton and others 2010, Earth Surface Processes and
/// Landforms 35, 136-156, equations 1 and 2, have it from J. Brasington and others 2003 and S. N. Lane and others 2003; noise of the differences on stable ground by their robust spread (Höhle and Höhle 2009).</para>
/// </remarks>
public sealed class SurveyChange
{
    // Fewer stable cells than this tell no noise: then all cells do. A judgement.
    private const int FewestStable = 200;

    private SurveyChange(Grid<float> change, SurveyShift shift, double noise, double level, int stableCells, bool isAll) =>
        (Change, Shift, Noise, DetectionLevel, StableCells, IsJudgedByAll) = (change, shift, noise, level, stableCells, isAll);

    /// <summary>Change of each cell of the first survey.</summary>
    public Grid<float> Change { get; }

    /// <summary>How the second survey lay on the first; taken off.</summary>
    public SurveyShift Shift { get; }

    /// <summary>Standard deviation of the differences where nothing changed.</summary>
    public double Noise { get; }

    /// <summary>The least change that is told.</summary>
    public double DetectionLevel { get; }

    /// <summary>Cells the noise was taken from.</summary>
    public int StableCells { get; }

    /// <summary>Whether there was too little ground that was not worked, so that all of it had to tell the noise.</summary>
    public bool IsJudgedByAll { get; }

    /// <summary>Earth that went.</summary>
    public required MovedEarth Lost { get; init; }

    /// <summary>Earth that came.</summary>
    public required MovedEarth Gained { get; init; }

    /// <summary>Compares.</summary>
    /// <param name="before">The first survey.</param>
    /// <param name="after">The second, on any frame in the same system.</param>
    /// <param name="lines">Lines that were worked.</param>
    /// <param name="stable">Ground that surely did not change, as a yard or a track; null for what lies out of reach of the lines.</param>
    /// <param name="options">How; null for the defaults.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">The surveys do not overlap, or lie more than three cells beside one another.</exception>
    public static SurveyChange Of(ElevationGrid before, ElevationGrid after, IReadOnlyList<WorkLine> lines, Geometry? stable = null, SurveyChangeOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        ArgumentNullException.ThrowIfNull(lines);
        options ??= new SurveyChangeOptions();
        options.Validate();
        GridFrame f = before.Frame;
        bool[] still = stable is null ? OutOfReach(f, lines, options.LineReach) : Inside(f, stable);
        for (int i = 0; i < still.Length; i++)
        {
            still[i] &= double.IsFinite(before.Heights[i]) && double.IsFinite(after.HeightAt(f.CentreX(i % f.Columns), f.CentreY(i / f.Columns)));
        }

        bool all = still.Count(s => s) < FewestStable;
        if (all)
        {
            Array.Fill(still, true);
        }

        SurveyShift shift = SurveyShift.Find(before, after, still, cancellationToken);
        if (shift.Sideways > 3 * f.CellSize)
        {
            throw new GroundDataException(FormattableString.Invariant($"The second survey lies {shift.Sideways:0.#} m beside the first: check that both are of the same ground and in the same system."));
        }

        float[] change = new float[f.CellCount];
        List<double> quiet = [];
        for (int row = 0; row < f.Rows; row++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            for (int column = 0; column < f.Columns; column++)
            {
                int i = (row * f.Columns) + column;
                change[i] = (float)(after.HeightAt(f.CentreX(column) + shift.East, f.CentreY(row) + shift.North) - shift.Up - before.Heights[i]);
                if (still[i] && float.IsFinite(change[i]))
                {
                    quiet.Add(change[i]);
                }
            }
        }

        if (quiet.Count == 0)
        {
            throw new GroundDataException("The two surveys have no ground in common: check that both are of the same field and in the same system.");
        }

        double middle = SurveyShift.Middle([.. quiet]), measured = SurveyShift.NormalSpread * SurveyShift.Middle([.. quiet.Select(q => Math.Abs(q - middle))]);
        double given = double.IsNaN(options.BeforeError + options.AfterError) ? 0 : Math.Sqrt((options.BeforeError * options.BeforeError) + (options.AfterError * options.AfterError));
        double noise = Math.Max(measured, given), t = Normal.InvCDF(0, 1, 0.5 + (options.Confidence / 2)), level = t * noise;
        return new SurveyChange(Grid.Copy<float>(f, change), shift, noise, level, quiet.Count, all)
        {
            Lost = Moved(change, all ? null : still, f, noise, t, -1),
            Gained = Moved(change, all ? null : still, f, noise, t, 1),
        };
    }

    // Sums over the ground that may have changed, less those that as much quiet ground has: the quiet ground's own, or without any a normal noise's.
    private static MovedEarth Moved(float[] change, bool[]? still, GridFrame frame, double noise, double t, int sign)
    {
        (long Cells, long Beyond, double Sum, double Squares) quiet = default, open = default;
        for (int i = 0; i < change.Length; i++)
        {
            if (float.IsFinite(change[i]))
            {
                double c = sign * (double)change[i], told = c > t * noise ? c : 0;
                ref (long Cells, long Beyond, double Sum, double Squares) side = ref (still?[i] ?? false ? ref quiet : ref open);
                side = (side.Cells + 1, side.Beyond + (told > 0 ? 1 : 0), side.Sum + told, side.Squares + (told * told));
            }
        }

        double density = Normal.PDF(0, 1, t), tail = 1 - Normal.CDF(0, 1, t), n = open.Cells;
        // Both the sum and what is expected of it scatter, the latter the more the less quiet ground there is.
        (double share, double mean, double square) = quiet.Cells > 0
            ? ((double)quiet.Beyond / quiet.Cells, quiet.Sum / quiet.Cells, quiet.Squares / quiet.Cells * (1 + (n / quiet.Cells)))
            : (tail, noise * density, noise * noise * ((t * density) + tail));
        double cells = Math.Max(0, open.Beyond - (n * share));
        return new MovedEarth(Math.Max(0, open.Sum - (n * mean)) * frame.CellArea, t * Math.Sqrt((n * square) + (cells * noise * noise)) * frame.CellArea, cells * frame.CellArea);
    }

    private static bool[] OutOfReach(GridFrame frame, IReadOnlyList<WorkLine> lines, double reach)
    {
        bool[] free = new bool[frame.CellCount];
        Array.Fill(free, true);
        int cells = (int)Math.Ceiling(reach / frame.CellSize);
        double most = reach * reach;
        foreach (WorkLine line in lines)
        {
            NetTopologySuite.LinearReferencing.LengthIndexedLine along = new(line.Line);
            double length = line.Line.Length;
            for (int k = 0; k <= (int)Math.Ceiling(length / frame.CellSize); k++)
            {
                Coordinate at = along.ExtractPoint(Math.Min(k * frame.CellSize, length));
                (int row, int column) = frame.CellAt(at.X, at.Y);
                for (int r = Math.Max(0, row - cells); r <= Math.Min(frame.Rows - 1, row + cells); r++)
                {
                    for (int c = Math.Max(0, column - cells); c <= Math.Min(frame.Columns - 1, column + cells); c++)
                    {
                        double dx = frame.CentreX(c) - at.X, dy = frame.CentreY(r) - at.Y;
                        if ((dx * dx) + (dy * dy) <= most)
                        {
                            free[(r * frame.Columns) + c] = false;
                        }
                    }
                }
            }
        }

        return free;
    }

    private static bool[] Inside(GridFrame frame, Geometry area)
    {
        bool[] inside = new bool[frame.CellCount];
        double[][] crossings = ScanLines.Crossings(area, frame.CentreY(frame.Rows - 1), frame.CellSize, frame.Rows);
        for (int row = 0; row < frame.Rows; row++)
        {
            double[] ends = crossings[frame.Rows - 1 - row];
            for (int column = 0; ends.Length > 0 && column < frame.Columns; column++)
            {
                inside[(row * frame.Columns) + column] = ends.Count(e => e <= frame.CentreX(column)) % 2 == 1;
            }
        }

        return inside;
    }
}
