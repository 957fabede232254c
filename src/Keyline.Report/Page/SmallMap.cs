using System.Globalization;
using System.Text;
using Keyline.Layout;
using NetTopologySuite.Geometries;
using NetTopologySuite.Simplify;

namespace Keyline.Report;

/// <summary>A layout as a small drawing: the field's outline and its lines, to be looked at side by side with others.</summary>
/// <remarks>Positions are thinned to two metres; it is a picture, not to be measured.</remarks>
internal static class SmallMap
{
    private const double Size = 320, Thinning = 2;

    /// <summary>Draws it.</summary>
    /// <param name="field">The field's outline.</param>
    /// <param name="layout">The lines.</param>
    /// <param name="label">What it is, for those who hear it.</param>
    public static string Draw(Geometry field, RipLayout layout, Phrase label)
    {
        Envelope box = field.EnvelopeInternal;
        double scale = (Size - 8) / Math.Max(box.Width, box.Height);
        StringBuilder svg = new();
        string name = "m-" + string.Concat(label.En.Where(char.IsAsciiLetter)).ToLowerInvariant();
        svg.Append(CultureInfo.InvariantCulture, $"<svg class=\"small\" viewBox=\"0 0 {N((box.Width * scale) + 8)} {N((box.Height * scale) + 8)}\" role=\"img\" aria-labelledby=\"{name}\"><title id=\"{name}\">{PageText.Encoded(label.En)} / {PageText.Encoded(label.Es)}</title><path class=\"rips\" d=\"");
        foreach (RipLine line in layout.Lines)
        {
            Path(line.Line, false);
        }

        svg.Append("\"/><path class=\"edge\" d=\"");
        foreach ((LineString course, bool closed) in PaperFrame.Courses(field))
        {
            Path(course, closed);
        }

        return svg.Append("\"/></svg>").ToString();

        void Path(LineString course, bool closed)
        {
            Coordinate[] points = DouglasPeuckerSimplifier.Simplify(course, Thinning).Coordinates;
            for (int i = 0; i < points.Length; i++)
            {
                svg.Append(i == 0 ? 'M' : 'L').Append(N(((points[i].X - box.MinX) * scale) + 4)).Append(' ').Append(N(((box.MaxY - points[i].Y) * scale) + 4));
            }

            svg.Append(closed ? "Z" : "");
        }
    }

    private static string N(double value) => Svg.Number(value, "0.#");
}
