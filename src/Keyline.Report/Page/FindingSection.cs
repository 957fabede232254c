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
        FindingPlace place = new(content.Plan.Layout.Lines);
        double spacing = content.Plan.Options.Spacing;
        foreach (IGrouping<Harm, LayoutFinding> harm in findings.GroupBy(f => FindingHarm.Of(f.Kind)).OrderBy(g => g.Key))
        {
            p.Add($"<h3 class=\"harm h{(int)harm.Key}\">{PageText.Say(harm.Key switch { Harm.People => Phrases.HarmPeople, Harm.Land => Phrases.HarmLand, _ => Phrases.HarmWork })}</h3>");
            foreach (IGrouping<FindingKind, LayoutFinding> kind in harm.GroupBy(f => f.Kind).OrderBy(g => FindingHarm.Rank(g.Key)))
            {
                LayoutFinding[] worst = [.. kind.OrderByDescending(FindingHarm.Severity).ThenBy(f => f.LineId, StringComparer.Ordinal)];
                p.Add($"<div class=\"finding\"><h4>{PageText.Say(Phrases.FindingTitle[kind.Key])} <span class=\"count\">{worst.Length}</span></h4>");
                Measure? shared = Shared(worst);
                string asked = shared is { } same ? " " + PageText.Say(kind.Key switch { FindingKind.EndsAboveDrop => Phrases.FindingAskedDrop, FindingKind.BareStrip => Phrases.FindingAskedBare, _ => Phrases.FindingAsked }, same) : "";
                p.Add($"<p>{PageText.Say(Phrases.FindingAdvice[kind.Key])}{asked}</p>");
                Places(p, worst.Take(FirstShown), place, spacing, shared is not null, origin);
                if (worst.Length > FirstShown)
                {
                    p.Add($"<details><summary>{PageText.Say(Phrases.MoreSuch, worst.Length - FirstShown)}</summary>");
                    Places(p, worst.Skip(FirstShown), place, spacing, shared is not null, origin);
                    p.Add("</details>");
                }

                p.Add("</div>");
            }
        }
    });

    // What was asked for is said once where it is the same for all.
    private static Measure? Shared(LayoutFinding[] findings) => IsHeld(findings[0]) && findings.All(f => f.Limit == findings[0].Limit) ? Shown(findings[0].Kind, findings[0].Limit)?.Asked : null;

    private static bool IsHeld(LayoutFinding f) => double.IsFinite(f.Limit) && f.Limit > 0
        && f.Kind is not (FindingKind.OutsideField or FindingKind.InAvoidedArea or FindingKind.InHeadland or FindingKind.DriftsToValley or FindingKind.DrainsToWet or FindingKind.LinesCross or FindingKind.OverMissingGround);

    private static void Places(HtmlParts page, IEnumerable<LayoutFinding> findings, FindingPlace place, double spacing, bool isShared, Coordinate origin)
    {
        page.Add("<ul class=\"places\">");
        foreach (LayoutFinding f in findings)
        {
            string value = double.IsPositiveInfinity(f.Value) ? ": " + Beyond(f, place, spacing)
                : Shown(f.Kind, f.Value) is not { } v ? ""
                : ": " + (f.Kind == FindingKind.DriftsToValley ? PageText.Say(Phrases.FindingOfLine, v)
                : f.Kind == FindingKind.EndsAboveDrop ? PageText.Say(Phrases.FindingDrop, v)
                : f.Kind == FindingKind.BareStrip ? PageText.Say(Phrases.FindingBare, v)
                : IsHeld(f) && !isShared && Shown(f.Kind, f.Limit) is { } limit ? PageText.Say(Phrases.FindingValue, v, limit.Asked)
                : PageText.Quantity(v));
            string along = f.Length > 0 ? ", " + PageText.Say(f.Kind == FindingKind.EndsAboveDrop ? Phrases.FindingFallsTo : Phrases.FindingAlong, Measure.Length(f.Length)) : "";
            double at = place.Along(f);
            string line = place.IsLast(f) is { } last ? PageText.Say(last ? Phrases.FindingLineEnd : Phrases.FindingLineStart, f.LineId)
                : double.IsFinite(at) ? PageText.Say(Phrases.FindingLineAt, f.LineId, Measure.Length(at)) : PageText.Say(Phrases.FindingLine, f.LineId);
            page.Add($"<li>{HtmlParts.Place(f.X - origin.X, f.Y - origin.Y, f.LineId, line)}{value}{along}</li>");
        }

        page.Add("</ul>");
    }

    // The check looks two spacings far.
    private static string Beyond(LayoutFinding f, FindingPlace place, double spacing)
    {
        Phrase side = f.IsOnLeft switch { true => Phrases.OnTheLeft, false => Phrases.OnTheRight, null => Phrases.OnOneSide };
        Measure reach = Measure.Length(LineGaps.Reach * spacing, 1).Asked;
        return place.Next(f, LineGaps.Reach * spacing) is { } next
            ? PageText.Say(Phrases.FindingNextFar, reach, side, next.Id, Measure.Length(next.Distance))
            : PageText.Say(Phrases.FindingNoneBeyond, reach, side);
    }

    private static Measure? Shown(FindingKind kind, double value) => !double.IsFinite(value) ? null : kind switch
    {
        FindingKind.EndsAboveDrop or FindingKind.OnSteepLand => Measure.Percent(value, 0),
        FindingKind.TooSteepAlongLine or FindingKind.TooLevel => Measure.Percent(value),
        FindingKind.SideSlopeTooSteep => new Measure(Unit.Angle, value, 1),
        FindingKind.DriftsToValley => Measure.Share(value, 0),
        FindingKind.LinesCross or FindingKind.OverMissingGround => null,
        FindingKind.SpacingOff or FindingKind.BareStrip or FindingKind.TooClose => Measure.Length(value, 2),
        _ => Measure.Length(value, 1),
    };
}
