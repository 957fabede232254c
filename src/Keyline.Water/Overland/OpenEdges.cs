using Keyline.Elevation;

namespace Keyline.Water;

/// <summary>Where water leaves the ground: at the edge of what is known, as far as the land falls toward it.</summary>
/// <remarks>
/// <para>Units: metres, seconds. Promises: water only leaves; where the land rises toward the edge, none does.</para>
/// <para>Cost: a power a wet edge cell and step. Source: uniform flow at the slope of the land, Manning's equation; Chow, Open-Channel Hydraulics, 1959.</para>
/// </remarks>
internal sealed class OpenEdges
{
    private readonly List<(int Cell, int Row, int Column, double Push)> _faces = [];
    private readonly FlowField _field;

    public OpenEdges(FlowField field, double roughness)
    {
        _field = field;
        GridFrame f = field.Frame;
        double[] z = field.Bed;
        for (int r = 0; r < f.Rows; r++)
        {
            for (int c = 0; c < f.Columns; c++)
            {
                int i = field.Index(r, c);
                if (z[i] >= FlowRows.NoGround)
                {
                    continue;
                }

                foreach (int away in (ReadOnlySpan<int>)[1, -1, field.Stride, -field.Stride])
                {
                    double fall = z[i - away] < FlowRows.NoGround && z[i + away] >= FlowRows.NoGround ? (z[i - away] - z[i]) / f.CellSize : 0;
                    if (fall > 0)
                    {
                        _faces.Add((i, r, c, Math.Sqrt(fall) / roughness));
                    }
                }
            }
        }
    }

    /// <summary>Lets a step's water out of the tiles that take it whole, or of those that part it.</summary>
    /// <returns>Cubic metres.</returns>
    public double Drain(double step, double storage, TileMap tiles, bool fast)
    {
        double[] depth = _field.Depth;
        double share = step / _field.Frame.CellSize;
        double gone = 0;
        foreach ((int cell, int row, int column, double push) in _faces)
        {
            double free = depth[cell] - storage;
            if (free > 0 && tiles.Fast[tiles.Of(row, column)] == fast)
            {
                double root = Math.Cbrt(free);
                double leaves = Math.Min(free * root * root * push * share, free / 4);
                depth[cell] -= leaves;
                gone += leaves;
            }
        }

        return gone * _field.Frame.CellArea;
    }
}
