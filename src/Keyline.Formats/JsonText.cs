using System.Text.Encodings.Web;
using System.Text.Json;

namespace Keyline.Formats;

/// <summary>How JSON is written here, whatever it holds.</summary>
internal static class JsonText
{
    /// <summary>Without spaces; letters of every language as they are.</summary>
    public static JsonWriterOptions Compact { get; } = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>For people to read: a member a line, the same line ends on every machine.</summary>
    public static JsonWriterOptions Readable { get; } = new() { Indented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>A number rounded to some decimals; null where it is not finite.</summary>
    public static void Number(Utf8JsonWriter json, string name, double value, int decimals)
    {
        if (double.IsFinite(value))
        {
            json.WritePropertyName(name);
            Value(json, value, decimals);
        }
        else
        {
            json.WriteNull(name);
        }
    }

    /// <summary>A number as it is; null where it is not there or not finite.</summary>
    public static void Exact(Utf8JsonWriter json, string name, double? value)
    {
        if (value is { } there && double.IsFinite(there))
        {
            json.WriteNumber(name, there);
        }
        else
        {
            json.WriteNull(name);
        }
    }

    /// <summary>A whole number; null where it is not there.</summary>
    public static void Whole(Utf8JsonWriter json, string name, int? value)
    {
        if (value is { } there)
        {
            json.WriteNumber(name, there);
        }
        else
        {
            json.WriteNull(name);
        }
    }

    /// <summary>Numbers as a member, rounded to some decimals; null where one is not finite.</summary>
    public static void Numbers(Utf8JsonWriter json, string name, IEnumerable<double> values, int decimals)
    {
        json.WritePropertyName(name);
        json.WriteStartArray();
        foreach (double value in values)
        {
            if (double.IsFinite(value))
            {
                Value(json, value, decimals);
            }
            else
            {
                json.WriteNullValue();
            }
        }

        json.WriteEndArray();
    }

    /// <summary>A finite number rounded to some decimals. Adding 0 turns -0 into 0.</summary>
    public static void Value(Utf8JsonWriter json, double value, int decimals) => json.WriteNumberValue(Math.Round(value, decimals) + 0.0);

    /// <summary>A finite number with just so many decimals, 0 to 9; for files of millions of numbers.</summary>
    public static void Fixed(Utf8JsonWriter json, double value, int decimals)
    {
        Span<byte> digits = stackalloc byte[Utf8Text.LongestNumber];
        int written = Utf8Text.Format(digits, value, decimals);
        json.WriteRawValue(digits[..written], skipInputValidation: true);
    }

    /// <summary>An object as a member.</summary>
    public static void Section(Utf8JsonWriter json, string name, Action members)
    {
        json.WritePropertyName(name);
        json.WriteStartObject();
        members();
        json.WriteEndObject();
    }

    /// <summary>A list of objects as a member, one for each item.</summary>
    public static void Sections<T>(Utf8JsonWriter json, string name, IEnumerable<T> items, Action<T> members)
    {
        json.WritePropertyName(name);
        json.WriteStartArray();
        foreach (T item in items)
        {
            json.WriteStartObject();
            members(item);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    /// <summary>Texts as a member.</summary>
    public static void Texts(Utf8JsonWriter json, string name, IEnumerable<string> texts)
    {
        json.WritePropertyName(name);
        json.WriteStartArray();
        foreach (string text in texts)
        {
            json.WriteStringValue(text);
        }

        json.WriteEndArray();
    }
}
