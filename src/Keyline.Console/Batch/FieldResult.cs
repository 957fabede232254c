using System.Text.Json;
using Keyline.Console.Commands;
using Keyline.Formats;

namespace Keyline.Console.Batch;

/// <summary>One row of a batch's tables: a field, what came of it, and its plan's figures.</summary>
/// <param name="Field">The field.</param>
/// <param name="Outcome">What came of it.</param>
/// <param name="Figures">The plan's figures by the names of <see cref="FigureNames"/>; NaN where there is no plan.</param>
internal sealed record FieldResult(LayerField Field, FieldOutcome Outcome, IReadOnlyList<double> Figures)
{
    // The column's name and where it stands in plan.json.
    private static readonly (string Name, string Section, string Member, double Scale)[] Columns =
    [
        ("area_ha", "field", "area_m2", 1e-4),
        ("workable_ha", "field", "workable_m2", 1e-4),
        ("lines", "lines", "count", 1),
        ("length_km", "lines", "total_length_m", 1e-3),
        ("mean_length_m", "lines", "mean_length_m", 1),
        ("inner_ends_per_km", "lines", "inner_ends_per_km", 1),
        ("covered_share", "coverage", "share", 1),
        ("within_grade_share", "grade", "within_limit_share", 1),
        ("to_ridge_share", "drift", "to_ridge_share", 1),
        ("next_within_10pct_share", "spacing", "within_10pct_share", 1),
        ("next_within_25pct_share", "spacing", "within_25pct_share", 1),
        ("driven_km", "driving", "driven_m", 1e-3),
        ("keypoints_clear", "landform", "keypoints_clear", 1),
    ];

    /// <summary>The figures, in their order.</summary>
    public static IReadOnlyList<string> FigureNames { get; } = [.. Columns.Select(c => c.Name), "findings", "findings_of_limits"];

    /// <summary>A figure by its name.</summary>
    public double this[string name] => Figures[FigureNames.ToList().IndexOf(name)];

    /// <summary>Where its report lies, from the batch's folder; empty where there is none.</summary>
    public string Report => Outcome.State is FieldOutcome.Held or FieldOutcome.Look ? $"{FieldTask.RelativeFolder(Field)}/{FieldTask.PlanName}/{PlanFiles.ReportName}" : "";

    /// <summary>Reads what stands in a field's folder.</summary>
    public static FieldResult Read(LayerField field, BatchRequest request)
    {
        string folder = FieldTask.FolderOf(field, request.OutPath);
        FieldOutcome outcome = FieldOutcome.Read(folder) ?? new FieldOutcome(field.Id, "", FieldOutcome.Waiting, -1, 0, 0, "");
        double[] figures = new double[FigureNames.Count];
        Array.Fill(figures, double.NaN);
        if (outcome.State is not (FieldOutcome.Held or FieldOutcome.Look))
        {
            return new FieldResult(field, outcome, figures);
        }

        try
        {
            using FileStream stream = File.OpenRead(Path.Combine(folder, FieldTask.PlanName, PlanFiles.SummaryName));
            using JsonDocument plan = JsonDocument.Parse(stream);
            for (int i = 0; i < Columns.Length; i++)
            {
                figures[i] = plan.RootElement.TryGetProperty(Columns[i].Section, out JsonElement section) && section.TryGetProperty(Columns[i].Member, out JsonElement value) && value.ValueKind == JsonValueKind.Number
                    ? value.GetDouble() * Columns[i].Scale
                    : double.NaN;
            }

            JsonElement[] findings = [.. plan.RootElement.GetProperty("findings").EnumerateArray()];
            figures[Columns.Length] = findings.Length;
            figures[Columns.Length + 1] = findings.Count(f => f.GetProperty("breaks_limit").GetBoolean());
            return new FieldResult(field, outcome, figures);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or JsonException or KeyNotFoundException or InvalidOperationException)
        {
            return new FieldResult(field, outcome with { State = FieldOutcome.Waiting, Sentence = "Its plan is gone or cannot be read: run the same command again." }, figures);
        }
    }
}
