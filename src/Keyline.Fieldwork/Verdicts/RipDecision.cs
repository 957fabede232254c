using Keyline.Field;
using Keyline.Water;
using static System.FormattableString;
using TextureClass = Keyline.Water.SoilTexture;

namespace Keyline.Fieldwork;

/// <summary>Decides for one site whether to rip, what comes first, and how deep.</summary>
/// <remarks>
/// <para>Units: those of <see cref="SiteFacts"/>. Promises: every rule that has something to say is listed with its figure, its bound and its
/// source, and the verdict is the most careful of them; what is not known is named and never taken as good; without evidence of a
/// layer that stops roots or water nothing is ripped. An aid to a decision on the spot, not advice that knows the place.</para>
/// <para>Cost: constant. Source: as each reason names it; the order of rules is ours.</para>
/// </remarks>
public static class RipDecision
{
    /// <summary>Decides.</summary>
    /// <param name="facts">What is known.</param>
    /// <param name="rules">The bounds; null for the defaults.</param>
    /// <param name="machine">The machine that would do it; null where it is not known yet.</param>
    public static SiteVerdict Of(SiteFacts facts, RipRules? rules = null, Machine? machine = null)
    {
        ArgumentNullException.ThrowIfNull(facts);
        rules ??= new RipRules();
        rules.Validate();
        List<RipReason> reasons = [];
        List<string> unknown = [];
        FirstSteps first = FirstSteps.None;
        void Say(string rule, RipVerdict says, string sentence, string source, FirstSteps step = FirstSteps.None)
        {
            reasons.Add(new RipReason(rule, says, sentence, source));
            first |= step;
        }

        Rock(facts, rules, Say, unknown);
        Water(facts, rules, Say, unknown);
        Sodium(facts, rules, Say, unknown);
        Salt(facts, rules, Say, unknown);
        Surface(facts, rules, Say, unknown);
        Pan(facts, rules, Say);
        RipDepth? depth = reasons.Exists(r => r.Says == RipVerdict.DoNotRip) ? null : DepthRule.Of(facts, rules, machine, Say);
        RipReason[] sorted = [.. reasons.OrderByDescending(r => r.Says)];
        RipVerdict verdict = sorted[0].Says;
        return new SiteVerdict(facts, verdict, verdict == RipVerdict.DoNotRip ? FirstSteps.None : first, sorted, unknown, verdict == RipVerdict.DoNotRip ? null : depth);
    }

    private static void Rock(SiteFacts f, RipRules r, RuleSaying say, List<string> unknown)
    {
        if (double.IsNaN(f.RockDepth))
        {
            unknown.Add("depth to rock");
        }
        else if (f.RockDepth < r.LeastSoil)
        {
            say("rock", RipVerdict.DoNotRip, Invariant($"Rock lies {100 * f.RockDepth:0} cm down; below {100 * r.LeastSoil:0} cm of soil there is nothing to gain and a shank to lose."), "judgement; G. F. Gifford, Journal of Range Management, 1977 and 1978, on shallow soil over shale");
        }
    }

