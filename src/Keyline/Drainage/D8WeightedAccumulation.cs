using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Adds up weight times area along D8 directions.</summary>
/// <remarks>Weights round when they add up, so that the order counts: every cell adds its own share first and then those of its
/// donors in the order of their directions, once all are done. The walk itself may go as it likes.</remarks>
internal static class D8WeightedAccumulation
{
    public static Grid<double> Compute(D8Directions directions, Grid<float> weights, CancellationToken cancellationToken)
    {
        GridFrame frame = directions.Frame;
        double[] sums = FlowWeights.Start(frame, directions.GroundArray, weights);
        FlowBands.Carry<Shares, bool>(directions, new Shares(directions, sums), (_, _) => { }, cancellationToken);
        for (int i = 0; i < sums.Length; i++)
        {
            sums[i] *= frame.CellArea;
        }

        return new Grid<double>(frame, sums);
    }

    // Nothing is handed on: a cell asks its donors.
    private readonly struct Shares(D8Directions directions, double[] sums) : ICarried<bool>
    {
        public void Enter(int cell, bool amount)
        {
        }

        public bool Leave(int cell, byte code)
        {
            double sum = sums[cell];
            for (int direction = 0; direction < Neighbours.Count; direction++)
            {
                int donor = Neighbours.At(directions.Frame, cell, direction);
                if (donor >= 0 && directions.CodeArray[donor] == Neighbours.Opposite(direction) && directions.HasGround(donor))
                {
                    sum += sums[donor];
                }
            }

            sums[cell] = sum;
            return true;
        }
    }
}
