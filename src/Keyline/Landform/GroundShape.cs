using Keyline.Elevation;

namespace Keyline.Landform;

/// <summary>How the ground bends along the contour: into a valley or round a ridge.</summary>
/// <remarks>
/// <para>Units: 1/m. Positive where contours close in on a valley, negative on ridges. Missing: 0 where the height or one of
/// the eight neighbours is missing, and near the edge of the ground, where smoothing has only one side to go by.</para>
/// <para>Promises: contour curvature does not change when all heights are multiplied; both are exact on quadratic surfaces.</para>
/// <para>Cost: one smoothing and one 3 x 3 pass; 16 bytes a cell.</para>
/// <para>Source: contour (plan) curvature from the six-term quadratic of Evans 1980; use for channel heads after Passalacqua
/// et al. 2010 and Pelletier 2013.</para>
/// </remarks>
internal sealed class GroundShape
{
    /// <summary>Slopes below this are too flat for the direction of a contour to mean anything.</summary>
    private const double FlatSlope = 0.001;

    private GroundShape(Grid<float> contour, Grid<float> across)
    {
        ContourCurvature = contour;
        AcrossCurvature = across;
    }

    /// <summary>Curvature of the contour in plan.</summary>
    public Grid<float> ContourCurvature { get; }

    /// <summary>Second derivative of height along the contour's direction: contour curvature times slope.</summary>
    public Grid<float> AcrossCurvature { get; }

    public static GroundShape Measure(ElevationGrid broad, double edge, CancellationToken cancellationToken)
    {
        GridFrame f = broad.Frame;
        float[] z = broad.Array;
        int columns = f.Columns;
        float[] contour = new float[z.Length];
        float[] across = new float[z.Length];
        double h = f.CellSize;
        int margin = Math.Min((int)Math.Round(edge / h), Math.Min(f.Rows, f.Columns) / 8);
        bool[] near = NearEdge(f, z, Math.Max(1, margin), cancellationToken);
        for (int r = 1; r < f.Rows - 1; r++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            for (int c = 1; c < columns - 1; c++)
            {
                int at = (r * columns) + c;
                if (near[at])
                {
                    continue;
                }

                double nw = z[at - columns - 1], n = z[at - columns], ne = z[at - columns + 1];
                double w = z[at - 1], m = z[at], e = z[at + 1];
                double sw = z[at + columns - 1], s = z[at + columns], se = z[at + columns + 1];
                double p = (ne + e + se - nw - w - sw) / (6 * h);
                double q = (nw + n + ne - sw - s - se) / (6 * h);
                double rr = (nw + ne + w + e + sw + se - (2 * (n + m + s))) / (3 * h * h);
                double tt = (nw + n + ne + sw + s + se - (2 * (w + m + e))) / (3 * h * h);
                double ss = (ne + sw - nw - se) / (4 * h * h);
                double g2 = (p * p) + (q * q);
                double bend = (q * q * rr) - (2 * p * q * ss) + (p * p * tt);
                if (double.IsNaN(bend) || g2 == 0)
                {
                    continue;
                }

                across[at] = (float)(bend / g2);
                contour[at] = (float)(bend / g2 / Math.Max(Math.Sqrt(g2), FlatSlope));
            }
        }

        return new GroundShape(new Grid<float>(f, contour), new Grid<float>(f, across));
    }

    /// <summary>Cells within a number of cells of the grid's edge or of a missing cell, by two running passes.</summary>
    private static bool[] NearEdge(GridFrame f, float[] z, int cells, CancellationToken cancellationToken)
    {
        int rows = f.Rows;
        int columns = f.Columns;
        bool[] along = new bool[z.Length];
        for (int r = 0; r < rows; r++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            int since = 0;
            for (int c = 0; c < columns; c++)
            {
                int at = (r * columns) + c;
                since = float.IsNaN(z[at]) ? 0 : since + 1;
                along[at] = since <= cells;
            }

            since = 0;
            for (int c = columns - 1; c >= 0; c--)
            {
                int at = (r * columns) + c;
                since = float.IsNaN(z[at]) ? 0 : since + 1;
                along[at] |= since <= cells;
            }
        }

        bool[] near = new bool[z.Length];
        for (int c = 0; c < columns; c++)
        {
            cancellationToken.ThrowIfCancellationRequested();

            // A row outside the grid counts as near; so do the rows within reach of a cell that is near along its row
            // only because of a missing cell or the edge itself.
            int since = 0;
            for (int r = 0; r < rows; r++)
            {
                int at = (r * columns) + c;
                since = float.IsNaN(z[at]) ? 0 : since + 1;
                near[at] = along[at] || since <= cells;
            }

            since = 0;
            for (int r = rows - 1; r >= 0; r--)
            {
                int at = (r * columns) + c;
                since = float.IsNaN(z[at]) ? 0 : since + 1;
                near[at] |= since <= cells;
            }
        }

        return near;
    }
}
