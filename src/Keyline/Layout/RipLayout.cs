using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>A finished layout: the guides, the lines, and what was left out.</summary>
public sealed class RipLayout
{
    internal RipLayout(
        IReadOnlyList<GuideLine> guides,
        IReadOnlyList<RipLine> lines,
        Geometry workable,
        Geometry steep,
        LayoutFigures figures,
        IReadOnlyList<LayoutFinding> findings,
        IReadOnlyList<string> notes)
    {
        Guides = guides;
        Lines = lines;
        Workable = workable;
        Steep = steep;
        Figures = figures;
        Findings = findings;
        Notes = notes;
    }

    /// <summary>The guides, clipped to the field.</summary>
    public IReadOnlyList<GuideLine> Guides { get; }

    /// <summary>The lines in driving order.</summary>
    public IReadOnlyList<RipLine> Lines { get; }

    /// <summary>The field less headland, avoided areas with their setbacks, steep land and missing ground.</summary>
    public Geometry Workable { get; }

    /// <summary>Land in the field left out because it is steeper than asked for; may be empty.</summary>
    public Geometry Steep { get; }

    /// <summary>What was measured over the whole layout.</summary>
    public LayoutFigures Figures { get; }

    /// <summary>What the check found wrong.</summary>
    public IReadOnlyList<LayoutFinding> Findings { get; }

    /// <summary>What was left out and why, one sentence each.</summary>
    public IReadOnlyList<string> Notes { get; }
}
