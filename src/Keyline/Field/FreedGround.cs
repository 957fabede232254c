using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Field;

/// <summary>A note from the field that ground may be worked from now on: a thing that is gone or smaller, a fence moved outward.</summary>
public sealed class FreedGround
{
    /// <summary>Makes a note.</summary>
    /// <param name="shape">A point or line on what is gone, or the area that may be worked; projected metres; copied.</param>
    /// <param name="name">What it is, for maps and messages; may be empty.</param>
    /// <exception cref="ArgumentException">An empty shape.</exception>
    public FreedGround(Geometry shape, string name = "")
    {
        ArgumentNullException.ThrowIfNull(shape);
        ArgumentNullException.ThrowIfNull(name);
        if (shape.IsEmpty)
        {
            throw new ArgumentException("Ground set free must have a shape.", nameof(shape));
        }

        Shape = shape.Copy();
        Name = name;
    }

    /// <summary>Where, projected metres.</summary>
    public Geometry Shape { get; }

    /// <summary>What it is; may be empty.</summary>
    public string Name { get; }
}

/// <summary>A field once notes have set ground free in it.</summary>
/// <remarks>
/// <para>Units: metres. A point or a line sets free whatever is kept clear where it lies, as a whole. An area takes what lies under it out of what is avoided (what is left of it keeps its
/// setback), and is added to the field where it reaches beyond the fence. Gaps up to <see cref="MostGap"/> between the old fence and the new ground are closed.</para>
/// <para>Promises: located services are set free by no note. A note that sets nothing free, or lies apart from the field, is refused. Cost: notes times what is avoided. Source: ours.</para>
/// </remarks>
public sealed class FreedField
{
    /// <summary>Widest gap between the field and new ground beside it that counts as inaccurate drawing, metres. Ours, no source.</summary>
    public const double MostGap = 2;

    // Less than this of a thing is nothing, square metres or metres.
    private const double Nothing = 0.5;
    private const double MitreLimit = 5;

    private readonly FieldArea _before;

    private FreedField(FieldArea before, FieldArea field, IReadOnlyList<AvoidedArea?> avoided) => (_before, Field, Avoided) = (before, field, avoided);

    /// <summary>The field now.</summary>
    public FieldArea Field { get; }

    /// <summary>For each thing avoided before, the very same, what is left of it, or null where it is gone.</summary>
    public IReadOnlyList<AvoidedArea?> Avoided { get; }

    /// <summary>Whether the outline is another.</summary>
    public bool IsWider => Field.Boundary.Area > _before.Boundary.Area + Nothing;

    /// <summary>Whether an avoided area is what is left of a larger one.</summary>
    /// <param name="area">One of <see cref="Avoided"/>.</param>
    public bool IsLess(AvoidedArea area) => !_before.Avoided.Contains(area);

    /// <summary>Sets ground free.</summary>
    /// <param name="field">The field before.</param>
    /// <param name="notes">What is free.</param>
    /// <exception cref="GroundDataException">A note that sets nothing free.</exception>
    public static FreedField Of(FieldArea field, IReadOnlyList<FreedGround> notes)
    {
        ArgumentNullException.ThrowIfNull(field);
        ArgumentNullException.ThrowIfNull(notes);
        AvoidedArea?[] left = [.. field.Avoided];
        Geometry boundary = field.Boundary;
        for (int n = 0; n < notes.Count; n++)
        {
            string name = notes[n].Name.Length > 0 ? $"Ground set free ({notes[n].Name})" : FormattableString.Invariant($"Ground set free, note {n + 1}");
            bool any = false, located = false;
            for (int i = 0; i < left.Length; i++)
            {
                if (left[i] is not { } area || !area.KeptClear.Intersects(notes[n].Shape))
                {
                    continue;
                }

                AvoidedArea? rest = notes[n].Shape.Dimension == Dimension.Surface ? Less(area, notes[n].Shape) : null;
                if (!ReferenceEquals(rest, area) && area.HandDig > 0)
                {
                    located = true;
                    continue;
                }

                any |= !ReferenceEquals(rest, area);
                left[i] = rest;
            }

            if (notes[n].Shape.Dimension == Dimension.Surface && notes[n].Shape.Difference(boundary) is { } beyond && beyond.Area > Nothing)
            {
                boundary = Wider(boundary, notes[n].Shape, name);
                any = true;
            }

            if (!any)
            {
                throw new GroundDataException(located
                    ? $"{name} lies on a located service, which no note sets free: have it located again, and plan the field again with what was found."
                    : $"{name} sets nothing free: put it on what is gone, draw the area over what is smaller now, or beyond the fence that was moved.");
            }
        }

        FieldArea freed = new(boundary, left.OfType<AvoidedArea>(), field.Name) { Gate = field.Gate, Outlets = field.Outlets, PinnedGuides = field.PinnedGuides };
        return new FreedField(field, freed, left);
    }

    // What an area leaves of a thing: the very same where it takes nothing of it.
    private static AvoidedArea? Less(AvoidedArea thing, Geometry free)
    {
        Geometry rest = thing.Shape.Difference(free);
        double size = Size(thing.Shape), left = Size(rest);
        return left < Math.Min(Nothing, size / 2) || rest.IsEmpty ? null
            : size - left < Nothing ? thing
            : new AvoidedArea(rest, thing.Setback, thing.Name, thing.IsWet) { HandDig = thing.HandDig, Kind = thing.Kind };
    }

    private static double Size(Geometry shape) => shape.Dimension switch
    {
        Dimension.Surface => shape.Area,
        Dimension.Curve => shape.Length,
        _ => shape.NumPoints,
    };

    // Corners that stick out stay as they are when an outline is widened and narrowed again with sharp corners; notches narrower than the gap are filled, and only beside what is new.
    private static Geometry Wider(Geometry boundary, Geometry free, string name)
    {
        if (boundary.Distance(free) > MostGap)
        {
            throw new GroundDataException(FormattableString.Invariant($"{name} lies {boundary.Distance(free):0} m from the field: draw it up to the old fence, or plan it as a field of its own."));
        }

        NetTopologySuite.Operation.Buffer.BufferParameters sharp = new(8, NetTopologySuite.Operation.Buffer.EndCapStyle.Flat, NetTopologySuite.Operation.Buffer.JoinStyle.Mitre, MitreLimit);
        Geometry both = boundary.Union(free);
        Geometry closed = both.Buffer(MostGap / 2, sharp).Buffer(-MostGap / 2, sharp).Intersection(free.Buffer(MostGap));
        Geometry whole = both.Union(closed);
        Polygon[] parts = [.. Polygons(whole).Where(p => p.Area > Nothing)];
        return parts.Length == 1 ? parts[0] : whole.Factory.CreateMultiPolygon(parts);
    }

    private static IEnumerable<Polygon> Polygons(Geometry shape) => Enumerable.Range(0, shape.NumGeometries).Select(shape.GetGeometryN).OfType<Polygon>();
}
