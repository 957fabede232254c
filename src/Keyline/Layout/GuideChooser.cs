using Keyline.Elevation;

namespace Keyline.Layout;

/// <summary>A strip of the field between two levels, filled with parallels of one guide.</summary>
/// <param name="Guide">Index of the guide's level.</param>
/// <param name="Low">Index of the lower bounding level.</param>
/// <param name="High">Index of the upper bounding level.</param>
/// <param name="MaximumOffset">Greatest distance in the band from the guide, metres.</param>
internal sealed record GuideBand(int Guide, int Low, int High, double MaximumOffset)
{
    public GuideSide Side => Guide == Low ? GuideSide.Upslope : GuideSide.Downslope;
}

/// <summary>Chooses guides and the side to work from each, as a shortest path through candidate levels.</summary>
/// <remarks>
/// <para>Units: every cost is square metres of spoilt ground, so that the terms can be added.</para>
/// <para>A band from level i to level j can be filled upward from guide i or downward from guide j; where an upward band
/// meets a downward one there is no guide at the seam. Promises: the cheapest chain of bands from the lowest to the highest
/// level over the candidates given, under the costs below; ties go to the fewer, lower levels.</para>
/// <para>Cost: one distance transform a level, then sums; levels squared times the length of a level for the line ends.</para>
/// <para>Source: ours; shortest path on an ordered set by dynamic programming, Bellman 1957.</para>
/// </remarks>
internal sealed class GuideChooser
{
    /// <summary>Spoilt square metres for each square metre whose line is far beyond the grade limit.</summary>
    private const double PriceOfSteepLine = 8;

    /// <summary>Spoilt square metres for each square metre whose line falls toward the valley by the design fall.</summary>
    private const double PriceOfWrongDrift = 2.5;

    /// <summary>Spoilt square metres for each square metre where neighbouring lines bend tighter than the radius.</summary>
    private const double PriceOfCorner = 5;

    /// <summary>Spoilt square metres for each square metre that no parallel reaches.</summary>
    private const double PriceOfBareGround = 3;

    /// <summary>Spoilt square metres for a line that ends inside the field.</summary>
    private const double PriceOfLineEnd = 220;

    /// <summary>Spoilt square metres for a further guide.</summary>
    private const double PriceOfGuide = 600;

    private const double LeastReferenceFall = 0.3;

    private readonly LayoutSurface _surface;
    private readonly DesignSurface _design;
    private readonly IReadOnlyList<GuideLevel> _levels;
    private readonly LayoutOptions _options;
    private readonly GridFrame _frame;
    private readonly int _stride;
    private readonly int[] _work;
    private readonly int[] _bin;
    private readonly XY[] _gradient;
    private readonly XY[] _toRidge;
    private readonly double[] _call;

