using Keyline.Check;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>One pass of the implement, with what was measured along it.</summary>
public sealed class RipLine
{
    /// <summary>Short name, unique in the plan and in driving order: "R001", "R002", ...</summary>
    public required string Id { get; init; }

    /// <summary>Id of the guide it is or is parallel to; empty for a line of the even pattern that follows none.</summary>
    public required string GuideId { get; init; }

    /// <summary>Side of the guide it lies on.</summary>
    public required GuideSide Side { get; init; }

    /// <summary>Distance from the guide, metres, 0 or more.</summary>
    public required double Offset { get; init; }

    /// <summary>The line in driving direction, metres, Z the ground height.</summary>
    public required LineString Line { get; init; }

    /// <summary>Place in the driving order, from 1.</summary>
    public required int Sequence { get; init; }

    /// <summary>What was measured along it on the ground as delivered.</summary>
    public required LineMeasures Measures { get; init; }
}
