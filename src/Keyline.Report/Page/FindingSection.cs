using Keyline.Check;
using NetTopologySuite.Geometries;

namespace Keyline.Report;

/// <summary>What the check found, ranked by harm; each a link to its place on the map.</summary>
internal static class FindingSection
{
    private const int FirstShown = 6;

    public static void Write(HtmlParts page, ReportContent content, Coordinate origin) => page.Section("findings", Phrases.Findings, p =>
    {
        IReadOnlyList<LayoutFinding> findings = content.Plan.Layout.Findings;
        p.Add(findings.Count == 0 ? $"<p>{PageText.Say(Phrases.FindingsNone)}</p>" : $"<p>{PageText.Say(Phrases.FindingsIntro)} {PageText.Hint(Phrases.FindingsTap)}</p>");
        foreach (IGrouping<Harm, LayoutFinding> harm in findings.GroupBy(f => FindingHarm.Of(f.Kind)).OrderBy(g => g.Key))
        {
            p.Add($"<h3 class=\"harm h{(int)harm.Key}\">{PageText.Say(harm.Key switch { Harm.People => Phrases.HarmPeople, Harm.Land => Phrases.HarmLand, _ => Phrases.HarmWork })}</h3>");
            foreach (IGrouping<FindingKind, LayoutFinding> kind in harm.GroupBy(f => f.Kind).OrderBy(g => FindingHarm.Rank(g.Key)))
            {
                LayoutFinding[] worst = [.. kind.OrderByDescending(FindingHarm.Severity).ThenBy(f => f.LineId, StringComparer.Ordinal)];
                p.Add($"<div class=\"finding\"><h4>{PageText.Say(Phrases.FindingTitle[kind.Key])} <span class=\"count\">{worst.Length}</span></h4>").Say(Phrases.FindingAdvice[kind.Key]);
                Places(p, worst.Take(FirstShown), origin);
                if (worst.Length > FirstShown)
                {
                    p.Add($"<details><summary>{PageText.Say(Phrases.MoreSuch, worst.Length - FirstShown)}</summary>");
                    Places(p, worst.Skip(FirstShown), origin);
                    p.Add("</details>");
                }

                p.Add("</div>");
            }
        }
    });

    private static void Places(HtmlParts page, IEnumerable<LayoutFinding> findings, Coordinate origin)
    {
        page.Add("<ul class=\"places\">");
        foreach (LayoutFinding f in findings)
        {
            string value = double.IsPositiveInfinity(f.Value) ? ": " + PageText.Say(Phrases.FindingNoneNear)
                : Shown(f.Kind, f.Value) is not { } v ? ""
                : double.IsFinite(f.Limit) && f.Limit > 0 && Shown(f.Kind, f.Limit) is { } limit && f.Kind is not (FindingKind.OutsideField or FindingKind.InAvoidedArea or FindingKind.InHeadland or FindingKind.DriftsToValley or FindingKind.DrainsToWet)
                    ? ": " + PageText.Say(f.Kind switch { FindingKind.EndsAboveDrop => Phrases.FindingDrop, FindingKind.BareStrip => Phrases.FindingBare, _ => Phrases.FindingValue }, v, limit) : ": " + (f.Kind == FindingKind.DriftsToValley ? PageText.Say(Phrases.FindingOfLine, v) : PageText.Quantity(v));
            string along = f.Length > 0 ? ", " + PageText.Say(Phrases.FindingAlong, Measure.Length(f.Length)) : "";
            page.Add($"<li>{HtmlParts.Place(f.X - origin.X, f.Y - origin.Y, f.LineId, PageText.Say(Phrases.FindingLine, f.LineId))}{value}{along}</li>");
        }

        page.Add("</ul>");
    }

    private static Measure? Shown(FindingKind kind, double value) => !double.IsFinite(value) ? null : kind switch
    {
        FindingKind.TooSteepAlongLine or FindingKind.OnSteepLand or FindingKind.TooLevel or FindingKind.EndsAboveDrop => Measure.Percent(value),
        FindingKind.SideSlopeTooSteep => new Measure(Unit.Angle, value, 1),
        FindingKind.DriftsToValley => Measure.Share(value, 0),
        FindingKind.LinesCross or FindingKind.OverMissingGround => null,
        _ => Measure.Length(value, 1),
    };
}
