using System.Globalization;
using System.Text;
using Keyline.Landform;

namespace Keyline.Report;

/// <summary>The long profile of a valley as SVG: the floor as sampled, the curve through it, its keypoint and where it may lie.</summary>
/// <remarks>Metres on both axes; the drawing is stretched upward. No meaning hangs on colour alone.</remarks>
internal static class ProfileDrawing
{
    private const double Width = 560, Height = 240, Left = 58, Right = 546, Top = 16, Bottom = 190;

    /// <summary>Draws it.</summary>
    /// <param name="valley">A valley with a profile.</param>
    /// <param name="keypoint">Its keypoint, or null.</param>
    public static string Draw(ValleyLine valley, Keypoint? keypoint)
    {
        ValleyProfile profile = valley.Profile!;
        double low = profile.Height.Min(), high = profile.Height.Max(), from = profile.Distance[0], to = profile.Distance[^1];
        double spread = Math.Max(high - low, 0.5);
        (low, high) = (low - (0.06 * spread), high + (0.1 * spread));
        string name = FormattableString.Invariant($"profile-{valley.Number}");
        StringBuilder svg = new();
        Add(svg, $"<svg class=\"chart profile\" viewBox=\"0 0 {Width} {Height}\" role=\"img\" aria-labelledby=\"{name}\"><title id=\"{name}\">{PageText.Encoded(Title("en"))} / {PageText.Encoded(Title("es"))}</title>");
        // Figures that are round in metres, and others that are round in feet.
        foreach ((string system, double unit) in ((string, double)[])[("metric", 1), ("us", 0.3048)])
        {
            Add(svg, $"<g data-s=\"{system}\">");
            double step = RoundStep.Near((high - low) / 4 / unit) * unit;
            for (double z = Math.Ceiling(low / step) * step; z <= high; z += step)
            {
                Add(svg, $"<path class=\"rule\" d=\"M{Left} {N(Y(z))}H{Right}\"/>{Chart.Label(Measure.Length(z, step < unit ? 2 : 0), $"x=\"{Left - 6}\" y=\"{N(Y(z) + 4)}\" text-anchor=\"end\"")}");
            }

            double along = RoundStep.Near((to - from) / 5 / unit) * unit;
            for (double s = Math.Ceiling(from / along) * along; s <= to; s += along)
            {
                Add(svg, $"<path class=\"axis\" d=\"M{N(X(s))} {Bottom}v4\"/>{Chart.Label(Measure.Length(s), $"x=\"{N(X(s))}\" y=\"{Bottom + 18}\" text-anchor=\"middle\"")}");
            }

            svg.Append("</g>");
        }

        if (keypoint is not null)
        {
            double a = X(Math.Max(keypoint.PlaceFrom, from)), b = X(Math.Min(keypoint.PlaceTo, to));
            Add(svg, $"<rect class=\"band\" x=\"{N(a)}\" y=\"{Top}\" width=\"{N(Math.Max(b - a, 2))}\" height=\"{N(Bottom - Top)}\"/>");
        }

        int every = Math.Max(1, profile.Distance.Count / 120);
        for (int i = 0; i < profile.Distance.Count; i += every)
        {
            Add(svg, $"<circle class=\"dot\" cx=\"{N(X(profile.Distance[i]))}\" cy=\"{N(Y(profile.Height[i]))}\" r=\"1.3\"/>");
        }

        svg.Append("<path class=\"floor\" d=\"");
        for (int i = 0; i < profile.Distance.Count; i++)
        {
            Add(svg, $"{(i == 0 ? "M" : "L")}{N(X(profile.Distance[i]))} {N(Y(profile.Curve[i]))}");
        }

        svg.Append("\"/>");
        if (keypoint is not null)
        {
            double x = X(keypoint.DistanceFromHead), y = Y(HeightAt(profile, keypoint.DistanceFromHead));
            Add(svg, $"<path class=\"{(keypoint.Class == KeypointClass.Clear ? "key" : "key weak")}\" d=\"M{N(x)} {N(y - 8)}L{N(x + 8)} {N(y)}L{N(x)} {N(y + 8)}L{N(x - 8)} {N(y)}Z\"/>");
        }

        Add(svg, $"<path class=\"axis\" d=\"M{Left} {Bottom}H{Right}\"/>");
        svg.Append(PageText.Letters($"x=\"{N((Left + Right) / 2)}\" y=\"{Height - 10}\" text-anchor=\"middle\"", Phrases.ProfileAcross));
        return svg.Append("</svg>").ToString();

        double X(double s) => Left + ((Right - Left) * (s - from) / Math.Max(to - from, 1e-9));

        double Y(double z) => Bottom - ((Bottom - Top) * (z - low) / (high - low));

        string Title(string language) => string.Format(CultureInfo.InvariantCulture, Phrases.ProfileAlt.In(language), valley.Number);
    }

    private static double HeightAt(ValleyProfile profile, double distance)
    {
        int i = 1;
        while (i < profile.Distance.Count - 1 && profile.Distance[i] < distance)
        {
            i++;
        }

        double t = Math.Clamp((distance - profile.Distance[i - 1]) / (profile.Distance[i] - profile.Distance[i - 1]), 0, 1);
        return profile.Curve[i - 1] + (t * (profile.Curve[i] - profile.Curve[i - 1]));
    }

    private static string N(double value) => Svg.Number(value, "0.#");

    private static void Add(StringBuilder svg, FormattableString text) => svg.Append(text.ToString(CultureInfo.InvariantCulture));
}
