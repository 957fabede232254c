namespace Keyline.Layout.Even;

/// <summary>Whether neighbouring nodes count lines the same way or the opposite way.</summary>
/// <remarks>
/// <para>Lines have no front: counting them up or down makes the same lines. Downhill turns round across a crest or a valley
/// floor though the lines either side of it run alike, so there a node is joined to its neighbour counted backwards. Around
/// a face whose four signs multiply to -1 no count goes through: the end of a crest or of a floor.</para>
/// <para>East[i] joins node i to the next in its row, South[i] to the next in its column: +1 or -1.</para>
/// </remarks>
internal sealed class NodeSigns
{
    private NodeSigns(int rows, int columns)
    {
        Rows = rows;
        Columns = columns;
        East = new sbyte[rows * columns];
        South = new sbyte[rows * columns];
        Array.Fill(East, (sbyte)1);
        Array.Fill(South, (sbyte)1);
    }

    public int Rows { get; }

    public int Columns { get; }

    public sbyte[] East { get; }

    public sbyte[] South { get; }

    /// <summary>All signs +1.</summary>
    public static NodeSigns Plain(int rows, int columns) => new(rows, columns);

    /// <summary>Signs that turn neighbouring vectors toward each other.</summary>
    /// <param name="rows">Rows of nodes.</param>
    /// <param name="columns">Nodes in a row.</param>
    /// <param name="east">East components.</param>
    /// <param name="south">South components.</param>
    public static NodeSigns Of(int rows, int columns, double[] east, double[] south)
    {
        NodeSigns signs = new(rows, columns);
        for (int i = 0; i < east.Length; i++)
        {
            if (i % columns < columns - 1 && (east[i] * east[i + 1]) + (south[i] * south[i + 1]) < 0)
            {
                signs.East[i] = -1;
            }

            if (i + columns < east.Length && (east[i] * east[i + columns]) + (south[i] * south[i + columns]) < 0)
            {
                signs.South[i] = -1;
            }
        }

        return signs;
    }

    /// <summary>Signs of the land: those of the fall lines once what a few metres of roughness do is smoothed away.</summary>
    /// <remarks>Directions without a front are smoothed at twice their angle, as lines are in structure tensors (Bigun and
    /// Granlund 1987), each by its slope; then each node's downhill is compared with its neighbour's along that.</remarks>
    public static NodeSigns OfLand(NodeGrid grid, double smoothing)
    {
        int rows = grid.Frame.Rows;
        int columns = grid.Frame.Columns;
        int n = grid.Count;
        double[] re = new double[n];
        double[] im = new double[n];
        for (int i = 0; i < n; i++)
        {
            double e = grid.DownEast[i];
            double s = grid.DownSouth[i];
            re[i] = ((e * e) - (s * s)) * grid.Slope[i];
            im[i] = 2 * e * s * grid.Slope[i];
        }

        int passes = Math.Max(1, (int)Math.Round(2 * Math.Pow(smoothing / grid.Frame.CellSize, 2)));
        for (int k = 0; k < passes; k++)
        {
            re = Blur(re, rows, columns);
            im = Blur(im, rows, columns);
        }

        double[] east = new double[n];
        double[] south = new double[n];
        for (int i = 0; i < n; i++)
        {
            double half = 0.5 * Math.Atan2(im[i], re[i]);
            (south[i], east[i]) = Math.SinCos(half);
            if ((east[i] * grid.DownEast[i]) + (south[i] * grid.DownSouth[i]) < 0)
            {
                (east[i], south[i]) = (-east[i], -south[i]);
            }
        }

        return Of(rows, columns, east, south);
    }

    /// <summary>Signs of a face's other corners as seen from its north-west one, and whether a count goes through around it.</summary>
    public (int NorthEast, int SouthWest, int SouthEast, bool Through) Face(int i)
    {
        int northEast = East[i];
        int southWest = South[i];
        int right = northEast * South[i + 1];
        int left = southWest * East[i + Columns];
        return (northEast, southWest, right, right == left);
    }

    // One pass of the binomial weights 1 2 1 along rows and columns; the edge repeats.
    private static double[] Blur(double[] a, int rows, int columns)
    {
        double[] b = new double[a.Length];
        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < columns; c++)
            {
                int i = (r * columns) + c;
                b[i] = (0.5 * a[i]) + (0.25 * (a[c > 0 ? i - 1 : i] + a[c < columns - 1 ? i + 1 : i]));
            }
        }

        for (int i = 0; i < a.Length; i++)
        {
            a[i] = (0.5 * b[i]) + (0.25 * (b[i >= columns ? i - columns : i] + b[i + columns < b.Length ? i + columns : i]));
        }

        return a;
    }
}
