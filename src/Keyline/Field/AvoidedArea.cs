using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Field;

/// <summary>Something in the field to stay away from: a dam, a tree belt, a buried pipe.</summary>
public sealed class AvoidedArea
{
    /// <summary>Makes an avoided area.</summary>
    /// <param name="shape">A point, line or polygon in projected metres; copied.</param>
    /// <param name="setback">Distance to keep from it, metres, 0 or more.</param>
    /// <param name="name">What it is, for maps and messages; may be empty.</param>
    /// <exception cref="ArgumentException">An empty shape, or a setback below 0 or not finite.</exception>
    /// <param name="isWet">Whether it is wet or saline, so that no line should lead water to it.</param>
    public AvoidedArea(Geometry shape, double setback, string name = "", bool isWet = false)
    {
        ArgumentNullException.ThrowIfNull(shape);
        ArgumentNullException.ThrowIfNull(name);
        if (shape.IsEmpty)
        {
            throw new ArgumentException("An avoided area must have a shape.", nameof(shape));
        }

        if (!(setback >= 0) || !double.IsFinite(setback))
        {
            throw new ArgumentOutOfRangeException(nameof(setback), setback, "A setback must be 0 m or more.");
        }

        Shape = shape.Copy();
        Setback = setback;
        Name = name;
        IsWet = isWet;
        KeptClear = setback > 0 ? AreaInset.Of(Shape, setback) : Shape;
    }

    /// <summary>The thing itself, projected metres.</summary>
    public Geometry Shape { get; }

    /// <summary>Distance to keep from it, metres.</summary>
    public double Setback { get; }

    /// <summary>What it is; may be empty.</summary>
    public string Name { get; }

    /// <summary>Whether it is wet or saline, so that no line should lead water to it.</summary>
    public bool IsWet { get; }

    /// <summary>What kind of thing it is, in a word as dam, rock or road; may be empty.</summary>
    public string Kind { get; init; } = "";

    /// <summary>Distance on either side of a located service within which digging is by hand only, metres; 0 where it is none.</summary>
    public double HandDig { get; init; }

    /// <summary>The thing with its setback around it.</summary>
    public Geometry KeptClear { get; }
}
