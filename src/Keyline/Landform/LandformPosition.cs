using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>Where each cell stands between valley and ridge: 0 on valley lines, 1 on ridge lines, smooth between.</summary>
/// <remarks>
/// <para>Units: none, 0 to 1. Missing: NaN where the height is missing; missing ground and the grid's edge are walls.</para>
/// <para>Promises: between 0 and 1; exactly 0 in every cell a valley line crosses, exactly 1 in every cell a ridge line
/// crosses and no valley line does; away from the lines no peak above and no dip below 0.5; 0.5 where there is no line.</para>
/// <para>Cost: O(n): a fixed number of sweeps over a pyramid of grids; 12 bytes a cell.</para>
/// <para>Source: harmonic interpolation with a weak pull to 0.5 (the screened Laplace equation), so that ground with
/// valleys but no ridges still rises away from them; full multigrid, Brandt 1977.</para>
/// </remarks>
internal static class LandformPosition
{
    private const int CoarsestSide = 8;
    private const int CoarsestSweeps = 60;
    private const int Sweeps = 2;
    private const int Cycles = 2;
    private const int LastSweeps = 2;

    /// <summary>Solves for the position.</summary>
    /// <param name="ground">The ground; only its frame and its missing cells matter.</param>
    /// <param name="valleys">Lines of position 0.</param>
    /// <param name="ridges">Lines of position 1.</param>
    /// <param name="reach">Distance over which the pull to one half takes hold, metres.</param>
    /// <param name="progress">Told the share done; null for nobody.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static Grid<float> Solve(
        ElevationGrid ground, IEnumerable<LineString> valleys, IEnumerable<LineString> ridges, double reach, StageProgress? progress, CancellationToken cancellationToken)
    {
        // The values solved for are position - 1/2, which the pull draws to 0, as it does a correction on every coarser grid.
        List<PositionLevel> levels = [Finest(ground, valleys, ridges, cancellationToken)];
        while (Math.Min(levels[^1].Rows, levels[^1].Columns) > CoarsestSide)
        {
            cancellationToken.ThrowIfCancellationRequested();
            levels.Add(levels[^1].Halve());
        }

        // Every cycle passes each grid from its own on twice.
        double all = levels.Select((level, i) => 2.0 * Cycles * (i + 1) * level.Values.Length).Sum(), done = 0;
        void Passed(PositionLevel level)
        {
            cancellationToken.ThrowIfCancellationRequested();
            done += level.Values.Length;
            progress?.Report(done / all);
        }

        for (int i = levels.Count - 1; i >= 0; i--)
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (i < levels.Count - 1)
            {
                levels[i].TakeUp(levels[i + 1]);
            }

            for (int cycle = 0; cycle < Cycles; cycle++)
            {
                Cycle(levels, i, reach, Passed);
            }
        }

        PositionLevel finest = levels[0];
        float[] u = finest.Values;
        for (int i = 0; i < u.Length; i++)
        {
            u[i] = Math.Clamp(u[i], -0.5f, 0.5f);
        }

        finest.Sweep(LastSweeps, Pull(finest, reach));
        for (int i = 0; i < u.Length; i++)
        {
            u[i] = finest.Kinds[i] == PositionLevel.Missing ? float.NaN : u[i] + 0.5f;
        }

        progress?.Report(1);
        return new Grid<float>(ground.Frame, u);
    }

    private static double Pull(PositionLevel level, double reach) => level.CellSize * level.CellSize / (reach * reach);

    /// <summary>One V-cycle from a grid down to the coarsest and back, relaxing on the way.</summary>
    private static void Cycle(List<PositionLevel> levels, int top, double reach, Action<PositionLevel> passed)
    {
        for (int i = top; i < levels.Count - 1; i++)
        {
            levels[i].Sweep(Sweeps, Pull(levels[i], reach));
            levels[i].HandDown(levels[i + 1], Pull(levels[i], reach));
            passed(levels[i]);
        }

        levels[^1].Sweep(CoarsestSweeps, Pull(levels[^1], reach));
        passed(levels[^1]);
        for (int i = levels.Count - 2; i >= top; i--)
        {
            levels[i].TakeUp(levels[i + 1]);
            levels[i].Sweep(Sweeps, Pull(levels[i], reach));
            passed(levels[i]);
        }
    }

    private static PositionLevel Finest(ElevationGrid ground, IEnumerable<LineString> valleys, IEnumerable<LineString> ridges, CancellationToken cancellationToken)
    {
        GridFrame f = ground.Frame;
        PositionLevel level = new(f.Rows, f.Columns, f.CellSize);
        float[] z = ground.Array;
        for (int i = 0; i < z.Length; i++)
        {
            level.Kinds[i] = float.IsNaN(z[i]) ? PositionLevel.Missing : PositionLevel.Free;
        }

        Burn(level, f, ridges, 0.5f, cancellationToken);
        Burn(level, f, valleys, -0.5f, cancellationToken);
        level.MarkEdges();
        return level;
    }

    /// <summary>Fixes every cell that a line crosses.</summary>
    private static void Burn(PositionLevel level, GridFrame f, IEnumerable<LineString> lines, float value, CancellationToken cancellationToken)
    {
        foreach (LineString line in lines)
        {
            cancellationToken.ThrowIfCancellationRequested();
            foreach (int at in LineCells.Of(f, line))
            {
                if (level.Kinds[at] != PositionLevel.Missing)
                {
                    level.Values[at] = value;
                    level.Kinds[at] = PositionLevel.Fixed;
                }
            }
        }
    }
}
