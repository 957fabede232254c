using System.Globalization;
using System.Text.Encodings.Web;
using System.Text.Json;

namespace Keyline.Fieldwork;

/// <summary>Work done on the field.</summary>
/// <param name="Date">When.</param>
/// <param name="What">What, as "ripped".</param>
/// <param name="Depth">How deep, metres; NaN where it is not known.</param>
/// <param name="Moisture">How wet the ground was, in words.</param>
/// <param name="Note">Anything else, links to photos among it.</param>
public sealed record FieldWork(DateOnly Date, string What, double Depth, string Moisture, string Note)
{
    /// <summary>It in a line.</summary>
    public string Said => What + (double.IsNaN(Depth) ? "" : string.Create(CultureInfo.InvariantCulture, $" {100 * Depth:0} cm deep")) + (Moisture.Length > 0 ? $", ground {Moisture}" : "") + (Note.Length > 0 ? $"; {Note}" : "");
}

/// <summary>The record of a field over the years: what was done when, and what is due.</summary>
/// <remarks>
/// <para>Units: metres in memory, centimetres in the file. Promises: what is due follows from the record and its last reading, never from a clock.</para>
/// <para>Cost: that of the text. Source: visits before, a season after and every year: common practice of monitoring, no source.</para>
/// </remarks>
/// <param name="Field">The field's name.</param>
/// <param name="Work">What was done, oldest first.</param>
public sealed record FieldRecord(string Field, IReadOnlyList<FieldWork> Work)
{
    private const int Format = 1;
    private static readonly JsonWriterOptions Readable = new() { Indented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>Day of the first ripping; null where there is none yet.</summary>
    public DateOnly? FirstRipped => Work.Where(w => w.What.StartsWith("ripped", StringComparison.OrdinalIgnoreCase)).Select(w => (DateOnly?)w.Date).Min();

    /// <summary>Writes it.</summary>
    /// <param name="stream">Where to; left open.</param>
    public void Write(Stream stream)
    {
        using Utf8JsonWriter json = new(stream, Readable);
        json.WriteStartObject();
        json.WriteNumber("format", Format);
        json.WriteString("how", "Add an entry to work for everything done on the field, as {\"date\": \"2027-04-10\", \"what\": \"ripped\", \"depth_cm\": 40, \"moisture\": \"crumbles, does not smear\", \"note\": \"\"}.");
        json.WriteString("field", Field);
        TrialFile.List(json, "work", Work, w =>
        {
            json.WriteString("date", Day(w.Date));
            json.WriteString("what", w.What);
            TrialFile.Known(json, "depth_cm", 100 * w.Depth, 1);
            json.WriteString("moisture", w.Moisture);
            json.WriteString("note", w.Note);
        });
        json.WriteEndObject();
        json.Flush();
        stream.Write("\n"u8);
    }

    /// <summary>Reads it.</summary>
    /// <param name="stream">A <c>record.json</c>.</param>
    /// <param name="name">Its name for messages.</param>
    /// <exception cref="GroundDataException">It is none.</exception>
    public static FieldRecord Read(Stream stream, string name)
    {
        try
        {
            using JsonDocument document = JsonDocument.Parse(stream, new JsonDocumentOptions { MaxDepth = 16, AllowTrailingCommas = true, CommentHandling = JsonCommentHandling.Skip });
            List<FieldWork> work = [];
            foreach (JsonElement w in document.RootElement.GetProperty("work").EnumerateArray())
            {
                string date = Text(w, "date");
                double depth = w.TryGetProperty("depth_cm", out JsonElement d) && d.ValueKind == JsonValueKind.Number ? d.GetDouble() / 100 : double.NaN;
                if (!DateOnly.TryParseExact(date, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out DateOnly day) || !FormRowCheck.IsLikely(day))
                {
                    throw new GroundDataException($"{name}: entry {work.Count + 1} of work has the date \"{date}\"; write it as 2027-04-10.");
                }

                work.Add(Text(w, "what").Length == 0 ? throw new GroundDataException($"{name}: entry {work.Count + 1} of work does not say what was done; write \"what\": \"ripped\".")
                    : depth is < 0 or > 2 ? throw new GroundDataException(string.Create(CultureInfo.InvariantCulture, $"{name}: entry {work.Count + 1} of work is {100 * depth:0} cm deep; write centimetres from 0 to 200."))
                    : new FieldWork(day, Text(w, "what"), depth, Text(w, "moisture"), Text(w, "note")));
            }

            return new FieldRecord(Text(document.RootElement, "field"), [.. work.OrderBy(w => w.Date)]);
        }
        catch (Exception e) when (e is JsonException or KeyNotFoundException or InvalidOperationException)
        {
            throw new GroundDataException($"{name}: it is not a record that keyline trial wrote ({e.Message.TrimEnd('.')}); mend it, or lay the trial out into another folder and copy its record.json.", e);
        }
    }

    /// <summary>What is due after the last entry of the record.</summary>
    /// <param name="results">What the trial says so far.</param>
    /// <param name="readings">Its readings.</param>
    public IReadOnlyList<(DateOnly Date, string What)> Due(TrialResults results, FormReadings readings)
    {
        ArgumentNullException.ThrowIfNull(results);
        ArgumentNullException.ThrowIfNull(readings);
        DateOnly? last = readings.Readings.Select(r => (DateOnly?)r.Date).Max();
        if (results.Ripped is not { } ripped)
        {
            DateOnly from = last ?? Work.Select(w => (DateOnly?)w.Date).Max() ?? new DateOnly(2000, 1, 1);
            return last is null ? [(from, "measure every plot before the work")] : [(from, "do the work, and write its day into record.json")];
        }

        List<(DateOnly, string)> due = [];
        if (last is null || last < ripped)
        {
            due.Add((ripped.AddMonths(3), "first visit after the work, once the ground has settled"));
        }
        else
        {
            // The next anniversary, so that seasons are compared with themselves.
            DateOnly next = ripped.AddMonths(12);
            while (next <= last.Value.AddMonths(2))
            {
                next = next.AddMonths(12);
            }

            due.Add((next, "visit every plot again, in the season of the visits before, in ground as wet"));
        }

        foreach (MeasureResult r in results.Measures.Where(r => r.Fading is { } f && double.IsFinite(f.Gone) && f.Gone < 50))
        {
            EffectFading fading = r.Fading!;
            due.Add((ripped.AddDays((int)(365.25 * fading.Gone)), $"the effect of {r.Treatment} on {r.Measure.Name} is likely gone{(double.IsFinite(fading.High) ? string.Create(CultureInfo.InvariantCulture, $" (90 % sure: {Day(ripped.AddDays((int)(365.25 * fading.Low)))} to {Day(ripped.AddDays((int)(365.25 * Math.Min(fading.High, 100))))})") : "")}: rip again, or find out first why it went"));
        }

        return [.. due.Order()];
    }

    private static string Day(DateOnly date) => date.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string Text(JsonElement from, string name) => from.TryGetProperty(name, out JsonElement text) && text.ValueKind == JsonValueKind.String ? text.GetString()! : "";
}
