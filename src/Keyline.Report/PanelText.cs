using System.Globalization;
using Keyline.Check;
using Keyline.Landform;

namespace Keyline.Report;

/// <summary>The words and figures of the panel.</summary>
internal sealed class PanelText
{
    public PanelText(KeylinePlan plan, PlanMapOptions options, double contourInterval)
    {
        Title = options.Title.Length > 0 ? options.Title : plan.Field.Name.Length > 0 ? plan.Field.Name : "Keyline rip lines";
        Subtitle = options.CoordinateSystem.Length > 0
            ? ["Keyline rip lines for subsoiling", options.CoordinateSystem + ", grid north"]
            : ["Keyline rip lines for subsoiling"];
        Figures = FiguresOf(plan, options);
        Cautions = options.Cautions;
        List<string> footer = [];
        if (options.GroundSource.Length > 0)
        {
            footer.Add(FormattableString.Invariant($"Ground: {options.GroundSource}, cells of {plan.Ground.Frame.CellSize:0.###} m."));
        }

        footer.Add(FormattableString.Invariant($"Contours every {contourInterval:0.##} m on ground smoothed over {plan.SmoothingLength:0.#} m.")
            + (options.MadeWith.Length > 0 ? " " + options.MadeWith + "." : ""));
        Footer = footer;
    }

    public string Title { get; }

    public IReadOnlyList<string> Subtitle { get; }

    public IReadOnlyList<(string Name, string Value)> Figures { get; }

    public IReadOnlyList<string> Cautions { get; }

    public IReadOnlyList<string> Footer { get; }

    private static List<(string Name, string Value)> FiguresOf(KeylinePlan plan, PlanMapOptions options)
    {
        LayoutFigures figures = plan.Layout.Figures;
        string metres = Number(plan.Options.Spacing, "0.##") + " m";
        List<(string, string)> rows =
        [
            ("Field", Hectares(plan.Field.Boundary.Area)),
            ("Worked, less headland and left out", Hectares(plan.Layout.Workable.Area)),
            ("Spacing", options.SpacingAsked.Length > 0 && options.SpacingAsked != metres ? $"{options.SpacingAsked} ({metres})" : metres),
            ("Next line within 10 % of that, either side", Share(figures.SpacingWithin10Share)),
            ("Rip lines", Number(figures.LineCount, "0")),
            ("Total length", Number(figures.TotalLength / 1000, "0.0") + " km"),
            ("Mean line", figures.LineCount > 0 ? Number(figures.MeanLength, "0") + " m" : "-"),
            ("Ground within half a spacing of a line", Share(figures.Coverage)),
            ($"Length within {Number(plan.Options.MaximumGrade, "0.##")} % grade", Share(figures.WithinGradeShare)),
            ("Of drifting length, falls to the ridge", Share(figures.ToRidgeShare)),
            ("Tightest turn", double.IsFinite(figures.MinimumRadius) ? "radius " + Number(figures.MinimumRadius, "0.0") + " m" : "straight"),
            ("Guides", Number(plan.Layout.Guides.Count, "0")),
            ("Keypoints in the field, clear and weak", KeypointCount(plan)),
        ];
        return rows;
    }

    private static string KeypointCount(KeylinePlan plan)
    {
        Keypoint[] inside = [.. plan.Landform.Keypoints.Where(k => plan.Field.Boundary.Covers(k.Location))];
        int clear = inside.Count(k => k.Class == KeypointClass.Clear);
        return string.Create(CultureInfo.InvariantCulture, $"{clear} and {inside.Length - clear}");
    }

    private static string Hectares(double squareMetres) => Number(squareMetres / 10_000, "0.0") + " ha";

    // Rounded down, so that 100 % means all of it.
    private static string Share(double share) => double.IsFinite(share) ? Number(Math.Floor((share * 1000) + 1e-6) / 10, "0.0") + " %" : "-";

    private static string Number(double value, string format) => value.ToString(format, CultureInfo.InvariantCulture);
}
