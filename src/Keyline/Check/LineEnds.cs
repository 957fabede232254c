using NetTopologySuite.Algorithm.Locate;
using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Distance;

namespace Keyline.Check;

/// <summary>Ends of lines out in the workable ground, each a turn or a lift on ground that was to be worked: point rows.</summary>
internal static class LineEnds
{
    /// <summary>An end this many spacings from the edge of the workable ground lies out in it.</summary>
    public const double Inward = 2.0;

    public static int CountInner(IReadOnlyList<CheckedLine> lines, Geometry workable, double spacing)
    {
        if (workable.IsEmpty)
        {
            return 0;
        }

        IndexedPointInAreaLocator inside = new(workable);
        IndexedFacetDistance edge = new(workable.Boundary);
        return lines.Where(l => !l.Line.IsClosed && !l.Line.IsEmpty).Sum(l => Count(l.Line.StartPoint) + Count(l.Line.EndPoint));

        int Count(Point end) => inside.Locate(end.Coordinate) == Location.Interior && edge.Distance(end) > Inward * spacing ? 1 : 0;
    }
}
