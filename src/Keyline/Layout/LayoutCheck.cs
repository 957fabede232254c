namespace Keyline.Layout;

/// <summary>Measures lines, ours or anybody's, against the ground.</summary>
public static class LayoutCheck
{
    /// <summary>Level distance over which grades are measured, metres.</summary>
    public const double GradeBase = 10.0;

    /// <summary>Grades gentler than this count as level, percent.</summary>
    public const double LevelGrade = 0.25;
}