    private static void Water(SiteFacts f, RipRules r, RuleSaying say, List<string> unknown)
    {
        if (f.Drainage is not { } drainage)
        {
            unknown.Add("drainage");
        }
        else if (drainage < r.WettestClass)
        {
            say("drainage", RipVerdict.DoNotRip, $"The ground is {RipRules.WordOf(drainage)}ly drained: what is let in has nowhere to go, and runoff may rise.".Replace("wellly", "well", StringComparison.Ordinal), RipRules.Wet);
        }
        else if (drainage <= SoilDrainage.SomewhatPoor)
        {
            say("drainage", RipVerdict.RipAfter, $"The ground is {RipRules.WordOf(drainage)}ly drained: give the water a way out first, then look again.", RipRules.Wet, FirstSteps.Drain);
        }

        TextureClass? texture = TextureTriangle.Of(f);
        if (texture is null)
        {
            unknown.Add("texture");
        }

        if (texture is TextureClass.Sand or TextureClass.LoamySand)
        {
            double intake = double.IsNaN(f.Conductivity) ? SaxtonRawls.Estimate(texture == TextureClass.Sand ? 0.88 : 0.80, 0.05, double.IsNaN(f.OrganicMatter) ? 2.5 : Math.Clamp(f.OrganicMatter, 0, 8)).Conductivity : f.Conductivity;
            bool hard = f.Strength >= 2e6, isFast = intake > r.FastIntake;
            string rate = Invariant($"{TextureTable.Name(texture.Value)} takes in some {intake * 3.6e6:0} mm/h");
            if (r.Purpose == RipPurpose.Water && (isFast || !hard))
            {
                say("sand", RipVerdict.DoNotRip, isFast ? Invariant($"The {rate}, more than {r.FastIntake * 3.6e6:0} mm/h: it needs no help with water.") : $"The {rate}, and no layer above 2 MPa was shown in it.", RipRules.Sand);
            }
            else if (!hard)
            {
                say("sand", RipVerdict.DoNotRip, "In sand only a layer above 2 MPa at field capacity is worth breaking, and none was shown.", RipRules.Sand);
            }
        }
    }

    private static void Sodium(SiteFacts f, RipRules r, RuleSaying say, List<string> unknown)
    {
        bool sodiumKnown = !double.IsNaN(f.ExchangeableSodium);
        if (f.EmersonClass is { } emerson && emerson <= r.DispersiveClass)
        {
            say("sodium", RipVerdict.DoNotRip, Invariant($"Emerson class {emerson}: clods fall apart and cloud the water; broken open, such soil seals, tunnels and sets hard."), RipRules.Emerson);
        }
        else if (f.EmersonClass == 3)
        {
            say("sodium", RipVerdict.TestStripFirst, "Emerson class 3: it disperses once it is worked wet; rip one strip when dry enough, wait for rain, stop if the slot sets hard.", RipRules.Emerson);
        }

        if (sodiumKnown && f.ExchangeableSodium > r.MostSodium)
        {
            say("sodium", RipVerdict.RipAfter, Invariant($"Exchangeable sodium is {f.ExchangeableSodium:0.#} %, above {r.MostSodium:0.#}: gypsum first, at the rate a soil test gives."), "USDA Handbook 60, 1954: sodic from 15 %", FirstSteps.Gypsum);
        }
        else if (sodiumKnown && f.ExchangeableSodium > r.CarefulSodium)
        {
            say("sodium", RipVerdict.TestStripFirst, Invariant($"Exchangeable sodium is {f.ExchangeableSodium:0.#} %, above {r.CarefulSodium:0.#}: rip one strip, wait for rain, stop if the slot sets hard."), RipRules.Sodium);
        }
        else if (!sodiumKnown && f.EmersonClass is null)
        {
            unknown.Add("sodium or dispersion (a clod in a jar of rain water tells)");
            double clay = ClayOf(f);
            if (clay >= r.ClayToTest)
            {
                say("sodium", RipVerdict.TestStripFirst, Invariant($"It has some {100 * clay:0} % clay and nobody has tried whether it disperses: put a dry clod in rain water first, and rip one strip."), "judgement; the test is Emerson's, 1967");
            }
        }
    }

    private static void Salt(SiteFacts f, RipRules r, RuleSaying say, List<string> unknown)
    {
        if (f.FeedsSeep == true)
        {
            say("salt", RipVerdict.DoNotRip, "Water let in here feeds a saline seep lower down: more of it makes the seep worse. Ask whoever plans the seep's control.", RipRules.Seep);
        }

        if (double.IsNaN(f.Salinity))
        {
            unknown.Add("salt");
        }
        else if (f.Salinity > r.CarefulSalt)
        {
            say("salt", RipVerdict.TestStripFirst, Invariant($"Salt is {f.Salinity:0.#} dS/m, above {r.CarefulSalt:0.#}: find where water that is let in comes out again before more is let in."), "USDA Handbook 60, 1954: saline from 4 dS/m");
        }
    }

