using System.Globalization;
using System.Text;

namespace Keyline.Fieldwork;

/// <summary>A job that is to be done on some days.</summary>
/// <param name="Title">What it is.</param>
/// <param name="Notes">What to say of it.</param>
/// <param name="Days">Working days it takes, above 0.</param>
/// <param name="First">The earliest day.</param>
public sealed record PlannedDays(string Title, string Notes, double Days, DateOnly First);

/// <summary>Writes days of work as a calendar.</summary>
/// <remarks>
/// <para>Units: days. Promises: one event a job, whole days, one after the other from the earliest day of each, weather days among them; Sundays are
/// worked like any day, since nobody else knows. The same jobs give the same bytes.</para>
/// <para>Cost: that of the text. Source: RFC 5545 (2009), sections 3.1 (lines of 75 octets), 3.3.11 (text) and 3.6.1 (events).</para>
/// </remarks>
public static class WorkCalendar
{
    /// <summary>First and last day of each job.</summary>
    /// <param name="jobs">The jobs in order.</param>
    /// <param name="daysLost">Share of days lost to weather.</param>
    public static IReadOnlyList<(PlannedDays Job, DateOnly From, DateOnly To)> Place(IReadOnlyList<PlannedDays> jobs, double daysLost)
    {
        ArgumentNullException.ThrowIfNull(jobs);
        List<(PlannedDays, DateOnly, DateOnly)> placed = [];
        DateOnly free = DateOnly.MinValue;
        foreach (PlannedDays job in jobs)
        {
            DateOnly from = job.First > free ? job.First : free;
            DateOnly to = from.AddDays(Math.Max(1, (int)Math.Ceiling((job.Days / (1 - daysLost)) - 1e-9)) - 1);
            placed.Add((job, from, to));
            free = to.AddDays(1);
        }

        return placed;
    }

    /// <summary>Writes the calendar.</summary>
    /// <param name="stream">Where to; left open. UTF-8.</param>
    /// <param name="jobs">The jobs in order.</param>
    /// <param name="daysLost">Share of days lost to weather.</param>
    public static void Write(Stream stream, IReadOnlyList<PlannedDays> jobs, double daysLost)
    {
        ArgumentNullException.ThrowIfNull(stream);
        StringBuilder text = new();
        Line(text, "BEGIN:VCALENDAR");
        Line(text, "VERSION:2.0");
        Line(text, "PRODID:-//Keyline//Keyline//EN");
        foreach ((PlannedDays job, DateOnly from, DateOnly to) in Place(jobs, daysLost))
        {
            string day = from.ToString("yyyyMMdd", CultureInfo.InvariantCulture);
            Line(text, "BEGIN:VEVENT");
            Line(text, $"UID:{day}-{Escaped(job.Title).Length}-{string.Concat(job.Title.Where(char.IsAsciiLetterOrDigit))}@keyline");
            Line(text, $"DTSTAMP:{day}T000000Z");
            Line(text, $"DTSTART;VALUE=DATE:{day}");
            Line(text, $"DTEND;VALUE=DATE:{to.AddDays(1).ToString("yyyyMMdd", CultureInfo.InvariantCulture)}");
            Line(text, $"SUMMARY:{Escaped(job.Title)}");
            Line(text, $"DESCRIPTION:{Escaped(job.Notes)}");
            Line(text, "END:VEVENT");
        }

        Line(text, "END:VCALENDAR");
        stream.Write(Encoding.UTF8.GetBytes(text.ToString()));
    }

    private static string Escaped(string text) => text.Replace("\\", "\\\\", StringComparison.Ordinal).Replace(";", "\\;", StringComparison.Ordinal).Replace(",", "\\,", StringComparison.Ordinal).ReplaceLineEndings("\\n");

    // Lines of more than 75 octets go on behind a line end and a blank; no letter is cut in two.
    private static void Line(StringBuilder text, string line)
    {
        int octets = 0;
        foreach (Rune rune in line.EnumerateRunes())
        {
            if (octets + rune.Utf8SequenceLength > 75)
            {
                text.Append("\r\n ");
                octets = 1;
            }

            text.Append(rune.ToString());
            octets += rune.Utf8SequenceLength;
        }

        text.Append("\r\n");
    }
}
