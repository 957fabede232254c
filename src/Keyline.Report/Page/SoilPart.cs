namespace Keyline.Report;

/// <summary>The soil: what to do on each piece of land, how deep, and how much of the plan lies on it.</summary>
internal static class SoilPart
{
    private const int MostZones = 12;
    private const int MostReasons = 3;

    // How the maps between the points were made is for whoever checks them; it stands on the soil's own page.
    private static readonly string[] HowMapped = ["variogram", "left out one by one", "values still grow apart"];

    public static void Write(HtmlParts page, ReportedSoil soil) => page.Section("soil", Phrases.Soil, p =>
    {
        double all = soil.Zones.Sum(z => z.Lines) + soil.LinesElsewhere;
        double rip = On("rip"), leave = On("do-not-rip"), elsewhere = soil.LinesElsewhere, first = all - rip - leave - elsewhere;
        p.Say(Phrases.SoilLines, Share(rip), Share(first), Share(leave), Share(elsewhere));
        if (leave > 0)
        {
            p.Add($"<p class=\"warn\">{PageText.Say(Phrases.SoilStop)}</p>");
        }

        ReportedZone[] ordered = [.. soil.Zones.OrderByDescending(z => z.Lines).ThenByDescending(z => z.Area)];
        p.Table(
            [Phrases.SoilZoneHead, Phrases.SoilVerdictHead, Phrases.SoilWhyHead, Phrases.SoilDepthHead, Phrases.SoilAreaHead, Phrases.SoilLinesHead],
            ordered.Take(MostZones).Select(z => (IReadOnlyList<string>)
            [
                $"<bdi>{PageText.Encoded(z.Name)}</bdi>",
                PageText.Say(Verdict(z)),
                string.Join("; ", z.Rules.Distinct().Take(MostReasons).Select(r => Why(z, r))),
                double.IsFinite(z.DepthFrom) ? PageText.Say(Phrases.SoilDepth, new Measure(Unit.Depth, z.DepthFrom, 0), new Measure(Unit.Depth, z.DepthTo, 0)) : PageText.Say(Phrases.SoilDepthUnknown),
                PageText.Quantity(Measure.Area(z.Area)),
                PageText.Quantity(Measure.Distance(z.Lines)),
            ]));
        if (ordered.Length > MostZones)
        {
            p.Say(Phrases.AndMore, ordered.Length - MostZones);
        }

        p.Say(Phrases.SoilCaution);
        p.WrittenApart([.. ordered.Take(MostZones).SelectMany(z => z.Reasons.Select(r => $"{z.Name}: {r}")), .. soil.Sentences.Where(s => !HowMapped.Any(h => s.Contains(h, StringComparison.Ordinal)))]);

        double On(string verdict) => soil.Zones.Where(z => z.Verdict == verdict).Sum(z => z.Lines);

        Measure Share(double length) => new(Unit.Share, all > 0 ? 100 * length / all : 0, 0);
    });

    /// <summary>The land of a plan that should not be ripped, for the answer; nothing where there is none.</summary>
    public static string Stop(ReportedSoil? soil)
    {
        double leave = soil?.Zones.Where(z => z.Verdict == "do-not-rip").Sum(z => z.Lines) ?? 0;
        return leave > 0 ? $"<p class=\"warn\">{PageText.Say(Phrases.SoilAnswer, Measure.Distance(leave))} <a href=\"#soil\">{PageText.Say(Phrases.NavSoil)}</a></p>" : "";
    }

    // Of the pan it is the sentence that says whether one was found.
    private static string Why(ReportedZone zone, string rule) =>
        rule == "pan" && Phrases.SoilPan.FirstOrDefault(p => zone.Reasons.Any(r => r.StartsWith("pan: " + p.Start, StringComparison.Ordinal))) is { Said: { } pan } ? PageText.Say(pan)
        : Phrases.SoilRule.TryGetValue(rule, out Phrase? known) ? PageText.Say(known) : PageText.Encoded(rule);

    // What comes first is named where it is known.
    private static Statement Verdict(ReportedZone zone)
    {
        Phrase[] steps = [.. Phrases.SoilStep.Where(s => zone.Verdict == "rip-after" && zone.InWords.Contains(s.Key, StringComparison.Ordinal)).Select(s => s.Value)];
        Phrase verdict = Phrases.SoilVerdict.TryGetValue(zone.Verdict, out Phrase? known) ? known : Phrases.SoilVerdict["test-strip-first"];
        return steps.Length == 0 ? new(verdict) : new(new Phrase(verdict.En + ": " + string.Join(", ", steps.Select(s => s.En)), verdict.Es + ": " + string.Join(", ", steps.Select(s => s.Es))));
    }
}
