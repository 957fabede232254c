using Keyline.Field;
using Keyline.Planar;
using NetTopologySuite.Algorithm.Locate;
using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Prepared;
using NetTopologySuite.LinearReferencing;
using NetTopologySuite.Operation.Distance;

namespace Keyline.Check;

/// <summary>Where a line leaves its field or enters what is to be avoided.</summary>
internal sealed class FieldFindings
{
    private const double Tolerance = 0.05;

    // Widened and narrowed outlines are made where a line does not lie in what is known without them: that of a jagged field takes long.
    private readonly IndexedPointInAreaLocator _boundary;
    private readonly Lazy<IPreparedGeometry> _inside;
    private readonly Lazy<IPreparedGeometry>? _core;
    private readonly (string Name, IPreparedGeometry Area)[] _avoided;
    private readonly IndexedFacetDistance _edges;
    private readonly double _headland;

    public FieldFindings(FieldArea field, LineLimits limits)
    {
        _headland = limits.Headland;
        _boundary = new IndexedPointInAreaLocator(field.Boundary);
        _ = _boundary.Locate(field.Boundary.Coordinate);
        _inside = new(() => PreparedGeometryFactory.Prepare(field.Boundary.Buffer(Tolerance)));
        _core = limits.Headland > Tolerance ? new(() => PreparedGeometryFactory.Prepare(AreaInset.Of(field.Boundary, Tolerance - limits.Headland))) : null;
        _avoided = [.. field.Avoided.Select(a => (a.Name.Length > 0 ? a.Name : "an avoided area", PreparedGeometryFactory.Prepare(a.KeptClear.Buffer(-Tolerance))))];
        _edges = new IndexedFacetDistance(field.Boundary.Factory.CreateGeometryCollection([field.Boundary.Boundary, .. field.Avoided.Select(a => a.KeptClear)]));
    }

    /// <summary>How a line lies in its field.</summary>
    /// <param name="Clearance">Least distance to the edge or to what is kept clear of, metres; 0 where it runs beyond.</param>
    /// <param name="Findings">What is wrong.</param>
    public sealed record Result(double Clearance, IReadOnlyList<LayoutFinding> Findings);

    public Result Measure(CheckedLine line)
    {
        double clearance = _edges.Distance(line.Line);
        LayoutFinding[] findings = [.. Find(line, clearance)];
        bool beyond = Array.Exists(findings, f => f.Kind is FindingKind.OutsideField or FindingKind.InAvoidedArea);
        return new Result(beyond ? 0 : clearance, findings);
    }

    private IEnumerable<LayoutFinding> Find(CheckedLine line, double clearance)
    {
        // A line that meets no edge lies in the field as its first point does, and in the core where every edge is as far as the headland.
        bool meetsNoEdge = clearance > 0 && _boundary.Locate(line.Line.GetCoordinateN(0)) == Location.Interior;
        if (!meetsNoEdge && !_inside.Value.Covers(line.Line))
        {
            Geometry outside = line.Line.Difference(_inside.Value.Geometry);
            if (outside.Length > Tolerance)
            {
                yield return Along(FindingKind.OutsideField, line.Id, outside, FormattableString.Invariant($"Line {line.Id} runs {outside.Length:F1} m outside the field."));
            }
        }
        else if (_core is not null && !(meetsNoEdge && clearance > _headland - (Tolerance / 2)) && !_core.Value.Covers(line.Line))
        {
            Geometry within = line.Line.Difference(_core.Value.Geometry);
            if (within.Length > Tolerance)
            {
                yield return Along(FindingKind.InHeadland, line.Id, within, FormattableString.Invariant($"Line {line.Id} runs {within.Length:F1} m in the headland of {_headland:F1} m."));
            }
        }

        foreach ((string name, IPreparedGeometry area) in _avoided)
        {
            if (!area.Intersects(line.Line))
            {
                continue;
            }

            Geometry within = line.Line.Intersection(area.Geometry);
            if (within.Length > Tolerance)
            {
                yield return Along(FindingKind.InAvoidedArea, line.Id, within, FormattableString.Invariant($"Line {line.Id} runs {within.Length:F1} m within the setback of {name}."));
            }
        }
    }

    // The middle of the longest stretch is its place.
    private static LayoutFinding Along(FindingKind kind, string id, Geometry stretches, string sentence)
    {
        LineString longest = Enumerable.Range(0, stretches.NumGeometries).Select(stretches.GetGeometryN).OfType<LineString>().MaxBy(l => l.Length)!;
        Coordinate at = new LengthIndexedLine(longest).ExtractPoint(longest.Length / 2);
        return new LayoutFinding(kind, id, at.X, at.Y, sentence) { Value = stretches.Length, Limit = 0, Length = stretches.Length };
    }
}
