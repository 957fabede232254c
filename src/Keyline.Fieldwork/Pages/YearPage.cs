using System.Globalization;
using System.Text;

namespace Keyline.Fieldwork;

/// <summary>Writes a page a year: what was done, what was read, what it says by then, and what is due.</summary>
/// <remarks>Promises: nothing of later years is in it; the same record gives the same bytes. Cost: that of the text. Source: ours.</remarks>
public static class YearPage
{
    /// <summary>Years that have anything to tell.</summary>
    /// <param name="record">The field's record.</param>
    /// <param name="readings">The readings.</param>
    public static IReadOnlyList<int> Years(FieldRecord record, FormReadings readings)
    {
        ArgumentNullException.ThrowIfNull(record);
        ArgumentNullException.ThrowIfNull(readings);
        return [.. record.Work.Select(w => w.Date.Year).Concat(readings.Readings.Select(r => r.Date.Year)).Concat(readings.Rain.Select(r => r.Date.Year)).Distinct().Order()];
    }

    /// <summary>Writes the page of a year.</summary>
    /// <param name="stream">Where to; left open. UTF-8.</param>
    /// <param name="year">The year.</param>
    /// <param name="plan">The trial.</param>
    /// <param name="readings">All readings.</param>
    /// <param name="record">The whole record.</param>
    /// <param name="ripped">Day of the work; null where it is not done yet.</param>
    /// <param name="madeWith">Name and version of what made it.</param>
    public static void Write(Stream stream, int year, TrialPlan plan, FormReadings readings, FieldRecord record, DateOnly? ripped, string madeWith)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(readings);
        ArgumentNullException.ThrowIfNull(record);
        using StreamWriter text = new(stream, new UTF8Encoding(false), -1, leaveOpen: true) { NewLine = "\n" };
        FormReadings then = readings with { Readings = [.. readings.Readings.Where(r => r.Date.Year <= year)], Rain = [.. readings.Rain.Where(r => r.Date.Year <= year)], Photos = [.. readings.Photos.Where(p => p.Date.Year <= year)] };
        FieldRecord until = record with { Work = [.. record.Work.Where(w => w.Date.Year <= year)] };
        TrialResults results = TrialAnalysis.Of(plan, then.Readings, ripped is { } day && day.Year <= year ? ripped : null);
        string name = plan.Field.Length > 0 ? plan.Field : "the field";
        TrialPage.Begin(text, string.Create(CultureInfo.InvariantCulture, $"{name}, {year}"));
        text.WriteLine(string.Create(CultureInfo.InvariantCulture, $"<h1>{Paper.Text(name)}, {year}</h1><p class=\"quiet\">{then.Readings.Count(r => r.Date.Year == year)} values read this year.</p>"));
        if (results.Measures.Count > 0)
        {
            text.WriteLine("<h2>What the trial says by the end of the year</h2>");
            ResultsPage.Answers(text, results);
            text.WriteLine("<ul>" + string.Concat(results.Measures.Select(r => $"<li>{Paper.Text(r.Sentence)}</li>")) + "</ul>");
            foreach (MeasureResult r in results.Measures.Where(r => r.Visits.Any(v => v.Date.Year == year)).Take(2))
            {
                text.WriteLine($"<h3>{Paper.Text(ResultWords.Capital(r.Measure.Name))}</h3>");
                ResultPictures.Write(text, plan, r);
            }
        }

        ResultsPage.Record(text, results, then, until);
        text.WriteLine($"<footer>{Paper.Text(madeWith)}. An aid to judgement, not engineering advice: local codes and licensed practice come before it.</footer></body></html>");
    }
}
