using Keyline.Elevation;

namespace Keyline.Layout.Even;

/// <summary>The solved field and its windows between nodes, counted as the nearest node counts.</summary>
internal readonly record struct FieldSample(double East, double South, double MiddleEast, double MiddleSouth, double DownEast, double DownSouth, double Tangent, double Across, bool Work)
{
    /// <summary>Bilinear over the corners that count; all zero where none does.</summary>
    public static FieldSample At(SpacingField field, double x, double y)
    {
        GridFrame frame = field.Grid.Frame;
        double column = Math.Clamp(frame.ColumnAt(x), 0, frame.Columns - 1);
        double row = Math.Clamp(frame.RowAt(y), 0, frame.Rows - 1);
        int c0 = Math.Min((int)column, Math.Max(frame.Columns - 2, 0));
        int r0 = Math.Min((int)row, Math.Max(frame.Rows - 2, 0));
        double right = column - c0;
        double below = row - r0;
        SpacingProblem problem = field.Problem;
        int reference = -1;
        double most = 0;
        Span<double> weights = stackalloc double[4];
        Span<int> nodes = stackalloc int[4];
        for (int k = 0; k < 4; k++)
        {
            int r = Math.Min(r0 + (k >> 1), frame.Rows - 1);
            int c = Math.Min(c0 + (k & 1), frame.Columns - 1);
            nodes[k] = (r * frame.Columns) + c;
            double weight = ((k >> 1) == 1 ? below : 1 - below) * ((k & 1) == 1 ? right : 1 - right);
            weights[k] = problem.Domain[nodes[k]] ? weight : 0;
            if (weights[k] > most)
            {
                (most, reference) = (weights[k], nodes[k]);
            }
        }

        if (reference < 0)
        {
            return default;
        }

        double sum = 0;
        double work = 0;
        (double east, double south, double middleEast, double middleSouth, double downEast, double downSouth, double tangent, double across) = (0, 0, 0, 0, 0, 0, 0, 0);
        for (int k = 0; k < 4; k++)
        {
            int i = nodes[k];
            double weight = weights[k];
            double side = (field.East[i] * field.East[reference]) + (field.South[i] * field.South[reference]) < 0 ? -weight : weight;
            double middle = (problem.MiddleEast[i] * field.East[reference]) + (problem.MiddleSouth[i] * field.South[reference]) < 0 ? -weight : weight;
            double down = (field.Grid.DownEast[i] * field.East[reference]) + (field.Grid.DownSouth[i] * field.South[reference]) < 0 ? -weight : weight;
            sum += weight;
            east += side * field.East[i];
            south += side * field.South[i];
            middleEast += middle * problem.MiddleEast[i];
            middleSouth += middle * problem.MiddleSouth[i];
            downEast += down * field.Grid.DownEast[i];
            downSouth += down * field.Grid.DownSouth[i];
            tangent += weight * problem.Tangent[i];
            across += weight * problem.Across[i];
            work += field.Grid.Work[i] ? weight : 0;
        }

        double steep = Math.Max(Math.Sqrt((downEast * downEast) + (downSouth * downSouth)), 1e-9);
        double norm = Math.Max(Math.Sqrt((middleEast * middleEast) + (middleSouth * middleSouth)), 1e-9);
        return new FieldSample(east / sum, south / sum, middleEast / norm, middleSouth / norm, downEast / steep, downSouth / steep, tangent / sum, across / sum, work > 0.4 * sum);
    }
}
