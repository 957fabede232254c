using Keyline.Planar;
using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Valid;

namespace Keyline.Check;

/// <summary>Where lines cross or touch each other or themselves.</summary>
/// <remarks>Cost: proportional to the length of the lines, and to the crossings.</remarks>
internal static class LineCrossings
{
    /// <summary>Findings of each line; a pair is told once, by the first of the two.</summary>
    public static IReadOnlyList<LayoutFinding>[] Find(IReadOnlyList<CheckedLine> lines, LineIndex index, CancellationToken cancellationToken)
    {
        IReadOnlyList<LayoutFinding>[] findings = new IReadOnlyList<LayoutFinding>[lines.Count];
        Parallel.For(0, lines.Count, WorkThreads.Options(cancellationToken), i => findings[i] = Of(lines, i, index, cancellationToken));
        return findings;
    }

    private static List<LayoutFinding> Of(IReadOnlyList<CheckedLine> lines, int line, LineIndex index, CancellationToken cancellationToken)
    {
        List<LayoutFinding> found = [];
        IsSimpleOp simple = new(lines[line].Line);
        if (!simple.IsSimple())
        {
            Coordinate at = simple.NonSimpleLocation ?? lines[line].Line.Coordinate;
            found.Add(new LayoutFinding(FindingKind.LinesCross, lines[line].Id, at.X, at.Y, $"Line {lines[line].Id} crosses itself."));
        }

        LinePath path = index.Paths[line];
        SortedDictionary<int, Coordinate> met = [];
        for (int k = 0; k < path.SegmentCount; k++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            foreach ((int owner, Coordinate at) in index.Meeting(path.Points[k], path.End(k), line))
            {
                met.TryAdd(owner, at);
            }
        }

        foreach ((int other, Coordinate at) in met)
        {
            found.Add(new LayoutFinding(FindingKind.LinesCross, lines[line].Id, at.X, at.Y, $"Line {lines[line].Id} crosses or touches line {lines[other].Id}."));
        }

        return found;
    }
}
