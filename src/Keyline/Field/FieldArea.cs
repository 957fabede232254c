using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Field;

/// <summary>The field to lay out: its boundary and what to avoid in it.</summary>
public sealed class FieldArea
{
    /// <summary>Area below this many metres times the outline's length counts as none: less than any survey tells. Ours, no source.</summary>
    private const double LeastMeanWidth = 0.01;

    private readonly System.Collections.Concurrent.ConcurrentDictionary<double, Geometry> _within = new();
    private readonly Geometry? _outlets;
    private readonly OutletIndex? _outletIndex;

    /// <summary>Makes a field.</summary>
    /// <param name="boundary">A valid polygon or multipolygon in projected metres; copied.</param>
    /// <param name="avoided">What to stay away from.</param>
    /// <param name="name">Name for maps and messages; may be empty.</param>
    /// <exception cref="GroundDataException">The boundary is no polygon, crosses itself, or has no area.</exception>
    public FieldArea(Geometry boundary, IEnumerable<AvoidedArea>? avoided = null, string name = "")
    {
        ArgumentNullException.ThrowIfNull(boundary);
        ArgumentNullException.ThrowIfNull(name);
        if (boundary is not (Polygon or MultiPolygon))
        {
            throw new GroundDataException($"The field is a {boundary.GeometryType}, and a field must be a Polygon or MultiPolygon: draw its outline as a closed area.");
        }

        if (boundary.IsEmpty || !(boundary.EnvelopeInternal.Area > 0))
        {
            throw new GroundDataException("The field has no area: draw its outline as a closed area.");
        }

        NetTopologySuite.Operation.Valid.IsValidOp valid = new(boundary);
        if (!valid.IsValid)
        {
            Coordinate at = valid.ValidationError.Coordinate ?? boundary.Coordinate;
            throw new GroundDataException(FormattableString.Invariant(
                $"The field's outline is not a simple area ({valid.ValidationError.Message}) near x {at.X:F1}, y {at.Y:F1} m: redraw it so that it does not cross or touch itself."));
        }

        // An outline folded onto itself keeps a sliver of area when its corners have been rounded or moved to another projection.
        if (!(boundary.Area > LeastMeanWidth * boundary.Length))
        {
            throw new GroundDataException("The field has no area: draw its outline as a closed area.");
        }

        Boundary = boundary.Copy();
        Avoided = avoided?.ToArray() ?? [];
        Name = name;
    }

    /// <summary>The outline, projected metres.</summary>
    public Geometry Boundary { get; }

    /// <summary>What to stay away from.</summary>
    public IReadOnlyList<AvoidedArea> Avoided { get; }

    /// <summary>Name of the field; may be empty.</summary>
    public string Name { get; }

    /// <summary>Lines that must be guides. Rips run parallel to each of them as far as that holds the limits.</summary>
    public IReadOnlyList<PinnedGuide> PinnedGuides { get; init; } = [];

    /// <summary>Stable outlets that water may be led to: grassed waterways, channels, borders; projected metres, or null.</summary>
    public Geometry? Outlets
    {
        get => _outlets;
        init
        {
            _outlets = value;
            _outletIndex = value is { IsEmpty: false } ? new OutletIndex(value) : null;
        }
    }

    /// <summary>Where the tractor enters and leaves, projected metres, or null.</summary>
    public Coordinate? Gate { get; init; }

    /// <summary>What is left of the field within a headland: every place farther than that from its outline.</summary>
    /// <param name="headland">Metres, zero or more.</param>
    /// <returns>Projected metres; empty where the field is nowhere so wide. Cost: near-linear in the outline's corners, once for each width.</returns>
    public Geometry Within(double headland) => _within.GetOrAdd(headland, static (width, boundary) => width > 0 ? AreaInset.Of(boundary, -width) : boundary, Boundary);

    /// <summary>Distance to the nearest stable outlet, metres; infinite where none is given.</summary>
    internal double OutletDistance(XY p) => _outletIndex?.Distance(p) ?? double.PositiveInfinity;
}
