using System.Text;
using static Keyline.Fieldwork.Paper;

namespace Keyline.Fieldwork;

/// <summary>Draws a measured variogram and the models laid through it, as SVG.</summary>
/// <remarks>
/// <para>Units: metres; the square of the value's unit. Promises: nothing outside it is needed; circles grow with the pairs they stand for; the
/// model used is drawn full, the others faint; the same map gives the same bytes. Cost: that of the text. Source: ours.</para>
/// </remarks>
public static class VariogramPicture
{
    private const double Width = 640;
    private const double Height = 400;
    private const double Left = 84;
    private const double Right = 20;
    private const double Top = 46;
    private const double Bottom = 62;
    private const int Steps = 160;

    /// <summary>Draws.</summary>
    /// <param name="map">A map with a variogram.</param>
    /// <returns>The text of an SVG file.</returns>
    /// <exception cref="ArgumentException">The map has no variogram.</exception>
    public static string Draw(PointMap map)
    {
        ArgumentNullException.ThrowIfNull(map);
        if (map.Fits.Count == 0)
        {
            throw new ArgumentException("The map has no variogram.", nameof(map));
        }

        double far = Nice(1.04 * map.Lags[^1].Distance, out double stepX), high = Nice(1.12 * map.Lags.Max(l => l.Semivariance), out double stepY);
        double X(double distance) => Left + (distance / far * (Width - Left - Right));
        double Y(double value) => Height - Bottom - (Math.Min(value, high) / high * (Height - Top - Bottom));
        StringBuilder svg = new();
        svg.Append(Invariant($"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {N(Width)} {N(Height)}\" font-family=\"Segoe UI, Noto Sans, Helvetica Neue, Arial, sans-serif\" font-size=\"13\" fill=\"#1d242b\" role=\"img\" aria-label=\"Variogram of {Text(map.Name)}\">\n"));
        svg.Append(Invariant($"<rect width=\"{N(Width)}\" height=\"{N(Height)}\" fill=\"#fff\"/>\n"));
        svg.Append(Invariant($"<text x=\"{N(Left)}\" y=\"22\" font-size=\"15\" font-weight=\"600\">{Text(Capital(map.Name))}: how unlike places are, by their distance</text>\n"));
        svg.Append(Invariant($"<text x=\"{N(Left)}\" y=\"39\" fill=\"#5a636b\">{Text(map.Fits[0].Model.ToString())}</text>\n"));
        for (double v = 0; v <= high * 1.0001; v += stepY)
        {
            svg.Append(Invariant($"<path d=\"M{N(Left)} {N(Y(v))}H{N(Width - Right)}\" stroke=\"#e3e6e8\"/><text x=\"{N(Left - 8)}\" y=\"{N(Y(v) + 4)}\" text-anchor=\"end\">{VariogramModel.Figures(v)}</text>\n"));
        }

        for (double d = 0; d <= far * 1.0001; d += stepX)
        {
            svg.Append(Invariant($"<path d=\"M{N(X(d))} {N(Height - Bottom)}v5\" stroke=\"#5a636b\"/><text x=\"{N(X(d))}\" y=\"{N(Height - Bottom + 20)}\" text-anchor=\"middle\">{d:0.##}</text>\n"));
        }

        svg.Append(Invariant($"<text x=\"{N((Left + Width - Right) / 2)}\" y=\"{N(Height - 24)}\" text-anchor=\"middle\">distance, m</text>\n"));
        svg.Append(Invariant($"<text transform=\"translate(18 {N((Top + Height - Bottom) / 2)}) rotate(-90)\" text-anchor=\"middle\">half the mean squared difference{(map.Unit.Length > 0 ? $", ({Text(map.Unit)})²" : "")}</text>\n"));
        foreach (FittedVariogram other in map.Fits.Skip(1).Reverse())
        {
            svg.Append(Invariant($"<path d=\"{Curve(other.Model)}\" fill=\"none\" stroke=\"#b9c1c7\" stroke-width=\"1.2\" stroke-dasharray=\"5 4\"/>\n"));
        }

        svg.Append(Invariant($"<path d=\"{Curve(map.Fits[0].Model)}\" fill=\"none\" stroke=\"#8c3b1f\" stroke-width=\"2.2\"/>\n"));
        double most = map.Lags.Max(l => l.Pairs);
        foreach (VariogramLag lag in map.Lags)
        {
            svg.Append(Invariant($"<circle cx=\"{N(X(lag.Distance))}\" cy=\"{N(Y(lag.Semivariance))}\" r=\"{N(2.5 + (5 * Math.Sqrt(lag.Pairs / most)))}\" fill=\"#2b6a8c\" fill-opacity=\"0.75\"><title>{lag.Pairs} pairs at {lag.Distance:0.#} m: {lag.Semivariance:G4}</title></circle>\n"));
        }

        svg.Append(Invariant($"<text x=\"{N(Left)}\" y=\"{N(Height - 6)}\" font-size=\"11\" fill=\"#5a636b\">Circles: measured ({map.Lags.Min(l => l.Pairs)} to {map.Lags.Max(l => l.Pairs)} pairs). Full line: the model used. Broken: others tried.</text>\n"));
        return svg.Append("</svg>\n").ToString();

        string Curve(VariogramModel model)
        {
            StringBuilder path = new();
            for (int i = 0; i <= Steps; i++)
            {
                double d = i == 0 ? far * 1e-6 : far * i / Steps;
                path.Append(i == 0 ? 'M' : 'L').Append(N(X(d))).Append(' ').Append(N(Y(model.At(d))));
            }

            return path.ToString();
        }
    }

    private static string Capital(string text) => text.Length > 0 ? char.ToUpperInvariant(text[0]) + text[1..] : text;

    private static string Invariant(FormattableString text) => FormattableString.Invariant(text);

    // The end of an axis at a round number, in four to eight steps.
    private static double Nice(double most, out double step)
    {
        double power = Math.Pow(10, Math.Floor(Math.Log10(most / 4)));
        double times = most / 4 / power;
        step = power * (times >= 5 ? 5 : times >= 2 ? 2 : 1);
        return Math.Ceiling(most / step) * step;
    }
}
