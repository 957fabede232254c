namespace Keyline.Layout.Even;

/// <summary>How the steps of a count change from edge to edge where lines only follow the wide bends of the land's contours: on a cone, circles.</summary>
/// <remarks>
/// <para>Units: lines an edge, for an edge and the next one along it (<c>EastAlong</c>, <c>SouthAlong</c>) or beside it (<c>EastAcross</c>: the one south of an east edge;
/// <c>SouthAcross</c>: the one east of a south edge), as the first edge counts. Nothing where counting turns round, or contours jump.</para>
/// <para>Promises: the bend told is never tighter than <see cref="Radius"/>; what bends tighter is told as that much.</para>
/// <para>Cost: linear in nodes.</para>
/// </remarks>
internal sealed class WideBends
{
    /// <summary>Bends of this radius and wider are the land's own, metres. Ours: on thirteen real fields 60 m moves no measure by more than 0.3 of a point at the median, and 24 m costs evenness.</summary>
    public const double Radius = 60;

    // Cosine between fall lines a node apart beyond which contours do not bend but jump.
    private const double Alike = 0.7;

    private readonly PhaseGrid _grid;
    private readonly double[] _weight, _east, _south;
    private readonly double _most;

    private WideBends(PhaseGrid grid, double[] weight, double[] east, double[] south)
    {
        (_grid, _weight, _east, _south, _most) = (grid, weight, east, south, grid.Frame.CellSize / Radius);
        int n = weight.Length;
        (EastAlong, EastAcross, SouthAlong, SouthAcross) = (new double[n], new double[n], new double[n], new double[n]);
    }

    public double[] EastAlong { get; }

    public double[] EastAcross { get; }

    public double[] SouthAlong { get; }

    public double[] SouthAcross { get; }

    /// <summary>Finds them.</summary>
    /// <param name="grid">The phases.</param>
    /// <param name="weight">Above 0 for faces, kept at their north-west node, that have a window.</param>
    /// <param name="east">East part of the fall line at each face, of length 1, on the side that its node counts to; 0 on level ground.</param>
    /// <param name="south">South part.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static WideBends Find(PhaseGrid grid, double[] weight, double[] east, double[] south, CancellationToken cancellationToken)
    {
        WideBends bends = new(grid, weight, east, south);
        Parallel.For(1, Math.Max(grid.Frame.Rows - 1, 1), WorkThreads.Options(cancellationToken), bends.Row);
        return bends;
    }

    // The faces on either side of an edge are those at its first node and before it, north of an east edge and west of a south one.
    private void Row(int r)
    {
        int columns = _grid.Frame.Columns;
        for (int i = (r * columns) + 1; i < ((r + 1) * columns) - 1; i++)
        {
            (int toEast, int toSouth) = (_grid.Signs.East[i], _grid.Signs.South[i]);
            EastAlong[i] = Change(_east, toEast, i - columns, i, 1);
            EastAcross[i] = Change(_east, toSouth, i - columns, i, columns);
            SouthAlong[i] = Change(_south, toSouth, i - 1, i, columns);
            SouthAcross[i] = Change(_south, toEast, i - 1, i, 1);
        }
    }

    private double Change(double[] part, int sign, int one, int other, int step)
    {
        double sum = 0;
        int count = 0;
        for (int k = 0; k < 2 && sign == 1; k++)
        {
            int from = k == 0 ? one : other, to = from + step;
            if (_weight[from] > 0 && _weight[to] > 0 && (_east[from] * _east[to]) + (_south[from] * _south[to]) > Alike)
            {
                sum += part[to] - part[from];
                count++;
            }
        }

        return count == 0 ? 0 : Math.Clamp(sum / count, -_most, _most);
    }
}
