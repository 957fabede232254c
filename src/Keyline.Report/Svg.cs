using System.Globalization;
using System.Net;
using System.Text;
using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>Words of SVG and HTML: numbers, texts, colours of the map's style, courses.</summary>
internal static class Svg
{
    /// <summary>The ink of lines and letters.</summary>
    public static readonly string Ink = Color(MapStyle.Ink);

    /// <summary>Axes and quiet letters.</summary>
    public static readonly string QuietInk = Color(MapStyle.QuietInk);

    /// <summary>Rules behind a drawing.</summary>
    public static readonly string Rule = Color(MapStyle.Rule);

    /// <summary>What is kept clear of.</summary>
    public static readonly string Avoided = Color(MapStyle.Avoided);

    /// <summary>Attributes of letters that must read over lines.</summary>
    public const string Halo = "stroke=\"#fff\" stroke-width=\"0.7\" paint-order=\"stroke\"";

    /// <summary>Millimetres to a hundredth.</summary>
    public static string N(double value) => Number(value, "0.##");

    /// <summary>A number with a decimal point, whatever the machine's language.</summary>
    public static string Number(double value, string format) => value.ToString(format, CultureInfo.InvariantCulture);

    /// <summary>Text between tags or quotes.</summary>
    public static string Text(string text) => WebUtility.HtmlEncode(text);

    /// <summary>The mark of a stake: filled where the grade changes or the line bends.</summary>
    public static string Mark(double x, double y, double radius, bool filled) =>
        $"<circle cx=\"{N(x)}\" cy=\"{N(y)}\" r=\"{Number(radius, "0.##")}\" fill=\"{(filled ? Ink : "#fff")}\" stroke=\"{Ink}\" stroke-width=\"0.3\"/>";

    /// <summary>The data of a path along the outlines and courses of a shape.</summary>
    public static string Path(PaperFrame frame, Geometry shape)
    {
        StringBuilder path = new();
        foreach ((LineString course, _) in PaperFrame.Courses(shape))
        {
            for (int i = 0; i < course.NumPoints; i++)
            {
                Coordinate at = course.GetCoordinateN(i);
                (double x, double y) = frame.At(at.X, at.Y);
                path.Append(i == 0 ? 'M' : 'L').Append(N(x)).Append(' ').Append(N(y));
            }
        }

        return path.ToString();
    }

    private static string Color(SKColor color) => string.Create(CultureInfo.InvariantCulture, $"#{color.Red:x2}{color.Green:x2}{color.Blue:x2}");
}
