using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Water;

/// <summary>A field's cells in five equal parts by where they stand between hollow and spur.</summary>
/// <remarks>
/// <para>Units: metres of water. Promises: parts of equal size to a cell; cells of the same position keep the order of the grid.</para>
/// <para>Cost: a sort of the field's cells. Source: ours; position as of the landform reading, 0 on valley lines to 1 on ridge lines.</para>
/// </remarks>
public sealed class LandFifths
{
    private const int Parts = 5;

    private readonly GridFrame _frame;
    private readonly int[][] _cells;

    private LandFifths(GridFrame frame, int[][] cells) => (_frame, _cells) = (frame, cells);

    /// <summary>Cells of the field on known ground.</summary>
    public int Count => _cells.Sum(c => c.Length);

    /// <summary>Parts a field.</summary>
    /// <param name="ground">The ground a storm is run on.</param>
    /// <param name="field">The field.</param>
    /// <param name="position">Position between valley and ridge, on any frame.</param>
    /// <exception cref="GroundDataException">The field does not lie on the ground.</exception>
    public static LandFifths Of(ElevationGrid ground, Geometry field, Grid<float> position)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(field);
        ArgumentNullException.ThrowIfNull(position);
        GridFrame f = ground.Frame;
        List<(float Position, int Cell)> cells = [];
        foreach (int cell in CellsIn.Of(f, field))
        {
            int at = position.Frame.IndexAt(f.CentreX(cell % f.Columns), f.CentreY(cell / f.Columns));
            if (!float.IsNaN(ground.Heights[cell]) && at >= 0 && !float.IsNaN(position.Values[at]))
            {
                cells.Add((position.Values[at], cell));
            }
        }

        if (cells.Count < Parts)
        {
            throw new GroundDataException("The field does not lie on the ground given: check that both are of the same place and in the same coordinate system.");
        }

        cells.Sort();
        return new LandFifths(f, [.. Enumerable.Range(0, Parts).Select(p => cells[(int)((long)p * cells.Count / Parts)..(int)((long)(p + 1) * cells.Count / Parts)].Select(c => c.Cell).ToArray())]);
    }

    /// <summary>Means of a map over the five parts, from hollow to spur.</summary>
    /// <param name="map">A map on the same ground.</param>
    public double[] Means(Grid<float> map)
    {
        ArgumentNullException.ThrowIfNull(map);
        return map.Frame.Equals(_frame) ? [.. _cells.Select(part => part.Average(i => (double)map.Values[i]))] : throw new ArgumentException("The map lies on another frame than the ground.", nameof(map));
    }

    /// <summary>Mean of a map over the whole field.</summary>
    /// <param name="map">A map on the same ground.</param>
    public double Mean(Grid<float> map) => _cells.Zip(Means(map)).Sum(p => p.First.Length * p.Second) / Count;
}
