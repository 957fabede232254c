namespace Keyline.Elevation;

/// <summary>Judges whether rip lines can be laid out on a ground.</summary>
/// <remarks>
/// <para>Units: metres; grades and falls in percent.</para>
/// <para>Promises: nothing is read but the report.</para>
/// <para>Cost: none to speak of.</para>
/// <para>Source: common practice, no source. A cell no larger than the spacing shows every bend a line can take; past four
/// spacings neighbouring lines differ by interpolation only. Scatter counts as it is left after smoothing at the scale of the
/// implement, as a grade over 10 m, against the fall that is asked for (half a percent where none is).</para>
/// </remarks>
public static class GroundSuitability
{
    // What cells, noise and fall are judged by is ours, no source: four metres is a farm machine's width, ten the base that grades are felt over.
    private const double CellsWithCare = 4.0;
    private const double LargestCell = 10.0;
    private const double GradeBase = 10.0;
    private const double LeastFall = 0.5;
    private const double LongestSmoothing = 10.0;
    private const double LeastSmoothing = 4.0;

    /// <summary>Judges a ground.</summary>
    /// <param name="report">What was found of it.</param>
    /// <param name="spacing">Distance between lines, metres.</param>
    /// <param name="fall">Fall along them that is asked for, percent; 0 for the true contour.</param>
    /// <returns>One judgement on each thing that matters, and the sentence that goes with it.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The spacing is not above 0 or the fall is below 0.</exception>
    public static IReadOnlyList<GroundJudgement> Judge(GroundReport report, double spacing, double fall)
    {
        ArgumentNullException.ThrowIfNull(report);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(spacing);
        ArgumentOutOfRangeException.ThrowIfNegative(fall);
        List<GroundJudgement> all = [Cell(report, spacing), Noise(report, spacing, fall)];
        if (report.Step >= 0.05)
        {
            bool coarse = report.Step >= 0.3;
            all.Add(new GroundJudgement("step", coarse ? GroundGrade.NotGoodEnough : GroundGrade.WithCare, FormattableString.Invariant(
                $"Heights are written in steps of {report.Step:0.###} m, which makes terraces of gentle land; ask the source for heights to the centimetre.")));
        }

        if (report.Voids.Count > 0)
        {
            double inner = report.Voids.Where(v => !v.ReachesEdge).Sum(v => v.Area), largest = report.Voids.Max(v => v.Area);
            all.Add(new GroundJudgement("holes", GroundGrade.WithCare, FormattableString.Invariant(
                $"{report.Voids.Count} {(report.Voids.Count == 1 ? "hole" : "holes")} without heights, the largest {largest:0} m2 ({inner:0} m2 in all inside the grid); small ones can be filled, a large one in the field needs a survey of its own.")));
        }

        all.Add(Cover(report));
        if (report.Spikes.Count > 0)
        {
            HeightSpike worst = report.Spikes.MaxBy(s => Math.Abs(s.Above))!;
            all.Add(new GroundJudgement("spikes", GroundGrade.WithCare, FormattableString.Invariant(
                $"{report.Spikes.Count} {(report.Spikes.Count == 1 ? "cell stands" : "cells stand")} out as no ground does, the worst {Math.Abs(worst.Above):0.0} m {(worst.Above > 0 ? "above" : "below")} its neighbours at {worst.X:0}, {worst.Y:0}; have spikes taken out.")));
        }

        return all;
    }

    private static GroundJudgement Cell(GroundReport report, double spacing)
    {
        double cell = report.Frame.CellSize;
        GroundGrade grade = cell > LargestCell * 1.001 ? GroundGrade.NotGoodEnough : cell <= spacing ? GroundGrade.Good : cell <= CellsWithCare * spacing ? GroundGrade.WithCare : GroundGrade.NotGoodEnough;
        string means = grade switch
        {
            GroundGrade.Good => "fine enough to show the bends a line follows",
            GroundGrade.WithCare => "coarser than the lines: small hollows and banks do not show, so walk the plan",
            _ => "too coarse to lay lines out: get lidar of 1 or 2 m, or survey the field",
        };
        return new GroundJudgement("cell", grade, FormattableString.Invariant($"Cells of {cell:0.###} m against a spacing of {spacing:0.##} m: {means}."));
    }

    private static GroundJudgement Noise(GroundReport report, double spacing, double fall)
    {
        if (double.IsNaN(report.Noise))
        {
            return new GroundJudgement("noise", GroundGrade.NotGoodEnough, "Too few heights lie side by side to tell their noise; get elevation of the whole field.");
        }

        double smoothing = Math.Clamp(2 * spacing, LeastSmoothing, LongestSmoothing);

        // Scatter of independent cells after a Gaussian mean over this many of them, and the grade two such heights make.
        double left = report.Noise * Math.Min(1, report.Frame.CellSize / (2 * Math.Sqrt(Math.PI) * smoothing));
        double grade = 100 * Math.Sqrt(2) * left / GradeBase;
        double asked = Math.Max(fall, LeastFall);
        GroundGrade verdict = grade <= asked / 4 ? GroundGrade.Good : grade <= asked ? GroundGrade.WithCare : GroundGrade.NotGoodEnough;
        string means = verdict switch
        {
            GroundGrade.Good => "little against the fall",
            GroundGrade.WithCare => "enough to turn gentle stretches: check the plan with a level",
            _ => "more than the fall itself: get a better survey, or ask for a steeper fall",
        };
        return new GroundJudgement("noise", verdict, FormattableString.Invariant(
            $"Neighbouring heights scatter by about {100 * report.Noise:0.0} cm; smoothed over {smoothing:0.#} m this leaves {grade:0.00} % of grade against a fall of {asked:0.##} %: {means}."));
    }

    private static GroundJudgement Cover(GroundReport report) => report.Cover switch
    {
        GroundCover.Bare => new("cover", GroundGrade.Good, FormattableString.Invariant(
            $"{100 * report.AbruptShare:0.000} % of the cells stand beside a step steeper than 60 degrees and higher than 1 m: bare earth, as far as heights can tell.")),
        GroundCover.PartlyCovered => new("cover", GroundGrade.WithCare, FormattableString.Invariant(
            $"{100 * report.AbruptShare:0.00} % of the cells stand beside a step steeper than 60 degrees and higher than 1 m: banks and gullies, or some trees and roofs left in; look at the map.")),
        GroundCover.Covered => new("cover", GroundGrade.NotGoodEnough, FormattableString.Invariant(
            $"{100 * report.AbruptShare:0.0} % of the cells stand beside a step steeper than 60 degrees and higher than 1 m: a surface model with trees and buildings, or broken rock; get a bare-earth (terrain) model.")),
        _ => new("cover", GroundGrade.WithCare, "The cells are too large to tell bare earth from a surface with trees and buildings; ask the source which it is."),
    };
}
