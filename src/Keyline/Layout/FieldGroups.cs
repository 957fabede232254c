using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>The pieces of a field in groups that lie near each other, so that far-apart pieces cost what they cost alone.</summary>
/// <remarks>Units: metres. Cost: pieces squared, on their boxes.</remarks>
internal static class FieldGroups
{
    /// <summary>Groups the pieces whose boxes, widened by a margin, meet; in the order of their first pieces.</summary>
    public static IReadOnlyList<Geometry> Of(Geometry boundary, double margin)
    {
        List<(Envelope Box, List<Polygon> Pieces)> groups = [];
        for (int i = 0; i < boundary.NumGeometries; i++)
        {
            if (boundary.GetGeometryN(i) is not Polygon { IsEmpty: false } piece)
            {
                continue;
            }

            Envelope box = piece.EnvelopeInternal.Copy();
            box.ExpandBy(margin);
            List<Polygon> pieces = [piece];

            // What the box meets joins it and may widen it, so that it meets more.
            int at = groups.Count;
            for (int k = groups.FindIndex(g => g.Box.Intersects(box)); k >= 0; k = groups.FindIndex(g => g.Box.Intersects(box)))
            {
                box.ExpandToInclude(groups[k].Box);
                pieces.InsertRange(0, groups[k].Pieces);
                groups.RemoveAt(k);
                at = k;
            }

            groups.Insert(at, (box, pieces));
        }

        return groups.Count == 1 ? [boundary] : [.. groups.Select(g => (Geometry)boundary.Factory.CreateMultiPolygon([.. g.Pieces]))];
    }
}
