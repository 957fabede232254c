using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Carries something down the flow: from every divide down to where another stream is still awaited.</summary>
/// <typeparam name="TCarried">What is carried and what becomes of it in a cell.</typeparam>
/// <typeparam name="TAmount">An amount of it.</typeparam>
internal sealed class FlowWalk<TCarried, TAmount>(byte[] codes, byte[] donors, TCarried carried, int columns)
    where TCarried : struct, ICarried<TAmount>
    where TAmount : unmanaged
{
    private readonly int[] _steps = Neighbours.PlaceSteps(columns);

    private readonly List<(int Cell, TAmount Amount)> _crossings = [];

    /// <summary>What flowed beyond the cells worked on, and where to.</summary>
    public IReadOnlyList<(int Cell, TAmount Amount)> Crossings => _crossings;

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
    public void Receive((int Cell, TAmount Amount) crossing, int first, int end)
    {
        carried.Enter(crossing.Cell, crossing.Amount);
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
            TAmount amount = carried.Leave(cell, codes[cell]);
            if (ends)
            {
                return;
            }

            int next = cell + _steps[codes[cell]];
            if (next < first || next >= end)
            {
                _crossings.Add((next, amount));
                return;
            }

            carried.Enter(next, amount);
            if ((--donors[next] & DonorCounts.Count) != 0)
            {
                return;
            }

            cell = next;
        }
    }
}
