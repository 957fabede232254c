using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Drainage;

/// <summary>The cells a line runs through, each once, in its order.</summary>
internal static class TouchedCells
{
    public static IReadOnlyList<int> Of(GridFrame frame, LineString line)
    {
        List<int> cells = [];
        HashSet<int> met = [];
        for (int i = 1; i < line.NumPoints; i++)
        {
            Coordinate a = line.GetCoordinateN(i - 1);
            Coordinate b = line.GetCoordinateN(i);
            Walk(frame, a, b, cells, met);
        }

        return cells;
    }

    // Cuts the stretch where it crosses from column to column and from row to row; between two cuts it lies in one cell.
    private static void Walk(GridFrame frame, Coordinate a, Coordinate b, List<int> cells, HashSet<int> met)
    {
        (double fromColumn, double toColumn) = (frame.ColumnAt(a.X) + 0.5, frame.ColumnAt(b.X) + 0.5);
        (double fromRow, double toRow) = (frame.RowAt(a.Y) + 0.5, frame.RowAt(b.Y) + 0.5);
        List<double> cuts = [0, 1];
        AddCuts(cuts, fromColumn, toColumn, frame.Columns);
        AddCuts(cuts, fromRow, toRow, frame.Rows);
        cuts.Sort();
        for (int i = 1; i < cuts.Count; i++)
        {
            double t = (cuts[i - 1] + cuts[i]) / 2;
            int row = (int)Math.Floor(fromRow + (t * (toRow - fromRow)));
            int column = (int)Math.Floor(fromColumn + (t * (toColumn - fromColumn)));
            int cell = (row * frame.Columns) + column;
            if (frame.Contains(row, column) && met.Add(cell))
            {
                cells.Add(cell);
            }
        }
    }

    private static void AddCuts(List<double> cuts, double from, double to, int count)
    {
        if (from.Equals(to))
        {
            return;
        }

        int first = Math.Max((int)Math.Ceiling(Math.Clamp(Math.Min(from, to), 0, count)), 0);
        int last = (int)Math.Floor(Math.Clamp(Math.Max(from, to), 0, count));
        for (int k = first; k <= last; k++)
        {
            double t = (k - from) / (to - from);
            if (t > 0 && t < 1)
            {
                cuts.Add(t);
            }
        }
    }
}
