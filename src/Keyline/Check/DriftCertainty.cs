using Keyline.Elevation;
using Keyline.Planar;
using MathNet.Numerics.Distributions;
using NetTopologySuite.Geometries;

namespace Keyline.Check;

/// <summary>How sure the direction of fall along lines is, given the error of the heights.</summary>
/// <remarks>
/// <para>Units: metres; shares and chances from 0 to 1. A stretch is <see cref="LineMeasures.GradeBase"/> long and drifts as in the
/// check; stretches begin every two metres.</para>
/// <para>Promises: a closed form, nothing is drawn by lot. Errors are taken as normal with one standard deviation everywhere and
/// the correlation exp(-(d / length)^2) at a distance d. The rise of a stretch between places d apart is then in error by a normal
/// amount of variance 2 deviation^2 (1 - exp(-(d / length)^2)), and the chance that the stretch falls the way it seems to is
/// Phi(|rise| / deviation of the rise).</para>
/// <para>Heights between cell centres are interpolated, which evens out some of the error; that is left aside, so that chances
/// come out a little low rather than high. An error that all heights share, such as a wrong datum, has no say in which way a line falls.</para>
/// <para>Cost: proportional to the length of the lines, and a pass over the ground where its noise is to be estimated.</para>
/// <para>Source: the difference of two correlated normal variables, as in any textbook of statistics; the correlation is the
/// Gaussian model of geostatistics, J.-P. Chiles and P. Delfiner, Geostatistics: Modeling Spatial Uncertainty, 1999, section 2.5 (from memory).</para>
/// </remarks>
/// <param name="Noise">Standard deviation of the heights' error, metres.</param>
/// <param name="CorrelationLength">Distance at which errors are related by 1/e, metres.</param>
/// <param name="SureLengthShare">Share (0 to 1) of the drifting length that falls the way it seems to with a chance of nine in
/// ten or more; NaN where nothing drifts.</param>
/// <param name="SureLineShare">Share (0 to 1) of the lines that drift of whose drifting length at least four fifths is as sure as that;
/// NaN where nothing drifts.</param>
/// <param name="LineAgreement">For each line the share (0 to 1) of its drifting length that is to be expected to fall the way it
/// seems to: the mean of the chances; NaN where it does not drift.</param>
public sealed record DriftCertainty(double Noise, double CorrelationLength, double SureLengthShare, double SureLineShare, IReadOnlyList<double> LineAgreement)
{
    /// <summary>The chance from which on a stretch counts as sure.</summary>
    public const double Sure = 0.9;

    private const double MostOfLine = 0.8;
    private const double LeastLength = 2.0;

    /// <summary>Works out how sure the drift is.</summary>
    /// <param name="lines">The lines, projected metres.</param>
    /// <param name="ground">Heights as delivered.</param>
    /// <param name="noise">Standard deviation of their error, metres, 0 or more; NaN to estimate it (<see cref="HeightNoise"/>).</param>
    /// <param name="correlationLength">Distance at which errors are related by 1/e, metres, above 0; NaN for two cells and at least 2 m.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentOutOfRangeException">A noise or length that nothing can be worked out with.</exception>
    public static DriftCertainty Of(IReadOnlyList<LineString> lines, ElevationGrid ground, double noise = double.NaN, double correlationLength = double.NaN, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(lines);
        ArgumentNullException.ThrowIfNull(ground);
        if (!double.IsNaN(noise))
        {
            OptionRules.AtLeast(noise, 0, nameof(noise), "m");
        }

        if (!double.IsNaN(correlationLength))
        {
            OptionRules.Above(correlationLength, 0, nameof(correlationLength), "m");
        }

        for (int i = 0; i < lines.Count; i++)
        {
            LineRules.Check(lines[i], FormattableString.Invariant($"Line {i + 1}"));
        }

        double deviation = double.IsNaN(noise) ? HeightNoise.Estimate(ground, cancellationToken) : noise;
        deviation = double.IsNaN(deviation) ? 0 : deviation;
        double length = double.IsNaN(correlationLength) ? Math.Max(LeastLength, 2 * ground.Frame.CellSize) : correlationLength;
        double[][] chances = new double[lines.Count][];
        Parallel.For(0, lines.Count, WorkThreads.Options(cancellationToken), i => chances[i] = [.. Chances(lines[i], ground, deviation, length)]);
        int drifting = chances.Sum(c => c.Length);
        int driftingLines = chances.Count(c => c.Length > 0);
        return new DriftCertainty(
            deviation,
            length,
            drifting > 0 ? (double)chances.Sum(SureOnes) / drifting : double.NaN,
            driftingLines > 0 ? (double)chances.Count(c => c.Length > 0 && SureOnes(c) >= MostOfLine * c.Length) / driftingLines : double.NaN,
            [.. chances.Select(c => c.Length > 0 ? c.Average() : double.NaN)]);
    }

    /// <summary>The chance (0.5 to 1) that a stretch falls the way it seems to.</summary>
    /// <param name="rise">Difference of the heights at its ends, metres.</param>
    /// <param name="distance">Between its ends, metres.</param>
    /// <param name="deviation">Standard deviation of the heights' error, metres.</param>
    /// <param name="correlationLength">Distance at which errors are related by 1/e, metres.</param>
    internal static double Chance(double rise, double distance, double deviation, double correlationLength)
    {
        double ratio = distance / correlationLength;
        double spread = deviation * Math.Sqrt(2 * (1 - Math.Exp(-ratio * ratio)));
        return spread > 0 ? Normal.CDF(0, spread, Math.Abs(rise)) : 1;
    }

    private static int SureOnes(double[] chances) => chances.Count(c => c >= Sure);

    // The stretches a grade base long that drift, as the check has them.
    private static IEnumerable<double> Chances(LineString line, ElevationGrid ground, double deviation, double correlationLength)
    {
        SampledLine sampled = new(line, ground);
        for (int i = 0; i < sampled.Windows; i++)
        {
            double grade = sampled.Grade(i);
            if (Math.Abs(grade) > LineMeasures.LevelGrade)
            {
                yield return Chance(sampled.HeightAt(i + sampled.Width) - sampled.HeightAt(i), (sampled.At(i + sampled.Width) - sampled.At(i)).Norm, deviation, correlationLength);
            }
        }
    }
}
