using System.Globalization;

namespace Keyline.Report;

/// <summary>The trial: how it lies on the plan, what must stay unripped, and what its readings say.</summary>
internal static class TrialPart
{
    private const int MostLines = 24;

    public static void Write(HtmlParts page, ReportedTrial? trial, ReportedResults? results) => page.Section("trial", Phrases.Trial, p =>
    {
        if (trial is not null)
        {
            Design(p, trial);
        }

        if (results is null)
        {
            p.Say(Phrases.TrialNone);
        }
        else
        {
            Readings(p, results);
        }

        p.WrittenApart([.. trial?.Notes ?? [], .. results?.Measures.Select(m => m.Sentence) ?? []]);
    });

    private static void Design(HtmlParts page, ReportedTrial trial)
    {
        if (!trial.IsRandomised)
        {
            page.Say(Phrases.TrialWatch, trial.Plots);
            return;
        }

        page.Say(Phrases.TrialLots, trial.Blocks, trial.Plots, Measure.Length(trial.PlotLength), string.Join(", ", trial.Treatments), Measure.Number(trial.Effect, trial.Effect % 1 == 0 ? 0 : 1));
        if (trial.BlocksWanted > trial.Blocks)
        {
            page.Say(Phrases.TrialFew, trial.BlocksWanted, trial.Blocks);
        }

        if (trial.LinesLeft.Count > 0)
        {
            string more = trial.LinesLeft.Count > MostLines ? " " + PageText.Say(Phrases.AndMore, trial.LinesLeft.Count - MostLines) : "";
            page.Add($"<p class=\"warn\">{PageText.Say(Phrases.TrialLeave, new Markup(string.Join(", ", trial.LinesLeft.Order(StringComparer.Ordinal).Take(MostLines).Select(HtmlParts.Line)) + more))}</p>");
        }
    }

    private static void Readings(HtmlParts page, ReportedResults results)
    {
        if (results.Measures.Count == 0)
        {
            page.Say(Phrases.TrialNone);
        }
        else
        {
            _ = results.WorkedOn is { } day ? page.Say(Phrases.TrialWorked, SeasonPart.Date(day)) : page.Say(Phrases.TrialRead);
            page.Table(
                [Phrases.TrialMeasureHead, Phrases.TrialAnswerHead, Phrases.TrialEffectHead, Phrases.TrialSureHead],
                results.Measures.Select(m => (IReadOnlyList<string>)
                [
                    PageText.Say(Phrases.TrialOn, NameOf(m.Id), m.Treatment),
                    Phrases.TrialAnswer.TryGetValue(m.Answer, out Phrase? answer) ? PageText.Say(answer) : PageText.Encoded(m.Answer),
                    Shown(m, m.Effect),
                    double.IsFinite(m.Low) && double.IsFinite(m.High) ? PageText.Say(Phrases.TrialBetween, new Markup(Shown(m, m.Low)), new Markup(Shown(m, m.High))) : "–",
                ]));
        }

        if (results.SetAside > 0)
        {
            page.Say(Phrases.TrialSetAside, results.SetAside);
        }

        if (results.Years.Count > 0)
        {
            page.Table(
                [Phrases.TrialYearHead, Phrases.TrialWorkHead, Phrases.TrialValuesHead, Phrases.TrialPhotosHead, Phrases.TrialRainHead],
                results.Years.Select(y => (IReadOnlyList<string>)
                [
                    y.Year.ToString(CultureInfo.InvariantCulture), y.Work.Count > 0 ? PageText.Encoded(string.Join("; ", y.Work)) : "–", PageText.Quantity(Measure.Number(y.Values)), PageText.Quantity(Measure.Number(y.Photos)),
                    double.IsFinite(y.Rain) ? PageText.Quantity(new Measure(Unit.Rain, y.Rain, 0)) : "–",
                ]));
            page.Say(Phrases.TrialYears);
        }

        if (results.Due is { } due)
        {
            page.Say(Phrases.TrialDue, SeasonPart.Date(due));
        }
    }

    private static object NameOf(string id) => Phrases.TrialMeasure.TryGetValue(id, out Phrase? known) ? known
        : id.StartsWith("cover-", StringComparison.Ordinal) ? new Statement(Phrases.TrialCover, id["cover-".Length..])
        : id.Replace('-', ' ');

    private static string Shown(ReportedMeasure m, double value) => !double.IsFinite(value) ? "–"
        : m.IsRatio ? PageText.Say(Phrases.TrialTimes, Measure.Number(value, 2))
        : m.Unit switch
        {
            "cm" => PageText.Quantity(new Measure(Unit.Depth, value / 100, 1)),
            "%" => PageText.Quantity(Measure.Percent(value)),
            _ => string.Create(CultureInfo.InvariantCulture, $"{PageText.Quantity(Measure.Number(value, 2))} <bdi>{PageText.Encoded(m.Unit)}</bdi>"),
        };
}
