using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>A sheet drawn as SVG at its size on paper. Text stays text, every letter in its place, so that another typeface does no harm where Open Sans is not installed.</summary>
internal static partial class SvgSheet
{
    private const string Opening = "<svg ";

    /// <summary>Draws a sheet.</summary>
    /// <param name="stream">Where to; left open. UTF-8.</param>
    /// <param name="width">Millimetres.</param>
    /// <param name="height">Millimetres.</param>
    /// <param name="draw">Draws in millimetres.</param>
    public static void Write(Stream stream, float width, float height, Action<SKCanvas> draw)
    {
        using MemoryStream drawn = new();
        using (SKCanvas canvas = SKSvgCanvas.Create(new SKRect(0, 0, width, height), drawn))
        {
            using SKPaint paper = MapStyle.Fill(MapStyle.Paper);
            canvas.DrawRect(new SKRect(0, 0, width, height), paper);
            draw(canvas);
        }

        // The drawing counts in pixels; ours are millimetres.
        string text = Encoding.UTF8.GetString(drawn.GetBuffer(), 0, (int)drawn.Length);
        int at = text.IndexOf(Opening, StringComparison.Ordinal), end = text.IndexOf('>', at);
        string size = string.Create(CultureInfo.InvariantCulture, $"width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\"");
        using StreamWriter writer = new(stream, new UTF8Encoding(false), -1, leaveOpen: true) { NewLine = "\n" };
        writer.Write(text[..at]);
        writer.WriteLine($"<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" {size}>");
        writer.Write(Renumbered(text[(end + 1)..]).Replace("Open Sans\"", "Open Sans, sans-serif\"", StringComparison.Ordinal));
    }

    // Names of clips and images count on from drawing to drawing; here they count from 1 in each.
    private static string Renumbered(string text)
    {
        Dictionary<string, string> names = [];
        foreach (Match id in Ids().Matches(text))
        {
            names.TryAdd(id.Groups["name"].Value, string.Create(CultureInfo.InvariantCulture, $"s{names.Count + 1}"));
        }

        return Uses().Replace(text, use => names.TryGetValue(use.Groups["name"].Value, out string? name) ? use.Groups["before"].Value + name + use.Groups["after"].Value : use.Value);
    }

    [GeneratedRegex("\\bid=\"(?<name>[^\"]+)\"", RegexOptions.ExplicitCapture)]
    private static partial Regex Ids();

    [GeneratedRegex("""(?<before>\bid="|href="#|url\(#)(?<name>[^")]+)(?<after>["\)])""", RegexOptions.ExplicitCapture)]
    private static partial Regex Uses();
}
