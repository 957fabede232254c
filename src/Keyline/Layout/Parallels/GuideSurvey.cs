using Keyline.Elevation;
using Keyline.Planar;

namespace Keyline.Layout.Parallels;

/// <summary>For every candidate guide, what the parallels of it would be like on every strip of ground: how steep, which way
/// they drift, where they bend too tightly or do not reach, and where they end. Any number of plans can be priced from it.</summary>
/// <remarks>
/// <para>Units: square metres, weighted 0 to 1 by how bad it is; line ends are a count.</para>
/// <para>A line's direction on a cell is that of the nearest piece of the guide; its grade is the height gradient along it;
/// it drifts toward the ridge where height and position change opposite ways along it. Where position hardly
/// changes along the line, as on a plane or a cone, drift has little say.</para>
/// <para>Promises: the same figures on any number of cores.</para>
/// <para>Cost: one distance transform a level on cells about a spacing wide, then sums; levels squared times their length
/// for the line ends.</para>
/// <para>Source: ours.</para>
/// </remarks>
internal sealed class GuideSurvey
{
    private const double ReferenceFall = 0.8;
    private const double FirmPull = 0.0003;
    private const double VagueShare = 0.15;
    private const double NearLimit = 0.9;
    private const double SteepAtLimit = 0.125;
    private const double SteepGrowth = 0.75;

    // A guide that carries fewer lines than this, itself counted, costs up to twice as much.
    private const double LeastLines = 5;

    private readonly LayoutRaster _terrain;
    private readonly IReadOnlyList<CandidateGuide> _levels;
    private readonly LayoutOptions _options;
    private readonly GridFrame _frame;
    private readonly int[] _work;
    private readonly int[] _bin;
    private readonly XY[] _gradient;
    private readonly XY[] _toRidge;
    private readonly double[] _limit;
    private readonly Terms[] _terms;

