using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>What each cell gives before anything flows in.</summary>
internal static class FlowWeights
{
    /// <summary>1 or the cell's weight; NaN where there is no ground.</summary>
    /// <exception cref="ArgumentException">The weights lie on another frame, or the weight of a cell with ground is missing,
    /// negative or infinite.</exception>
    public static double[] Start(GridFrame frame, ReadOnlySpan<bool> ground, Grid<float>? weights)
    {
        if (weights is not null && !weights.Frame.Equals(frame))
        {
            throw new ArgumentException("The weights do not lie on the frame of the directions.", nameof(weights));
        }

        double[] start = new double[ground.Length];
        for (int i = 0; i < start.Length; i++)
        {
            start[i] = !ground[i] ? double.NaN : weights is null ? 1 : weights.Array[i];
            if (weights is not null && ground[i] && !(start[i] >= 0 && start[i] <= float.MaxValue))
            {
                throw new ArgumentException(
                    FormattableString.Invariant($"The weight {start[i]} at row {i / frame.Columns}, column {i % frame.Columns} is not a finite number from 0 up; give every cell with ground one."),
                    nameof(weights));
            }
        }

        return start;
    }
}
