namespace Keyline.Landform;

/// <summary>Keypoints of the valleys that head on one side of a main ridge, in their order up the ridge.</summary>
/// <param name="RidgeNumber">Number of the ridge.</param>
/// <param name="ValleyNumbers">Numbers of the valleys, from the ridge's lower end to its higher one.</param>
/// <param name="Heights">Heights of their keypoints, metres.</param>
/// <param name="RisingSteps">How many of the steps from one to the next rise.</param>
/// <remarks>That keypoints rise with the rising main ridge is P. A. Yeomans's, The City Forest, 1971, ch. 3.</remarks>
public sealed record KeypointSequence(int RidgeNumber, IReadOnlyList<int> ValleyNumbers, IReadOnlyList<double> Heights, int RisingSteps)
{
    /// <summary>Whether every keypoint lies higher than the one before.</summary>
    public bool Rises => RisingSteps == Heights.Count - 1;
}
