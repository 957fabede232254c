using System.Globalization;

namespace Keyline.Fieldwork;

/// <summary>Draws a measure: every plot at every visit, and the effect with its intervals and how it fades.</summary>
internal static class ResultPictures
{
    private const double Width = 186;
    private const double Height = 74;
    private const double Top = 8;
    private const double Bottom = 62;
    private const string Ink = "#1d242b";

    public static void Write(TextWriter text, TrialPlan plan, MeasureResult r)
    {
        double first = Math.Min(-0.1, r.Visits.Min(v => v.Years)), last = Math.Max(r.Visits.Max(v => v.Years), 0.5);
        double end = r.Fading is { Gone: < 40 } f ? Math.Max(last, Math.Min(1.02 * f.Gone, 4 * last)) : last;
        text.WriteLine($"<svg viewBox=\"0 0 {Width:0} {Height:0}\" role=\"img\" aria-label=\"{Paper.Text(ResultWords.Capital(r.Measure.Name))}: plots and effect\">");
        PlotsPanel(text, plan, r, first, last);
        EffectPanel(text, plan, r, first, end);
        text.WriteLine("</svg>");
    }

    private static void PlotsPanel(TextWriter text, TrialPlan plan, MeasureResult r, double first, double last)
    {
        Axis y = Axis.Of(r.Means.Select(m => m.Mean), r.Measure, 14, 84);
        Panel(text, y, first, last, $"every plot, {r.Measure.Unit}", r.Measure.OnRatio ? Math.Exp : v => v);
        foreach (IGrouping<string, PlotMean> plot in r.Means.Where(m => m.Treatment == r.Treatment || m.Treatment == plan.Control || plan.Kind == TrialKind.Monitored).GroupBy(m => m.Plot))
        {
            bool control = plot.First().Treatment == plan.Control;
            PlotMean[] run = [.. plot.OrderBy(m => m.Date)];
            string way = string.Join('L', run.Select(m => $"{N(y.X(m.Years, first, last))} {N(y.Y(m.Mean))}"));
            text.WriteLine($"<path d=\"M{way}\" fill=\"none\" stroke=\"{(control ? "#b5452c" : "#3d7a4d")}\" stroke-width=\"0.25\" {(control ? "stroke-dasharray=\"1.2 0.8\"" : "")}/>");
            foreach (PlotMean m in run)
            {
                text.WriteLine($"<circle cx=\"{N(y.X(m.Years, first, last))}\" cy=\"{N(y.Y(m.Mean))}\" r=\"1.1\" fill=\"{(control ? "#fff" : "#3d7a4d")}\" stroke=\"{(control ? "#b5452c" : "#3d7a4d")}\" stroke-width=\"0.4\"><title>{Paper.Text(m.Plot)}: {ResultWords.Number(r.Measure.Unscaled(m.Mean))} {Paper.Text(r.Measure.Unit)}, {m.Points} points</title></circle>");
            }
        }

        if (plan.Kind == TrialKind.Randomised)
        {
            text.WriteLine($"<circle cx=\"16\" cy=\"71.5\" r=\"1.1\" fill=\"#fff\" stroke=\"#b5452c\" stroke-width=\"0.4\"/><text x=\"18.5\" y=\"72.5\" font-size=\"2.8\">{Paper.Text(plan.Control)}</text><circle cx=\"44\" cy=\"71.5\" r=\"1.1\" fill=\"#3d7a4d\"/><text x=\"46.5\" y=\"72.5\" font-size=\"2.8\">{Paper.Text(r.Treatment)}</text>");
        }
    }

    private static void EffectPanel(TextWriter text, TrialPlan plan, MeasureResult r, double first, double end)
    {
        (VisitEffect Visit, (double Low, double High) Wide, (double Low, double High) Close)[] shown = [.. r.Visits.Where(v => double.IsFinite(v.Effect.Value)).Select(v => (v, v.Effect.Between(0.95), v.Effect.Between(0.90)))];
        // One visit with hardly any blocks must not flatten all others.
        double most = shown.Length == 0 ? 1 : 10 * shown.Max(s => s.Visit.Blocks.Where(double.IsFinite).Select(Math.Abs).DefaultIfEmpty(0).Max());
        double[] ends = [0, r.Margin, -r.Margin, .. shown.SelectMany(s => (double[])[s.Visit.Effect.Value, s.Wide.Low, s.Wide.High, .. s.Visit.Blocks]).Where(v => double.IsFinite(v) && Math.Abs(v) <= Math.Max(most, r.Margin))];
        Axis y = Axis.Of(ends, r.Measure, 112, 182);
        string against = plan.Kind == TrialKind.Monitored ? "the first visit" : plan.Control;
        Panel(text, y, first, end, r.Measure.OnRatio ? $"times {against}" : $"difference from {against}, {r.Measure.Unit}", r.Measure.OnRatio ? Math.Exp : v => v);
        if (r.Margin > 0)
        {
            text.WriteLine($"<rect x=\"112\" y=\"{N(y.Y(r.Margin))}\" width=\"70\" height=\"{N(y.Y(-r.Margin) - y.Y(r.Margin))}\" fill=\"#e9e6da\" opacity=\"0.8\"/>");
        }

        text.WriteLine($"<path d=\"M112 {N(y.Y(0))}h70\" stroke=\"{Ink}\" stroke-width=\"0.25\" stroke-dasharray=\"1.5 1\"/>");
        foreach ((VisitEffect v, (double Low, double High) wide, (double Low, double High) close) in shown)
        {
            double x = y.X(v.Years, first, end);
            foreach (double block in v.Blocks.Where(double.IsFinite))
            {
                text.WriteLine($"<circle cx=\"{N(x + 1.6)}\" cy=\"{N(y.Y(block))}\" r=\"0.6\" fill=\"#8a929a\"/>");
            }

            // An interval that goes on beyond the picture ends in an arrow.
            string arrows = (wide.Low < y.Least ? $"M{N(x - 1.2)} {Bottom - 1.6}L{N(x)} {Bottom}L{N(x + 1.2)} {Bottom - 1.6}" : "") + (wide.High > y.Most ? $"M{N(x - 1.2)} {Top + 1.6}L{N(x)} {Top}L{N(x + 1.2)} {Top + 1.6}" : "");
            if (arrows.Length > 0)
            {
                text.WriteLine($"<path d=\"{arrows}\" fill=\"none\" stroke=\"{Ink}\" stroke-width=\"0.5\"/>");
            }

            text.WriteLine($"<path d=\"M{N(x)} {N(y.Y(wide.Low))}V{N(y.Y(wide.High))}\" stroke=\"{Ink}\" stroke-width=\"0.3\"/><path d=\"M{N(x)} {N(y.Y(close.Low))}V{N(y.Y(close.High))}\" stroke=\"{Ink}\" stroke-width=\"0.9\"/><circle cx=\"{N(x)}\" cy=\"{N(y.Y(v.Effect.Value))}\" r=\"1.2\" fill=\"{Ink}\"/>");
        }

        if (r.Fading is { Fit.Rate: > 0 } fading)
        {
            IEnumerable<double> times = Enumerable.Range(0, 41).Select(i => end * i / 40);
            text.WriteLine($"<path d=\"M{string.Join('L', times.Select(t => $"{N(y.X(t, first, end))} {N(y.Y(fading.Fit.At(t)))}"))}\" fill=\"none\" stroke=\"#2f5d8a\" stroke-width=\"0.45\"/>");
            if (fading.Gone <= end)
            {
                double from = y.X(Math.Min(fading.Low, end), first, end), to = y.X(Math.Min(fading.High, end), first, end), at = y.X(fading.Gone, first, end);
                text.WriteLine($"<path d=\"M{N(from)} {Bottom + 2.4}H{N(to)}\" stroke=\"#2f5d8a\" stroke-width=\"1\"/><circle cx=\"{N(at)}\" cy=\"{Bottom + 2.4}\" r=\"1\" fill=\"#2f5d8a\"/><text x=\"{N(Math.Min(at, 172))}\" y=\"72.5\" font-size=\"2.8\" text-anchor=\"middle\">likely gone {Paper.Text(ResultWords.Years(fading.Gone))} after</text>");
            }
        }
    }

    private static void Panel(TextWriter text, Axis y, double first, double last, string title, Func<double, double> shown)
    {
        text.WriteLine($"<text x=\"{N(y.Left)}\" y=\"5\" font-size=\"3.2\" font-weight=\"700\">{Paper.Text(title)}</text>");
        foreach (double tick in y.Ticks)
        {
            text.WriteLine($"<path d=\"M{N(y.Left)} {N(y.Y(tick))}H{N(y.Right)}\" stroke=\"#dfe2e0\" stroke-width=\"0.2\"/><text x=\"{N(y.Left - 1)}\" y=\"{N(y.Y(tick) + 1)}\" font-size=\"2.7\" text-anchor=\"end\">{ResultWords.Number(shown(tick))}</text>");
        }

        text.WriteLine($"<path d=\"M{N(y.Left)} {Top}V{Bottom}H{N(y.Right)}\" fill=\"none\" stroke=\"{Ink}\" stroke-width=\"0.3\"/>");
        double step = last - first > 12 ? 4 : last - first > 6 ? 2 : last - first > 2.4 ? 1 : 0.5;
        for (double t = Math.Ceiling(first / step) * step; t <= last + 1e-9; t += step)
        {
            text.WriteLine($"<path d=\"M{N(y.X(t, first, last))} {Bottom}v1\" stroke=\"{Ink}\" stroke-width=\"0.3\"/><text x=\"{N(y.X(t, first, last))}\" y=\"{Bottom + 6.4}\" font-size=\"2.7\" text-anchor=\"middle\">{(t == 0 ? "work" : t.ToString("0.#", CultureInfo.InvariantCulture) + " y")}</text>");
        }

        if (first < 0)
        {
            text.WriteLine($"<path d=\"M{N(y.X(0, first, last))} {Top}V{Bottom}\" stroke=\"#8a929a\" stroke-width=\"0.25\"/>");
        }
    }

    private static string N(double value) => Paper.N(value);

    private sealed record Axis(double Least, double Most, double Left, double Right, double[] Ticks)
    {
        public double Y(double value) => Bottom - ((Bottom - Top) * (Math.Clamp(value, Least, Most) - Least) / (Most - Least));

        public double X(double years, double first, double last) => Left + 2 + ((Right - Left - 4) * (years - first) / (last - first));

        public static Axis Of(IEnumerable<double> values, TrialMeasure measure, double left, double right)
        {
            double[] known = [.. values.Where(double.IsFinite).DefaultIfEmpty(0)];
            double low = known.Min(), high = known.Max(), room = Math.Max(0.06 * (high - low), measure.OnRatio ? 0.05 : 1e-6 + (0.01 * Math.Abs(high)));
            (low, high) = (low - room, high + room);
            if (measure.OnRatio)
            {
                double[] round = [.. Enumerable.Range(-4, 12).SelectMany(p => ((double[])[1, 2, 5]).Select(m => Math.Log(m * Math.Pow(10, p)))).Where(t => t >= low && t <= high)];
                return new Axis(low, high, left, right, round.Length > 1 ? round : [.. Enumerable.Range(0, 4).Select(i => low + ((i + 0.5) * (high - low) / 4))]);
            }

            double step = Math.Pow(10, Math.Floor(Math.Log10((high - low) / 4)));
            step *= (high - low) / step > 20 ? 5 : (high - low) / step > 10 ? 2 : 1;
            List<double> ticks = [];
            for (double t = Math.Ceiling(low / step) * step; t <= high; t += step)
            {
                ticks.Add(Math.Abs(t) < step / 1e6 ? 0 : t);
            }

            return new Axis(low, high, left, right, [.. ticks]);
        }
    }
}
