using System.Globalization;
using System.Text.Json;
using Keyline.Formats;

namespace Keyline.Console.Commands;

/// <summary>Reads members of files that other commands wrote; what is not there is empty or NaN.</summary>
internal static class MadeJson
{
    private const long MostBytes = 256 << 20;

    public static JsonDocument Parsed(string path)
    {
        try
        {
            using FileStream stream = File.OpenRead(path);
            if (stream.Length > MostBytes)
            {
                throw new GroundDataException($"{path} is larger than any such file: make it again.");
            }

            JsonDocument document = JsonDocument.Parse(stream);
            return document.RootElement.ValueKind == JsonValueKind.Object ? document : throw new GroundDataException($"{path} is no file of ours: make it again.");
        }
        catch (JsonException)
        {
            throw new GroundDataException($"{path} is damaged (it is no JSON): make it again.");
        }
    }

    public static JsonElement.ArrayEnumerator Items(JsonElement of, string name) =>
        of.ValueKind == JsonValueKind.Object && of.TryGetProperty(name, out JsonElement list) && list.ValueKind == JsonValueKind.Array ? list.EnumerateArray() : default;

    public static string Text(JsonElement of, string name) => of.ValueKind == JsonValueKind.Object && of.TryGetProperty(name, out JsonElement text) ? Plain(text) : "";

    public static string Plain(JsonElement text) => text.ValueKind == JsonValueKind.String ? text.GetString()! : "";

    public static double Number(JsonElement of, string name) =>
        of.ValueKind == JsonValueKind.Object && of.TryGetProperty(name, out JsonElement number) && number.ValueKind == JsonValueKind.Number ? number.GetDouble() : double.NaN;

    public static double[] Three(JsonElement of, string name)
    {
        double[] numbers = [.. Items(of, name).Select(n => n.ValueKind == JsonValueKind.Number ? n.GetDouble() : double.NaN)];
        return numbers.Length == 3 ? numbers : [double.NaN, double.NaN, double.NaN];
    }

    public static int Whole(JsonElement of, string name) => Number(of, name) is double n && n is >= 0 and <= int.MaxValue ? (int)n : 0;

    public static int? Maybe(JsonElement of, string name) => Number(of, name) is double n && n is >= 0 and <= int.MaxValue ? (int)n : null;

    public static DateOnly? Date(JsonElement of, string name) =>
        DateOnly.TryParseExact(Text(of, name), "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out DateOnly day) ? day : null;

    public static string[] Texts(JsonElement of, string name) => [.. Items(of, name).Select(Plain)];
}
