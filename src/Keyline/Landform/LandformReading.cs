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
        IReadOnlyList<Keypoint> lesserBreaks,
        IReadOnlyList<ContourKeyline> keylines,
        Grid<float> position,
        LandformExtras? extras = null)
    {
        extras ??= new LandformExtras();
        CommonKeylines = extras.CommonKeylines;
        Sequences = extras.Sequences;
        UnplacedPins = extras.UnplacedPins;
        Shape = extras.Shape;
        GeneralGuide = extras.GeneralGuide;
        Valleys = valleys;
        Ridges = ridges;
        Keypoints = keypoints;
        LesserBreaks = lesserBreaks;
        Keylines = keylines;
        Position = position;
    }

    /// <summary>Valley floors, each from its head downstream, numbered from 1 in the order of the list.</summary>
    public IReadOnlyList<ValleyLine> Valleys { get; }

    /// <summary>Ridge crests, numbered from 1 in the order of the list.</summary>
    public IReadOnlyList<RidgeLine> Ridges { get; }

    /// <summary>Keypoints found, one a valley; a valley with no clear break of slope has none.</summary>
    public IReadOnlyList<Keypoint> Keypoints { get; }

    /// <summary>Further breaks of slope in valleys with several, by valley and rank.</summary>
    public IReadOnlyList<Keypoint> LesserBreaks { get; }

    /// <summary>The keyline of each keypoint.</summary>
    public IReadOnlyList<ContourKeyline> Keylines { get; }

    /// <summary>Keylines shared by neighbouring valleys whose keypoints agree in height.</summary>
    public IReadOnlyList<CommonKeyline> CommonKeylines { get; }

    /// <summary>How keypoints rise along main ridges.</summary>
    public IReadOnlyList<KeypointSequence> Sequences { get; }

    /// <summary>Pinned keypoints that lie too far from every valley line; they are in no list.</summary>
    public IReadOnlyList<Coordinate> UnplacedPins { get; }

    /// <summary>What shape of land it is.</summary>
    public LandShape Shape { get; }

    /// <summary>Where there is no keypoint, the contour to start from; null where there are keypoints, or no contour to be had.</summary>
    public LineString? GeneralGuide { get; }

    /// <summary>Landform position: 0 on valley lines, 1 on ridge lines, smooth between; NaN where the height is missing.
    /// Where the ground has neither valley nor ridge it is 0.5 throughout.</summary>
    public Grid<float> Position { get; }
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

/// <summary>What is read from valleys, ridges and keypoints together.</summary>
internal sealed record LandformExtras
{
    public IReadOnlyList<CommonKeyline> CommonKeylines { get; init; } = [];

    public IReadOnlyList<KeypointSequence> Sequences { get; init; } = [];

    public IReadOnlyList<Coordinate> UnplacedPins { get; init; } = [];

    public LandShape Shape { get; init; } = new(LandShapeKind.Rolling, 0, 0, double.NaN, 0, 0);

    public LineString? GeneralGuide { get; init; }
}
