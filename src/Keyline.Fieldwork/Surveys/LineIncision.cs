using Keyline.Elevation;
using MathNet.Numerics.Distributions;
using NetTopologySuite.Geometries;
using NetTopologySuite.LinearReferencing;

namespace Keyline.Fieldwork;

/// <summary>A stretch of a line where the ground went down by more than can be nothing: a rill in the making, or a slot that settled.</summary>
/// <param name="Line">Id of the line.</param>
/// <param name="From">Where it begins, metres along the line.</param>
/// <param name="To">Where it ends.</param>
/// <param name="MeanDepth">How far down on average, metres, as a mean over cells: a rill narrower than a cell is deeper.</param>
/// <param name="GreatestDepth">How far down at most, metres.</param>
/// <param name="Volume">Earth gone from a strip one cell wide, cubic metres.</param>
/// <param name="Shape">The stretch.</param>
public sealed record CutStretch(string Line, double From, double To, double MeanDepth, double GreatestDepth, double Volume, LineString Shape);

/// <summary>Finds where lines are being cut: stretches of lowering beyond the level of detection.</summary>
/// <remarks>
/// <para>Units: metres. Missing: ground without heights ends a stretch. Promises: every stretch is at least as long as asked for and lower throughout but for gaps of two cells; deepest first, then by line. Its mean is so far down that noise alone would bring as much on any of the lines once in twenty surveys, at a confidence of 95 % and where cells err each on its own; a survey whose errors hang together errs oftener.</para>
/// <para>Cost: a look every half cell along the lines.</para>
/// <para>Source: ours, on the level of detection of <see cref="SurveyChange"/>.</para>
/// </remarks>
public static class LineIncision
{
    /// <summary>Shortest stretch that is told, metres: a judgement.</summary>
    public const double LeastLength = 3;

    private const int LeastCells = 3;

    // In half cells.
    private const int MostGap = 4;

    /// <summary>Finds them.</summary>
    /// <param name="change">What changed.</param>
    /// <param name="lines">The lines.</param>
    /// <param name="leastLength">Shortest stretch that is told, metres; three cells at least.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static IReadOnlyList<CutStretch> Of(SurveyChange change, IReadOnlyList<WorkLine> lines, double leastLength = LeastLength, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(change);
        ArgumentNullException.ThrowIfNull(lines);
        GridFrame f = change.Change.Frame;
        double step = f.CellSize / 2, least = Math.Max(leastLength, LeastCells * f.CellSize);

        // Cells in a row all below the level come from noise too, along kilometres of lines: what is told must be rare among all of their cells (Bonferroni).
        double alpha = 2 * (1 - Normal.CDF(0, 1, change.Noise > 0 ? change.DetectionLevel / change.Noise : 0)), cells = Math.Max(1, lines.Sum(l => l.Line.Length) / f.CellSize);
        double rare = change.Noise > 0 ? Normal.InvCDF(0, 1, 1 - (alpha / cells)) * change.Noise : 0;
        List<CutStretch> found = [];
        foreach (WorkLine line in lines)
        {
            cancellationToken.ThrowIfCancellationRequested();
            LengthIndexedLine along = new(line.Line);
            double length = line.Line.Length;
            int count = (int)Math.Floor(length / step) + 1;
            double[] depth = new double[count];
            for (int k = 0; k < count; k++)
            {
                Coordinate at = along.ExtractPoint(k * step);
                int cell = f.IndexAt(at.X, at.Y);
                depth[k] = cell < 0 ? double.NaN : -change.Change.Values[cell];
            }

            for (int k = 0; k < count; k++)
            {
                if (!(depth[k] > change.DetectionLevel))
                {
                    continue;
                }

                int last = k, sum = 0;
                double total = 0, greatest = 0;
                for (int j = k; j < count && j - last <= MostGap && !double.IsNaN(depth[j]); j++)
                {
                    last = depth[j] > change.DetectionLevel ? j : last;
                }

                for (int j = k; j <= last; j++)
                {
                    (total, greatest, sum) = (total + depth[j], Math.Max(greatest, depth[j]), sum + 1);
                }

                double from = k * step, to = last * step;
                if (to - from >= least && total / sum * Math.Sqrt((sum + 1) / 2) >= rare)
                {
                    found.Add(new CutStretch(line.Id, from, to, total / sum, greatest, total / sum * (to - from) * f.CellSize, (LineString)along.ExtractLine(from, to)));
                }

                k = last;
            }
        }

        return [.. found.OrderByDescending(s => s.GreatestDepth).ThenBy(s => s.Line, StringComparer.Ordinal).ThenBy(s => s.From)];
    }
}
