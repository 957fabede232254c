using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>What counts as a valley, a ridge and a keypoint. All lengths are metres, all areas square metres.</summary>
/// <remarks>The defaults are ours: no source gives them, and they are judgements of what a farmer calls a valley or a keypoint. Tests hold what they find
/// on ground made with known valleys and breaks, and on grids of real ground.</remarks>
public sealed record LandformOptions
{
    /// <summary>Default scale at which the shape of the ground is judged, metres.</summary>
    public const double DefaultShapeScale = 12.0;

    /// <summary>Default least ground that a valley head gathers, square metres (0.5 ha).</summary>
    public const double DefaultMinimumHeadArea = 5000.0;

    /// <summary>Default least convergence of a valley: contour curvature times the square root of the ground gathered.</summary>
    public const double DefaultMinimumConvergence = 1.5;

    /// <summary>Default least depth of a valley below its sides 25 m away, metres.</summary>
    public const double DefaultMinimumDepth = 0.1;

    /// <summary>Default least length of a valley or ridge, metres.</summary>
    public const double DefaultMinimumLength = 60.0;

    /// <summary>Default greatest rise that a valley may cross on its way down, metres.</summary>
    public const double DefaultMaximumSill = 1.5;

    /// <summary>Default least ratio of the slope above a keypoint to the slope below.</summary>
    public const double DefaultMinimumSlopeRatio = 1.5;

    /// <summary>Default distance over which a valley or ridge makes itself felt in the landform position, metres.</summary>
    public const double DefaultReach = 200.0;

    /// <summary>Default farthest that a pinned keypoint may lie from a valley line, metres.</summary>
    public const double DefaultPinReach = 50.0;

    /// <summary>Default most that keypoints of a common keyline may differ in height, metres.</summary>
    public const double DefaultCommonHeight = 1.0;

    /// <value>Standard deviation of the further smoothing on which the shape of the ground is judged, metres, so that
    /// furrows and survey noise count for nothing. Default 12. Half of it finds hollows half as wide and twice the clutter.
    /// Where a cell is wider than this, the cell is used.</value>
    public double ShapeScale { get; init; } = DefaultShapeScale;

    /// <value>Least ground that must drain through the head of a valley, square metres. Default 5000 (0.5 ha).</value>
    public double MinimumHeadArea { get; init; } = DefaultMinimumHeadArea;

    /// <value>Least convergence, without unit: the curvature of the contour in 1/m times the square root of the ground
    /// gathered in square metres. Default 1.5: with 1 ha gathered, contours that bend on a radius of 67 m or tighter.
    /// Does not change when all heights are multiplied.</value>
    public double MinimumConvergence { get; init; } = DefaultMinimumConvergence;

    /// <value>Least depth of the floor below the ground 25 m to its sides, metres, after smoothing. Default 0.1.</value>
    public double MinimumDepth { get; init; } = DefaultMinimumDepth;

    /// <value>Shorter valleys and ridges are left out, metres. Default 60.</value>
    public double MinimumLength { get; init; } = DefaultMinimumLength;

    /// <value>A hollow deeper than this ends a valley; through a shallower one, such as that behind a farm track, the
    /// valley goes on. Metres. Default 1.5.</value>
    public double MaximumSill { get; init; } = DefaultMaximumSill;

    /// <value>Least ratio of the slope above a keypoint to the slope below. Default 1.5.</value>
    public double MinimumSlopeRatio { get; init; } = DefaultMinimumSlopeRatio;

    /// <value>Beyond about this distance from every valley and ridge the landform position is 0.5, metres. Default 200.</value>
    public double Reach { get; init; } = DefaultReach;

    /// <value>Keypoints walked to and flagged in the field, in the ground's coordinates; each is put on the nearest valley line
    /// and comes before what was found there.</value>
    public IReadOnlyList<Coordinate> PinnedKeypoints { get; init; } = [];

    /// <value>Farthest that a pinned keypoint may lie from a valley line, metres. Default 50.</value>
    public double PinReach { get; init; } = DefaultPinReach;

    /// <value>Neighbouring keypoints whose heights agree within this may share a common keyline, metres. Default 1.</value>
    public double CommonHeight { get; init; } = DefaultCommonHeight;

    /// <summary>Checks every value.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A value that no reading can be made with; the message says which and why.</exception>
    public void Validate()
    {
        Check(ShapeScale, 0.1, nameof(ShapeScale), "m");
        Check(MinimumHeadArea, 1, nameof(MinimumHeadArea), "square metres");
        Check(MinimumConvergence, 0.01, nameof(MinimumConvergence), "(no unit)");
        Check(MinimumDepth, 0, nameof(MinimumDepth), "m");
        Check(MinimumLength, 0, nameof(MinimumLength), "m");
        Check(MaximumSill, 0, nameof(MaximumSill), "m");
        Check(MinimumSlopeRatio, 1, nameof(MinimumSlopeRatio), "(no unit)");
        Check(Reach, 1, nameof(Reach), "m");
        Check(PinReach, 0, nameof(PinReach), "m");
        Check(CommonHeight, 0, nameof(CommonHeight), "m");
        ArgumentNullException.ThrowIfNull(PinnedKeypoints);
        foreach (Coordinate pin in PinnedKeypoints)
        {
            if (!double.IsFinite(pin.X) || !double.IsFinite(pin.Y))
            {
                throw new ArgumentOutOfRangeException(nameof(PinnedKeypoints), pin, "A pinned keypoint must lie at a finite place.");
            }
        }
    }

    private static void Check(double value, double least, string name, string unit)
    {
        if (!(value >= least) || !double.IsFinite(value))
        {
            throw new ArgumentOutOfRangeException(name, value, FormattableString.Invariant($"{name} must be a finite number, {least} {unit} or more."));
        }
    }
}
