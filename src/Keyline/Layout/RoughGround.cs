using Keyline.Check;
using Keyline.Elevation;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>Tells grade that the lines have from grade that the ground's roughness adds.</summary>
/// <remarks>
/// <para>Units: metres, percent. Lines are laid on ground calmed at about their spacing; the check measures the heights as delivered. Where the calm
/// grade holds the limit and the delivered one does not, no other direction of the line would mend it.</para>
/// <para>Cost: proportional to the length of the lines.</para>
/// </remarks>
internal static class RoughGround
{
    // Said where at least so much of the length is over the limit, and at least so much of that only by roughness.
    private const double WorthSaying = 0.03;
    private const double MostOfIt = 0.5;
    private const int Base = 10;

    /// <summary>A sentence where roughness sets the grade, or null.</summary>
    /// <param name="survey">The field.</param>
    /// <param name="lines">Lines with points 1 m apart.</param>
    /// <param name="within">Share of the length that the check found within the limit.</param>
    public static string? Note(FieldSurvey survey, IReadOnlyList<PatternLine> lines, double within)
    {
        double over = 1 - within;
        if (!(over >= WorthSaying) || survey.Options.RowGrade is not null)
        {
            return null;
        }

        double calm = CalmOver(survey, lines);
        return calm > MostOfIt * over
            ? null
            : FormattableString.Invariant($"{100 * over:F0} % of the length is steeper than {survey.Options.MaximumGrade:0.##} % over {Base} m of the heights as delivered, and {100 * calm:F0} % on the same ground calmed at about a spacing: the ground's roughness sets the grade there, and a lower limit would not make these lines gentler.");
    }

    /// <summary>Share of the length that is over the limit on calm ground.</summary>
    internal static double CalmOver(FieldSurvey survey, IReadOnlyList<PatternLine> lines)
    {
        long over = 0;
        long all = 0;
        foreach (LinePath path in lines.Select(l => l.Path.Resample(1)))
        {
            LayoutRaster raster = survey.Rasters.MinBy(r => r.Frame.Extent.Distance(new Envelope(new Coordinate(path.Points[0].X, path.Points[0].Y))))!;
            for (int i = Base; i < path.Count; i++)
            {
                XY a = path.Points[i - Base];
                XY b = path.Points[i];
                double rise = GridSampling.Bilinear(raster.Heights, raster.Frame, b.X, b.Y) - GridSampling.Bilinear(raster.Heights, raster.Frame, a.X, a.Y);
                all++;
                over += 100 * Math.Abs(rise) > survey.Options.MaximumGrade * Base ? 1 : 0;
            }
        }

        return all > 0 ? (double)over / all : 0;
    }
}
