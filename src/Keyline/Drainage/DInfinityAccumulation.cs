using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Adds up area or weighted area along directions that share the water between two cells.</summary>
/// <remarks>
/// <para>Cells are walked from the divides down, each once all that drains into it has been added. The walk is one after the
/// other and in a fixed order, so that sums are rounded alike every time.</para>
/// <para>Cost: linear in cells; 10 bytes a cell, and a list of cells put off that stays short on real ground.</para>
/// <para>Source: the dependence counts of Freeman 1991, Computers and Geosciences 17(3), 413-422, in place of the recursion
/// of Tarboton 1997.</para>
/// </remarks>
internal static class DInfinityAccumulation
{
    private const byte Done = 255;
    private const byte FirstWay = 1;
    private const byte SecondWay = 2;

    /// <summary>Adds up; the weights stand for 1 in every cell where there are none.</summary>
    public static Grid<double> Compute(DInfinityDirections directions, Grid<float>? weights, CancellationToken cancellationToken)
    {
        GridFrame frame = directions.Frame;
        double[] sums = FlowWeights.Start(frame, directions.Ground, weights);
        byte[] ways = new byte[sums.Length];
        byte[] donors = CountDonors(directions, ways, cancellationToken);
        Walk(directions, ways, donors, sums, cancellationToken);
        for (int i = 0; i < sums.Length; i++)
        {
            sums[i] *= frame.CellArea;
        }

        return new Grid<double>(frame, sums);
    }

    /// <summary>Counts what drains into each cell, and finds which of a cell's two ways lead to another cell with ground.</summary>
    private static byte[] CountDonors(DInfinityDirections directions, byte[] ways, CancellationToken cancellationToken)
    {
        float[] degrees = directions.Array;
        GridFrame frame = directions.Frame;
        byte[] donors = new byte[degrees.Length];
        for (int row = 0, i = 0; row < frame.Rows; row++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            for (int column = 0; column < frame.Columns; column++, i++)
            {
                if (float.IsNaN(degrees[i]))
                {
                    continue;
                }

                double part = DInfinityDirections.Split(degrees[i], out int direction);
                int receiver = At(directions, i, column, direction);
                if (receiver >= 0)
                {
                    donors[receiver]++;
                    ways[i] |= FirstWay;
                }

                receiver = part > 0 ? At(directions, i, column, (direction + 1) & 7) : -1;
                if (receiver >= 0)
                {
                    donors[receiver]++;
                    ways[i] |= SecondWay;
                }
            }
        }

        return donors;
    }

    private static void Walk(DInfinityDirections directions, byte[] ways, byte[] donors, double[] sums, CancellationToken cancellationToken)
    {
        float[] degrees = directions.Array;
        int columns = directions.Frame.Columns;
        Span<int> steps = stackalloc int[Neighbours.Count + 1];
        for (int direction = 0; direction < steps.Length; direction++)
        {
            int turned = direction & 7;
            steps[direction] = (Neighbours.RowStep(turned) * columns) + Neighbours.ColumnStep(turned);
        }

        Stack<int> putOff = new();
        for (int start = 0; start < donors.Length; start++)
        {
            cancellationToken.ThrowIfCancellationRequested(start);
            if (donors[start] != 0)
            {
                continue;
            }

            int cell = start;
            do
            {
                donors[cell] = Done;
                int next = -1;
                int leads = ways[cell];
                if (leads != 0)
                {
                    double part = DInfinityDirections.Split(degrees[cell], out int direction);
                    double sum = sums[cell];
                    if ((leads & FirstWay) != 0)
                    {
                        int receiver = cell + steps[direction];
                        sums[receiver] += sum * (1 - part);
                        next = --donors[receiver] == 0 ? receiver : -1;
                    }

                    if ((leads & SecondWay) != 0)
                    {
                        int receiver = cell + steps[direction + 1];
                        sums[receiver] += sum * part;
                        if (--donors[receiver] == 0)
                        {
                            if (next >= 0)
                            {
                                putOff.Push(receiver);
                            }
                            else
                            {
                                next = receiver;
                            }
                        }
                    }
                }

                cell = next;
            }
            while (cell >= 0 || putOff.TryPop(out cell));
        }

        int stuck = donors.AsSpan().IndexOfAnyExcept(Done);
        if (stuck >= 0)
        {
            ThrowLoop(directions, donors, stuck);
        }
    }

    // What waits has a donor that waits, so going up from one to the next comes back to a cell already met, and that cell is in
    // a loop; a cell that waits below a loop need not be.
    private static void ThrowLoop(DInfinityDirections directions, byte[] donors, int stuck)
    {
        int columns = directions.Frame.Columns;
        HashSet<int> met = [];
        while (met.Add(stuck))
        {
            for (int direction = 0; direction < Neighbours.Count; direction++)
            {
                int donor = Neighbours.At(directions.Frame, stuck, direction);
                if (donor >= 0 && donors[donor] != Done && Flows(directions.Array[donor], Neighbours.Opposite(direction)))
                {
                    stuck = donor;
                    break;
                }
            }
        }

        throw new FlowLoopException(stuck / columns, stuck % columns);
    }

    private static bool Flows(float degrees, int direction)
    {
        if (float.IsNaN(degrees))
        {
            return false;
        }

        double part = DInfinityDirections.Split(degrees, out int first);
        return first == direction || (part > 0 && ((first + 1) & 7) == direction);
    }

    // The cell in a direction; -1 off the grid or onto a missing cell.
    private static int At(DInfinityDirections directions, int cell, int column, int direction)
    {
        int columns = directions.Frame.Columns;
        int step = Neighbours.ColumnStep(direction);
        int next = cell + (Neighbours.RowStep(direction) * columns) + step;
        return (uint)(column + step) < (uint)columns && (uint)next < (uint)directions.Ground.Length && directions.Ground[next] ? next : -1;
    }
}
