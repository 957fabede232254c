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
        int[] order = DownstreamOrder.Of(directions, cancellationToken);
        for (int k = 0; k < order.Length; k++)
        {
            cancellationToken.ThrowIfCancellationRequested(k);
            int cell = order[k];
            double sum = sums[cell];
            for (int direction = 0; direction < Neighbours.Count; direction++)
            {
                int donor = Neighbours.At(frame, cell, direction);
                if (donor >= 0 && directions.Codes[donor] == Neighbours.Opposite(direction) && directions.HasGround(donor))
                {
                    sum += sums[donor];
                }
            }

            sums[cell] = sum;
        }

        for (int i = 0; i < sums.Length; i++)
        {
            sums[i] *= frame.CellArea;
        }

        return new Grid<double>(frame, sums);
    }
}
