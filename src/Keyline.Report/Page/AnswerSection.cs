using Keyline.Check;

namespace Keyline.Report;

/// <summary>The job in three sentences, and the answer: covered, fall, cost, gain, doubts.</summary>
internal static class AnswerSection
{
    /// <summary>Error of the heights that is too small to have been seen rather than smoothed away: half a centimetre, metres. Ours: no survey of a field is surer, from the air or on the ground.</summary>
    public const double UnseenError = 0.005;

    // Ours: far below what thirteen real fields gave (86 % reached, 95 % within grade), a plan is not to be driven as it stands.
    private const double LeastReached = 0.7;
    private const double LeastWithinGrade = 0.85;

    // Ours: below two thirds a reader would not call it a fall toward the ridges.
    private const double ClearlyToRidge = 2.0 / 3;

    public static void Write(HtmlParts page, ReportContent content)
    {
        KeylinePlan plan = content.Plan;
        LayoutFigures f = plan.Layout.Figures;
        bool isPoor = f.LineCount > 0 && (f.Coverage < LeastReached || f.WithinGradeShare < LeastWithinGrade);
        object name = plan.Field.Name.Length > 0 ? plan.Field.Name : Phrases.ThisField;
        page.Section("answer", Phrases.Answer, p =>
        {
            p.Add("<div class=\"lead\">");
            if (f.LineCount == 0)
            {
                p.Say(Phrases.JobNothing, name);
            }
            else
            {
                p.Say(Phrases.JobWhere, name, f.LineCount, Measure.Length(plan.Options.Spacing, 2).Asked, Measure.Distance(f.TotalLength), Measure.Area(plan.Layout.Workable.Area), Measure.Area(plan.Field.Boundary.Area));
                p.Say(isPoor ? Phrases.JobWhyMeant : f.ToRidgeShare >= ClearlyToRidge ? Phrases.JobWhy : f.ToRidgeShare > 0.5 ? Phrases.JobWhyMostly : Phrases.JobWhyLevel);
            }

            if (isPoor)
            {
                p.Add($"<p class=\"warn\">{PageText.Say(Phrases.JobPoor)}</p>");
            }

            p.Say(Phrases.JobBefore).Add("</div><div class=\"tiles\">");
            Tile(p, "covered", Phrases.Covered, Measure.Share(f.Coverage), PageText.Say(Phrases.CoveredText, Measure.Area(plan.Layout.Workable.Area)));
            object limit = plan.Options.RowGrade is { } rule ? new Statement(Phrases.TheRule, rule.Name) : Measure.Percent(plan.Options.MaximumGrade, plan.Options.MaximumGrade % 1 == 0 ? 0 : 1);
            Tile(
                p, "falls", Phrases.Falls,
                double.IsFinite(f.ToRidgeShare) ? Measure.Share(f.ToRidgeShare) : Measure.Share(f.WithinGradeShare),
                double.IsFinite(f.ToRidgeShare) ? PageText.Say(Phrases.FallsText, Measure.Share(f.DriftingShare), Measure.Share(f.WithinGradeShare), limit) : PageText.Say(Phrases.FallsLevelText, limit));
            p.Add(MadeParts.Open("costs")).Add(MadeParts.CostTile(null)).Add(MadeParts.Close("costs"));
            p.Add(MadeParts.Open("gains")).Add(MadeParts.GainTile(null)).Add(MadeParts.Close("gains"));
            Doubts(p, content);
            p.Add("</div>").Add(MadeParts.Open("stop")).Add(MadeParts.Close("stop"));
            if (content.Warnings.Count > 0)
            {
                p.Heading(Phrases.Mind).Written(content.Warnings);
                if (content.Warnings.Any(w => KnownSentences.Of(w) is null))
                {
                    p.Add("<p class=\"note\" lang=\"es\">" + PageText.Encoded(Phrases.AsWritten.Es) + "</p>");
                }
            }
        });
    }

    /// <summary>A tile: what, a number and what it means.</summary>
    public static void Tile(HtmlParts page, string id, Phrase title, Measure? number, string text) => page.Add(
        $"<div class=\"tile {id}\"><h3>{PageText.Say(title)}</h3>{(number is { } n ? $"<p class=\"number\">{PageText.Quantity(n)}</p>" : "")}<p>{text}</p></div>");

    private static void Doubts(HtmlParts page, ReportContent content)
    {
        IReadOnlyList<LayoutFinding> findings = content.Plan.Layout.Findings;
        string sure = content.Certainty is not { } c || !double.IsFinite(c.SureLengthShare) ? "" : " " + (c.Noise < UnseenError ? PageText.Say(Phrases.DoubtfulSmooth) : PageText.Say(Phrases.DoubtfulSure, new Measure(Unit.Depth, c.Noise, 1), Measure.Share(c.SureLengthShare)));
        int harmful = findings.Count(f => FindingHarm.Of(f.Kind) != Harm.Work);
        string said = findings.Count == 0
            ? PageText.Say(Phrases.DoubtfulNone) + sure
            : PageText.Say(harmful == 0 ? Phrases.DoubtfulWorkOnly : Phrases.DoubtfulPlaces, findings.Count - harmful) + sure + $" <a href=\"#findings\">{PageText.Say(Phrases.DoubtfulLink)}</a>";
        Tile(page, "doubts", Phrases.Doubtful, Measure.Number(harmful), said);
    }
}
