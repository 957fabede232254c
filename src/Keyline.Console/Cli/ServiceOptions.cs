using System.Globalization;
using Keyline.Fieldwork;

namespace Keyline.Console.Cli;

/// <summary>The record of located services, and other dates, among the options.</summary>
internal static class ServiceOptions
{
    /// <summary>The record, or null where none was given.</summary>
    /// <exception cref="UsageException">Only a part of it was given, or the date is none.</exception>
    public static ServiceRecord? From(Arguments arguments)
    {
        OptionSpec[] all = [OptionSpec.ClearedBy, OptionSpec.Ticket, OptionSpec.Until];
        if (!all.Any(arguments.Has))
        {
            return null;
        }

        OptionSpec[] missing = [.. all.Where(o => arguments[o] is not { } s || s.Text.Trim().Length == 0)];
        return missing.Length == 0
            ? new ServiceRecord(arguments[OptionSpec.ClearedBy]!.Text.Trim(), arguments[OptionSpec.Ticket]!.Text.Trim(), Date(arguments, OptionSpec.Until)!.Value)
            : throw new UsageException($"The record of located services needs who, which ticket and until when: add {string.Join(" and ", missing.Select(o => $"{o.Flag} {o.ValueName}"))}.");
    }

    /// <summary>A date, or null where none was given.</summary>
    /// <exception cref="UsageException">It is none.</exception>
    public static DateOnly? Date(Arguments arguments, OptionSpec option) => arguments[option] is not { } setting ? null
        : DateOnly.TryParseExact(setting.Text.Trim(), "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out DateOnly date) ? date
        : throw new UsageException($"{setting.Where} \"{setting.Text.Trim()}\" is not a date: write it as 2027-03-01.");
}
