using System.Globalization;
using System.Text;

namespace Keyline.Fieldwork;

/// <summary>Drawings of a season, SVG.</summary>
internal static class SeasonCharts
{
    public const string Dry = "#e3c58e";
    public const string Right = "#3f8f4f";
    public const string Wet = "#5b8fc4";

    private const double Width = 700;
    private const double Left = 46;
    private const double Plot = Width - Left - 8;

    private static readonly string[] Letters = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

    /// <summary>Right days by months: bar to the middle, whisker from few to many.</summary>
    public static string Months(IReadOnlyList<MonthDays> months)
    {
        StringBuilder svg = Begin(Width, 190, "days in the window by month");
        Axis(svg, 10, 150, 31, [0, 10, 20, 30], v => N(v));
        double each = Plot / 12;
        foreach (MonthDays m in months)
        {
            double x = Left + ((m.Month - 1) * each);
            if (m.Years > 0)
            {
                double y = 150 - (140 * m.Middle / 31), low = 150 - (140 * m.Few / 31), high = 150 - (140 * m.Many / 31), middle = x + (each / 2);
                svg.Append(Inv($"<rect x=\"{N(x + (each * 0.22))}\" y=\"{N(y)}\" width=\"{N(each * 0.56)}\" height=\"{N(150 - y)}\" fill=\"{Right}\"/>"));
                svg.Append(Inv($"<path d=\"M{N(middle)} {N(low)}V{N(high)}M{N(middle - 5)} {N(low)}h10M{N(middle - 5)} {N(high)}h10\" stroke=\"#1d242b\" stroke-width=\"1.4\"/>"));
            }

            svg.Append(Inv($"<text x=\"{N(x + (each / 2))}\" y=\"166\" text-anchor=\"middle\">{Letters[m.Month - 1]}</text>"));
        }

        svg.Append(Inv($"<text x=\"{N(Left)}\" y=\"184\">Bar: days in half of the years. Whisker: from the tenth with fewest to the tenth with most.</text></svg>"));
        return svg.ToString();
    }

