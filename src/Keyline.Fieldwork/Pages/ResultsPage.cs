using System.Globalization;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;

namespace Keyline.Fieldwork;

/// <summary>Writes what a trial says so far: for people as one HTML file with nothing outside it, for programs as JSON.</summary>
/// <remarks>
/// <para>Units: those of the measures. Promises: every sentence stands beside its numbers and its picture; rows that were set aside are listed as they stand; the same results give the same bytes.</para>
/// <para>Cost: that of the text. Source: ours.</para>
/// </remarks>
public static class ResultsPage
{
    private const int Format = 1;

    /// <summary>Writes the page.</summary>
    /// <param name="stream">Where to; left open. UTF-8.</param>
    /// <param name="results">The results.</param>
    /// <param name="readings">The readings with what is to be said of them.</param>
    /// <param name="record">The field's record.</param>
    /// <param name="madeWith">Name and version of what made it.</param>
    /// <param name="ground">What two surveys of the ground say; null where there are none.</param>
    public static void Write(Stream stream, TrialResults results, FormReadings readings, FieldRecord record, string madeWith, SurveyWords? ground = null)
    {
        ArgumentNullException.ThrowIfNull(results);
        ArgumentNullException.ThrowIfNull(readings);
        ArgumentNullException.ThrowIfNull(record);
        using StreamWriter text = new(stream, new UTF8Encoding(false), -1, leaveOpen: true) { NewLine = "\n" };
        TrialPlan plan = results.Plan;
        string name = plan.Field.Length > 0 ? plan.Field : "the field";
        TrialPage.Begin(text, $"What came of the trial on {name}");
        text.WriteLine($"<h1>What came of the {(plan.Kind == TrialKind.Randomised ? "trial" : "watching")} on {Paper.Text(name)}</h1>");
        text.WriteLine($"<p class=\"quiet\">{plan.Plots.Select(p => p.Block).Distinct().Count()} blocks, {readings.Readings.Count} values at points, {(results.Ripped is { } day ? "worked on " + Day(day) : "day of the work not known")}.</p>");
        Answers(text, results);
        text.WriteLine("<p class=\"quiet\">Every number stands on blocks: rings, quadrats and years in one plot are never counted as if they were plots. Thick bars hold the truth 90 times in a hundred, thin ones 95; grey dots are blocks; the shaded band is what counts as no difference (10 %).</p>");
        foreach (MeasureResult r in results.Measures)
        {
            text.WriteLine($"<h2>{Paper.Text(ResultWords.Capital(r.Measure.Name))}{(plan.Treatments.Count > 2 ? ", " + Paper.Text(r.Treatment) : "")}</h2><p>{Paper.Text(r.Sentence)}</p>");
            ResultPictures.Write(text, plan, r);
            Visits(text, r);
        }

        foreach (string note in results.Notes)
        {
            text.WriteLine($"<p>{Paper.Text(note)}</p>");
        }

        Pairs(text, results);
        ground?.WritePart(text);
        Record(text, results, readings, record);
        Findings(text, readings);
        text.WriteLine($"<footer>{Paper.Text(madeWith)}. An aid to judgement, not engineering advice: local codes and licensed practice come before it.</footer></body></html>");
    }

