using Keyline.Drainage;
using Keyline.Elevation;

namespace Keyline.Landform;

/// <summary>Finds the valley lines of a surface, as cells; on the surface turned upside down these are its ridges.</summary>
/// <remarks>
/// <para>Units: metres. Missing: no line passes a missing cell.</para>
/// <para>Promises: a forest: every stem runs down the drainage tree and ends at another stem, an outlet or the bottom of a
/// closed hollow; of two that meet, the one with more ground goes on. Lines start where the ground first closes in.</para>
/// <para>Cost: O(n) and a little for each stem.</para>
/// <para>Source: area and contour curvature together after Passalacqua et al. 2010 and Pelletier 2013; two thresholds, a
/// strict one to find a valley and a lax one to follow it up, after Canny 1986; orders after Strahler 1957.</para>
/// </remarks>
internal sealed class LineNetwork
{
    /// <summary>Above a head found strictly the line is followed while convergence is this part of the strict value.</summary>
    private const double FollowUpShare = 0.25;

    private readonly DrainageTree _tree;
    private readonly GroundShape _shape;
    private readonly float _sign;
    private readonly LandformOptions _options;
    private readonly bool[]? _relaxed;
    private readonly CancellationToken _cancellationToken;

    private LineNetwork(DrainageTree tree, GroundShape shape, float sign, LandformOptions options, bool[]? relaxed, CancellationToken cancellationToken)
    {
        _tree = tree;
        _shape = shape;
        _sign = sign;
        _options = options;
        _relaxed = relaxed;
        _cancellationToken = cancellationToken;
    }

    /// <summary>Finds the network.</summary>
    /// <param name="ground">The surface whose valleys are wanted.</param>
    /// <param name="tree">Its drainage.</param>
    /// <param name="shape">The shape of the ground the right way up.</param>
    /// <param name="sign">1 for valleys; -1 where the surface is upside down and the lines are ridges.</param>
    /// <param name="options">What counts.</param>
    /// <param name="relaxed">Cells where half the evidence is enough, or null.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static List<Stem> Find(ElevationGrid ground, DrainageTree tree, GroundShape shape, int sign, LandformOptions options, bool[]? relaxed, CancellationToken cancellationToken)
    {
        LineNetwork network = new(tree, shape, sign, options, relaxed, cancellationToken);
        bool[] strict = network.StrictCells();
        List<Stem> stems = LinePruning.Keep(ground, tree, network.Trace(strict), strict, shape, sign, options, cancellationToken);
        SetOrders(stems, cancellationToken);
        return stems;
    }

    /// <summary>Convergence of the ground at a cell: curvature of the contour times the root of the area gathered.</summary>
    private double Convergence(int cell) => _sign * _shape.ContourCurvature.Array[cell] * Math.Sqrt(_tree.Area[cell]);

    private double Depth(int cell) => _sign * _shape.AcrossCurvature.Array[cell] * (25.0 * 25.0 / 2);

    private bool[] StrictCells()
    {
        bool[] strict = new bool[_tree.Area.Length];
        for (int k = 0; k < _tree.Order.Length; k++)
        {
            _cancellationToken.ThrowIfCancellationRequested(k);
            int c = _tree.Order[k];
            double share = _relaxed is not null && _relaxed[c] ? 0.4 : 1;
            strict[c] = _tree.Area[c] >= share * _options.MinimumHeadArea
                && Depth(c) >= share * _options.MinimumDepth
                && Convergence(c) >= share * _options.MinimumConvergence;
        }

        return strict;
    }

    /// <summary>Whether a line may be followed upward through a cell.</summary>
    private bool StillConverges(int cell) =>
        _tree.Area[cell] >= 0.1 * _options.MinimumHeadArea
        && Depth(cell) >= FollowUpShare * _options.MinimumDepth
        && Convergence(cell) >= FollowUpShare * _options.MinimumConvergence;

