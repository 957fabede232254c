namespace Keyline.Elevation;

/// <summary>Fills what is missing in a field with a smooth continuation of what is there.</summary>
/// <remarks>
/// <para>Missing: NaN in, none out unless all is missing. Known values are not changed.</para>
/// <para>Cost: linear in the cells.</para>
/// <para>Source: pull-push interpolation, Gortler, Grzeszczuk, Szeliski and Cohen 1996, "The Lumigraph", section 3.4.</para>
/// </remarks>
internal static class PullPush
{
    public static void Fill(double[] values, int rows, int columns)
    {
        if (!Array.Exists(values, double.IsNaN))
        {
            return;
        }

        if (rows == 1 && columns == 1)
        {
            return;
        }

        int halfRows = (rows + 1) / 2;
        int halfColumns = (columns + 1) / 2;
        double[] half = new double[halfRows * halfColumns];
        for (int r = 0; r < halfRows; r++)
        {
            for (int c = 0; c < halfColumns; c++)
            {
                double sum = 0;
                int count = 0;
                for (int i = 2 * r; i < Math.Min((2 * r) + 2, rows); i++)
                {
                    for (int j = 2 * c; j < Math.Min((2 * c) + 2, columns); j++)
                    {
                        double v = values[(i * columns) + j];
                        if (!double.IsNaN(v))
                        {
                            sum += v;
                            count++;
                        }
                    }
                }

                half[(r * halfColumns) + c] = count > 0 ? sum / count : double.NaN;
            }
        }

        Fill(half, halfRows, halfColumns);
        bool[] missing = new bool[rows * columns];
        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < columns; c++)
            {
                int i = (r * columns) + c;
                missing[i] = double.IsNaN(values[i]);
                if (missing[i])
                {
                    values[i] = Between(half, halfRows, halfColumns, (r - 0.5) / 2, (c - 0.5) / 2);
                }
            }
        }

        Relax(values, missing, rows, columns);
    }

    private static double Between(double[] half, int rows, int columns, double r, double c)
    {
        r = Math.Clamp(r, 0, rows - 1);
        c = Math.Clamp(c, 0, columns - 1);
        int r0 = Math.Min((int)r, Math.Max(rows - 2, 0));
        int c0 = Math.Min((int)c, Math.Max(columns - 2, 0));
        int r1 = Math.Min(r0 + 1, rows - 1);
        int c1 = Math.Min(c0 + 1, columns - 1);
        double a = half[(r0 * columns) + c0] + ((c - c0) * (half[(r0 * columns) + c1] - half[(r0 * columns) + c0]));
        double b = half[(r1 * columns) + c0] + ((c - c0) * (half[(r1 * columns) + c1] - half[(r1 * columns) + c0]));
        return a + ((r - r0) * (b - a));
    }

    private static void Relax(double[] values, bool[] missing, int rows, int columns)
    {
        const int Rounds = 12;
        for (int round = 0; round < Rounds; round++)
        {
            for (int r = 0; r < rows; r++)
            {
                for (int c = 0; c < columns; c++)
                {
                    int i = (r * columns) + c;
                    if (!missing[i])
                    {
                        continue;
                    }

                    double north = r > 0 ? values[i - columns] : values[i];
                    double south = r < rows - 1 ? values[i + columns] : values[i];
                    double west = c > 0 ? values[i - 1] : values[i];
                    double east = c < columns - 1 ? values[i + 1] : values[i];
                    values[i] = 0.25 * (north + south + west + east);
                }
            }
        }
    }
}