    private static void Surface(SiteFacts f, RipRules r, RuleSaying say, List<string> unknown)
    {
        if (double.IsNaN(f.Slope))
        {
            unknown.Add("slope");
        }
        else if (f.Slope > r.MostSlope)
        {
            say("slope", RipVerdict.DoNotRip, Invariant($"The land falls {100 * f.Slope:0} %, more than {100 * r.MostSlope:0}."), RipRules.Mechanical);
        }
        else if (f.Slope > r.CarefulSlope)
        {
            say("slope", RipVerdict.TestStripFirst, Invariant($"The land falls {100 * f.Slope:0} %, more than {100 * r.CarefulSlope:0}: some states stop there, and a tractor's side slope limit may lie below; ask first."), RipRules.MechanicalArizona);
        }

        if (double.IsNaN(f.Cover))
        {
            unknown.Add("cover");
        }
        else if (f.Cover < r.LeastCover)
        {
            string how = f.Cover < r.BareCover ? "bare" : "thin";
            say("cover", RipVerdict.RipAfter, Invariant($"Cover is {100 * f.Cover:0} %, {how}: rest it to {100 * r.LeastCover:0} % first; rain seals bare soil again however deep it was ripped."), "40 to 60 % is the usual threshold of erosion, from memory; " + RipRules.Rest, FirstSteps.RestAndCover);
        }

        if (f.HasWeeds == true)
        {
            say("weeds", RipVerdict.RipAfter, "Plants that must not spread grow here: they take opened ground first.", RipRules.Weeds, FirstSteps.Weeds);
        }
    }

    private static void Pan(SiteFacts f, RipRules r, RuleSaying say)
    {
        bool? pan = f.HasPan ?? (double.IsNaN(f.PanTop) ? null : true);
        if (f.IsCracking == true)
        {
            say("clay", pan == true ? RipVerdict.TestStripFirst : RipVerdict.DoNotRip, pan == true ? "It is a cracking clay with a pan: cracks may open it without help; rip one strip and compare." : "It is a cracking clay and no pan was shown: it loosens itself as it dries.", RipRules.Cracking);
        }

        if (pan != false && !double.IsNaN(f.Strength) && f.Strength < r.SlowStrength)
        {
            say("pan", RipVerdict.DoNotRip, Invariant($"The hardest layer is {f.Strength / 1000:0} kPa at field capacity, below the {r.SlowStrength / 1000:0} kPa that slow roots: there is nothing to break."), RipRules.Penetrometer);
        }
        else if (pan != false && !double.IsNaN(f.Strength) && f.Strength < r.StopStrength)
        {
            say("pan", RipVerdict.TestStripFirst, Invariant($"The hardest layer is {f.Strength / 1000:0} kPa at field capacity: it slows roots but does not stop them ({r.StopStrength / 1000:0} kPa)."), RipRules.Penetrometer);
        }
        else if (pan == true)
        {
            say("pan", RipVerdict.Rip, double.IsNaN(f.PanTop) ? "A layer that stops roots was found." : Invariant($"A layer that stops roots or water begins {100 * f.PanTop:0} cm down{(double.IsNaN(f.PanBottom) ? "" : Invariant($" and ends at {100 * f.PanBottom:0} cm"))}."), RipRules.Helps);
        }
        else if (f.IsHardSetting == true)
        {
            say("pan", RipVerdict.TestStripFirst, "The soil sets hard; how deep was not measured: dig, and rip one strip.", RipRules.Helps);
        }
        else if (pan == false)
        {
            say("pan", RipVerdict.DoNotRip, "Nobody found a layer that stops roots or water: there is nothing to break.", RipRules.Penetrometer);
        }
        else
        {
            say("pan", RipVerdict.TestStripFirst, "Whether a layer stops roots or water is not known: dig or push a rod into moist ground before anything else.", RipRules.Penetrometer);
        }
    }

    private static double ClayOf(SiteFacts f) => !double.IsNaN(f.Clay) ? f.Clay : f.Texture is { } texture ? TextureTriangle.MiddleClay(texture) : double.NaN;
}
