using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Water;

/// <summary>Cells of a field whose height is not known: a storm treats them as outside.</summary>
/// <remarks>Units: metres. A hole is of cells that share a side. Cost: linear in the field's cells. Source: ours.</remarks>
/// <param name="Cells">How many there are.</param>
/// <param name="Area">Square metres.</param>
/// <param name="Holes">How many holes they make.</param>
/// <param name="GreatestArea">Square metres of the greatest hole.</param>
/// <param name="X">East of a cell in the midst of it: the one nearest the mean of its cells.</param>
/// <param name="Y">North of it.</param>
public sealed record UnknownGround(int Cells, double Area, int Holes, double GreatestArea, double X, double Y)
{
    /// <summary>Looks for them.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="field">The field, in the ground's coordinates.</param>
    /// <returns>Null where all is known.</returns>
    public static UnknownGround? In(ElevationGrid ground, Geometry field)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(field);
        GridFrame f = ground.Frame;
        HashSet<int> left = [.. CellsIn.Of(f, field).Where(c => float.IsNaN(ground.Heights[c]))];
        int cells = left.Count;
        List<int> greatest = [];
        int holes = 0;
        foreach (int start in left.Order().ToArray())
        {
            if (!left.Remove(start))
            {
                continue;
            }

            List<int> hole = [start];
            for (int i = 0; i < hole.Count; i++)
            {
                (int row, int column) = (hole[i] / f.Columns, hole[i] % f.Columns);
                foreach ((int r, int c) in (ReadOnlySpan<(int, int)>)[(row - 1, column), (row, column + 1), (row + 1, column), (row, column - 1)])
                {
                    if (f.Contains(r, c) && left.Remove((r * f.Columns) + c))
                    {
                        hole.Add((r * f.Columns) + c);
                    }
                }
            }

            holes++;
            greatest = hole.Count > greatest.Count ? hole : greatest;
        }

        if (cells == 0)
        {
            return null;
        }

        (double x, double y) = (greatest.Average(c => f.CentreX(c % f.Columns)), greatest.Average(c => f.CentreY(c / f.Columns)));
        int middle = greatest.MinBy(c => Math.Pow(f.CentreX(c % f.Columns) - x, 2) + Math.Pow(f.CentreY(c / f.Columns) - y, 2));
        return new UnknownGround(cells, cells * f.CellArea, holes, greatest.Count * f.CellArea, f.CentreX(middle % f.Columns), f.CentreY(middle / f.Columns));
    }
}
