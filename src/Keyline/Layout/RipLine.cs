using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>Which side of its guide a line lies on.</summary>
public enum GuideSide
{
    /// <summary>On the higher side, or on the guide itself.</summary>
    Upslope,

    /// <summary>On the lower side.</summary>
    Downslope,
}

/// <summary>A line that others run parallel to: a contour of the ground that falls gently from valley toward ridge.</summary>
public sealed class GuideLine
{
    internal GuideLine(string id, LineString line, double level, bool isPinned, bool isKeyline)
    {
        IsPinned = isPinned;
        IsKeyline = isKeyline;
        Id = id;
        Line = line;
        Level = level;
    }

    /// <summary>Short name, unique in the plan: "G1", "G2", ...</summary>
    public string Id { get; }

    /// <summary>The line, metres, Z the ground height, higher ground on its left.</summary>
    public LineString Line { get; }

    /// <summary>Height in metres of the guide where it crosses the valley floor, or its mean where it crosses none; NaN for a pinned guide.</summary>
    public double Level { get; }

    /// <summary>Whether it was given, and not chosen.</summary>
    public bool IsPinned { get; }

    /// <summary>Whether it runs through a keypoint.</summary>
    public bool IsKeyline { get; }
}

/// <summary>One pass of the implement, with what was measured along it.</summary>
public sealed class RipLine
{
    /// <summary>Short name, unique in the plan and in driving order: "R001", "R002", ...</summary>
    public required string Id { get; init; }

    /// <summary>Id of the guide it is parallel to.</summary>
    public required string GuideId { get; init; }

    /// <summary>Side of the guide it lies on.</summary>
    public required GuideSide Side { get; init; }

    /// <summary>Distance from the guide, metres, 0 or more.</summary>
    public required double Offset { get; init; }

    /// <summary>The line in driving direction, metres, Z the ground height.</summary>
    public required LineString Line { get; init; }

    /// <summary>Place in the driving order, from 1.</summary>
    public required int Sequence { get; init; }

    /// <summary>What was measured along it on the ground as delivered.</summary>
    public required LineMeasures Measures { get; init; }
}

/// <summary>What was measured along one line on the ground.</summary>
/// <remarks>Grades are over a level base of <see cref="LayoutCheck.GradeBase"/> metres.</remarks>
public sealed record LineMeasures
{
    /// <summary>Length on the map, metres.</summary>
    public required double Length { get; init; }

    /// <summary>Steepest grade either way, percent, 0 or more.</summary>
    public required double MaximumGrade { get; init; }

    /// <summary>Mean of the grade's absolute value, percent.</summary>
    public required double MeanGrade { get; init; }

    /// <summary>Share (0 to 1) of the length on gentle enough land whose grade is within the limit.</summary>
    public required double WithinGradeShare { get; init; }

    /// <summary>Share (0 to 1) of the drifting length that falls toward the ridge; NaN where nothing drifts.</summary>
    public required double ToRidgeShare { get; init; }

    /// <summary>Length that drifts: whose grade is steeper than <see cref="LayoutCheck.LevelGrade"/>, metres.</summary>
    public required double DriftingLength { get; init; }

    /// <summary>Least radius of turn, metres; infinite on a straight line.</summary>
    public required double MinimumRadius { get; init; }

    /// <summary>Steepest slope across the line of the land a machine stands on, degrees; NaN where it is not known.</summary>
    public double SteepestSideSlope { get; init; } = double.NaN;

    /// <summary>Longest stretch that falls one way, metres.</summary>
    public double LongestFall { get; init; }

    /// <summary>Median distance to the next line on the left, metres; NaN where there is none within one and a half spacings.</summary>
    public double SpacingLeft { get; init; } = double.NaN;

    /// <summary>Median distance to the next line on the right, metres; NaN where there is none within one and a half spacings.</summary>
    public double SpacingRight { get; init; } = double.NaN;

    /// <summary>Least distance to the field's edge or to what is kept clear of, metres, 0 where it runs beyond; NaN without a field.</summary>
    public double Clearance { get; init; } = double.NaN;
}
