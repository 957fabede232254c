using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>One contour for neighbouring valleys whose keypoints lie at nearly one height.</summary>
public sealed class CommonKeyline
{
    internal CommonKeyline(IReadOnlyList<int> valleyNumbers, LineString line, double height, double spread) =>
        (ValleyNumbers, Line, Height, Spread) = (valleyNumbers, line, height, spread);

    /// <summary>Numbers of the valleys, in their order along the line.</summary>
    public IReadOnlyList<int> ValleyNumbers { get; }

    /// <summary>The line, metres, with the higher ground on its left.</summary>
    public LineString Line { get; }

    /// <summary>Height of the contour, the mean of the keypoints', metres.</summary>
    public double Height { get; }

    /// <summary>Highest keypoint less lowest, metres.</summary>
    public double Spread { get; }
}
