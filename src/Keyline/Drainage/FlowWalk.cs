using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Carries amounts down the flow: from every divide down to where another stream is still awaited.</summary>
internal sealed class FlowWalk(byte[] codes, byte[] donors, double[] amounts, int columns)
{
    private readonly int[] _steps = [.. Enumerable.Range(0, Neighbours.Count).Select(
        direction => (Neighbours.RowStep(direction) * columns) + Neighbours.ColumnStep(direction))];

    private readonly List<(int Cell, double Amount)> _crossings = [];

    /// <summary>What flowed beyond the cells worked on, and where to.</summary>
    public IReadOnlyList<(int Cell, double Amount)> Crossings => _crossings;

    /// <summary>Walks down from every divide among some cells; flow into cells beyond them is kept as a crossing.</summary>
    public void FromDivides(int first, int end)
    {
        for (int cell = first; cell < end; cell++)
        {
            if ((donors[cell] & DonorCounts.Count) == 0)
            {
                Down(cell, first, end);
            }
        }
    }

    /// <summary>Takes in a crossing and walks on from it where it was the last one awaited.</summary>
    public void Receive((int Cell, double Amount) crossing, int first, int end)
    {
        amounts[crossing.Cell] += crossing.Amount;
        if ((--donors[crossing.Cell] & DonorCounts.Count) == 0)
        {
            Down(crossing.Cell, first, end);
        }
    }

    private void Down(int cell, int first, int end)
    {
        // A walk comes by a cell once. Marked as missing, it is not a divide to whoever comes later.
        while (true)
        {
            bool ends = (donors[cell] & DonorCounts.Ends) != 0;
            donors[cell] = DonorCounts.Missing;
            if (ends)
            {
                return;
            }

            int next = cell + _steps[codes[cell]];
            if (next < first || next >= end)
            {
                _crossings.Add((next, amounts[cell]));
                return;
            }

            amounts[next] += amounts[cell];
            if ((--donors[next] & DonorCounts.Count) != 0)
            {
                return;
            }

            cell = next;
        }
    }
}
