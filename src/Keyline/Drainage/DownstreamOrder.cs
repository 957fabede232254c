using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Puts cells in an order in which every cell comes after all that drain into it.</summary>
internal static class DownstreamOrder
{
    /// <summary>The cells with ground, divides first.</summary>
    /// <exception cref="FlowLoopException">The directions run in a loop.</exception>
    public static int[] Of(D8Directions directions, CancellationToken cancellationToken)
    {
        int cells = directions.Codes.Length;
        byte[] donors = new byte[cells];
        int ground = 0;
        for (int i = 0; i < cells; i++)
        {
            cancellationToken.ThrowIfCancellationRequested(i);
            ground += directions.HasGround(i) ? 1 : 0;
            int receiver = directions.Receiver(i);
            if (receiver >= 0)
            {
                donors[receiver]++;
            }
        }

        // The order serves as its own queue: cells before the head are done with, those behind it wait.
        int[] order = new int[ground];
        int tail = 0;
        for (int i = 0; i < cells; i++)
        {
            if (directions.HasGround(i) && donors[i] == 0)
            {
                order[tail++] = i;
            }
        }

        for (int head = 0; head < tail; head++)
        {
            cancellationToken.ThrowIfCancellationRequested(head);
            int receiver = directions.Receiver(order[head]);
            if (receiver >= 0 && --donors[receiver] == 0)
            {
                order[tail++] = receiver;
            }
        }

        if (tail < ground)
        {
            // Nothing drains out of a loop, and what drains into one has been taken off, so a cell still waiting is in one.
            int stuck = Array.FindIndex(donors, count => count > 0);
            throw new FlowLoopException(stuck / directions.Frame.Columns, stuck % directions.Frame.Columns);
        }

        return order;
    }
}
