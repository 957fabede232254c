using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>Heights whose unit a file does not state: taken as metres, told of, and doubted where metres make no farmland.</summary>
internal static class AssumedMetres
{
    /// <summary>What is said of every such file.</summary>
    public const string Note = "Heights are taken as metres: the file does not say.";

    // Common practice, no source: fields lie between the shores of the Dead Sea and the highest farmed plateaus, and land that is
    // worked falls by less than this on average. Heights in feet taken as metres are 3.28 times as high and as steep.
    private const double Lowest = -450;
    private const double Highest = 4500;
    private const double SteepestMean = 30;
    private const int SamplesAcross = 400;

    /// <summary>Adds the doubt to the notes of a file whose heights are taken as metres.</summary>
    public static void Doubt(ElevationGrid grid, List<string> notes)
    {
        int at = notes.IndexOf(Note);
        if (at < 0 || Implausible(grid) is not { } reason)
        {
            return;
        }

        notes[at] = $"Heights are taken as metres, the file does not say, and {reason}: if they are feet, say so with the unit of heights (ft or ftUS).";
    }

    private static string? Implausible(ElevationGrid grid)
    {
        GridFrame frame = grid.Frame;
        int step = Math.Max(1, Math.Max(frame.Rows, frame.Columns) / SamplesAcross);
        (double sum, long count, double low, double high) = (0, 0, double.PositiveInfinity, double.NegativeInfinity);
        for (int r = 0; r + 1 < frame.Rows; r += step)
        {
            ReadOnlySpan<float> here = grid.Row(r), below = grid.Row(r + 1);
            for (int c = 0; c + 1 < frame.Columns; c += step)
            {
                double east = here[c + 1] - here[c], south = below[c] - here[c], slope = Math.Sqrt((east * east) + (south * south)) / frame.CellSize;
                if (!double.IsNaN(slope))
                {
                    (sum, count, low, high) = (sum + slope, count + 1, Math.Min(low, here[c]), Math.Max(high, here[c]));
                }
            }
        }

        return count == 0 ? null
            : low < Lowest || high > Highest ? FormattableString.Invariant($"they run from {low:0} to {high:0}, where nobody farms")
            : 100 * sum / count > SteepestMean ? FormattableString.Invariant($"the land would fall by {100 * sum / count:0} % on average")
            : null;
    }
}
