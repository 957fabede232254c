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

/// <summary>What is read from valleys, ridges and keypoints together.</summary>
internal sealed record LandformExtras
{
    public IReadOnlyList<CommonKeyline> CommonKeylines { get; init; } = [];

    public IReadOnlyList<KeypointSequence> Sequences { get; init; } = [];

    public IReadOnlyList<Coordinate> UnplacedPins { get; init; } = [];

    public LandShape Shape { get; init; } = new(LandShapeKind.Rolling, 0, 0, double.NaN, 0, 0);

    public LineString? GeneralGuide { get; init; }
}
