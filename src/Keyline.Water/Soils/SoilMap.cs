using Keyline.Elevation;
using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Prepared;

namespace Keyline.Water;

/// <summary>Which soil each cell of a frame has.</summary>
public sealed class SoilMap
{
    private readonly byte[]? _of;

    private SoilMap(IReadOnlyList<SoilColumn> soils, byte[]? of) => (Soils, _of) = (soils, of);

    /// <summary>The soils.</summary>
    public IReadOnlyList<SoilColumn> Soils { get; }

    /// <summary>One soil everywhere.</summary>
    /// <param name="soil">The soil.</param>
    public static SoilMap Uniform(SoilColumn soil)
    {
        ArgumentNullException.ThrowIfNull(soil);
        return new SoilMap([soil], null);
    }

    /// <summary>Soils by polygon; where polygons overlap the later one holds.</summary>
    /// <param name="frame">The ground's frame.</param>
    /// <param name="elsewhere">The soil outside all polygons.</param>
    /// <param name="areas">Polygons in the ground's coordinates with their soils; at most 255.</param>
    public static SoilMap Of(GridFrame frame, SoilColumn elsewhere, IReadOnlyList<(Geometry Area, SoilColumn Soil)> areas)
    {
        ArgumentNullException.ThrowIfNull(frame);
        ArgumentNullException.ThrowIfNull(areas);
        if (areas.Count > byte.MaxValue)
        {
            throw new GroundDataException($"The soil map has {areas.Count} areas: join them to {byte.MaxValue} at most.");
        }

        byte[] of = new byte[frame.CellCount];
        for (int k = 0; k < areas.Count; k++)
        {
            foreach (int cell in CellsIn.Of(frame, areas[k].Area))
            {
                of[cell] = (byte)(k + 1);
            }
        }

        return new SoilMap([elsewhere, .. areas.Select(a => a.Soil)], of);
    }

    /// <summary>Index of a cell's soil.</summary>
    /// <param name="cell">Number of the cell, row after row.</param>
    internal int IndexOf(int cell) => _of is null ? 0 : _of[cell];

    internal bool IsUniform => _of is null;
}

/// <summary>The cells whose centre lies in a shape.</summary>
internal static class CellsIn
{
    public static List<int> Of(GridFrame frame, Geometry shape)
    {
        List<int> cells = [];
        Envelope box = shape.EnvelopeInternal;
        if (shape.IsEmpty)
        {
            return cells;
        }

        IPreparedGeometry prepared = PreparedGeometryFactory.Prepare(shape);
        int top = Math.Max(0, (int)Math.Floor(frame.RowAt(box.MaxY)));
        int bottom = Math.Min(frame.Rows - 1, (int)Math.Ceiling(frame.RowAt(box.MinY)));
        int left = Math.Max(0, (int)Math.Floor(frame.ColumnAt(box.MinX)));
        int right = Math.Min(frame.Columns - 1, (int)Math.Ceiling(frame.ColumnAt(box.MaxX)));
        for (int r = top; r <= bottom; r++)
        {
            for (int c = left; c <= right; c++)
            {
                if (prepared.Covers(shape.Factory.CreatePoint(new Coordinate(frame.CentreX(c), frame.CentreY(r)))))
                {
                    cells.Add((r * frame.Columns) + c);
                }
            }
        }

        return cells;
    }
}
