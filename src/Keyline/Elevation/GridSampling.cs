namespace Keyline.Elevation;

/// <summary>Values between cell centres.</summary>
internal static class GridSampling
{
    /// <summary>Bilinear value at a place; NaN outside the frame or next to a missing cell that carries weight.</summary>
    public static double Bilinear(float[] values, GridFrame frame, double x, double y)
    {
        if (!Locate(frame, x, y, out int row, out int column, out double down, out double right))
        {
            return double.NaN;
        }

        int a = (row * frame.Columns) + column;
        int below = down > 0 ? frame.Columns : 0;
        int beside = right > 0 ? 1 : 0;
        double north = values[a] + (right * (values[a + beside] - (double)values[a]));
        double south = values[a + below] + (right * (values[a + below + beside] - (double)values[a + below]));
        return north + (down * (south - north));
    }

    /// <inheritdoc cref="Bilinear(float[], GridFrame, double, double)"/>
    public static double Bilinear(double[] values, GridFrame frame, double x, double y)
    {
        if (!Locate(frame, x, y, out int row, out int column, out double down, out double right))
        {
            return double.NaN;
        }

        int a = (row * frame.Columns) + column;
        int below = down > 0 ? frame.Columns : 0;
        int beside = right > 0 ? 1 : 0;
        double north = values[a] + (right * (values[a + beside] - values[a]));
        double south = values[a + below] + (right * (values[a + below + beside] - values[a + below]));
        return north + (down * (south - north));
    }

    private static bool Locate(GridFrame frame, double x, double y, out int row, out int column, out double down, out double right)
    {
        double c = frame.ColumnAt(x);
        double r = frame.RowAt(y);
        row = column = 0;
        down = right = 0;
        if (!(c >= -0.5 && c <= frame.Columns - 0.5 && r >= -0.5 && r <= frame.Rows - 0.5))
        {
            return false;
        }

        c = Math.Clamp(c, 0, frame.Columns - 1);
        r = Math.Clamp(r, 0, frame.Rows - 1);
        column = Math.Min((int)c, Math.Max(frame.Columns - 2, 0));
        row = Math.Min((int)r, Math.Max(frame.Rows - 2, 0));
        right = c - column;
        down = r - row;
        return true;
    }
}