    /// <summary>Writes the results for programs.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="results">The results.</param>
    /// <param name="readings">The readings with what is to be said of them.</param>
    /// <param name="record">The field's record.</param>
    /// <param name="madeWith">Name and version of what made it.</param>
    /// <param name="ground">What two surveys of the ground say; null where there are none.</param>
    public static void WriteJson(Stream stream, TrialResults results, FormReadings readings, FieldRecord record, string madeWith, SurveyWords? ground = null)
    {
        ArgumentNullException.ThrowIfNull(results);
        ArgumentNullException.ThrowIfNull(readings);
        ArgumentNullException.ThrowIfNull(record);
        using Utf8JsonWriter json = new(stream, new JsonWriterOptions { Indented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping });
        json.WriteStartObject();
        json.WriteNumber("format", Format);
        json.WriteString("made_with", madeWith);
        json.WriteString("kind", results.Plan.Kind == TrialKind.Randomised ? "randomised" : "monitored");
        json.WriteString("worked_on", results.Ripped is { } day ? Day(day) : null);
        TrialFile.List(json, "measures", results.Measures, r => Measure(json, r));
        TrialFile.List(json, "pairs", results.Pairs, p =>
        {
            json.WriteString("measure", p.Measure.Id);
            json.WriteString("first", p.First);
            json.WriteString("second", p.Second);
            TrialFile.Known(json, "effect", p.Measure.Unscaled(p.Difference.Value), 6);
            Interval(json, "interval_95", p.Measure, p.Between(0.95));
            TrialFile.Known(json, "freedom", p.Difference.Freedom, 2);
            TrialFile.Known(json, "p_all_pairs", p.P, 8);
        });
        TrialFile.Texts(json, "notes", results.Notes);
        TrialFile.List(json, "due", record.Due(results, readings), d =>
        {
            json.WriteString("date", Day(d.Date));
            json.WriteString("what", d.What);
        });
        TrialFile.List(json, "findings", readings.Findings, f =>
        {
            json.WriteString("file", f.File);
            json.WriteNumber("line", f.Line);
            json.WriteString("sentence", f.Sentence);
            json.WriteBoolean("set_aside", f.IsSetAside);
            json.WriteString("row", f.Row);
        });
        TrialFile.List(json, "years", YearPage.Years(record, readings), year =>
        {
            json.WriteNumber("year", year);
            TrialFile.Texts(json, "work", record.Work.Where(w => w.Date.Year == year).Select(w => $"{Day(w.Date)}: {w.Said}"));
            json.WriteNumber("values", readings.Readings.Count(r => r.Date.Year == year));
            json.WriteNumber("photos", readings.Photos.Count(p => p.Date.Year == year));
            TrialFile.Known(json, "rain_mm", readings.Rain.Any(r => r.Date.Year == year) ? readings.Rain.Where(r => r.Date.Year == year).Sum(r => r.Millimetres) : double.NaN, 1);
        });
        ground?.WriteJson(json);
        json.WriteEndObject();
        json.Flush();
        stream.Write("\n"u8);
    }

    internal static string Day(DateOnly date) => date.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    internal static string WordOf(TrialVerdict verdict) => verdict switch { TrialVerdict.More => "more", TrialVerdict.Less => "less", TrialVerdict.Alike => "alike", _ => "cannot tell" };

    internal static void Answers(TextWriter text, TrialResults results)
    {
        text.WriteLine("<table><thead><tr><th>Measure</th><th>Treatment</th><th>Answer</th><th>Effect</th><th>90 %</th><th>95 %</th><th>p over all</th></tr></thead><tbody>");
        foreach (MeasureResult r in results.Measures)
        {
            text.WriteLine($"<tr><td>{Paper.Text(r.Measure.Name)}</td><td>{Paper.Text(r.Treatment)}</td><td><b>{WordOf(r.Verdict)}</b></td><td>{Value(r, r.Overall.Value)}</td><td>{Ends(r, r.Overall.Between(0.9))}</td><td>{Ends(r, r.Overall.Between(0.95))}</td><td>{(results.Plan.Kind == TrialKind.Monitored ? "none" : ResultWords.P(r.AdjustedP))}</td></tr>");
        }

        text.WriteLine("</tbody></table>");
    }

    internal static void Pairs(TextWriter text, TrialResults results)
    {
        if (results.Pairs.Count > 0)
        {
            text.WriteLine("<h2>Every pair of treatments</h2><p class=\"quiet\">To choose among several treatments: these intervals and p-values hold for all pairs of a measure together (Tukey), so they are wider than those against the control above, which alone decide the answers.</p><ul>"
                + string.Concat(results.Pairs.Select(p => $"<li>{Paper.Text(ResultWords.Of(p))}</li>")) + "</ul>");
        }
    }

