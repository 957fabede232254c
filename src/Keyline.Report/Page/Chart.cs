using System.Globalization;
using System.Text;

namespace Keyline.Report;

/// <summary>Bars over bins, drawn as SVG with letters in every language and figures in the reader's units.</summary>
/// <remarks>Every bar also says its range and height in words. Cost: that of the text.</remarks>
internal static class Chart
{
    private const double Width = 360, Height = 206, Left = 46, Right = 350, Top = 26, Bottom = 164;

    /// <summary>Draws it.</summary>
    /// <param name="label">What it is, for those who hear it.</param>
    /// <param name="edges">Edges of the bins, one more than bins; infinite at the end where the last is open.</param>
    /// <param name="heights">Heights of the bars.</param>
    /// <param name="at">How an edge is shown.</param>
    /// <param name="height">How a height is shown.</param>
    /// <param name="axis">What the heights are.</param>
    /// <param name="across">What the bins are of.</param>
    /// <param name="mark">Where a dashed line stands; NaN for none.</param>
    /// <param name="system">metric or us where there is a drawing for each; empty where there is one for both.</param>
    public static string Bars(Phrase label, double[] edges, double[] heights, Func<double, Measure> at, Func<double, Measure> height, Phrase axis, Phrase across, double mark = double.NaN, string system = "")
    {
        int bins = heights.Length;
        double most = Math.Max(heights.Max(), 1e-9), step = RoundStep.Near(most / 3), top = Math.Ceiling((most / step) - 1e-9) * step, wide = (Right - Left) / bins;
        StringBuilder svg = new();
        Add(svg, $"<svg class=\"chart\"{(system.Length > 0 ? $" data-s=\"{system}\"" : "")} viewBox=\"0 0 {Width} {Height}\" role=\"img\" aria-labelledby=\"{Id(label)}{system}\"><title id=\"{Id(label)}{system}\">{PageText.Encoded(label.En)} / {PageText.Encoded(label.Es)}</title>");
        for (double y = 0; y <= top + (step / 2); y += step)
        {
            double line = Y(y);
            Add(svg, $"<path class=\"rule\" d=\"M{Left} {N(line)}H{Right}\"/>{Label(height(y), $"x=\"{Left - 5}\" y=\"{N(line + 4)}\" text-anchor=\"end\"")}");
        }

        for (int i = 0; i < bins; i++)
        {
            double x = Left + (i * wide), y = Y(heights[i]);
            Add(svg, $"<rect class=\"bar\" x=\"{N(x + 0.8)}\" y=\"{N(y)}\" width=\"{N(wide - 1.6)}\" height=\"{N(Bottom - y)}\"><title>{Title(edges[i], edges[i + 1], heights[i])}</title></rect>");
        }

        Add(svg, $"<path class=\"axis\" d=\"M{Left} {Bottom}H{Right}\"/>");
        int every = Math.Max(1, (bins + 4) / 5);
        for (int i = 0; i <= bins; i += every)
        {
            if (double.IsFinite(edges[i]))
            {
                Add(svg, $"<path class=\"axis\" d=\"M{N(Left + (i * wide))} {Bottom}v4\"/>{Label(at(edges[i]), $"x=\"{N(Left + (i * wide))}\" y=\"{Bottom + 17}\" text-anchor=\"middle\"")}");
            }
        }

        if (double.IsFinite(mark))
        {
            int bin = Math.Clamp(Array.FindLastIndex(edges, e => e <= mark), 0, bins - 1);
            double share = double.IsFinite(edges[bin + 1]) ? (mark - edges[bin]) / (edges[bin + 1] - edges[bin]) : 0, x = Left + ((bin + Math.Clamp(share, 0, 1)) * wide);
            Add(svg, $"<path class=\"mark\" d=\"M{N(x)} {Top - 8}V{Bottom}\"/>");
        }

        svg.Append(PageText.Letters($"x=\"{N((Left + Right) / 2)}\" y=\"{Height - 4}\" text-anchor=\"middle\"", across)).Append(PageText.Letters("x=\"4\" y=\"10\"", axis));
        return svg.Append("</svg>").ToString();

        double Y(double value) => Bottom - ((Bottom - Top) * value / top);

        string Title(double from, double to, double value) => string.Join(" / ", Phrase.Languages.Select(l => double.IsFinite(to)
            ? string.Format(CultureInfo.InvariantCulture, Phrases.HistogramBar.In(l), at(from).In(l), at(to).In(l), height(value).In(l))
            : string.Format(CultureInfo.InvariantCulture, Phrases.HistogramOver.In(l), at(from).In(l), height(value).In(l))));
    }

    /// <summary>A number as letters of a drawing, in the reader's units.</summary>
    public static string Label(Measure measure, string attributes) =>
        FormattableString.Invariant($"<text class=\"q\" data-k=\"{measure.Word}\" data-v=\"{measure.Value:0.######}\" data-d=\"{measure.Decimals}\" {attributes}>{PageText.Encoded(measure.In("en"))}</text>");

    private static string Id(Phrase label) => "c-" + string.Concat(label.En.Where(char.IsAsciiLetter)).ToLowerInvariant();

    private static string N(double value) => Svg.Number(value, "0.#");

    private static void Add(StringBuilder svg, FormattableString text) => svg.Append(text.ToString(CultureInfo.InvariantCulture));
}
