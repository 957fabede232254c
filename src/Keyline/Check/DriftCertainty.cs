using Keyline.Elevation;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Check;

/// <summary>How sure the direction of fall along lines is, given the noise of the heights.</summary>
/// <param name="Noise">Standard deviation of the heights' error that was simulated, metres.</param>
/// <param name="CorrelationLength">Distance at which errors are related by 1/e, metres.</param>
/// <param name="SureLengthShare">Share (0 to 1) of the drifting length whose direction of fall holds in at least nine trials of
/// ten; NaN where nothing drifts.</param>
/// <param name="SureLineShare">Share (0 to 1) of the lines that drift whose direction holds along four fifths of their drifting
/// length in at least nine trials of ten; NaN where nothing drifts.</param>
/// <param name="LineAgreement">For each line the share (0 to 1) of its drifting stretches and trials that agree with the heights
/// as delivered; NaN where it does not drift.</param>
public sealed record DriftCertainty(double Noise, double CorrelationLength, double SureLengthShare, double SureLineShare, IReadOnlyList<double> LineAgreement)
{
    /// <summary>Default number of trials.</summary>
    public const int DefaultTrials = 100;

    private const double Sure = 0.9;
    private const double MostOfLine = 0.8;
    private const double SampleStep = 2.0;
    private const int CellsPerLength = 4;
    private const int MostCells = 4_000_000;

    /// <summary>Simulates errors of the heights and sees which stretches of the lines would still fall the same way.</summary>
    /// <param name="lines">The lines, projected metres.</param>
    /// <param name="ground">Heights as delivered.</param>
    /// <param name="noise">Standard deviation of their error, metres, 0 or more; NaN to estimate it (<see cref="HeightNoise"/>).</param>
    /// <param name="correlationLength">Distance at which errors are related by 1/e, metres, above 0; NaN for two cells and at least 2 m.</param>
    /// <param name="trials">Number of trials, 1 or more.</param>
    /// <param name="seed">The same seed gives the same result, whatever the number of cores.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentOutOfRangeException">A noise, length or number of trials that nothing can be simulated with.</exception>
    /// <remarks>
    /// <para>Errors are a Gaussian random field with correlation exp(-(d / length)^2), drawn anew each trial.</para>
    /// <para>Cost: trials times the cells of a quarter of the correlation length around the lines.</para>
    /// <para>Source: moving-average simulation of a random field, Oliver 1995, "Moving averages for Gaussian simulation in two
    /// and three dimensions"; uniform numbers by SplitMix64, Steele, Lea and Flood 2014; normal ones by Box and Muller 1958.</para>
    /// </remarks>
    public static DriftCertainty Simulate(IReadOnlyList<LineString> lines, ElevationGrid ground, double noise = double.NaN, double correlationLength = double.NaN, int trials = DefaultTrials, ulong seed = 1, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(lines);
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentOutOfRangeException.ThrowIfLessThan(trials, 1);
        ArgumentOutOfRangeException.ThrowIfNegative(double.IsNaN(noise) ? 0 : noise, nameof(noise));
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(double.IsNaN(correlationLength) ? 1 : correlationLength, nameof(correlationLength));
        double sigma = double.IsNaN(noise) ? HeightNoise.Estimate(ground, cancellationToken) : noise;
        sigma = double.IsNaN(sigma) ? 0 : sigma;
        double length = double.IsNaN(correlationLength) ? Math.Max(2, 2 * ground.Frame.CellSize) : correlationLength;
        Stretch[] stretches = Stretches(lines, ground);
        int[] holds = new int[stretches.Length];
        int[] sureTrials = new int[lines.Count];
        if (stretches.Length > 0)
        {
            GridFrame frame = Frame(lines, length);
            object gate = new();
            Parallel.For(0, trials, WorkThreads.Options(cancellationToken), trial =>
            {
                double[] error = RandomField.Draw(frame, length, sigma, seed + ((ulong)trial * 0x9E3779B97F4A7C15UL));
                bool[] held = new bool[stretches.Length];
                for (int k = 0; k < held.Length; k++)
                {
                    Stretch s = stretches[k];
                    double rise = s.Rise + GridSampling.Bilinear(error, frame, s.To.X, s.To.Y) - GridSampling.Bilinear(error, frame, s.From.X, s.From.Y);
                    held[k] = Math.Sign(rise) == Math.Sign(s.Rise);
                }

                lock (gate)
                {
                    Count(stretches, held, holds, sureTrials);
                }
            });
        }

        int[] drifting = new int[lines.Count];
        long[] agreed = new long[lines.Count];
        int sure = 0;
        for (int k = 0; k < stretches.Length; k++)
        {
            drifting[stretches[k].Line]++;
            agreed[stretches[k].Line] += holds[k];
            sure += holds[k] >= Sure * trials ? 1 : 0;
        }

        int drift = drifting.Count(d => d > 0);
        int sureLines = Enumerable.Range(0, lines.Count).Count(i => drifting[i] > 0 && sureTrials[i] >= Sure * trials);
        return new DriftCertainty(
            sigma,
            length,
            stretches.Length > 0 ? (double)sure / stretches.Length : double.NaN,
            drift > 0 ? (double)sureLines / drift : double.NaN,
            [.. Enumerable.Range(0, lines.Count).Select(i => drifting[i] > 0 ? (double)agreed[i] / drifting[i] / trials : double.NaN)]);
    }

    private static void Count(Stretch[] stretches, bool[] held, int[] holds, int[] sureTrials)
    {
        for (int k = 0; k < held.Length;)
        {
            int line = stretches[k].Line;
            int start = k;
            int kept = 0;
            for (; k < held.Length && stretches[k].Line == line; k++)
            {
                kept += held[k] ? 1 : 0;
                holds[k] += held[k] ? 1 : 0;
            }

            sureTrials[line] += kept >= MostOfLine * (k - start) ? 1 : 0;
        }
    }

    // The stretches a grade base long that drift, as the check has them.
    private static Stretch[] Stretches(IReadOnlyList<LineString> lines, ElevationGrid ground)
    {
        List<Stretch> found = [];
        for (int l = 0; l < lines.Count; l++)
        {
            LinePath path = new LinePath([.. lines[l].Coordinates.Select(c => new XY(c.X, c.Y))], false).Resample(SampleStep);
            double step = path.Count > 1 ? path.Length() / (path.Count - 1) : 0;
            int width = Math.Max(1, Math.Min(path.Count - 1, (int)Math.Round(LineMeasures.GradeBase / Math.Max(step, 1e-9))));
            for (int i = 0; i + width < path.Count; i++)
            {
                XY from = path.Points[i];
                XY to = path.Points[i + width];
                double rise = ground.HeightAt(to.X, to.Y) - ground.HeightAt(from.X, from.Y);
                if (100 * Math.Abs(rise) > LineMeasures.LevelGrade * width * step)
                {
                    found.Add(new Stretch(l, from, to, rise));
                }
            }
        }

        return [.. found];
    }

    private static GridFrame Frame(IReadOnlyList<LineString> lines, double length)
    {
        Envelope box = new();
        foreach (LineString line in lines)
        {
            box.ExpandToInclude(line.EnvelopeInternal);
        }

        double cell = Math.Max(length / CellsPerLength, Math.Sqrt(box.Area / MostCells));
        return new GridFrame((int)(box.Height / cell) + 3, (int)(box.Width / cell) + 3, cell, box.MinX - cell, box.MaxY + cell);
    }

    private readonly record struct Stretch(int Line, XY From, XY To, double Rise);
}