    private static string Value(MeasureResult r, double value) => !double.IsFinite(value) ? "" : r.Measure.OnRatio ? "&times; " + Math.Exp(value).ToString("0.00", CultureInfo.InvariantCulture) : (value > 0 ? "+" : "") + ResultWords.Number(value) + " " + Paper.Text(r.Measure.Unit);

    private static string Ends(MeasureResult r, (double Low, double High) ends) => double.IsFinite(ends.Low) ? $"{Value(r, ends.Low)} to {Value(r, ends.High)}" : "no interval";

    private static void Visits(StreamWriter text, MeasureResult r)
    {
        text.WriteLine("<table><thead><tr><th>Visit</th><th>Since the work</th><th>Effect</th><th>95 %</th><th>Blocks</th></tr></thead><tbody>");
        foreach (VisitEffect v in r.Visits)
        {
            text.WriteLine($"<tr><td>{Day(v.Date)}</td><td>{(v.Years < 0 ? "before" : ResultWords.Years(v.Years))}</td><td>{Value(r, v.Effect.Value)}</td><td>{Ends(r, v.Effect.Between(0.95))}</td><td>{v.Blocks.Count(double.IsFinite)}</td></tr>");
        }

        text.WriteLine("</tbody></table>");
        if (r.Mixed is { } mixed)
        {
            text.WriteLine($"<p class=\"quiet\">The answer above is decided by the blocks alone. Beside it, and deciding nothing, stands one model of all visits (random blocks and plots): {Value(r, mixed.Value)}, 95 % {Ends(r, mixed.Between(0.95))}, {mixed.Freedom.ToString("0.0", CultureInfo.InvariantCulture)} degrees of freedom. {Beside(r, mixed)}</p>");
        }
    }

    // Why two intervals of one effect differ, and which one counts.
    private static string Beside(MeasureResult r, Estimate mixed)
    {
        double answer = r.Overall.Between(0.95).High - r.Overall.Value, model = mixed.Between(0.95).High - mixed.Value;
        return !(double.IsFinite(answer) && double.IsFinite(model)) || Math.Abs(model - answer) < 0.02 * answer ? "Both say the same."
            : model < answer ? "Its interval is narrower because it takes plots to vary alike in every block and visit; that is not sure of so few, so do not go by it where the two disagree."
            : "Its interval is wider, because plots of a block vary more than the blocks' mean differences show.";
    }

