using Keyline.SetOut;

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

    // Half of what "set-up 12" takes, so that a short last set-up keeps its name on the paper.
    private const double SetUpRoom = 7;

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
        text.WriteLine($"<svg viewBox=\"0 0 {Svg.N(Width)} {Svg.N(Height)}\" role=\"img\" aria-label=\"Profile of line {Svg.Text(line.Id)}\">");
        foreach (LevelSetUp setUp in line.SetUps)
        {
            Stake[] stakes = [.. line.Stakes.Where(s => s.SetUp == setUp.Number)];
            double from = setUp.Number == 1 ? 0 : line.Stakes.Last(s => s.SetUp == setUp.Number - 1).Station, to = stakes[^1].Station;
            if (setUp.Number % 2 == 0)
            {
                text.WriteLine($"<rect x=\"{Svg.N(X(from))}\" y=\"{Svg.N(Top)}\" width=\"{Svg.N((to - from) * across)}\" height=\"{Svg.N(Bottom - Top)}\" fill=\"#eef1f2\"/>");
            }

            text.WriteLine($"<text x=\"{Svg.N(Math.Min(X((from + to) / 2), Width - SetUpRoom))}\" y=\"{Svg.N(Top - 1.2)}\" font-size=\"2.7\" text-anchor=\"middle\">set-up {setUp.Number}</text>");
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
                string points = string.Join(' ', Enumerable.Range(i, end - i).Select(j => $"{Svg.N(X(line.Stations[j]))},{Svg.N(Y(line.Heights[j]))}"));
                text.WriteLine($"<polyline points=\"{points}\" fill=\"none\" stroke=\"{Svg.Ink}\" stroke-width=\"0.45\"/>");
            }

            i = Math.Max(end, i + 1);
        }

        double lastLabel = double.NegativeInfinity;
        foreach (Stake stake in line.Stakes)
        {
            double x = X(stake.Station);
            bool change = (stake.Reasons & (StakeReasons.Grade | StakeReasons.Bend)) != 0;
            text.WriteLine($"<path d=\"M{Svg.N(x)} {Svg.N(Bottom)}v1.2\" stroke=\"{Svg.Ink}\" stroke-width=\"0.25\"/>");
            if (double.IsFinite(stake.Place.Z))
            {
                text.WriteLine(Svg.Mark(x, Y(stake.Place.Z), 0.8, change));
            }

            if (x - lastLabel >= TickRoom)
            {
                text.WriteLine($"<text x=\"{Svg.N(x)}\" y=\"{Svg.N(Bottom + 4)}\" font-size=\"2.7\" text-anchor=\"middle\">{Svg.Text(stake.Name[(stake.Name.LastIndexOf('-') + 1)..])}</text>");
                lastLabel = x;
            }
        }

        text.WriteLine($"<path d=\"M{Svg.N(Left)} {Svg.N(Top)}V{Svg.N(Bottom)}H{Svg.N(Right)}\" fill=\"none\" stroke=\"{Svg.QuietInk}\" stroke-width=\"0.25\"/>");
        text.WriteLine($"<text x=\"{Svg.N(Left)}\" y=\"{Svg.N(Height - 0.8)}\" font-size=\"2.7\">ground along the line, heights {Svg.Number(up / across, "0")} times exaggerated; filled: the grade changes or the line bends</text>");
        text.WriteLine("</svg>");
    }

    private static void Rules(StreamWriter text, SheetUnit unit, double low, double high, Func<double, double> y)
    {
        double step = RoundStep.Near((high - low) / unit.Metres / 4, upToNext: false);
        string format = step >= 1 ? "0" : step >= 0.1 ? "0.0" : "0.00";
        for (double h = Math.Ceiling(low / unit.Metres / step) * step; h * unit.Metres <= high; h += step)
        {
            double at = y(h * unit.Metres);
            text.WriteLine($"<path d=\"M{Svg.N(Left)} {Svg.N(at)}H{Svg.N(Right)}\" stroke=\"{Svg.Rule}\" stroke-width=\"0.15\"/><text x=\"{Svg.N(Left - 1)}\" y=\"{Svg.N(at + 0.9)}\" font-size=\"2.6\" text-anchor=\"end\">{Svg.Number(h, format)}</text>");
        }
    }
}
