using System.Globalization;

namespace Keyline.Fieldwork;

/// <summary>Results as sentences that a grazier understands and a reviewer cannot fault.</summary>
internal static class ResultWords
{
    private static readonly CultureInfo C = CultureInfo.InvariantCulture;

    public static string Of(TrialPlan plan, MeasureResult r, bool after)
    {
        string name = Capital(r.Measure.Name);
        int blocks = r.Blocks.Count(double.IsFinite);
        if (plan.Kind == TrialKind.Monitored)
        {
            return double.IsNaN(r.Overall.Value) ? $"{name}: one visit so far; there is no change to tell of yet."
                : blocks < 2 ? $"{name}: changed since the first visit, at one place only: cannot tell more."
                : $"{name} since the first visit: {Effect(r.Measure, r.Overall, "what it was")}. There are no plots left unripped, so this cannot tell why.";
        }

        if (!after)
        {
            return blocks < 2 ? $"{name}: read before the work only; cannot tell yet."
                : $"{name}: read before the work only. Plots to be {r.Treatment} and the control differ already by: {Effect(r.Measure, r.Overall)}; that is taken off later.";
        }

        if (blocks < 2)
        {
            return blocks == 0 ? $"{name}: cannot tell. No block has both plots read."
                : $"{name}: cannot tell. Only one block has both plots read, and one pair of plots is never more than an anecdote, however many readings it holds.";
        }

        string because = $"(t with {r.Overall.Freedom.ToString("0", C)} {(r.Overall.Freedom == 1 ? "degree" : "degrees")} of freedom at block level, p = {P(r.Overall.P)}, {P(r.AdjustedP)} over all measures{(r.Randomised is { } random ? $", {P(random.P)} by randomisation" : "")}{(r.HasBefore ? "; differences before the work taken off" : "; nothing was read before the work")})";
        switch (r.Verdict)
        {
            case TrialVerdict.More or TrialVerdict.Less:
                return $"{name} on the {r.Treatment} plots was {Effect(r.Measure, r.Overall)} {because}.{Fades(r)}";
            case TrialVerdict.Alike:
                return $"{name} on the {r.Treatment} plots was no more than {100 * MeasureResult.NoDifference:0} % different from the control: {Effect(r.Measure, r.Overall)} {because}.";
            default:
                double spread = r.Overall.StandardError * Math.Sqrt(blocks);
                double wanted = r.Measure.OnRatio ? Math.Log(plan.Effect) : 2.5 * r.Margin;
                double needed = spread > 0 ? Math.Ceiling(TrialPower.BlocksFor(0.8, wanted, spread)) : double.NaN;
                string what = r.Measure.OnRatio ? string.Create(C, $"a ratio of {plan.Effect:0.##}") : string.Create(C, $"a difference of {wanted:0.#} {r.Measure.Unit}");
                return $"{name}: cannot tell. On the {r.Treatment} plots it was {Effect(r.Measure, r.Overall)} {because}.{(needed > blocks && needed < 1000 ? string.Create(C, $" With plots that vary like these, showing {what} takes about {needed:0} blocks; there are {blocks}.") : "")}";
        }
    }

    /// <summary>A pair of treatments in a sentence.</summary>
    public static string Of(TreatmentPair pair)
    {
        string effect = Effect(pair.Measure, pair.Difference, pair.Between(0.95), pair.First);
        return $"{Capital(pair.Measure.Name)}, {pair.Second} against {pair.First}: {effect}, p = {P(pair.P)} for all {pair.Treatments * (pair.Treatments - 1) / 2} pairs together (Tukey).";
    }

    /// <summary>An effect with its interval, as "2.1 times the control (95 % sure: 1.4 to 3.2 times)".</summary>
    public static string Effect(TrialMeasure measure, Estimate e, string other = "the control")
    {
        return Effect(measure, e, e.Between(0.95), other);
    }

    private static string Effect(TrialMeasure measure, Estimate e, (double Low, double High) ends, string other)
    {
        (double low, double high) = ends;
        if (measure.OnRatio)
        {
            return $"{Times(Math.Exp(e.Value))} times {other} ({Interval(Times(Math.Exp(low)), Times(Math.Exp(high)), " times", double.IsFinite(low))})";
        }

        string unit = " " + measure.Unit;
        return $"{Number(Math.Abs(e.Value))}{unit} {(e.Value >= 0 ? "more" : "less")} ({Interval(Signed(low), Signed(high), unit, double.IsFinite(low))})";
    }

    public static string P(double p) => p < 0.001 ? "0.001 or less" : p.ToString("0.000", C);

    public static string Capital(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];

    public static string Number(double value) => Math.Abs(value) switch
    {
        >= 100 => value.ToString("0", C),
        >= 10 => value.ToString("0.0", C),
        _ => value.ToString("0.0#", C),
    };

    public static string Years(double years) => years < 1.5 ? string.Create(C, $"{12 * years:0} months") : string.Create(C, $"{years:0.0} years");

    private static string Fades(MeasureResult r) => r.Fading switch
    {
        null => "",
        { Gone: double.PositiveInfinity } => " It shows no sign of fading yet.",
        { High: double.PositiveInfinity } f => $" It is fading; if it goes on so, it is gone about {Years(f.Gone)} after the work, but the readings do not set an end.",
        { } f => $" It is fading: likely gone {Years(f.Gone)} after the work (90 % sure: {Years(f.Low)} to {Years(f.High)}).",
    };

    private static string Interval(string low, string high, string unit, bool known) => known ? $"95 % sure: {low} to {high}{unit}" : "no interval: too few blocks";

    private static string Times(double ratio) => ratio >= 1000 ? "over 1000" : ratio >= 10 ? ratio.ToString("0", C) : ratio.ToString("0.00", C);

    private static string Signed(double value) => (value > 0 ? "+" : "") + Number(value);
}