    private GuideSurvey(LayoutRaster terrain, GuideSurface surface, IReadOnlyList<CandidateGuide> levels, bool[] workable, LayoutOptions options, Func<XY, double> outletDistance)
    {
        _terrain = terrain;
        _levels = levels;
        _options = options;
        _terms = new Terms[levels.Count];
        GridFrame fine = terrain.Frame;
        int stride = Math.Max(1, (int)Math.Round(options.Spacing / fine.CellSize));
        int rows = Math.Max(fine.Rows / stride, 1);
        int columns = Math.Max(fine.Columns / stride, 1);
        double cell = fine.CellSize * stride;
        int half = stride / 2;

        // Coarse cell (r, c) stands on the centre of fine cell (r * stride + half, c * stride + half).
        _frame = new GridFrame(rows, columns, cell, fine.CentreX(half) - (cell / 2), fine.CentreY(half) + (cell / 2));
        List<int> work = [];
        _bin = new int[rows * columns];
        _gradient = new XY[rows * columns];
        _toRidge = new XY[rows * columns];
        _limit = new double[rows * columns];
        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < columns; c++)
            {
                int fineRow = Math.Min((r * stride) + half, fine.Rows - 1);
                int fineColumn = Math.Min((c * stride) + half, fine.Columns - 1);
                int at = (fineRow * fine.Columns) + fineColumn;
                int i = (r * columns) + c;
                _bin[i] = -1;
                if (!workable[at])
                {
                    continue;
                }

                work.Add(i);
                _bin[i] = BinOf(surface.Levels[at]);
                _gradient[i] = terrain.Gradient(fineRow, fineColumn);
                _toRidge[i] = LayoutHeights.Gradient(terrain.Position, fine, fineRow, fineColumn);
                double outlet = options.RowGrade is null ? double.PositiveInfinity : outletDistance(new XY(_frame.CentreX(c), _frame.CentreY(r)));
                _limit[i] = Math.Max(options.Limits.GradeLimitAt(terrain.LandSlope[at], outlet), LeastLimit) / 100;
            }
        }

        _work = [.. work];
    }

    /// <summary>A rule that ties the limit to the land's slope would ask for perfect contours on level land; there a line may
    /// run this steep, percent.</summary>
    private const double LeastLimit = 0.2;

    /// <summary>Surveys the candidates.</summary>
    /// <param name="terrain">Working window.</param>
    /// <param name="surface">The surface whose level lines they are.</param>
    /// <param name="levels">Candidates, rising. The first and last bound the ground and need no lines.</param>
    /// <param name="workable">Cells of the window to be laid out.</param>
    /// <param name="options">Limits.</param>
    /// <param name="outletDistance">Distance from a place to the nearest stable outlet, metres.</param>
    /// <param name="stage">Told of each candidate surveyed, or null.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static GuideSurvey Make(LayoutRaster terrain, GuideSurface surface, IReadOnlyList<CandidateGuide> levels, bool[] workable, LayoutOptions options, Func<XY, double> outletDistance, StageProgress? stage, CancellationToken cancellationToken)
    {
        GuideSurvey survey = new(terrain, surface, levels, workable, options, outletDistance);
        Parallel.For(0, levels.Count, WorkThreads.Options(cancellationToken), i =>
        {
            survey._terms[i] = survey.Measure(i);
            stage?.Step();
        });
        return survey;
    }

    /// <summary>The best bands at given prices, and what they cost at the prices asked for.</summary>
    /// <param name="prices">What each shortcoming costs.</param>
    /// <param name="more">How many times dearer guides are than the prices say.</param>
    public (IReadOnlyList<GuideBand> Bands, LayoutCost Cost) Choose(LayoutPrices prices, double more = 1)
    {
        double[][] cost = new double[_terms.Length][];
        double[][] ends = new double[_terms.Length][];
        double[] guide = new double[_terms.Length];
        for (int i = 0; i < _terms.Length; i++)
        {
            Terms t = _terms[i];
            cost[i] = new double[_terms.Length];
            for (int b = 0; b < cost[i].Length; b++)
            {
                cost[i][b] = t.HasLines
                    ? (prices.SteepLine * t.Steep[b]) + (prices.WrongDrift * t.Drift[b]) + (prices.Corner * t.Corners[b]) + (prices.BareGround * t.Bare[b])
                    : double.PositiveInfinity;
            }

            ends[i] = [.. t.Ends.Select((e, j) => (e * prices.LineEnd) + (_levels[i].IsKeyline ? 0 : prices.Guide * more * TooFew(i, j)))];

            // A level through a keypoint is a guide the land itself offers.
            guide[i] = _levels[i].IsKeyline ? 0 : prices.Guide * more;
        }

        IReadOnlyList<(int Guide, int Low, int High)> steps = GuideChain.Shortest(cost, ends, guide, [.. _levels.Select((l, i) => l.IsKeyline && _terms[i].HasLines)]);
        return ([.. steps.Select(s => Band(s.Guide, s.Low, s.High))], Cost(steps, _options.Prices));
    }

    /// <summary>A band with the distance its lines have to reach.</summary>
    public GuideBand Band(int guide, int low, int high)
    {
        double most = 0;
        for (int b = low; b < high; b++)
        {
            most = Math.Max(most, _terms[guide].Reach[b]);
        }

        return new GuideBand(guide, low, high, most);
    }

    /// <summary>What bands cost, term by term.</summary>
    public LayoutCost Cost(IReadOnlyList<(int Guide, int Low, int High)> steps, LayoutPrices prices)
    {
        LayoutCost sum = LayoutCost.Nothing;
        foreach ((int guide, int low, int high) in steps)
        {
            Terms t = _terms[guide];
            for (int b = low; b < high; b++)
            {
                sum = sum.Plus(new LayoutCost(prices.SteepLine * t.Steep[b], prices.WrongDrift * t.Drift[b], prices.Corner * t.Corners[b], prices.BareGround * t.Bare[b], 0, 0));
            }

            sum = sum with { LineEnds = sum.LineEnds + (prices.LineEnd * t.Ends[guide == low ? high : low]) };
        }

        int guides = steps.Select(s => s.Guide).Distinct().Count(g => !_levels[g].IsKeyline);
        return sum with { Guides = guides * prices.Guide };
    }

    /// <summary>What keeps the parallels of one guide from the ground of a band that another has: the shortcoming that costs most more there.</summary>
    /// <param name="other">The guide that does not have it.</param>
    /// <param name="band">The band.</param>
    /// <param name="prices">What each shortcoming costs.</param>
    public GuideFailing Failing(int other, GuideBand band, LayoutPrices prices)
    {
        Terms there = _terms[other];
        Terms here = _terms[band.Guide];
        double[] more = new double[4];
        for (int b = band.Low; b < band.High; b++)
        {
            more[0] += prices.SteepLine * (there.Steep[b] - here.Steep[b]);
            more[1] += prices.WrongDrift * (there.Drift[b] - here.Drift[b]);
            more[2] += prices.Corner * (there.Corners[b] - here.Corners[b]);
            more[3] += prices.BareGround * (there.Bare[b] - here.Bare[b]);
        }

        int worst = Array.IndexOf(more, more.Max());
        return more[worst] > 0 ? (GuideFailing)worst : GuideFailing.LineEnds;
    }

    /// <summary>Share (0 to 1) of a strip's ground whose line from a guide would break the limit.</summary>
    public double SteepShare(int guide, int low, int high)
    {
        double over = 0;
        double all = 0;
        for (int b = low; b < high; b++)
        {
            over += _terms[guide].Over[b];
            all += _terms[guide].Area[b];
        }

        return all > 0 ? over / all : 0;
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

    private Terms Measure(int guide)
    {
        Terms t = new(_levels.Count) { HasLines = _levels[guide].Pieces.Count > 0 };
        if (!t.HasLines)
        {
            return t;
        }

        NearestSegments nearest = NearestSegments.Compute(_frame, _levels[guide].Pieces);
        double area = _frame.CellArea;
        double mostTurn = Math.Cos(Math.Min(_frame.CellSize / Math.Max(_options.MinimumRadius, 0.1), 1.4));
        foreach (int cell in _work)
        {
            int bin = _bin[cell];
            XY along = nearest.Direction(cell).Unit();
            double grade = _gradient[cell].Dot(along);
            double over = (Math.Abs(grade) / _limit[cell]) - NearLimit;
            t.Steep[bin] += over > 0 ? area * Math.Min(1, SteepAtLimit + (over * SteepGrowth)) : 0;
            t.Over[bin] += Math.Abs(grade) > _limit[cell] ? area : 0;
            t.Area[bin] += area;
            double climb = along.Dot(_toRidge[cell]);
            double vague = (FirmPull * FirmPull) + (VagueShare * VagueShare * _toRidge[cell].Dot(_toRidge[cell]));
            double firm = climb * climb / ((climb * climb) + vague);
            double toRidge = -grade * Math.Sign(climb) / (ReferenceFall / 100);
            t.Drift[bin] += area * firm * Math.Clamp(0.5 - (0.5 * toRidge), 0, 1);
            t.Corners[bin] += area * Corners(nearest, cell, along, mostTurn);
            t.Bare[bin] += nearest.IsBeyondEnd(cell) ? area : 0;
            t.Reach[bin] = Math.Max(t.Reach[bin], nearest.Distance(cell));
        }

        for (int j = 0; j < _levels.Count; j++)
        {
            t.Ends[j] = j == guide ? 0 : LineEnds(nearest, j);
        }

        return t;
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

    // How far a band falls short of half the lines that a guide should carry, 0 to 1; a guide has a band on either side.
    private double TooFew(int guide, int level)
    {
        double reach = 0;
        for (int b = Math.Min(guide, level); b < Math.Max(guide, level); b++)
        {
            reach = Math.Max(reach, _terms[guide].Reach[b]);
        }

        return Math.Max(0, 1 - (2 * reach / (LeastLines * _options.Spacing)));
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
                int cell = _frame.IndexAt(piece.Points[i].X, piece.Points[i].Y);
                if (cell < 0 || _bin[cell] < 0)
                {
                    last = double.NaN;
                    continue;
                }

                double d = nearest.Distance(cell);
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

        return ends;
    }

    private sealed class Terms(int levels)
    {
        public bool HasLines { get; init; }

        public double[] Steep { get; } = new double[levels];

        public double[] Drift { get; } = new double[levels];

        public double[] Corners { get; } = new double[levels];

        public double[] Bare { get; } = new double[levels];

        public double[] Over { get; } = new double[levels];

        public double[] Area { get; } = new double[levels];

        public double[] Reach { get; } = new double[levels];

        public double[] Ends { get; } = new double[levels];
    }
}
