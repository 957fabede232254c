using Keyline.Check;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>A finished layout: the guides, the lines, and what was left out.</summary>
public sealed class RipLayout
{
    internal RipLayout(Geometry workable, Geometry steep, LayoutFigures figures)
    {
        Workable = workable;
        Steep = steep;
        Figures = figures;
    }

    /// <summary>The guides, clipped to the field.</summary>
    public IReadOnlyList<GuideLine> Guides { get; internal init; } = [];

    /// <summary>Number of levels and pinned guides that lines are parallel to; a level may come in several guides.</summary>
    public int GuideLevels { get; internal init; }

    /// <summary>The lines in driving order.</summary>
    public IReadOnlyList<RipLine> Lines { get; internal init; } = [];

    /// <summary>The field less headland, avoided areas with their setbacks, steep land and missing ground.</summary>
    public Geometry Workable { get; }

    /// <summary>Land in the field left out because it is steeper than asked for; may be empty.</summary>
    public Geometry Steep { get; }

    /// <summary>What was measured over the whole layout.</summary>
    public LayoutFigures Figures { get; }

    /// <summary>What the check found wrong.</summary>
    public IReadOnlyList<LayoutFinding> Findings { get; internal init; } = [];

    /// <summary>What the choice of guides cost, term by term, at the prices asked for.</summary>
    public LayoutCost Cost { get; internal init; } = LayoutCost.Nothing;

    /// <summary>How far the tractor drives and turns.</summary>
    public DrivingFigures Driving { get; internal init; } = new(0, 0, 0);

    /// <summary>What was left out and why, one sentence each.</summary>
    public IReadOnlyList<string> Notes { get; internal init; } = [];
}