    private GuideChooser(LayoutSurface surface, DesignSurface design, IReadOnlyList<GuideLevel> levels, bool[] workable, LayoutOptions options)
    {
        _surface = surface;
        _design = design;
        _levels = levels;
        _options = options;
        _stride = Math.Max(1, (int)Math.Round(options.Spacing / LayoutSurface.CellSize));
        GridFrame fine = surface.Frame;
        int rows = Math.Max(fine.Rows / _stride, 1);
        int columns = Math.Max(fine.Columns / _stride, 1);
        double cell = fine.CellSize * _stride;
        int half = _stride / 2;

        // Coarse cell (r, c) stands on the centre of fine cell (r * stride + half, c * stride + half).
        _frame = new GridFrame(rows, columns, cell, fine.CentreX(half) - (cell / 2), fine.CentreY(half) + (cell / 2));
        List<int> work = [];
        _bin = new int[rows * columns];
        _gradient = new XY[rows * columns];
        _toRidge = new XY[rows * columns];
        _call = new double[rows * columns];
        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < columns; c++)
            {
                int fineRow = Math.Min((r * _stride) + half, fine.Rows - 1);
                int fineColumn = Math.Min((c * _stride) + half, fine.Columns - 1);
                int at = (fineRow * fine.Columns) + fineColumn;
                int i = (r * columns) + c;
                _bin[i] = -1;
                if (!workable[at])
                {
                    continue;
                }

                work.Add(i);
                _bin[i] = BinOf(design.Levels[at]);
                _gradient[i] = surface.Gradient(fineRow, fineColumn);
                _toRidge[i] = LayoutSurface.Gradient(design.Walked, fine, fineRow, fineColumn);
                _call[i] = design.Call[at];
            }
        }

        _work = [.. work];
    }

    /// <summary>Chooses the bands.</summary>
    /// <param name="surface">Working window.</param>
    /// <param name="design">Surface whose level lines are the guides.</param>
    /// <param name="levels">Candidates, rising. The first and last bound the field and need no lines.</param>
    /// <param name="workable">Cells of the window to be laid out.</param>
    /// <param name="options">Limits.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static IReadOnlyList<GuideBand> Choose(LayoutSurface surface, DesignSurface design, IReadOnlyList<GuideLevel> levels, bool[] workable, LayoutOptions options, CancellationToken cancellationToken)
    {
        GuideChooser chooser = new(surface, design, levels, workable, options);
        int n = levels.Count;
        double[][] cost = new double[n][];
        double[][] reach = new double[n][];
        double[][] ends = new double[n][];
        Parallel.For(0, n, new ParallelOptions { CancellationToken = cancellationToken }, i => (cost[i], reach[i], ends[i]) = chooser.Price(i));
        return ShortestChain(cost, reach, ends);
    }

    private int BinOf(double level)
    {
        int low = 0;
        int high = _levels.Count - 1;
        while (high - low > 1)
        {
            int middle = (low + high) / 2;
            if (_levels[middle].Level <= level)
            {
                low = middle;
            }
            else
            {
                high = middle;
            }
        }

        return low;
    }

    // For one guide: cost and greatest distance of each bin of ground between neighbouring levels, and line ends at each level.
    private (double[] Cost, double[] Reach, double[] Ends) Price(int guide)
    {
        int n = _levels.Count;
        double[] cost = new double[n];
        double[] reach = new double[n];
        double[] ends = new double[n];
        if (_levels[guide].Pieces.Count == 0)
        {
            Array.Fill(cost, double.PositiveInfinity);
            return (cost, reach, ends);
        }

        NearestSegments nearest = NearestSegments.Compute(_frame, _levels[guide].Pieces);
        double area = _frame.CellArea;
        double fall = Math.Max(_options.DesignFall, LeastReferenceFall) / 100;
        double limit = _options.MaximumGrade / 100;
        double mostTurn = Math.Cos(Math.Min(_frame.CellSize / Math.Max(_options.MinimumRadius, 0.1), 1.4));
        foreach (int cell in _work)
        {
            XY along = nearest.Direction(cell).Unit();
            double grade = _gradient[cell].Dot(along);
            double over = (Math.Abs(grade) / limit) - 0.9;
            double price = over > 0 ? Math.Min(PriceOfSteepLine, 1 + (over * 6)) : 0;
            double toRidge = -grade * Math.Sign(along.Dot(_toRidge[cell])) / fall;
            price += PriceOfWrongDrift * _call[cell] * Math.Clamp(0.5 - (0.5 * toRidge), 0, 1);
            price += PriceOfCorner * Corners(nearest, cell, along, mostTurn);
            price += nearest.IsBeyondEnd(cell) ? PriceOfBareGround : 0;
            int bin = _bin[cell];
            cost[bin] += price * area;
            reach[bin] = Math.Max(reach[bin], nearest.Distance(cell));
        }

        for (int j = 0; j < n; j++)
        {
            ends[j] = j == guide ? 0 : LineEnds(nearest, j);
        }

        return (cost, reach, ends);
    }

    private double Corners(NearestSegments nearest, int cell, XY along, double mostTurn)
    {
        int columns = _frame.Columns;
        double found = 0;
        if (cell + 1 < _bin.Length && (cell + 1) % columns != 0 && _bin[cell + 1] >= 0 && along.Dot(nearest.Direction(cell + 1).Unit()) < mostTurn)
        {
            found += 0.5;
        }

        if (cell + columns < _bin.Length && _bin[cell + columns] >= 0 && along.Dot(nearest.Direction(cell + columns).Unit()) < mostTurn)
        {
            found += 0.5;
        }

        return found;
    }

    // Lines that run out where the band meets another level: the change of distance along that level, in spacings.
    private double LineEnds(NearestSegments nearest, int level)
    {
        double ends = 0;
        foreach (LinePath piece in _levels[level].Pieces)
        {
            double last = double.NaN;
            for (int i = 0; i < piece.Count; i += 3)
            {
                int r = (int)Math.Round(_frame.RowAt(piece.Points[i].Y));
                int c = (int)Math.Round(_frame.ColumnAt(piece.Points[i].X));
                if (!_frame.Contains(r, c) || _bin[(r * _frame.Columns) + c] < 0)
                {
                    last = double.NaN;
                    continue;
                }

                double d = nearest.Distance((r * _frame.Columns) + c);
                if (double.IsNaN(last))
                {
                    last = d;
                }
                else if (Math.Abs(d - last) > _options.Spacing)
                {
                    ends += Math.Abs(d - last) / _options.Spacing;
                    last = d;
                }
            }
        }

        return ends * PriceOfLineEnd;
    }

    private static List<GuideBand> ShortestChain(double[][] cost, double[][] reach, double[][] ends)
    {
        int n = cost.Length;

        // State 2 j: the chain ends at level j, no guide there yet. State 2 j + 1: level j is a guide already paid for.
        double[] best = new double[2 * n];
        int[] from = new int[2 * n];
        Array.Fill(best, double.PositiveInfinity);
        Array.Fill(from, -1);
        best[0] = 0;
        for (int i = 0; i < n; i++)
        {
            for (int guided = 0; guided < 2; guided++)
            {
                double here = best[(2 * i) + guided];
                if (double.IsInfinity(here))
                {
                    continue;
                }

                double up = here + (guided == 1 ? 0 : PriceOfGuide);
                for (int j = i + 1; j < n; j++)
                {
                    up += cost[i][j - 1];
                    Relax(up + ends[i][j], 2 * j, (2 * i) + guided);
                    double down = here + PriceOfGuide + ends[j][i];
                    for (int b = i; b < j; b++)
                    {
                        down += cost[j][b];
                    }

                    Relax(down, (2 * j) + 1, (2 * i) + guided);
                }
            }
        }

        int state = best[2 * (n - 1)] <= best[(2 * (n - 1)) + 1] ? 2 * (n - 1) : (2 * (n - 1)) + 1;
        List<GuideBand> bands = [];
        while (from[state] >= 0)
        {
            int previous = from[state];
            int low = previous / 2;
            int high = state / 2;
            int guide = state % 2 == 1 ? high : low;
            double most = 0;
            for (int b = low; b < high; b++)
            {
                most = Math.Max(most, reach[guide][b]);
            }

            bands.Add(new GuideBand(guide, low, high, most));
            state = previous;
        }

        bands.Reverse();
        return bands;

        void Relax(double value, int to, int origin)
        {
            if (value < best[to])
            {
                best[to] = value;
                from[to] = origin;
            }
        }
    }
}
