using Keyline.Elevation;

namespace Keyline.Landform;

/// <summary>Takes away lines that are too short, too faint, or beside a larger one with no ground between.</summary>
/// <remarks>
/// <para>Units: metres. Missing: missing ground between two lines keeps them apart.</para>
/// <para>Promises: a line that another kept line joins is kept; of two lines side by side the one with more ground stays.</para>
/// <para>Cost: a little for each line; the nearness test looks only at cells close by.</para>
/// <para>Source: own.</para>
/// </remarks>
internal static class LinePruning
{
    /// <summary>A line must be plainly a valley over this part of the least length.</summary>
    private const double EvidenceShare = 0.6;

    /// <summary>Lines nearer than this many times the scale of shape need higher ground between them.</summary>
    private const double NearScales = 3;

    /// <summary>Height of that ground above the straight way across, in units of the least depth.</summary>
    private const double BetweenDepths = 2;

    /// <summary>The lines kept, in the order given.</summary>
    /// <param name="ground">The surface whose valleys the lines are.</param>
    /// <param name="stems">All lines.</param>
    /// <param name="strict">Cells that are plainly valley.</param>
    /// <param name="options">What counts.</param>
    public static List<Stem> Keep(ElevationGrid ground, List<Stem> stems, bool[] strict, LandformOptions options)
    {
        int[] joined = new int[stems.Count];
        foreach (Stem s in stems)
        {
            if (s.Joins >= 0)
            {
                joined[s.Joins]++;
            }
        }

        bool[] gone = new bool[stems.Count];
        void Drop(Stem s)
        {
            gone[s.Id] = true;
            if (s.Joins >= 0)
            {
                joined[s.Joins]--;
            }
        }

        // A line has more ground than any that joins it, so one pass from the smallest meets every line after its own.
        Stem[] rising = [.. stems.OrderBy(s => s.Area).ThenBy(s => s.Id)];
        foreach (Stem s in rising)
        {
            if (joined[s.Id] == 0 && !IsPlain(ground.Frame, s, strict, options))
            {
                Drop(s);
            }
        }

        int[] taken = new int[strict.Length];
        foreach (Stem s in rising.Reverse())
        {
            if (!gone[s.Id])
            {
                if (joined[s.Id] == 0 && Apart(ground, s, taken, strict, options) < EvidenceShare * options.MinimumLength)
                {
                    Drop(s);
                    continue;
                }

                for (int i = 0; i < s.OwnCells; i++)
                {
                    taken[s.Cells[i]] = s.Id + 1;
                }
            }
        }

        return stems.FindAll(s => !gone[s.Id]);
    }

    private static bool IsPlain(GridFrame f, Stem stem, bool[] strict, LandformOptions options)
    {
        double length = 0;
        double evident = 0;
        for (int i = 0; i < stem.Cells.Count - 1; i++)
        {
            double step = Step(f, stem.Cells[i], stem.Cells[i + 1]);
            length += step;
            evident += strict[stem.Cells[i]] ? step : 0;
        }

        return length >= options.MinimumLength && evident >= EvidenceShare * options.MinimumLength;
    }

    /// <summary>Length of a line that is plainly valley and has ground between it and every line taken before.</summary>
    private static double Apart(ElevationGrid ground, Stem stem, int[] taken, bool[] strict, LandformOptions options)
    {
        double apart = 0;
        for (int i = 0; i < stem.Cells.Count - 1; i++)
        {
            if (strict[stem.Cells[i]] && StandsApart(ground, stem.Cells[i], taken, options))
            {
                apart += Step(ground.Frame, stem.Cells[i], stem.Cells[i + 1]);
            }
        }

        return apart;
    }

    private static double Step(GridFrame f, int a, int b) =>
        f.CellSize * (a / f.Columns != b / f.Columns && a % f.Columns != b % f.Columns ? Math.Sqrt(2) : 1);

    private static bool StandsApart(ElevationGrid ground, int cell, int[] taken, LandformOptions options)
    {
        GridFrame f = ground.Frame;
        int reach = (int)Math.Round(NearScales * options.ShapeScale / f.CellSize);
        int row = cell / f.Columns;
        int column = cell % f.Columns;
        int nearest = (reach * reach) + 1;
        int other = -1;
        for (int r = Math.Max(0, row - reach); r <= Math.Min(f.Rows - 1, row + reach); r++)
        {
            for (int c = Math.Max(0, column - reach); c <= Math.Min(f.Columns - 1, column + reach); c++)
            {
                int d = ((r - row) * (r - row)) + ((c - column) * (c - column));
                if (d < nearest && taken[(r * f.Columns) + c] != 0)
                {
                    nearest = d;
                    other = (r * f.Columns) + c;
                }
            }
        }

        return other < 0 || Between(ground, cell, other) >= BetweenDepths * options.MinimumDepth;
    }

    /// <summary>Greatest height of the ground above the straight way from one cell to another.</summary>
    private static double Between(ElevationGrid ground, int from, int to)
    {
        GridFrame f = ground.Frame;
        float[] z = ground.Array;
        int row = from / f.Columns;
        int column = from % f.Columns;
        int down = (to / f.Columns) - row;
        int right = (to % f.Columns) - column;
        int steps = Math.Max(Math.Abs(down), Math.Abs(right));
        double greatest = 0;
        for (int i = 1; i < steps; i++)
        {
            double t = i / (double)steps;
            int at = ((row + (int)Math.Round(t * down)) * f.Columns) + column + (int)Math.Round(t * right);
            double above = float.IsNaN(z[at]) ? double.PositiveInfinity : z[at] - (z[from] + (t * (z[to] - (double)z[from])));
            greatest = Math.Max(greatest, above);
        }

        return greatest;
    }
}
