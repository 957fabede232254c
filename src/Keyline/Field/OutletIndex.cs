using Keyline.Planar;
using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Prepared;
using NetTopologySuite.Operation.Distance;

namespace Keyline.Field;

/// <summary>Stable outlets, to ask how far off the nearest is.</summary>
/// <remarks>Units: metres; 0 inside an area. Cost: logarithmic in the corners of the outlets.</remarks>
internal sealed class OutletIndex
{
    private readonly GeometryFactory _factory;
    private readonly IPreparedGeometry _areas;
    private readonly IndexedFacetDistance _facets;

    public OutletIndex(Geometry outlets)
    {
        _factory = outlets.Factory;
        _areas = PreparedGeometryFactory.Prepare(outlets);
        _facets = new IndexedFacetDistance(outlets);

        // Both build their trees on the first question, which should not come from many threads at once.
        _ = Distance(new XY(outlets.Coordinate.X, outlets.Coordinate.Y));
    }

    public double Distance(XY p)
    {
        Point at = _factory.CreatePoint(new Coordinate(p.X, p.Y));
        return _areas.Intersects(at) ? 0 : _facets.Distance(at);
    }
}
