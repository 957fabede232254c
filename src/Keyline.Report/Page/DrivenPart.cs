namespace Keyline.Report;

/// <summary>What was driven: how much, how near to the lines, how far apart, and where it was not as planned.</summary>
internal static class DrivenPart
{
    private const int MostLines = 10;

    public static void Write(HtmlParts page, ReportedDriven driven) => page.Section("driven", Phrases.Driven, p =>
    {
        p.Say(
            Phrases.DrivenMuch, Measure.Share(driven.Planned > 0 ? driven.Driven / driven.Planned : 0), Measure.Distance(driven.Planned), driven.Whole, driven.InPart, driven.Left, driven.NotReached);
        if (double.IsFinite(driven.Error95))
        {
            p.Say(Phrases.DrivenNear, Small(driven.Error95), Small(driven.GreatestError), Measure.Share(driven.WithinAllowed), Small(driven.Allowed));
        }

        if (double.IsFinite(driven.Spacing))
        {
            p.Say(Phrases.DrivenApart, Measure.Length(driven.Spacing, 2), Small(driven.SpacingError95), Measure.Area(driven.Gaps, 2), Measure.Area(driven.Overlaps, 2));
        }

        if (double.IsFinite(driven.Grade95))
        {
            p.Say(Phrases.DrivenGrade, Measure.Percent(driven.Grade95));
        }

        if (driven.Repeated >= 1)
        {
            p.Say(Phrases.DrivenTwice, Measure.Length(driven.Repeated));
        }

        IGrouping<string, ReportedStretch>[] kinds = [.. driven.Stretches.Where(s => Phrases.DrivenKind.ContainsKey(s.Kind)).GroupBy(s => s.Kind)];
        if (kinds.Length == 0)
        {
            p.Say(Phrases.DrivenAll);
            return;
        }

        p.Table(
            [Phrases.DrivenKindHead, Phrases.DrivenStretchesHead, Phrases.DrivenLengthHead, Phrases.DrivenWorstHead, Phrases.DrivenLinesHead],
            kinds.OrderBy(k => Phrases.DrivenKind.Keys.ToList().IndexOf(k.Key)).Select(k => (IReadOnlyList<string>)
            [
                PageText.Say(Phrases.DrivenKind[k.Key]), PageText.Quantity(Measure.Number(k.Count())), PageText.Quantity(Measure.Length(k.Sum(s => s.Length))), Worst(k.Key, k), Lines(k),
            ]));
    });

    private static Measure Small(double metres) => new(Unit.Depth, metres, 0);

    private static string Worst(string kind, IEnumerable<ReportedStretch> stretches)
    {
        double worst = stretches.Where(s => double.IsFinite(s.Worst)).Select(s => Math.Abs(s.Worst)).DefaultIfEmpty(double.NaN).Max();
        return kind switch
        {
            "off-line" => PageText.Quantity(Small(worst)),
            "too-steep" or "steep-as-planned" => PageText.Quantity(Measure.Percent(worst)),
            _ => "–",
        };
    }

    // The worst first: the longest.
    private static string Lines(IEnumerable<ReportedStretch> stretches)
    {
        string[] ids = [.. stretches.GroupBy(s => s.Line).OrderByDescending(g => g.Sum(s => s.Length)).ThenBy(g => g.Key, StringComparer.Ordinal).Select(g => g.Key)];
        string named = string.Join(", ", ids.Take(MostLines).Select(HtmlParts.Line));
        return ids.Length > MostLines ? named + " " + PageText.Say(Phrases.AndMore, ids.Length - MostLines) : named;
    }
}
