using Keyline.Elevation;
using Keyline.Guidance;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Driven;

/// <summary>How far apart passes along neighbouring lines are, and how far apart they were planned.</summary>
/// <remarks>
/// <para>Units: metres, square metres.</para>
/// <para>Promises: passes along one and the same line are not held against each other. A distance counts where the pass and its
/// neighbour on that side were both driven: one that is much wider than planned means that a line between was left.</para>
/// </remarks>
internal sealed class DrivenSpacing
{
    // Every other sample is asked, which halves the work and loses nothing.
    private const int Every = 2;
    private const double Reaches = 2.0;
    private const double NextLine = 1.75;
    private readonly double[] _sorted = [];
    private readonly double[] _medians;

    public DrivenSpacing(int lines, IReadOnlyList<PassSamples> passes, PlannedIndex planned, double spacing, CancellationToken cancellationToken)
    {
        _medians = new double[lines];
        Array.Fill(_medians, double.NaN);
        (Narrow, Wide) = (double.NaN, double.NaN);
        if (!(spacing > 0) || passes.Count == 0)
        {
            return;
        }

        Envelope extent = new();
        foreach (XY at in passes.SelectMany(p => p.At))
        {
            extent.ExpandToInclude(at.X, at.Y);
        }

        double reach = Reaches * spacing;
        SegmentBins driven = new(extent, reach);
        foreach (PassSamples pass in passes)
        {
            driven.Add(new LinePath(pass.At, false), pass.Line);
        }

        driven.Freeze();
        int[] groups = new int[lines];
        List<(double Actual, double Planned)>[] found = new List<(double, double)>[passes.Count];
        Parallel.For(0, passes.Count, WorkThreads.Options(cancellationToken), k =>
        {
            PassSamples pass = passes[k];
            List<(double, double)> own = [];
            for (int i = 0; i < pass.At.Length; i += Every)
            {
                double station = pass.Station(i);
                (_, _, double left, double right) = driven.Nearest(pass.At[i], pass.Direction[i], reach, pass.Line, groups);
                (_, _, double plannedLeft, double plannedRight) = planned.Segments.Nearest(planned.At(pass.Line, station), planned.Direction(pass.Line, station) * pass.Sense, reach, pass.Line, groups);
                Take(left, plannedLeft, own);
                Take(right, plannedRight, own);
            }

            found[k] = own;
        });
        _sorted = [.. found.SelectMany(f => f).Select(f => f.Actual).Order()];
        foreach (IGrouping<int, int> line in Enumerable.Range(0, passes.Count).GroupBy(k => passes[k].Line))
        {
            double[] own = [.. line.SelectMany(k => found[k]).Select(f => f.Actual).Order()];
            _medians[line.Key] = Quantiles.Median(own);
        }

        SpacingError95 = Quantiles.Of([.. found.SelectMany(f => f).Select(f => Math.Abs(f.Actual - f.Planned)).Order()], 0.95);

        // Each strip between two passes is seen from both.
        double strip = Every * TrackSamples.Step / 2;
        Narrow = found.SelectMany(f => f).Sum(f => Math.Max(0, f.Planned - f.Actual)) * strip;
        Wide = found.SelectMany(f => f).Sum(f => Math.Max(0, f.Actual - f.Planned)) * strip;
    }

    /// <summary>Ground between passes that are closer than planned, square metres.</summary>
    public double Narrow { get; }

    /// <summary>Ground left between passes that are farther apart than planned, square metres.</summary>
    public double Wide { get; }

    /// <summary>How far from the planned distance 95 % of the length keep within, metres, or NaN.</summary>
    public double SpacingError95 { get; } = double.NaN;

    /// <summary>The distance that a share of all lie below; NaN where there is none.</summary>
    public double Quantile(double share) => Quantiles.Of(_sorted, share);

    /// <summary>Median of all distances; NaN where there is none.</summary>
    public double Median => Quantiles.Median(_sorted);

    /// <summary>Median distance of a line's passes to their neighbours, or NaN.</summary>
    public double MedianOf(int line) => _medians[line];

    private static void Take(double actual, double planned, List<(double Actual, double Planned)> own)
    {
        if (double.IsFinite(actual) && double.IsFinite(planned) && actual <= NextLine * planned)
        {
            own.Add((actual, planned));
        }
    }
}
