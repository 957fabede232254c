using Keyline.Guidance;

namespace Keyline.Report;

/// <summary>The long profile of a staked line, as SVG in millimetres of paper.</summary>
internal static class SetOutProfile
{
    private const double Width = 186;
    private const double Height = 46;
    private const double Left = 13;
    private const double Right = 183;
    private const double Top = 5;
    private const double Bottom = 38;
    private const double TickRoom = 6;

    /// <summary>Draws the ground along the line with its stakes, and a band for each set-up; nothing where no height is known.</summary>
    public static void Write(StreamWriter text, SetOutSheetContent content, StakedLine line)
    {
        double[] known = [.. line.Heights.Where(double.IsFinite)];
        if (known.Length < 2)
        {
            return;
        }

        double unit = content.Unit.Metres, low = known.Min(), high = known.Max(), room = Math.Max(0.05, (high - low) * 0.08), length = line.Stations[^1];
        (low, high) = (low - room, high + room);
        double across = (Right - Left) / length, up = (Bottom - Top) / (high - low);
        double X(double station) => Left + (station * across);
        double Y(double height) => Bottom - ((height - low) * up);
        text.WriteLine($"<svg viewBox=\"0 0 {N(Width)} {N(Height)}\" role=\"img\" aria-label=\"Profile of line {SetOutSheet.Text(line.Id)}\">");
        foreach (LevelSetUp setUp in line.SetUps)
        {
            Stake[] stakes = [.. line.Stakes.Where(s => s.SetUp == setUp.Number)];
            double from = setUp.Number == 1 ? 0 : line.Stakes.Last(s => s.SetUp == setUp.Number - 1).Station, to = stakes[^1].Station;
            if (setUp.Number % 2 == 0)
            {
                text.WriteLine($"<rect x=\"{N(X(from))}\" y=\"{N(Top)}\" width=\"{N((to - from) * across)}\" height=\"{N(Bottom - Top)}\" fill=\"#eef1f2\"/>");
            }

            text.WriteLine($"<text x=\"{N(X((from + to) / 2))}\" y=\"{N(Top - 1.2)}\" font-size=\"2.7\" text-anchor=\"middle\">set-up {setUp.Number}</text>");
        }

        Rules(text, content.Unit, low, high, Y);
        for (int i = 0; i < line.Stations.Count;)
        {
            int end = i;
            while (end < line.Stations.Count && double.IsFinite(line.Heights[end]))
            {
                end++;
            }

            if (end - i > 1)
            {
                string points = string.Join(' ', Enumerable.Range(i, end - i).Select(j => $"{N(X(line.Stations[j]))},{N(Y(line.Heights[j]))}"));
                text.WriteLine($"<polyline points=\"{points}\" fill=\"none\" stroke=\"#1d242b\" stroke-width=\"0.45\"/>");
            }

            i = Math.Max(end, i + 1);
        }

        double lastLabel = double.NegativeInfinity;
        foreach (Stake stake in line.Stakes)
        {
            double x = X(stake.Station);
            bool change = (stake.Reasons & (StakeReasons.Grade | StakeReasons.Bend)) != 0;
            text.WriteLine($"<path d=\"M{N(x)} {N(Bottom)}v1.2\" stroke=\"#1d242b\" stroke-width=\"0.25\"/>");
            if (double.IsFinite(stake.Place.Z))
            {
                text.WriteLine($"<circle cx=\"{N(x)}\" cy=\"{N(Y(stake.Place.Z))}\" r=\"0.8\" fill=\"{(change ? "#1d242b" : "#fff")}\" stroke=\"#1d242b\" stroke-width=\"0.3\"/>");
            }

            if (x - lastLabel >= TickRoom)
            {
                text.WriteLine($"<text x=\"{N(x)}\" y=\"{N(Bottom + 4)}\" font-size=\"2.7\" text-anchor=\"middle\">{SetOutSheet.Text(stake.Name[(stake.Name.LastIndexOf('-') + 1)..])}</text>");
                lastLabel = x;
            }
        }

        text.WriteLine($"<path d=\"M{N(Left)} {N(Top)}V{N(Bottom)}H{N(Right)}\" fill=\"none\" stroke=\"#5a636b\" stroke-width=\"0.25\"/>");
        text.WriteLine($"<text x=\"{N(Left)}\" y=\"{N(Height - 0.8)}\" font-size=\"2.7\">ground along the line, heights {SetOutSheet.Number(up / across, "0")} times exaggerated; filled: the grade changes or the line bends</text>");
        text.WriteLine("</svg>");
    }

    private static void Rules(StreamWriter text, SheetUnit unit, double low, double high, Func<double, double> y)
    {
        double raw = (high - low) / unit.Metres / 4, power = Math.Pow(10, Math.Floor(Math.Log10(raw)));
        double step = power * (raw / power < 1.5 ? 1 : raw / power < 3.5 ? 2 : 5);
        string format = step >= 1 ? "0" : step >= 0.1 ? "0.0" : "0.00";
        for (double h = Math.Ceiling(low / unit.Metres / step) * step; h * unit.Metres <= high; h += step)
        {
            double at = y(h * unit.Metres);
            text.WriteLine($"<path d=\"M{N(Left)} {N(at)}H{N(Right)}\" stroke=\"#c9ced2\" stroke-width=\"0.15\"/><text x=\"{N(Left - 1)}\" y=\"{N(at + 0.9)}\" font-size=\"2.6\" text-anchor=\"end\">{SetOutSheet.Number(h, format)}</text>");
        }
    }

    private static string N(double value) => SetOutSheet.Number(value, "0.##");
}
