using System.Text.Json;
using Keyline.Elevation;
using Keyline.Formats;

namespace Keyline.Console.Views;

/// <summary>What an elevation file is, and whether it is good enough.</summary>
internal sealed record InspectedFile(
    string Path, GroundReport Report, IReadOnlyList<GroundJudgement> Judgements, (double West, double South, double East, double North) Box,
    GroundCrs Crs, string? VerticalDatum, IReadOnlyList<string> Notes, IReadOnlyList<TileSeam> Seams, SurveySurface? Survey) : IView
{
    private const int NameWidth = 14;
    private const int MostListed = 5;

    private static readonly (GroundGrade Grade, string Word, string Key)[] Grades =
        [(GroundGrade.Good, "good", "good"), (GroundGrade.WithCare, "with care", "with_care"), (GroundGrade.NotGoodEnough, "not enough", "not_good_enough")];

    /// <summary>Keeps what there is to say of a file, and not its heights.</summary>
    public static InspectedFile Of(string path, ElevationSource source, GroundReport report, IReadOnlyList<GroundJudgement> judgements) =>
        new(path, report, judgements, BoxOf(source), source.Crs, source.VerticalDatum, source.Notes, source.Seams, source.Survey);

    public void WriteText(UnitText output)
    {
        GridFrame f = Report.Frame;
        double missing = 1 - ((double)Report.KnownCells / f.CellCount);
        output.WriteLine(Path);
        Row("Grid", $"{f.Rows} rows by {f.Columns} columns, cells of {f.CellSize:0.####} m, {f.CellCount * f.CellArea / 10_000:0.0} ha");
        Row("Place", $"longitude {Box.West:0.00000} to {Box.East:0.00000}, latitude {Box.South:0.00000} to {Box.North:0.00000}");
        Row("Coordinates", $"{(Crs.EpsgCode is int code ? FormattableString.Invariant($"EPSG:{code}, ") : "")}{Crs.Name}");
        Row("Datum", $"{Crs.DatumName} across; heights from {VerticalDatum ?? "a level the file does not state"}");
        Row("Heights", $"{Report.Lowest:0.00} to {Report.Highest:0.00} m{(Report.Step > 0 ? (FormattableString)$", in steps of {Report.Step:0.####} m" : $"")}");
        Row("Missing", Report.Voids.Count == 0 ? (FormattableString)$"nothing" : $"{100 * missing:0.00} % of the cells, in {Report.Voids.Count} {(Report.Voids.Count == 1 ? "hole" : "holes")}");
        Row("Scatter", double.IsNaN(Report.Noise) ? (FormattableString)$"cannot be told" : $"{100 * Report.Noise:0.0} cm from cell to cell");
        foreach (string note in Notes.Append(Crs.DatumNote))
        {
            Row("Note", $"{output.Units.Reworded(note)}");
        }

        foreach (HeightSpike spike in Report.Spikes.OrderByDescending(s => Math.Abs(s.Above)).Take(MostListed))
        {
            (double lon, double lat) = Crs.ToLonLat(spike.X, spike.Y);
            Row("Spike", $"{spike.Above:+0.0;-0.0} m at {lon:0.00000}, {lat:0.00000}");
        }

        foreach (TileSeam seam in Seams)
        {
            FormattableString what = seam.OverlapCells > 0
                ? (FormattableString)$"{seam.OverlapCells} cells in both, apart by {seam.MeanDifference:0.000} m on average and {seam.GreatestDifference:0.000} m at most"
                : $"step of {seam.Step:0.000} m over {seam.EdgeCells} cells";
            Row("Seam", $"{seam.First} and {seam.Second}: {what}");
        }

        output.WriteLine("  For the job:");
        foreach (GroundJudgement judgement in Judgements)
        {
            Row("  " + Grades[(int)judgement.Grade].Word, $"{output.Units.Reworded(judgement.Sentence)}");
        }

        output.WriteLine();

        void Row(string name, FormattableString value) => output.WriteLine("  " + name.PadRight(NameWidth) + output.Units.Say(value));
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        json.WriteString("file", Path);
        JsonText.Section(json, "grid", () => RasterView.WriteFrame(json, Report.Frame));
        JsonText.Numbers(json, "bbox", [Box.West, Box.South, Box.East, Box.North], 7);
        JsonText.Section(json, "crs", () =>
        {
            json.WriteString("name", Crs.Name);
            JsonText.Whole(json, "epsg", Crs.EpsgCode);
            json.WriteString("datum", Crs.DatumName);
            json.WriteString("datum_note", Crs.DatumNote);
        });
        json.WriteString("vertical_datum", VerticalDatum);
        JsonText.Section(json, "heights", () =>
        {
            Metres(json, "lowest_m", Report.Lowest);
            Metres(json, "highest_m", Report.Highest);
            json.WriteNumber("step_m", Report.Step);
            Metres(json, "scatter_m", Report.Noise);
        });
        json.WriteNumber("missing_cells", Report.Frame.CellCount - Report.KnownCells);
        json.WriteNumber("holes", Report.Voids.Count);
        json.WriteNumber("spikes", Report.Spikes.Count);
        Metres(json, "abrupt_share", Report.AbruptShare);
        json.WriteString("cover", Report.Cover switch { GroundCover.Bare => "bare", GroundCover.PartlyCovered => "partly-covered", GroundCover.Covered => "covered", _ => "cannot-tell" });
        JsonText.Sections(json, "seams", Seams, seam => Seam(json, seam));
        WriteSurvey(json);
        JsonText.Texts(json, "notes", Notes);
        JsonText.Sections(json, "judgements", Judgements, judgement =>
        {
            json.WriteString("about", judgement.About);
            json.WriteString("grade", Grades[(int)judgement.Grade].Key);
            json.WriteString("sentence", judgement.Sentence);
        });
        json.WriteEndObject();
    }

    private static void Seam(Utf8JsonWriter json, TileSeam seam)
    {
        json.WriteString("first", seam.First);
        json.WriteString("second", seam.Second);
        json.WriteNumber("overlap_cells", seam.OverlapCells);
        Metres(json, "mean_difference_m", seam.MeanDifference);
        Metres(json, "greatest_difference_m", seam.GreatestDifference);
        Metres(json, "step_m", seam.Step);
    }

    private void WriteSurvey(Utf8JsonWriter json)
    {
        if (Survey is not { } survey)
        {
            json.WriteNull("survey");
            return;
        }

        JsonText.Section(json, "survey", () =>
        {
            json.WriteNumber("shots", survey.Residuals.Count);
            Metres(json, "left_out_median_m", survey.MedianSize);
            Metres(json, "left_out_rms_m", survey.RootMeanSquare);
            JsonText.Sections(json, "suspects", survey.Suspects, suspect =>
            {
                json.WriteString("shot", suspect.Shot.Name);
                Metres(json, "residual_m", suspect.Residual);
            });
        });
    }

    private static void Metres(Utf8JsonWriter json, string name, double value) => JsonText.Number(json, name, value, 6);

    private static (double West, double South, double East, double North) BoxOf(ElevationSource source)
    {
        GridFrame f = source.Grid.Frame;
        (double Longitude, double Latitude)[] corners =
            [source.Crs.ToLonLat(f.West, f.North), source.Crs.ToLonLat(f.East, f.North), source.Crs.ToLonLat(f.West, f.South), source.Crs.ToLonLat(f.East, f.South)];
        return (corners.Min(c => c.Longitude), corners.Min(c => c.Latitude), corners.Max(c => c.Longitude), corners.Max(c => c.Latitude));
    }
}