    /// <summary>Chance by weeks.</summary>
    public static string Weeks(IReadOnlyList<WeekChance> weeks, int? marked)
    {
        StringBuilder svg = Begin(Width, 176, "chance of a window beginning in each week");
        Axis(svg, 10, 140, 100, [0, 25, 50, 75, 100], v => N(v) + " %");
        double each = Plot / 52;
        foreach (WeekChance w in weeks.Where(w => w.Years > 0))
        {
            double y = 140 - (130 * w.Chance);
            svg.Append(Inv($"<rect x=\"{N(Left + ((w.Week - 1) * each) + 1)}\" y=\"{N(y)}\" width=\"{N(each - 2)}\" height=\"{N(140 - y)}\" fill=\"{(w.Week == marked ? "#1d5b2b" : Right)}\"/>"));
        }

        MonthLabels(svg, 156);
        if (marked is { } week)
        {
            double x = Left + ((week - 0.5) * each);
            svg.Append(Inv($"<path d=\"M{N(x)} 160v-6m-4 0l4 -6l4 6z\" fill=\"#1d242b\" stroke=\"#1d242b\"/><text x=\"{N(Left)}\" y=\"172\">Arrow: the week aimed for.</text>"));
        }

        return svg.Append("</svg>").ToString();
    }

    /// <summary>Every year a row, every day a mark in its state's colour.</summary>
    public static string Years(DateOnly first, IReadOnlyList<SoilState> states)
    {
        int years = first.AddDays(states.Count - 1).Year - first.Year + 1;
        double row = Math.Clamp(330.0 / years, 5, 14);
        double height = (years * row) + 26;
        StringBuilder svg = Begin(Width, height, "state of the soil, every day of every year");
        double day = Plot / 366;
        int labelEvery = row >= 12 ? 1 : row >= 9 ? 2 : 5;
        int i = 0;
        while (i < states.Count)
        {
            DateOnly date = first.AddDays(i);
            int end = i + 1;
            while (end < states.Count && states[end] == states[i] && first.AddDays(end).Year == date.Year)
            {
                end++;
            }

            double y = ((date.Year - first.Year) * row) + 2;
            svg.Append(Inv($"<rect x=\"{N(Left + ((date.DayOfYear - 1) * day))}\" y=\"{N(y)}\" width=\"{N((end - i) * day)}\" height=\"{N(row - 1)}\" fill=\"{Colour(states[i])}\"/>"));
            i = end;
        }

        for (int y = 0; y < years; y += labelEvery)
        {
            svg.Append(Inv($"<text x=\"{N(Left - 6)}\" y=\"{N((y * row) + row)}\" text-anchor=\"end\">{first.Year + y}</text>"));
        }

        MonthLabels(svg, height - 8);
        return svg.Append("</svg>").ToString();
    }

    /// <summary>The last weeks: rain as bars, moisture at the tip as a line, the window as a band.</summary>
    public static string LastWeeks(SeasonRun run, SoilToday today, MoistureRule rule)
    {
        StringBuilder svg = Begin(Width, 220, "rain and moisture at the tip in the last weeks");
        int days = run.Tip.Count - today.From;
        double each = Plot / Math.Max(days, 1);
        (double driest, double wettest) = rule.Ends(run.AtTip);
        double most = Math.Max(1.1, Math.Max(run.Share(wettest), Enumerable.Range(today.From, days).Max(i => run.Share(run.Tip[i]))) + 0.05);
        double least = Math.Min(-0.05, Enumerable.Range(today.From, days).Min(i => run.Share(run.Tip[i])));
        double Y(double share) => 180 - (165 * (share - least) / (most - least));
        svg.Append(Inv($"<rect x=\"{N(Left)}\" y=\"{N(Y(run.Share(wettest)))}\" width=\"{N(Plot)}\" height=\"{N(Y(run.Share(driest)) - Y(run.Share(wettest)))}\" fill=\"{Right}\" opacity=\"0.25\"/>"));
        foreach (double share in (double[])[0, 0.5, 1])
        {
            svg.Append(Inv($"<path d=\"M{N(Left)} {N(Y(share))}H{N(Width - 8)}\" stroke=\"#c9ced2\" stroke-width=\"0.7\"/><text x=\"{N(Left - 6)}\" y=\"{N(Y(share) + 4)}\" text-anchor=\"end\">{N(100 * share)} %</text>"));
        }

        double deepest = Math.Max(0.02, Enumerable.Range(today.From, days).Max(i => run.Weather.Rain[i]));
        StringBuilder line = new();
        for (int i = 0; i < days; i++)
        {
            double x = Left + (i * each);
            double rain = run.Weather.Rain[today.From + i];
            if (rain > 0)
            {
                svg.Append(Inv($"<rect x=\"{N(x + (each * 0.2))}\" y=\"{N(180 - (60 * rain / deepest))}\" width=\"{N(each * 0.6)}\" height=\"{N(60 * rain / deepest)}\" fill=\"{Wet}\"/>"));
            }

            line.Append(i == 0 ? 'M' : 'L').Append(N(x + (each / 2))).Append(' ').Append(N(Y(run.Share(run.Tip[today.From + i]))));
            DateOnly date = run.Weather.DateOf(today.From + i);
            if (i % 14 == 0)
            {
                svg.Append(Inv($"<text x=\"{N(x)}\" y=\"196\">{date.Day} {Letters[date.Month - 1]}</text>"));
            }
        }

        svg.Append(Inv($"<path d=\"{line}\" fill=\"none\" stroke=\"#1d242b\" stroke-width=\"2\"/><path d=\"M{N(Left)} 180H{N(Width - 8)}\" stroke=\"#1d242b\" stroke-width=\"0.8\"/>"));
        svg.Append(Inv($"<text x=\"{N(Left)}\" y=\"214\">Line: moisture at the tip, of what plants can use. Band: the window. Bars: rain, the tallest {N(1000 * deepest)} mm.</text></svg>"));
        return svg.ToString();
    }

    private static string Colour(SoilState state) => state switch { SoilState.TooDry => Dry, SoilState.Right => Right, _ => Wet };

    private static StringBuilder Begin(double width, double height, string label) =>
        new(Inv($"<svg viewBox=\"0 0 {N(width)} {N(height)}\" role=\"img\" aria-label=\"{label}\" font-size=\"11\">"));

    private static void Axis(StringBuilder svg, double top, double foot, double most, double[] marks, Func<double, string> say)
    {
        foreach (double mark in marks)
        {
            double y = foot - ((foot - top) * mark / most);
            svg.Append(Inv($"<path d=\"M{N(Left)} {N(y)}H{N(Width - 8)}\" stroke=\"{(mark == 0 ? "#1d242b" : "#c9ced2")}\" stroke-width=\"0.7\"/><text x=\"{N(Left - 6)}\" y=\"{N(y + 4)}\" text-anchor=\"end\">{say(mark)}</text>"));
        }
    }

    private static void MonthLabels(StringBuilder svg, double y)
    {
        for (int m = 1; m <= 12; m++)
        {
            svg.Append(Inv($"<text x=\"{N(Left + ((new DateOnly(2001, m, 15).DayOfYear - 1) * Plot / 366))}\" y=\"{N(y)}\" text-anchor=\"middle\">{Letters[m - 1]}</text>"));
        }
    }

    private static string Inv(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    private static string N(double value) => Paper.N(value);
}
