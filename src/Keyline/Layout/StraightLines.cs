using Keyline.Layout.Parallels;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>Straight lines at one bearing over all the field.</summary>
/// <remarks>
/// <para>Units: metres, percent; bearings in degrees clockwise from grid north, 0 to 180.</para>
/// <para>Promises: lines at multiples of the spacing, cut to the workable ground; the same bearing for the same survey.</para>
/// <para>Cost: working cells times the 57 bearings tried where none is given.</para>
/// <para>Source: common practice, no source.</para>
/// </remarks>
internal static class StraightLines
{
    private const double Coarse = 5;
    private const double Fine = 0.5;

    // The land has little say where no more of what drifts goes to the ridge than this; chance gives a half.
    private const double LittleSay = 0.65;

    // Straight lines are worth a look where they hold the limit over this much of the ground. Both are ours, no source.
    private const double WorthALook = 0.85;

    /// <summary>Lays them.</summary>
    /// <param name="survey">The field.</param>
    /// <param name="bearing">Degrees; NaN for the bearing that breaks the grade limit least.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static (PatternLines Lines, string Detail) On(FieldSurvey survey, double bearing, CancellationToken cancellationToken)
    {
        bool isGiven = !double.IsNaN(bearing);
        double degrees = isGiven ? bearing % 180 : BestBearing(survey, cancellationToken).Bearing;
        (double sin, double cos) = Math.SinCos(degrees * Math.PI / 180);
        XY along = new(sin, cos);
        List<GuideBlock> blocks = GivenGuides.Blocks(survey, (raster, area) =>
        {
            Envelope box = area.EnvelopeInternal;
            XY middle = new(box.Centre.X, box.Centre.Y);
            double reach = box.Diameter;
            LinePath line = new LinePath([middle - (along * reach), middle + (along * reach)], false).Resample(1);
            CandidateGuide[] levels = [new(-reach, []), new(0, [line]), new(reach, [])];
            return GuideBlock.WithGuides(raster, GuideSurface.Of(raster.Each((x, y, _) => (new XY(x, y) - middle).Dot(along.Left))), area, levels, survey.Options, survey.Field.OutletDistance, cancellationToken);
        });
        PatternLines lines = GivenGuides.OnBothSides(survey, blocks, cancellationToken);
        string reason = isGiven ? "the bearing asked for" : "the bearing that breaks the grade limit least";
        return (
            lines with { Guides = [.. lines.Guides.Select(g => g with { Level = double.NaN, IsKeyline = false, Reason = reason })] },
            FormattableString.Invariant($"bearing {degrees:0.0} degrees"));
    }

    /// <summary>The bearing at which the least ground would break the grade limit, over all bearings in half degrees.</summary>
    /// <returns>The bearing, and the share of the ground over which straight lines at it hold the limit (0 to 1).</returns>
    public static (double Bearing, double Held) BestBearing(FieldSurvey survey, CancellationToken cancellationToken)
    {
        (LayoutRaster Raster, bool[] Inside)[] ground = [.. survey.Rasters.Select(r => (r, GuideBlock.Mask(r.Frame, GivenGuides.AreaOn(survey, r), cancellationToken)))];
        (double Over, double Weight, double Bearing) best = (0, double.PositiveInfinity, 0);
        for (double bearing = 0; bearing < 180 - (Coarse / 2); bearing += Coarse)
        {
            Try(bearing);
        }

        double coarse = best.Bearing;
        for (double turn = -Coarse; turn <= Coarse; turn += Fine)
        {
            Try(coarse + turn);
        }

        int cells = ground.Sum(g => g.Inside.Count(i => i));
        return ((best.Bearing + 180) % 180, cells > 0 ? 1 - (best.Over / cells) : double.NaN);

        void Try(double bearing)
        {
            cancellationToken.ThrowIfCancellationRequested();
            (double sin, double cos) = Math.SinCos(bearing * Math.PI / 180);
            (double over, double weight) = (0, 0);
            foreach ((LayoutRaster raster, bool[] inside) in ground)
            {
                for (int i = 0; i < inside.Length; i++)
                {
                    if (inside[i])
                    {
                        double grade = 100 * Math.Abs(raster.Gradient(i / raster.Frame.Columns, i % raster.Frame.Columns).Dot(new XY(sin, cos)));
                        bool breaks = grade > survey.Options.Limits.GradeLimitAt(raster.LandSlope[i], double.PositiveInfinity);
                        over += breaks ? 1 : 0;

                        // Of two bearings that break it alike, the gentler.
                        weight += (breaks ? 1 : 0) + (grade / 1e3);
                    }
                }
            }

            if (weight < best.Weight)
            {
                best = (over, weight, bearing);
            }
        }
    }

    /// <summary>A sentence where the land has so little to say that straight lines deserve a look, or null.</summary>
    /// <param name="survey">The field.</param>
    /// <param name="toRidge">Share of the drifting length of its plan that falls toward the ridge; NaN where nothing drifts.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static string? Note(FieldSurvey survey, double toRidge, CancellationToken cancellationToken)
    {
        if (toRidge >= LittleSay)
        {
            return null;
        }

        (double bearing, double held) = BestBearing(survey, cancellationToken);
        string drift = double.IsNaN(toRidge) ? "No line drifts here" : FormattableString.Invariant($"Only {100 * toRidge:F0} % of what drifts here falls toward the ridge, where chance would give half");
        return held >= WorthALook
            ? FormattableString.Invariant($"{drift}; straight lines at {bearing:0.0} degrees from grid north would hold the grade limit over {100 * held:F0} % of this ground with fewer turns, though water may run along them to the hollows: lay them out too (pattern straight) and compare before choosing.")
            : null;
    }
}