    internal static void Record(TextWriter text, TrialResults results, FormReadings readings, FieldRecord record)
    {
        text.WriteLine("<h2>The field's record</h2><table><thead><tr><th>Day</th><th>What</th></tr></thead><tbody>");
        foreach (FieldWork work in record.Work)
        {
            text.WriteLine($"<tr><td>{Day(work.Date)}</td><td>{Paper.Text(work.Said)}</td></tr>");
        }

        foreach ((DateOnly date, string point, string link) in readings.Photos)
        {
            text.WriteLine($"<tr><td>{Day(date)}</td><td>photo at {Paper.Text(point)}: {(link.StartsWith("https://", StringComparison.Ordinal) ? $"<a href=\"{Paper.Text(link)}\">{Paper.Text(link)}</a>" : Paper.Text(link))}</td></tr>");
        }

        foreach (IGrouping<int, (DateOnly Date, double Millimetres)> year in readings.Rain.GroupBy(r => r.Date.Year))
        {
            text.WriteLine($"<tr><td>{year.Key}</td><td>{year.Sum(r => r.Millimetres).ToString("0", CultureInfo.InvariantCulture)} mm of rain on {year.Count()} days</td></tr>");
        }

        text.WriteLine("</tbody></table><h3>Due next</h3><ul>");
        foreach ((DateOnly date, string what) in record.Due(results, readings))
        {
            text.WriteLine($"<li>{Day(date)}: {Paper.Text(what)}</li>");
        }

        text.WriteLine("</ul>");
    }

    private static void Findings(StreamWriter text, FormReadings readings)
    {
        if (readings.Findings.Count == 0)
        {
            return;
        }

        text.WriteLine($"<h2>Rows to look at</h2><p>{readings.Findings.Count(f => f.IsSetAside)} set aside, {readings.Findings.Count(f => !f.IsSetAside)} used and told of. The tables themselves are as they were.</p><ul>");
        foreach (FormFinding f in readings.Findings)
        {
            text.WriteLine($"<li>{(f.IsSetAside ? "<b>Set aside.</b> " : "")}{Paper.Text(f.Sentence)} <span class=\"quiet\">{Paper.Text(f.Row)}</span></li>");
        }

        text.WriteLine("</ul>");
    }

    private static void Measure(Utf8JsonWriter json, MeasureResult r)
    {
        json.WriteString("measure", r.Measure.Id);
        json.WriteString("unit", r.Measure.Unit);
        json.WriteBoolean("ratio", r.Measure.OnRatio);
        json.WriteString("treatment", r.Treatment);
        json.WriteString("answer", WordOf(r.Verdict));
        json.WriteString("sentence", r.Sentence);
        Known("effect", r.Overall.Value);
        Ends("interval_90", r.Overall.Between(0.9));
        Ends("interval_95", r.Overall.Between(0.95));
        TrialFile.Known(json, "freedom", r.Overall.Freedom, 4);
        TrialFile.Known(json, "p", r.Overall.P, 8);
        TrialFile.Known(json, "p_over_all", r.AdjustedP, 8);
        TrialFile.Known(json, "p_randomised", r.Randomised?.P ?? double.NaN, 8);
        TrialFile.Known(json, "p_not_alike", r.PEquivalent, 8);
        json.WriteBoolean("before_taken_off", r.HasBefore);
        json.WriteStartArray("blocks");
        foreach (double block in r.Blocks.Where(double.IsFinite))
        {
            json.WriteNumberValue(Math.Round(r.Measure.Unscaled(block), 6));
        }

        json.WriteEndArray();
        if (r.Mixed is { } mixed)
        {
            json.WriteStartObject("mixed");
            Known("effect", mixed.Value);
            Ends("interval_95", mixed.Between(0.95));
            TrialFile.Known(json, "freedom", mixed.Freedom, 2);
            json.WriteEndObject();
        }

        if (r.Fading is { } fading)
        {
            json.WriteStartObject("fading");
            TrialFile.Known(json, "half_life_years", fading.Fit.HalfLife, 3);
            TrialFile.Known(json, "gone_after_years", fading.Gone, 3);
            TrialFile.Known(json, "low", fading.Low, 3);
            TrialFile.Known(json, "high", fading.High, 3);
            json.WriteEndObject();
        }

        TrialFile.List(json, "visits", r.Visits, v =>
        {
            json.WriteString("date", Day(v.Date));
            TrialFile.Known(json, "years", v.Years, 3);
            Known("effect", v.Effect.Value);
            Ends("interval_95", v.Effect.Between(0.95));
        });

        void Known(string name, double value) => TrialFile.Known(json, name, r.Measure.Unscaled(value), 6);

        void Ends(string name, (double Low, double High) ends) => Interval(json, name, r.Measure, ends);
    }

    private static void Interval(Utf8JsonWriter json, string name, TrialMeasure measure, (double Low, double High) ends)
    {
        json.WriteStartArray(name);
        if (double.IsFinite(ends.Low))
        {
            json.WriteNumberValue(Math.Round(measure.Unscaled(ends.Low), 6));
            json.WriteNumberValue(Math.Round(measure.Unscaled(ends.High), 6));
        }

        json.WriteEndArray();
    }
}
