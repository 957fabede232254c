using NetTopologySuite.Geometries;

namespace Keyline.Check;

/// <summary>What was measured along one line on the ground.</summary>
/// <remarks>Grades are over a level base of <see cref="GradeBase"/> metres.</remarks>
public sealed record LineMeasures
{
    /// <summary>Level distance over which grades are measured, metres.</summary>
    public const double GradeBase = 10.0;

    /// <summary>Grades gentler than this count as level, percent.</summary>
    public const double LevelGrade = 0.25;

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

    /// <summary>Length that drifts: whose grade is steeper than <see cref="LevelGrade"/>, metres.</summary>
    public required double DriftingLength { get; init; }

    /// <summary>Least radius of turn, metres; infinite on a straight line.</summary>
    public required double MinimumRadius { get; init; }

    /// <summary>Steepest slope across the line of the land a machine stands on, degrees; NaN where it is not known.</summary>
    public double SteepestSideSlope { get; init; } = double.NaN;

    /// <summary>Longest stretch that falls one way, metres.</summary>
    public double LongestFall { get; init; }

    /// <summary>Median distance to the next line on the left, metres; NaN where there is none within three spacings.</summary>
    public double SpacingLeft { get; init; } = double.NaN;

    /// <summary>Median distance to the next line on the right, metres; NaN where there is none within three spacings.</summary>
    public double SpacingRight { get; init; } = double.NaN;

    /// <summary>Least distance to the field's edge or to what is kept clear of, metres, 0 where it runs beyond; NaN without a field.</summary>
    public double Clearance { get; init; } = double.NaN;
}
