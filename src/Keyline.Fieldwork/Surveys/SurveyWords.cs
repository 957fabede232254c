using System.Globalization;
using System.Text.Json;

namespace Keyline.Fieldwork;

/// <summary>What two surveys say of the ground, in words, as a part of a page and for programs.</summary>
/// <remarks>Promises: the same comparison gives the same bytes. Cost: that of the text. Source: ours.</remarks>
/// <param name="Change">What changed.</param>
/// <param name="Cut">Stretches of lines that are being cut.</param>
public sealed record SurveyWords(SurveyChange Change, IReadOnlyList<CutStretch> Cut)
{
    private const int MostNamed = 20;

    /// <summary>The sentences.</summary>
    public IReadOnlyList<string> Sentences()
    {
        SurveyChange c = Change;
        SurveyShift s = c.Shift;
        string ground = c.IsJudgedByAll ? "on all ground (too little of it was left unworked)" : "on ground that was not worked";
        string up = FormattableString.Invariant($"{Math.Abs(s.Up):0.000} m {(s.Up < 0 ? "below" : "above")}");
        return
        [
            s.IsLevelOnly ? $"The second survey lay {up} the first {ground}, which was taken off; the ground is too even, or the surveys too rough, to tell whether it lay sideways of it."
                : FormattableString.Invariant($"The second survey lay {Math.Abs(s.East):0.00} m {(s.East < 0 ? "west" : "east")}, {Math.Abs(s.North):0.00} m {(s.North < 0 ? "south" : "north")} and {up} the first {ground}; this was taken off."),
            FormattableString.Invariant($"There heights differ by {c.Noise:0.000} m (one standard deviation, {c.StableCells} cells), so that a change below {c.DetectionLevel:0.000} m at one place cannot be told from nothing."),
            $"Over all the ground that may have changed {Moved(c.Lost, "went")}, and {Moved(c.Gained, "came")}: over and above what noise alone makes it seem.",
            Cut.Count == 0 ? "No stretch of a line went down by more than can be told."
                : FormattableString.Invariant($"{Cut.Count} {(Cut.Count == 1 ? "stretch" : "stretches")} of lines, {Cut.Sum(x => x.To - x.From):0} m together, went down by more than can be told; deepest {Cut[0].Line} from {Cut[0].From:0} to {Cut[0].To:0} m, by {Cut[0].GreatestDepth:0.00} m: go and look whether water runs there."),
            "Where the work itself lies between the two surveys its slots, and the earth beside them, are in the difference: for rills compare two surveys after the work, in the same state of growth.",
        ];
    }

    private static string Moved(MovedEarth earth, string how) => earth.IsTold
        ? FormattableString.Invariant($"{earth.Volume:0.0} m³ of earth {how} (give or take {earth.Error:0.0}, over {earth.Area:0} m²)")
        : FormattableString.Invariant($"no earth can be said to have {(how == "went" ? "gone" : "come")} (less than {earth.Volume + earth.Error:0.0} m³)");

    internal void WritePart(TextWriter text)
    {
        text.WriteLine("<h2>The ground between two surveys</h2>");
        foreach (string sentence in Sentences())
        {
            text.WriteLine($"<p>{Paper.Text(sentence)}</p>");
        }

        if (Cut.Count == 0)
        {
            return;
        }

        text.WriteLine("<table><thead><tr><th>Line</th><th>From</th><th>To</th><th>Down on average</th><th>At most</th><th>Earth</th></tr></thead><tbody>");
        foreach (CutStretch s in Cut.Take(MostNamed))
        {
            text.WriteLine(string.Create(CultureInfo.InvariantCulture, $"<tr><td>{Paper.Text(s.Line)}</td><td>{s.From:0} m</td><td>{s.To:0} m</td><td>{s.MeanDepth:0.00} m</td><td>{s.GreatestDepth:0.00} m</td><td>{s.Volume:0.0} m³</td></tr>"));
        }

        text.WriteLine("</tbody></table>" + (Cut.Count > MostNamed ? $"<p class=\"quiet\">And {Cut.Count - MostNamed} more: see incision.geojson.</p>" : ""));
    }

    internal void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject("ground");
        TrialFile.Known(json, "shift_east_m", Change.Shift.IsLevelOnly ? double.NaN : Change.Shift.East, 3);
        TrialFile.Known(json, "shift_north_m", Change.Shift.IsLevelOnly ? double.NaN : Change.Shift.North, 3);
        TrialFile.Known(json, "shift_up_m", Change.Shift.Up, 4);
        TrialFile.Known(json, "noise_m", Change.Noise, 4);
        TrialFile.Known(json, "detection_level_m", Change.DetectionLevel, 4);
        json.WriteNumber("stable_cells", Change.StableCells);
        TrialFile.Known(json, "lost_m3", Change.Lost.Volume, 2);
        TrialFile.Known(json, "lost_error_m3", Change.Lost.Error, 2);
        TrialFile.Known(json, "gained_m3", Change.Gained.Volume, 2);
        TrialFile.Known(json, "gained_error_m3", Change.Gained.Error, 2);
        TrialFile.List(json, "cut", Cut, s =>
        {
            json.WriteString("line", s.Line);
            TrialFile.Known(json, "from_m", s.From, 1);
            TrialFile.Known(json, "to_m", s.To, 1);
            TrialFile.Known(json, "depth_mean_m", s.MeanDepth, 3);
            TrialFile.Known(json, "depth_max_m", s.GreatestDepth, 3);
            TrialFile.Known(json, "volume_m3", s.Volume, 2);
        });
        TrialFile.Texts(json, "sentences", Sentences());
        json.WriteEndObject();
    }
}