    private List<Stem> Trace(bool[] strict)
    {
        int n = strict.Length;
        bool[] line = new bool[n];
        int[] main = new int[n];
        Array.Fill(main, -1);
        for (int k = 0; k < _tree.Order.Length; k++)
        {
            _cancellationToken.ThrowIfCancellationRequested(k);
            int c = _tree.Order[k];
            line[c] |= strict[c];
            int to = _tree.Downstream[c];
            if (to < 0)
            {
                continue;
            }

            if (line[c])
            {
                line[to] = true;
                Keep(main, to, c);
            }
        }

        int[] owner = new int[n];
        Array.Fill(owner, -1);
        List<Stem> stems = [];
        List<int> heads = [];
        for (int k = 0; k < _tree.Order.Length; k++)
        {
            _cancellationToken.ThrowIfCancellationRequested(k);
            int c = _tree.Order[k];
            if (line[c] && main[c] < 0)
            {
                heads.Add(c);
            }
        }

        foreach (int head in heads)
        {
            _cancellationToken.ThrowIfCancellationRequested();
            List<int> cells = [head];
            for (int up = DeepestAbove(head); up >= 0 && StillConverges(up); up = DeepestAbove(up))
            {
                cells.Add(up);
            }

            cells.Reverse();
            int at = head;
            int to = _tree.Downstream[at];
            while (to >= 0 && main[to] == at)
            {
                cells.Add(to);
                at = to;
                to = _tree.Downstream[at];
            }

            foreach (int c in cells)
            {
                owner[c] = stems.Count;
            }

            double area = _tree.Area[at];
            if (to >= 0)
            {
                cells.Add(to);
            }

            stems.Add(new Stem { Id = stems.Count, Cells = cells, Joins = to, Area = area });
        }

        // A stem's Joins held the cell where it ends until all owners were known.
        return stems.ConvertAll(s => new Stem { Id = s.Id, Cells = s.Cells, Joins = s.Joins < 0 ? -1 : owner[s.Joins], Area = s.Area });
    }

    /// <summary>Of the cells that drain to a cell, the one that lies deepest in its valley; -1 where none drains to it.</summary>
    private int DeepestAbove(int cell)
    {
        GridFrame f = _tree.Frame;
        int best = -1;
        for (int k = 0; k < 8; k++)
        {
            int up = Neighbours.At(f, cell, k);
            if (up >= 0 && _tree.Downstream[up] == cell && (best < 0 || Depth(up) > Depth(best)))
            {
                best = up;
            }
        }

        return best;
    }

    private void Keep(int[] best, int at, int candidate)
    {
        int old = best[at];
        if (old < 0 || _tree.Area[candidate] > _tree.Area[old] || (_tree.Area[candidate].Equals(_tree.Area[old]) && candidate < old))
        {
            best[at] = candidate;
        }
    }

    private static void SetOrders(List<Stem> stems, CancellationToken cancellationToken)
    {
        Dictionary<int, List<(int At, Stem Stem)>> joining = [];
        foreach (Stem s in stems.OrderBy(s => s.Area).ThenBy(s => s.Id))
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (joining.TryGetValue(s.Id, out List<(int At, Stem Stem)>? tributaries))
            {
                s.Tributaries = tributaries.Count;
                Dictionary<int, int> place = [];
                for (int i = 0; i < s.Cells.Count; i++)
                {
                    place[s.Cells[i]] = i;
                }

                foreach ((int _, Stem t) in tributaries.OrderBy(t => place[t.At]).ThenBy(t => t.Stem.Id))
                {
                    s.Order = t.Order == s.Order ? s.Order + 1 : Math.Max(s.Order, t.Order);
                }
            }

            if (s.Joins >= 0)
            {
                if (!joining.TryGetValue(s.Joins, out List<(int At, Stem Stem)>? list))
                {
                    joining[s.Joins] = list = [];
                }

                list.Add((s.Cells[^1], s));
            }
        }
    }
}
