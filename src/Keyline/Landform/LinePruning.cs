using Keyline.Drainage;
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
    /// <summary>A line must be plainly a valley over this part of the least length. Ours, no source, as are the bounds below.</summary>
    private const double EvidenceShare = 0.6;

    /// <summary>Lines nearer than this many times the scale of shape need higher ground between them.</summary>
    private const double NearScales = 3;

    /// <summary>Within this many times the scale of shape a line that runs to meet another has met it.</summary>
    private const double CloseScales = 1.6;

    /// <summary>Height of that ground above the straight way across, in units of the least depth.</summary>
    private const double BetweenDepths = 2;

    /// <summary>The lines kept, in the order given.</summary>
    /// <param name="ground">The surface whose valleys the lines are.</param>
    /// <param name="tree">Its drainage.</param>
    /// <param name="stems">All lines.</param>
    /// <param name="strict">Cells that are plainly valley.</param>
    /// <param name="shape">The shape of the ground the right way up.</param>
    /// <param name="sign">1 for valleys, -1 for ridges.</param>
    /// <param name="options">What counts.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static List<Stem> Keep(ElevationGrid ground, DrainageTree tree, List<Stem> stems, bool[] strict, GroundShape shape, int sign, LandformOptions options, CancellationToken cancellationToken)
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
            cancellationToken.ThrowIfCancellationRequested();
            if (joined[s.Id] == 0 && !IsPlain(ground.Frame, s, strict, options))
            {
                Drop(s);
            }
        }

        int[] owner = new int[strict.Length];
        List<Stem> carried = [];
        foreach (Stem s in rising.Reverse())
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (gone[s.Id])
            {
                continue;
            }

            int before = s.Joins;
            EndBeside(tree, s, stems, gone, owner, CloseScales * options.ShapeScale);
            if (s.Joins != before)
            {
                joined[s.Joins]++;
                if (before >= 0)
                {
                    joined[before]--;
                }
            }

            if (!IsPlain(ground.Frame, s, strict, options)
                || Apart(ground, s, owner, strict, shape, sign, options) < EvidenceShare * options.MinimumLength)
            {
                if (joined[s.Id] == 0)
                {
                    CreditOutflow(ground.Frame, s, stems, owner, (int)(NearScales * options.ShapeScale / ground.Frame.CellSize));
                    Drop(s);
                    continue;
                }

                carried.Add(s);
            }

            for (int i = 0; i < s.OwnCells; i++)
            {
                owner[s.Cells[i]] = s.Id + 1;
            }
        }

        // What stayed only for the sake of lines that joined it goes when none of them was kept.
        carried.Reverse();
        foreach (Stem s in carried.Where(s => joined[s.Id] == 0))
        {
            Drop(s);
        }

        return stems.FindAll(s => !gone[s.Id]);
    }

    /// <summary>Gives the ground of a dropped line that leaves the grid beside a kept one to that one: one floor, two paths.</summary>
    private static void CreditOutflow(GridFrame f, Stem dropped, List<Stem> stems, int[] owner, int reach)
    {
        int beside = dropped.Joins < 0 ? Nearest(f, dropped.Cells[^1], owner, reach) : -1;
        if (beside >= 0 && stems[owner[beside] - 1] is { Joins: < 0 } kept)
        {
            kept.Area += dropped.Area;
        }
    }

    /// <summary>Where the last stretch of a line runs close beside a larger line, ends it on that line where the stretch
    /// begins; but not above the foot of a line that joins it.</summary>
    private static void EndBeside(DrainageTree tree, Stem stem, List<Stem> stems, bool[] gone, int[] owner, double close)
    {
        GridFrame f = tree.Frame;
        int highest = 1;
        foreach (Stem t in stems)
        {
            if (t.Joins == stem.Id && !gone[t.Id])
            {
                highest = Math.Max(highest, stem.Cells.IndexOf(t.Cells[^1]) + 1);
            }
        }

        int reach = (int)(close / f.CellSize);
        int end = stem.OwnCells;
        int on = -1;
        for (int i = end - 1; i >= highest; i--)
        {
            int nearest = Nearest(f, stem.Cells[i], owner, reach);
            if (nearest < 0)
            {
                break;
            }

            (end, on) = (i, nearest);
        }

        if (on < 0)
        {
            return;
        }

        // It meets the larger line as far downstream as it is away from it, at about half a right angle.
        Stem larger = stems[owner[on] - 1];
        int at = larger.Cells.IndexOf(on);
        int ahead = (int)Math.Round(Distance(f, stem.Cells[end], on) / f.CellSize);
        if (stem.Joins < 0 && larger.Joins < 0)
        {
            larger.Area += stem.Area;
        }

        stem.Cells.RemoveRange(end, stem.Cells.Count - end);
        stem.Area = tree.Area[stem.Cells[^1]];
        stem.Cells.Add(larger.Cells[Math.Min(at + ahead, larger.OwnCells - 1)]);
        stem.Joins = larger.Id;
    }

    private static double Distance(GridFrame f, int a, int b)
    {
        double down = (a / f.Columns) - (b / f.Columns);
        double right = (a % f.Columns) - (b % f.Columns);
        return f.CellSize * Math.Sqrt((down * down) + (right * right));
    }

    /// <summary>The nearest cell of a line within reach, or -1.</summary>
    private static int Nearest(GridFrame f, int cell, int[] owner, int reach)
    {
        int row = cell / f.Columns;
        int column = cell % f.Columns;
        int nearest = (reach * reach) + 1;
        int other = -1;
        for (int r = Math.Max(0, row - reach); r <= Math.Min(f.Rows - 1, row + reach); r++)
        {
            for (int c = Math.Max(0, column - reach); c <= Math.Min(f.Columns - 1, column + reach); c++)
            {
                int d = ((r - row) * (r - row)) + ((c - column) * (c - column));
                if (d < nearest && owner[(r * f.Columns) + c] != 0)
                {
                    nearest = d;
                    other = (r * f.Columns) + c;
                }
            }
        }

        return other;
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
    private static double Apart(ElevationGrid ground, Stem stem, int[] owner, bool[] strict, GroundShape shape, int sign, LandformOptions options)
    {
        double apart = 0;
        for (int i = 0; i < stem.Cells.Count - 1; i++)
        {
            if (strict[stem.Cells[i]] && StandsApart(ground, stem.Cells[i], owner, shape, sign, options))
            {
                apart += Step(ground.Frame, stem.Cells[i], stem.Cells[i + 1]);
            }
        }

        return apart;
    }

    private static double Step(GridFrame f, int a, int b) =>
        f.CellSize * (a / f.Columns != b / f.Columns && a % f.Columns != b % f.Columns ? Math.Sqrt(2) : 1);

    private static bool StandsApart(ElevationGrid ground, int cell, int[] owner, GroundShape shape, int sign, LandformOptions options)
    {
        GridFrame f = ground.Frame;
        int reach = (int)Math.Round(NearScales * options.ShapeScale / f.CellSize);
        int other = Nearest(f, cell, owner, reach);
        return other < 0 || IsSpurBetween(ground, cell, other, shape, sign, BetweenDepths * options.MinimumDepth);
    }

    /// <summary>Whether the ground on the straight way from one cell to another bends the other way somewhere, and stands
    /// above that way.</summary>
    private static bool IsSpurBetween(ElevationGrid ground, int from, int to, GroundShape shape, int sign, double height)
    {
        GridFrame f = ground.Frame;
        float[] z = ground.Array;
        int row = from / f.Columns;
        int column = from % f.Columns;
        int down = (to / f.Columns) - row;
        int right = (to % f.Columns) - column;
        int steps = Math.Max(Math.Abs(down), Math.Abs(right));
        bool bends = false;
        bool stands = false;
        for (int i = 1; i < steps; i++)
        {
            double t = i / (double)steps;
            int at = ((row + (int)Math.Round(t * down)) * f.Columns) + column + (int)Math.Round(t * right);
            bool missing = float.IsNaN(z[at]);
            bends |= missing || sign * shape.ContourCurvature.Array[at] < 0;
            stands |= missing || z[at] - (z[from] + (t * (z[to] - (double)z[from]))) >= height;
        }

        return bends && stands;
    }
}
