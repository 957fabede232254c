using Keyline.Elevation;

namespace Keyline.Water;

/// <summary>Beds, depths, flows and what the soil took, on a grid with a rim of no ground around it.</summary>
internal sealed class FlowField
{
    private FlowField(GridFrame frame, int stride, double lowest)
    {
        int cells = checked((frame.Rows + 3) * stride);
        Frame = frame;
        Stride = stride;
        Base = lowest;
        Bed = new double[cells];
        Depth = new double[cells];
        Taken = new double[cells];
        FlowX = [new float[cells], new float[cells]];
        FlowY = [new float[cells], new float[cells]];
        Deepest = new double[cells];
    }

    public GridFrame Frame { get; }

    /// <summary>Cells from one row to the next.</summary>
    public int Stride { get; }

    /// <summary>Height that beds are counted from, metres.</summary>
    public double Base { get; }

    public double[] Bed { get; }

    public double[] Depth { get; }

    /// <summary>Metres in the soil.</summary>
    public double[] Taken { get; }

    /// <summary>Flow through the west, and the north, face of each cell, for two steps by turns.</summary>
    public float[][] FlowX { get; }

    public float[][] FlowY { get; }

    /// <summary>The deepest that water stood, metres.</summary>
    public double[] Deepest { get; }

    /// <summary>Cells with ground.</summary>
    public long Known { get; private set; }

    public static FlowField Of(ElevationGrid ground)
    {
        GridFrame f = ground.Frame;
        double lowest = double.PositiveInfinity;
        foreach (float z in ground.Heights)
        {
            lowest = z < lowest ? z : lowest;
        }

        int stride = (f.Columns + 2 + FlowRows.Block + FlowRows.Block - 1) / FlowRows.Block * FlowRows.Block;
        FlowField field = new(f, stride, double.IsInfinity(lowest) ? 0 : lowest);
        Array.Fill(field.Bed, FlowRows.NoGround);
        for (int r = 0; r < f.Rows; r++)
        {
            ReadOnlySpan<float> row = ground.Row(r);
            for (int c = 0; c < row.Length; c++)
            {
                if (!float.IsNaN(row[c]))
                {
                    field.Bed[field.Index(r, c)] = row[c] - field.Base;
                    field.Known++;
                }
            }
        }

        return field;
    }

    /// <summary>Number of a cell.</summary>
    public int Index(int row, int column) => ((row + 1) * Stride) + column + 1;

    /// <summary>Each row as runs of cells with one soil.</summary>
    public (int From, int To, int Soil)[][] Runs(SoilMap soils)
    {
        return [.. Enumerable.Range(0, Frame.Rows).Select(Of)];

        (int From, int To, int Soil)[] Of(int row)
        {
            List<(int, int, int)> runs = [];
            int start = 0;
            for (int c = 1; c <= Frame.Columns; c++)
            {
                int soil = soils.IndexOf((row * Frame.Columns) + start);
                if (c == Frame.Columns || soils.IndexOf((row * Frame.Columns) + c) != soil)
                {
                    runs.Add((Index(row, start), Index(row, c), soil));
                    start = c;
                }
            }

            return [.. runs];
        }
    }

    /// <summary>One of the fields as a grid of its own, missing where there is no ground.</summary>
    public Grid<float> Map(double[] values, double factor)
    {
        float[] map = new float[Frame.CellCount];
        for (int r = 0; r < Frame.Rows; r++)
        {
            for (int c = 0; c < Frame.Columns; c++)
            {
                int i = Index(r, c);
                map[(r * Frame.Columns) + c] = Bed[i] < FlowRows.NoGround ? (float)(values[i] * factor) : float.NaN;
            }
        }

        return Grid.Copy<float>(Frame, map);
    }

    /// <summary>Sum over all cells.</summary>
    public static double Sum(double[] values)
    {
        double sum = 0;
        double lost = 0;
        foreach (double v in values)
        {
            // Neumaier's sum: a balance to 1e-9 must not be lost in adding.
            double t = sum + v;
            lost += Math.Abs(sum) >= Math.Abs(v) ? sum - t + v : v - t + sum;
            sum = t;
        }

        return sum + lost;
    }
}
