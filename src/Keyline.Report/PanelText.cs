using System.Globalization;
using Keyline.Check;
using Keyline.Landform;

namespace Keyline.Report;

/// <summary>The words and figures of the panel.</summary>
internal sealed class PanelText
{
    public PanelText(KeylinePlan plan, PlanMapOptions options, double contourInterval, string paper = "A4")
    {
        Voice = MapVoice.Of(options);
        Scale = new SheetScale(Voice, paper, options.TrueNorth);
        Title = options.Title.Length > 0 ? options.Title : plan.Field.Name.Length > 0 ? plan.Field.Name : Voice.Say("Keyline rip lines");
        Subtitle = options.CoordinateSystem.Length > 0
            ? [Voice.Say("Keyline rip lines for subsoiling"), Voice.Say(options.CoordinateSystem + ", grid north")]
            : [Voice.Say("Keyline rip lines for subsoiling")];
        Figures = [.. FiguresOf(plan, options).Select(f => (Voice.Say(f.Name), Voice.Say(f.Value)))];
        Cautions = [.. options.Cautions.Select(c => Voice.Say(options.Units.Reworded(c)))];
        List<string> footer = [];
        if (options.GroundSource.Length > 0)
        {
            footer.Add($"Ground: {options.GroundSource}, cells of {options.Units.Text(plan.Ground.Frame.CellSize, UnitKind.Length, "0.##")}.");
        }

        footer.Add($"Contours every {options.Units.Text(contourInterval, UnitKind.Length, "0.##")} on ground smoothed over {options.Units.Text(plan.SmoothingLength, UnitKind.Length, "0.#")}."
            + (options.MadeWith.Length > 0 ? " " + options.MadeWith + "." : ""));
        Footer = [.. footer.Select(Voice.Say)];
    }

    /// <summary>How it is all said.</summary>
    public MapVoice Voice { get; }

    /// <summary>What is said beside the scale bar.</summary>
    public SheetScale Scale { get; }

    public string Title { get; }

    public IReadOnlyList<string> Subtitle { get; }

    public IReadOnlyList<(string Name, string Value)> Figures { get; }

    public IReadOnlyList<string> Cautions { get; }

    public IReadOnlyList<string> Footer { get; }

    private static List<(string Name, string Value)> FiguresOf(KeylinePlan plan, PlanMapOptions options)
    {
        LayoutFigures figures = plan.Layout.Figures;
        UnitSystem units = options.Units;
        string spacing = units.Text(plan.Options.Spacing, UnitKind.Length, "0.##");
        List<(string, string)> rows =
        [
            ("Field", units.Text(plan.Field.Boundary.Area, UnitKind.Area, "0.0")),
            ("Worked, less headland and left out", units.Text(plan.Layout.Workable.Area, UnitKind.Area, "0.0")),
            ("Spacing", options.SpacingAsked.Length > 0 && options.SpacingAsked != spacing ? $"{options.SpacingAsked} ({spacing})" : spacing),
            ("Next line within 10 % of that, either side", Share(figures.SpacingWithin10Share)),
            ("Rip lines", Number(figures.LineCount, "0")),
            ("Total length", units.Text(figures.TotalLength, UnitKind.Way, "0.0")),
            ("Mean line", figures.LineCount > 0 ? units.Text(figures.MeanLength, UnitKind.Length, "0") : "-"),
            ("Ground within half a spacing of a line", Share(figures.Coverage)),
            ($"Length within {Number(plan.Options.MaximumGrade, "0.##")} % grade", Share(figures.WithinGradeShare)),
            ("Of drifting length, falls to the ridge", Share(figures.ToRidgeShare)),
            ("Tightest turn", double.IsFinite(figures.MinimumRadius) ? "radius " + units.Text(figures.MinimumRadius, UnitKind.Length, "0.0") : "straight"),
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

    // Rounded down, so that 100 % means all of it.
    private static string Share(double share) => double.IsFinite(share) ? Number(Math.Floor((share * 1000) + 1e-6) / 10, "0.0") + " %" : "-";

    private static string Number(double value, string format) => value.ToString(format, CultureInfo.InvariantCulture);
}
