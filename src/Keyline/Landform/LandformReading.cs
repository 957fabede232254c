using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>What the ground shows: valleys, ridges, keypoints, keylines, and where each cell stands between valley and ridge.</summary>
/// <remarks>All lines and points are in the grid's projected metres with heights as Z.</remarks>
public sealed class LandformReading
{
    internal LandformReading(
        IReadOnlyList<ValleyLine> valleys,
        IReadOnlyList<RidgeLine> ridges,
        IReadOnlyList<Keypoint> keypoints,
        IReadOnlyList<ContourKeyline> keylines,
        Grid<float> position)
    {
        Valleys = valleys;
        Ridges = ridges;
        Keypoints = keypoints;
        Keylines = keylines;
        Position = position;
    }

    /// <summary>Valley floors, each from its head downstream, numbered from 1 in the order of the list.</summary>
    public IReadOnlyList<ValleyLine> Valleys { get; }

    /// <summary>Ridge crests, numbered from 1 in the order of the list.</summary>
    public IReadOnlyList<RidgeLine> Ridges { get; }

    /// <summary>Keypoints found; a valley with no clear break of slope has none.</summary>
    public IReadOnlyList<Keypoint> Keypoints { get; }

    /// <summary>The keyline of each keypoint.</summary>
    public IReadOnlyList<ContourKeyline> Keylines { get; }

    /// <summary>Landform position: 0 on valley lines, 1 on ridge lines, smooth between; NaN where the height is missing.
    /// Where the ground has neither valley nor ridge it is 0.5 throughout.</summary>
    public Grid<float> Position { get; }
}

/// <summary>The floor line of one valley.</summary>
public sealed class ValleyLine
{
    internal ValleyLine(int number, LineString line, int order, double catchmentArea, bool isPrimary)
    {
        Number = number;
        Line = line;
        Order = order;
        CatchmentArea = catchmentArea;
        IsPrimary = isPrimary;
    }

    /// <summary>Number of the valley, from 1.</summary>
    public int Number { get; }

    /// <summary>The floor from head to foot, metres, Z the ground height.</summary>
    public LineString Line { get; }

    /// <summary>Strahler order at the foot, from 1.</summary>
    public int Order { get; }

    /// <summary>Ground that drains through the foot, square metres within the grid.</summary>
    public double CatchmentArea { get; }

    /// <summary>True for a primary valley: one that rises from the valley below to the ridge above.</summary>
    public bool IsPrimary { get; }

    /// <summary>Length of the floor in metres, measured on the map.</summary>
    public double Length => Line.Length;
}

/// <summary>The crest line of one ridge.</summary>
public sealed class RidgeLine
{
    internal RidgeLine(int number, LineString line, bool isMain)
    {
        Number = number;
        Line = line;
        IsMain = isMain;
    }

    /// <summary>Number of the ridge, from 1.</summary>
    public int Number { get; }

    /// <summary>The crest, from its higher end, metres, Z the ground height.</summary>
    public LineString Line { get; }

    /// <summary>True for a main ridge, which carries the heads of valleys; false for a primary ridge, which
    /// descends between two valleys.</summary>
    public bool IsMain { get; }
}

/// <summary>How sure a keypoint is.</summary>
public enum KeypointClass
{
    /// <summary>The break of slope stands out from the profile's noise and is plain to see.</summary>
    Clear,

    /// <summary>There is a break of slope, but it is slight or its place is loose. Walk it before trusting it.</summary>
    Weak,
}

/// <summary>The place where a valley's steep upper floor meets its flatter lower floor, with the evidence for it.</summary>
public sealed class Keypoint
{
    /// <summary>Number of the valley, from 1.</summary>
    public required int ValleyNumber { get; init; }

    /// <summary>Where it is, metres, Z the ground height.</summary>
    public required Point Location { get; init; }

    /// <summary>How sure it is.</summary>
    public required KeypointClass Class { get; init; }

    /// <summary>Distance down the valley floor from the head, metres.</summary>
    public required double DistanceFromHead { get; init; }

    /// <summary>Slope of the floor above, percent, positive downstream.</summary>
    public required double SlopeAbove { get; init; }

    /// <summary>Slope of the floor below, percent, positive downstream.</summary>
    public required double SlopeBelow { get; init; }

    /// <summary>Slope above divided by slope below.</summary>
    public double SlopeRatio => SlopeAbove / SlopeBelow;

    /// <summary>How much better two slopes fit the profile than one: the F statistic of the two-slope fit.</summary>
    public required double FStatistic { get; init; }

    /// <summary>Half-width of the interval for the place along the floor, metres: within it the two-slope fit is not
    /// distinguishably worse.</summary>
    public required double PositionTolerance { get; init; }

    /// <summary>Distance from the head of the profile's greatest concavity, metres.</summary>
    public required double ConcavityDistance { get; init; }

    /// <summary>Distance from the head of the profile's inflection (convex above, concave below), metres; NaN where it has none.</summary>
    public required double InflectionDistance { get; init; }
}

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
