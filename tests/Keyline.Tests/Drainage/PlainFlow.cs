using Keyline.Drainage;
using Keyline.Elevation;

namespace Keyline.Tests.Drainage;

/// <summary>Plain and slow: what is carried along D8 directions, cell by cell in an order in which every cell comes after all that drain into it.</summary>
internal static class PlainFlow
{
    public static int[] Order(D8Directions directions)
    {
        int cells = directions.Codes.Length;
        int[] donors = new int[cells];
        for (int i = 0; i < cells; i++)
        {
            if (directions.HasGround(i) && directions.Receiver(i) is int below and >= 0)
            {
                donors[below]++;
            }
        }

        Queue<int> waiting = new(Enumerable.Range(0, cells).Where(i => directions.HasGround(i) && donors[i] == 0));
        List<int> order = [];
        while (waiting.TryDequeue(out int cell))
        {
            order.Add(cell);
            if (directions.Receiver(cell) is int below and >= 0 && --donors[below] == 0)
            {
                waiting.Enqueue(below);
            }
        }

        return [.. order];
    }

    public static double[] Down(D8Directions directions)
    {
        double[] length = Empty(directions);
        foreach (int cell in Order(directions).Reverse())
        {
            int below = directions.Receiver(cell);
            length[cell] = below < 0 ? 0 : length[below] + (Neighbours.Length(directions.Codes[cell]) * directions.Frame.CellSize);
        }

        return length;
    }

    public static double[] Up(D8Directions directions)
    {
        double[] length = Empty(directions);
        foreach (int cell in Order(directions))
        {
            if (directions.Receiver(cell) is int below and >= 0)
            {
                length[below] = Math.Max(length[below], length[cell] + (Neighbours.Length(directions.Codes[cell]) * directions.Frame.CellSize));
            }
        }

        return length;
    }

    public static byte[] Ranks(D8Directions directions, Grid<double> area, double channelArea)
    {
        byte[] rank = new byte[directions.Codes.Length];
        List<byte>[] inflow = [.. rank.Select(_ => new List<byte>())];
        foreach (int cell in Order(directions))
        {
            if (area.Values[cell] >= channelArea)
            {
                byte highest = inflow[cell].Count == 0 ? (byte)0 : inflow[cell].Max();
                rank[cell] = highest == 0 ? (byte)1 : (byte)(highest + (inflow[cell].Count(r => r == highest) > 1 ? 1 : 0));
                if (directions.Receiver(cell) is int below and >= 0)
                {
                    inflow[below].Add(rank[cell]);
                }
            }
        }

        return rank;
    }

    public static double[] Weighted(D8Directions directions, Grid<float> weights)
    {
        double[] sums = Empty(directions);
        foreach (int cell in Order(directions))
        {
            sums[cell] = weights.Values[cell];
            for (int direction = 0; direction < 8; direction++)
            {
                int donor = Neighbours.At(directions.Frame, cell, direction);
                if (donor >= 0 && directions.HasGround(donor) && directions.Receiver(donor) == cell)
                {
                    sums[cell] += sums[donor];
                }
            }
        }

        return [.. sums.Select(sum => sum * directions.Frame.CellArea)];
    }

    private static double[] Empty(D8Directions directions) =>
        [.. Enumerable.Range(0, directions.Codes.Length).Select(i => directions.HasGround(i) ? 0 : double.NaN)];
}
