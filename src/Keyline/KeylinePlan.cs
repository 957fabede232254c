using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout;

namespace Keyline;

/// <summary>A whole plan: the ground it was made on, the landform read from it, and the layout.</summary>
public sealed class KeylinePlan
{
    internal KeylinePlan(FieldArea field, LayoutOptions options, GroundReading reading, RipLayout layout)
    {
        Field = field;
        Options = options;
        Reading = reading;
        Layout = layout;
        SmoothingChange = HeightChange.Between(reading.Ground, reading.Smoothed, field.Boundary.EnvelopeInternal);
    }

    /// <summary>The field.</summary>
    public FieldArea Field { get; }

    /// <summary>What was asked for.</summary>
    public LayoutOptions Options { get; }

    /// <summary>The ground and what was read from it.</summary>
    public GroundReading Reading { get; }

    /// <summary>The ground as delivered, which everything is measured on.</summary>
    public ElevationGrid Ground => Reading.Ground;

    /// <summary>The ground smoothed at the scale of the implement, which the landform was read from.</summary>
    public ElevationGrid Smoothed => Reading.Smoothed;

    /// <summary>Standard deviation of the smoothing, metres.</summary>
    public double SmoothingLength => Reading.SmoothingLength;

    /// <summary>What the smoothing did to heights within the field's box.</summary>
    public HeightChange SmoothingChange { get; }

    /// <summary>Valleys, ridges, keypoints and keylines.</summary>
    public LandformReading Landform => Reading.Landform;

    /// <summary>Guides and rip lines.</summary>
    public RipLayout Layout { get; }

    /// <summary>The plan with another layout of the same survey, as a comparison or a price list gives it, so that it can be
    /// written, drawn and exported like any plan.</summary>
    /// <param name="layout">A layout made from the same <see cref="FieldSurvey"/>.</param>
    /// <param name="options">What it was made with, where that differs; null for this plan's.</param>
    /// <exception cref="ArgumentException">The layout was made from another survey.</exception>
    public KeylinePlan With(RipLayout layout, LayoutOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(layout);
        return ReferenceEquals(layout.Workable, Layout.Workable)
            ? new KeylinePlan(Field, options ?? Options, Reading, layout)
            : throw new ArgumentException("The layout was made from another survey than this plan's: lay it out, compare or price it from one FieldSurvey.", nameof(layout));
    }
}
