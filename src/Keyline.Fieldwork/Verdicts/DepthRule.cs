using Keyline.Field;
using static System.FormattableString;
using TextureClass = Keyline.Water.SoilTexture;

namespace Keyline.Fieldwork;

/// <summary>How deep a site is to be ripped: just below its pan, above its rock, and where the tip still loosens.</summary>
internal static class DepthRule
{
    // Wings loosen as a tip of their width would.
    private static double WidthOf(Implement tool) => tool.Tip == TipKind.Winged ? Math.Max(CriticalDepth.WingWidth, tool.TipWidth) : tool.TipWidth;

    public static RipDepth? Of(SiteFacts f, RipRules r, Machine? machine, RuleSaying say)
    {
        bool hasBottom = !double.IsNaN(f.PanBottom);
        double pan = hasBottom ? f.PanBottom : f.PanTop;
        if (double.IsNaN(pan))
        {
            return null;
        }

        if (!hasBottom)
        {
            say("depth", RipVerdict.TestStripFirst, "Only the pan's upper edge is known, and the depth counts from there: find its lower edge with a spade or a rod.", RipRules.DeepTillage);
        }

        double least = pan + r.LeastBelowPan, most = pan + r.MostBelowPan;
        List<string> held = [Invariant($"pan to {100 * pan:0} cm and {100 * r.LeastBelowPan:0.#} to {100 * r.MostBelowPan:0.#} cm below it")];
        bool Within(double bound, string words, string refusal, string source)
        {
            if (bound < least)
            {
                say("depth", RipVerdict.DoNotRip, refusal, source);
                return false;
            }

            if (bound < most)
            {
                most = bound;
                held.Add(words);
            }

            return true;
        }

        if (!double.IsNaN(f.RockDepth) && !Within(f.RockDepth - r.AboveRock, Invariant($"{100 * r.AboveRock:0} cm above rock"), Invariant($"Rock at {100 * f.RockDepth:0} cm leaves no room for a tip {100 * least:0.#} cm deep with {100 * r.AboveRock:0} cm to spare."), "judgement, no source"))
        {
            return null;
        }

        if (machine is null)
        {
            held.Add("no machine was given, so neither its tip nor its pull was held against it");
        }
        else
        {
            double width = WidthOf(machine.Implement), sure = r.SureWidths * width, deepest = r.MostWidths * width;
            if (!Within(deepest, Invariant($"{r.MostWidths:0.#} widths of the tip"), Invariant($"A tip {100 * width:0.#} cm wide loosens no deeper than {100 * deepest:0} cm ({r.MostWidths:0.#} widths) and would press at {100 * least:0.#} cm: a wider tip, wings, or shallow leaders."), RipRules.Tip))
            {
                return null;
            }

            if (least > sure)
            {
                say("depth", RipVerdict.TestStripFirst, Invariant($"A tip {100 * width:0.#} cm wide surely loosens to {100 * sure:0} cm; {100 * least:0.#} cm lies between that and {100 * deepest:0} cm: dig to the tip's depth after the first metres."), RipRules.Tip);
            }
            else
            {
                most = Math.Min(most, Math.Max(sure, least));
            }

            PullEstimate pull = PullEstimate.Of(machine, PullSoil(f));
            double pulls = pull.MostDepth(machine.SlowestSpeed).Usual;
            if (!Within(Math.Min(pulls, Implement.DeepestWork), "what the tractor pulls", Invariant($"This tractor pulls its shanks to {100 * pulls:0} cm here, not to {100 * least:0.#} cm: fewer shanks or another tractor."), "ASABE D497, draft of subsoilers, by Keyline's estimate"))
            {
                return null;
            }
        }

        return new RipDepth(least, most, Invariant($"{100 * least:0.#} to {100 * most:0.#} cm: {string.Join("; ", held)}."));
    }

    private static SoilTexture PullSoil(SiteFacts f) => TextureTriangle.Of(f) switch
    {
        TextureClass.Sand or TextureClass.LoamySand or TextureClass.SandyLoam => SoilTexture.Coarse,
        TextureClass.SandyClay or TextureClass.SiltyClay or TextureClass.Clay or TextureClass.ClayLoam or TextureClass.SiltyClayLoam => SoilTexture.Fine,
        _ => SoilTexture.Medium,
    };
}
