using System.Numerics;

namespace Keyline.Layout.Even;

/// <summary>Finds the phases whose steps along edges lie nearest those wished for, so that lines close on each other everywhere
/// but at single places.</summary>
/// <remarks>
/// <para>Phases are unit complex numbers. Pairs of nodes are joined by the step wished for, and where neighbours count opposite
/// ways by the conjugate. Blocks of two by two nodes are gathered, level by level, into one that moves them together; from the
/// coarsest level down each is relaxed, every node to the unit number nearest what its neighbours ask.</para>
/// <para>Promises: the sum of squared misfits never grows with a sweep; phases that are given stay.</para>
/// <para>Cost: linear in nodes.</para>
/// <para>Source: phases by a Hermitian connection Laplacian, F. Knöppel, K. Crane, U. Pinkall and P. Schröder, 2015, Stripe
/// patterns on surfaces, ACM Transactions on Graphics 34(4); the hierarchy after W. Jakob, M. Tarini, D. Panozzo and O.
/// Sorkine-Hornung, 2015, Instant field-aligned meshes, ACM Transactions on Graphics 34(6).</para>
/// </remarks>
internal static class LinePhase
{
    private const int Sweeps = 40;
    private const int CoarsestSweeps = 300;
    private const int CoarsestSide = 6;

    /// <summary>Solves for phases and steps.</summary>
    public static void Solve(PhaseGrid grid, CancellationToken cancellationToken)
    {
        List<PhaseLevel> levels = [Finest(grid)];
        while (Math.Max(levels[^1].Rows, levels[^1].Columns) > CoarsestSide)
        {
            levels.Add(levels[^1].Gather());
        }

        for (int k = levels.Count - 1; k >= 0; k--)
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (k < levels.Count - 1)
            {
                levels[k].TakeFrom(levels[k + 1]);
            }

            levels[k].Relax(k == levels.Count - 1 ? CoarsestSweeps : Sweeps);
        }

        Settle(grid, levels[0].Values);
    }

    /// <summary>The sum over edges of |z' - wished z|^2.</summary>
    public static double Misfit(PhaseGrid grid)
    {
        double sum = 0;
        for (int i = 0; i < grid.Domain.Length; i++)
        {
            sum += grid.HasEast(i) ? 2 - (2 * Math.Cos(2 * Math.PI * (grid.StepEast[i] - grid.WishedEast(i)))) : 0;
            sum += grid.HasSouth(i) ? 2 - (2 * Math.Cos(2 * Math.PI * (grid.StepSouth[i] - grid.WishedSouth(i)))) : 0;
        }

        return sum;
    }

    private static PhaseLevel Finest(PhaseGrid grid)
    {
        PhaseLevel level = new(grid.Frame.Rows, grid.Frame.Columns);
        for (int i = 0; i < grid.Domain.Length; i++)
        {
            level.Active[i] = grid.Domain[i];
            level.Fixed[i] = grid.Fixed[i];
            level.Values[i] = grid.Fixed[i] ? Complex.FromPolarCoordinates(1, 2 * Math.PI * grid.Phase[i]) : 1;
            if (grid.HasEast(i))
            {
                Complex wished = Complex.FromPolarCoordinates(1, 2 * Math.PI * grid.WishedEast(i));
                (grid.Signs.East[i] > 0 ? level.EastSame : level.EastTurned)[i] = wished;
            }

            if (grid.HasSouth(i))
            {
                Complex wished = Complex.FromPolarCoordinates(1, 2 * Math.PI * grid.WishedSouth(i));
                (grid.Signs.South[i] > 0 ? level.SouthSame : level.SouthTurned)[i] = wished;
            }
        }

        return level;
    }

    // Steps are those wished for, moved by less than half a line to fit the phases.
    private static void Settle(PhaseGrid grid, Complex[] values)
    {
        for (int i = 0; i < values.Length; i++)
        {
            grid.Phase[i] = grid.Fixed[i] ? grid.Phase[i] : values[i].Phase / (2 * Math.PI);
        }

        for (int i = 0; i < values.Length; i++)
        {
            if (grid.HasEast(i))
            {
                double wished = grid.WishedEast(i);
                double off = (grid.Signs.East[i] * grid.Phase[i + 1]) - grid.Phase[i] - wished;
                grid.StepEast[i] = wished + off - Math.Round(off);
            }

            if (grid.HasSouth(i))
            {
                double wished = grid.WishedSouth(i);
                double off = (grid.Signs.South[i] * grid.Phase[i + grid.Frame.Columns]) - grid.Phase[i] - wished;
                grid.StepSouth[i] = wished + off - Math.Round(off);
            }
        }
    }
}
