using MathNet.Numerics.Statistics;

namespace Keyline.Elevation;

/// <summary>Medians and quantiles by one rule each.</summary>
/// <remarks>
/// <para>Missing: none may be among the values; of no values the answer is NaN.</para>
/// <para>Source: MathNet.Numerics. The median of an even number of values is the mean of the two in the middle; any other
/// quantile is one of the values (R. J. Hyndman and Y. Fan, Sample quantiles in statistical packages, The American Statistician
/// 50(4), 1996, definition 1).</para>
/// </remarks>
internal static class Quantiles
{
    /// <summary>The median of values in rising order.</summary>
    public static double Median(double[] sorted) => SortedArrayStatistics.Median(sorted);

    /// <summary>The median of a few values in rising order, worked out in double precision.</summary>
    public static double Median(ReadOnlySpan<float> sorted) =>
        sorted.Length == 0 ? double.NaN : (sorted[(sorted.Length - 1) / 2] + (double)sorted[sorted.Length / 2]) / 2;

    /// <summary>The least of some values in rising order that at least a share of them, 0 to 1, do not exceed.</summary>
    public static double Of(double[] sorted, double share) => SortedArrayStatistics.QuantileCustom(sorted, share, QuantileDefinition.R1);

    /// <summary>The same of values in any order, which are left in another: linear, where sorting is not.</summary>
    public static double OfUnsorted(double[] values, double share) => ArrayStatistics.QuantileCustomInplace(values, share, QuantileDefinition.R1);
}
