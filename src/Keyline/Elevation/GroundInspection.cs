namespace Keyline.Elevation;

/// <summary>What can be told from heights alone.</summary>
/// <remarks>
/// <para>Units: metres, square metres.</para>
/// <para>Promises: nothing is changed.</para>
/// <para>Cost: linear in the cells, about 40 ns each.</para>
/// <para>Source: noise as <see cref="HeightNoise"/>, spikes as <see cref="HeightSpikes"/>; that trees and buildings show as steps
/// steeper than ground stands (beyond the angle of repose of soil and rock, 30 to 45 degrees) is common practice, no source.</para>
/// </remarks>
public static class GroundInspection
{
    // A step between neighbours that is taken for the side of a thing rather than for ground: this steep (60 degrees) and this high. Ours, no source, as are the shares below.
    private const double StepSteepness = 1.7320508075688772;
    private const double LeastStep = 1.0;

    // On larger cells the side of a tree or a house is no longer steeper than ground.
    private const double LargestTellingCell = 2.5;

    // Shares of cells with such a step: below, ground bare of things; above, ground with things left on it.
    private const double BareShare = 0.0005;
    private const double CoveredShare = 0.005;

    /// <summary>Looks at a ground.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static GroundReport Inspect(ElevationGrid ground, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        double lowest = double.PositiveInfinity, highest = double.NegativeInfinity;
        long known = 0;
        foreach (float z in ground.Heights)
        {
            if (!float.IsNaN(z))
            {
                known++;
                lowest = Math.Min(lowest, z);
                highest = Math.Max(highest, z);
            }
        }

        double abrupt = AbruptShare(ground, cancellationToken);
        return new GroundReport
        {
            Frame = ground.Frame,
            KnownCells = known,
            Lowest = known > 0 ? lowest : double.NaN,
            Highest = known > 0 ? highest : double.NaN,
            Voids = VoidFilling.Fill(ground, 0, cancellationToken).Voids,
            Noise = HeightNoise.Estimate(ground, cancellationToken),
            Step = HeightNoise.Step(ground),
            Spikes = HeightSpikes.Find(ground, cancellationToken),
            AbruptShare = abrupt,
            Cover = ground.Frame.CellSize > LargestTellingCell || double.IsNaN(abrupt) ? GroundCover.CannotTell
                : abrupt <= BareShare ? GroundCover.Bare
                : abrupt >= CoveredShare ? GroundCover.Covered
                : GroundCover.PartlyCovered,
        };
    }

    private static double AbruptShare(ElevationGrid ground, CancellationToken cancellationToken)
    {
        GridFrame f = ground.Frame;
        double least = Math.Max(LeastStep, StepSteepness * f.CellSize);
        long abrupt = 0, all = 0;
        for (int r = 0; r + 1 < f.Rows; r++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            ReadOnlySpan<float> here = ground.Row(r), below = ground.Row(r + 1);
            for (int c = 0; c + 1 < f.Columns; c++)
            {
                float across = Math.Abs(here[c + 1] - here[c]), down = Math.Abs(below[c] - here[c]);
                if (float.IsNaN(across) || float.IsNaN(down))
                {
                    continue;
                }

                all++;
                abrupt += across > least || down > least ? 1 : 0;
            }
        }

        return all > 0 ? (double)abrupt / all : double.NaN;
    }
}
