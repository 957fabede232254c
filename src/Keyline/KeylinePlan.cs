using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout;

namespace Keyline;

/// <summary>A whole plan: the ground it was made on, the landform read from it, and the layout.</summary>
public sealed class KeylinePlan
{
    internal KeylinePlan(FieldArea field, LayoutOptions options, ElevationGrid ground, ElevationGrid smoothed, double smoothingLength, LandformReading landform, RipLayout layout)
    {
        Field = field;
        Options = options;
        Ground = ground;
        Smoothed = smoothed;
        SmoothingLength = smoothingLength;
        Landform = landform;
        Layout = layout;
        SmoothingChange = HeightChange.Between(ground, smoothed, field.Boundary.EnvelopeInternal);
    }

    /// <summary>The field.</summary>
    public FieldArea Field { get; }

    /// <summary>What was asked for.</summary>
    public LayoutOptions Options { get; }

    /// <summary>The ground as delivered, which everything is measured on.</summary>
    public ElevationGrid Ground { get; }

    /// <summary>The ground smoothed at the scale of the implement, which the lines are laid out on.</summary>
    public ElevationGrid Smoothed { get; }

    /// <summary>Standard deviation of the smoothing, metres.</summary>
    public double SmoothingLength { get; }

    /// <summary>What the smoothing did to heights within the field's box.</summary>
    public HeightChange SmoothingChange { get; }

    /// <summary>Valleys, ridges, keypoints and keylines.</summary>
    public LandformReading Landform { get; }

    /// <summary>Guides and rip lines.</summary>
    public RipLayout Layout { get; }
}
