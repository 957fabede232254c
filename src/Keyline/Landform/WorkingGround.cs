using Keyline.Elevation;

namespace Keyline.Landform;

/// <summary>Thins a fine grid to cells no finer than valleys need.</summary>
/// <remarks>
/// <para>Units: metres. Missing: a thinned cell is missing where fewer than half its fine cells have heights.</para>
/// <para>Promises: exact on planes away from missing cells. Cells of the result are whole blocks of fine cells;
/// rows and columns left over at the south and east are dropped.</para>
/// <para>Cost: one pass.</para>
/// <para>Source: own; ground smoothed over several metres loses nothing that matters to a valley.</para>
/// </remarks>
internal static class WorkingGround
{
    /// <summary>Cells wider than this are never made by thinning, metres.</summary>
    private const double WidestCell = 4.0;

    public static ElevationGrid Thin(ElevationGrid ground) => Thin(ground, WidestCell);

    /// <summary>Thins to cells no wider than a width, metres.</summary>
    public static ElevationGrid Thin(ElevationGrid ground, double widest)
    {
        GridFrame f = ground.Frame;
        int block = 1;
        while ((block + 1) * f.CellSize <= widest && Math.Min(f.Rows, f.Columns) / (block + 1) >= 8)
        {
            block++;
        }

        if (block == 1)
        {
            return ground;
        }

        int rows = f.Rows / block;
        int columns = f.Columns / block;
        float[] thinned = new float[checked(rows * columns)];
        float[] z = ground.Array;
        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < columns; c++)
            {
                double sum = 0;
                int n = 0;
                for (int i = 0; i < block; i++)
                {
                    int at = (((r * block) + i) * f.Columns) + (c * block);
                    for (int j = 0; j < block; j++)
                    {
                        float h = z[at + j];
                        if (!float.IsNaN(h))
                        {
                            sum += h;
                            n++;
                        }
                    }
                }

                thinned[(r * columns) + c] = 2 * n > block * block ? (float)(sum / n) : float.NaN;
            }
        }

        return new ElevationGrid(new GridFrame(rows, columns, f.CellSize * block, f.West, f.North), thinned);
    }
}
