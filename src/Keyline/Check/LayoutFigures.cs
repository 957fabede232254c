namespace Keyline.Check;

/// <summary>What was measured over a whole layout.</summary>
public sealed record LayoutFigures
{
    /// <summary>Lines shorter than this count as short, metres.</summary>
    public const double ShortLine = 50.0;

    /// <summary>Number of lines.</summary>
    public required int LineCount { get; init; }

    /// <summary>Length of all lines, metres.</summary>
    public required double TotalLength { get; init; }

    /// <summary>Mean length of a line, metres.</summary>
    public required double MeanLength { get; init; }

    /// <summary>Share (0 to 1) of the length on land within the slope limit whose grade is within the limit.</summary>
    public required double WithinGradeShare { get; init; }

    /// <summary>Median of the grade's absolute value along all lines, percent.</summary>
    public required double MedianGrade { get; init; }

    /// <summary>95th percentile of the grade's absolute value, percent.</summary>
    public required double Grade95 { get; init; }

    /// <summary>Share (0 to 1) of the drifting length that falls toward the ridge; NaN where nothing drifts.</summary>
    public required double ToRidgeShare { get; init; }

    /// <summary>Share (0 to 1) of the length that drifts at all.</summary>
    public required double DriftingShare { get; init; }

    /// <summary>Share (0 to 1) of the length whose next line, whoever's guide it follows, is within 10 % of the spacing asked for, each
    /// side of each line counted by itself. A side counts where a line lies within a spacing and a quarter of it or the ground a
    /// spacing off is workable; without a field, where any line is within three spacings. NaN without a spacing.</summary>
    public double SpacingWithin10Share { get; init; } = double.NaN;

    /// <summary>The same for 25 % of the spacing.</summary>
    public double SpacingWithin25Share { get; init; } = double.NaN;

    /// <summary>Median distance to the neighbouring line of the same guide, metres.</summary>
    public required double MedianSpacing { get; init; }

    /// <summary>Share (0 to 1) of the length whose neighbour of the same guide is within 2 % of the spacing asked for.</summary>
    public required double SpacingWithinShare { get; init; }

    /// <summary>Share (0 to 1) of the workable area that lies within half a spacing (and 5 %) of a line.</summary>
    public required double Coverage { get; init; }

    /// <summary>Least radius of turn over all lines, metres.</summary>
    public required double MinimumRadius { get; init; }

    /// <summary>Share (0 to 1) of the length that turns tighter than the radius asked for.</summary>
    public required double TightShare { get; init; }

    /// <summary>5th percentile of the distance to the neighbouring line of the same guide, metres.</summary>
    public double Spacing05 { get; init; } = double.NaN;

    /// <summary>95th percentile of that distance, metres.</summary>
    public double Spacing95 { get; init; } = double.NaN;

    /// <summary>10th percentile of the lines' lengths, metres.</summary>
    public double Length10 { get; init; } = double.NaN;

    /// <summary>Median of the lines' lengths, metres.</summary>
    public double MedianLength { get; init; } = double.NaN;

    /// <summary>Share (0 to 1) of the length in lines shorter than <see cref="ShortLine"/>.</summary>
    public double ShortShare { get; init; } = double.NaN;

    /// <summary>Ends of lines, each a turn or a lift: two a line that is not closed.</summary>
    public int LineEnds { get; init; }

    /// <summary>Ends of lines out in the workable ground, more than two spacings from its edge: point rows, each a turn or a lift on
    /// ground that was to be worked. Null without a field or a spacing.</summary>
    public int? InnerEnds { get; init; }

    /// <summary>The same for each kilometre of line; NaN where there is none.</summary>
    public double InnerEndsPerKm => InnerEnds is { } ends && TotalLength > 0 ? ends / (TotalLength / 1000) : double.NaN;

    /// <summary>Steepest side slope over all lines, degrees.</summary>
    public double SteepestSideSlope { get; init; } = double.NaN;

    /// <summary>Pairs of lines that cross or touch, and lines that cross themselves.</summary>
    public required int Crossings { get; init; }
}
