using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Formats;

namespace Keyline.Console.Batch;

/// <summary>What came of one field.</summary>
/// <param name="Id">The field.</param>
/// <param name="Key">What it was made from; see <see cref="FieldTask.Key"/>.</param>
/// <param name="State">One of the words below.</param>
/// <param name="ExitCode">Of the process that planned it; -1 where none was begun or it was ended.</param>
/// <param name="Seconds">How long it took.</param>
/// <param name="PeakMegabytes">Most memory it was seen to hold, in millions of bytes.</param>
/// <param name="Sentence">What was said where it failed; else empty.</param>
internal sealed record FieldOutcome(string Id, string Key, string State, int ExitCode, double Seconds, double PeakMegabytes, string Sentence)
{
    /// <summary>Planned, and every limit held.</summary>
    public const string Held = "held";

    /// <summary>Planned, and some limit not kept everywhere.</summary>
    public const string Look = "look";

    /// <summary>Its input cannot be used.</summary>
    public const string Refused = "refused";

    /// <summary>It took longer than it may.</summary>
    public const string OutOfTime = "out-of-time";

    /// <summary>The program ended otherwise: too little memory, or a fault.</summary>
    public const string Broken = "broken";

    /// <summary>Nothing has come of it yet.</summary>
    public const string Waiting = "waiting";

    public bool HasFailed => State is Refused or OutOfTime or Broken;

    /// <summary>Reads the outcome in a field's folder; null where there is none, or none that can be understood.</summary>
    public static FieldOutcome? Read(string folder)
    {
        try
        {
            using FileStream stream = File.OpenRead(Path.Combine(folder, FieldTask.ResultName));
            using JsonDocument document = JsonDocument.Parse(stream);
            JsonElement root = document.RootElement;
            return new FieldOutcome(
                root.GetProperty("id").GetString()!, root.GetProperty("key").GetString()!, root.GetProperty("state").GetString()!, root.GetProperty("exit_code").GetInt32(),
                root.GetProperty("seconds").GetDouble(), root.GetProperty("peak_mb").GetDouble(), root.GetProperty("sentence").GetString()!);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or JsonException or KeyNotFoundException or InvalidOperationException or FormatException)
        {
            return null;
        }
    }

    public void Write(string folder)
    {
        using MemoryStream stream = new();
        using (Utf8JsonWriter json = new(stream, JsonText.Readable))
        {
            json.WriteStartObject();
            json.WriteString("id", Id);
            json.WriteString("key", Key);
            json.WriteString("state", State);
            json.WriteNumber("exit_code", ExitCode);
            json.WriteNumber("seconds", Math.Round(Seconds, 2));
            json.WriteNumber("peak_mb", Math.Round(PeakMegabytes));
            json.WriteString("sentence", Sentence);
            json.WriteEndObject();
        }

        stream.WriteByte((byte)'\n');
        FieldTask.WriteWhole(Path.Combine(folder, FieldTask.ResultName), stream.ToArray());
    }

    /// <summary>The state of an exit code.</summary>
    public static string StateOf(int exit) => exit switch
    {
        Cli.ExitCode.Done => Held,
        Cli.ExitCode.LimitNotKept => Look,
        Cli.ExitCode.BadInput => Refused,
        _ => Broken,
    };
}
