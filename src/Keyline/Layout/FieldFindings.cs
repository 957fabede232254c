using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Prepared;

namespace Keyline.Layout;

/// <summary>Where a line leaves its field or enters what is to be avoided.</summary>
internal sealed class FieldFindings
{
    private const double Tolerance = 0.05;

    private readonly IPreparedGeometry _inside;
    private readonly (string Name, IPreparedGeometry Area)[] _avoided;

    public FieldFindings(FieldArea field)
    {
        _inside = PreparedGeometryFactory.Prepare(field.Boundary.Buffer(Tolerance));
        _avoided = [.. field.Avoided.Select(a => (a.Name.Length > 0 ? a.Name : "an avoided area", PreparedGeometryFactory.Prepare(a.KeptClear.Buffer(-Tolerance))))];
    }

    public IEnumerable<LayoutFinding> Find(CheckedLine line)
    {
        if (!_inside.Covers(line.Line))
        {
            Geometry outside = line.Line.Difference(_inside.Geometry);
            if (outside.Length > Tolerance)
            {
                yield return new LayoutFinding(FindingKind.OutsideField, line.Id, outside.Coordinate.X, outside.Coordinate.Y, FormattableString.Invariant($"Line {line.Id} runs {outside.Length:F1} m outside the field."));
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
                yield return new LayoutFinding(FindingKind.InAvoidedArea, line.Id, within.Coordinate.X, within.Coordinate.Y, FormattableString.Invariant($"Line {line.Id} runs {within.Length:F1} m within the setback of {name}."));
            }
        }
    }

    public static Geometry Workable(FieldArea field, LayoutOptions options)
    {
        Geometry area = options.Headland > 0 ? field.Boundary.Buffer(-options.Headland, 16) : field.Boundary;
        foreach (AvoidedArea avoided in field.Avoided)
        {
            area = area.Difference(avoided.KeptClear);
        }

        return area;
    }
}
