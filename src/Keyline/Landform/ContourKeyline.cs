using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>The contour through a keypoint, out to where it turns from valley shape to ridge shape on either side.</summary>
public sealed class ContourKeyline
{
    internal ContourKeyline(int valleyNumber, LineString line, double height)
    {
        ValleyNumber = valleyNumber;
        Line = line;
        Height = height;
    }

    /// <summary>Number of the valley whose keypoint it runs through.</summary>
    public int ValleyNumber { get; }

    /// <summary>The line, metres, with the higher ground on its left.</summary>
    public LineString Line { get; }

    /// <summary>Height of the contour, metres.</summary>
    public double Height { get; }
}
