using System.Globalization;
using System.Text.Json;

namespace Keyline.Report;

/// <summary>The parts of the page that what was made since fills: between marks, so that they can be written anew into a page that lies there.</summary>
internal static class MadeParts
{
    /// <summary>The parts, by name.</summary>
    public static readonly IReadOnlyList<string> Names = ["costs", "gains", "stop", "nav", "since", "water-data"];

    public static string Open(string name) => $"<!--part:{name}-->";

    public static string Close(string name) => $"<!--/part:{name}-->";

    /// <summary>What stands in a part.</summary>
    public static string Of(string name, MadeSince? made) => name switch
    {
        "costs" => CostTile(made),
        "gains" => GainTile(made?.Storm),
        "stop" => SoilPart.Stop(made?.Soil) + WaterPart.Stop(made?.Storm),
        "nav" => Nav(made),
        "since" => Since(made),
        _ => WaterData(made?.Storm),
    };

    public static string CostTile(MadeSince? made)
    {
        HtmlParts page = new();
        ReportedWork? work = made is { Work.Count: > 0 } ? made.Work[0] : null;
        string money = work?.Usual is { } u && double.IsFinite(u.Cost) ? PageText.Say(Phrases.CostsMoney, Measure.Number(u.Cost), made!.Currency) : PageText.Say(Phrases.CostsNoMoney);
        AnswerSection.Tile(
            page, "costs", Phrases.Costs,
            work?.Usual is { } t ? new Measure(Unit.Hours, t.Hours, 1) : null,
            work is null ? PageText.Say(Phrases.CostsUnknown)
                : work.Usual is null ? PageText.Say(Phrases.CostsNotPulled)
                : $"{PageText.Say(Phrases.CostsText, new Measure(Unit.Fuel, work.Usual.Litres, 0), work.Days)}{money}");
        return page.ToString();
    }

    public static string GainTile(ReportedStorm? storm)
    {
        HtmlParts page = new();
        AnswerSection.Tile(
            page, "gains", Phrases.Gains,
            storm is null ? null : new Measure(Unit.Rain, storm.Cases[1].TakenIn - storm.Cases[0].TakenIn, 0),
            storm is null ? PageText.Say(Phrases.GainsUnknown)
                : PageText.Say(Phrases.GainsText, WaterPart.StormName(storm.Name), new Measure(Unit.Rain, storm.Cases[1].Runoff, 0), new Measure(Unit.Rain, storm.Cases[0].Runoff, 0)));
        return page.ToString();
    }

    // The ways to what was made; a part that was not made has none.
    private static string Nav(MadeSince? made)
    {
        MadeSince m = made ?? new();
        (bool Is, string Id, Phrase Title)[] all =
        [
            (m.Soil is not null, "soil", Phrases.NavSoil), (m.Season is not null, "season", Phrases.NavSeason), (m.Storm is not null, "water", Phrases.NavWater), (m.Work.Count > 0, "machine", Phrases.NavMachine),
            (m.Driven is not null, "driven", Phrases.NavDriven), (m.Trial is not null || m.Results is not null, "trial", Phrases.NavTrial), (Missing(m).Count > 0, "not-made", Phrases.NavNotMade),
        ];
        return string.Concat(all.Where(a => a.Is).Select(a => $"<li><a href=\"#{a.Id}\">{PageText.Say(a.Title)}</a></li>"));
    }

    private static string Since(MadeSince? made)
    {
        MadeSince m = made ?? new();
        HtmlParts page = new();
        if (m.Soil is { } soil)
        {
            SoilPart.Write(page, soil);
        }

        if (m.Season is { } season)
        {
            SeasonPart.Write(page, season);
        }

        if (m.Storm is { } storm)
        {
            WaterPart.Write(page, storm);
        }

        if (m.Work.Count > 0)
        {
            MachinePart.Write(page, m);
        }

        if (m.Driven is { } driven)
        {
            DrivenPart.Write(page, driven);
        }

        if (m.Trial is not null || m.Results is not null)
        {
            TrialPart.Write(page, m.Trial, m.Results);
        }

        IReadOnlyList<Statement> missing = Missing(m);
        return (missing.Count == 0 ? page : page.Section("not-made", Phrases.NotMade, p => p.Say(Phrases.NotMadeIntro).List(missing))).ToString();
    }

    private static IReadOnlyList<Statement> Missing(MadeSince made)
    {
        (bool Is, Phrase Said)[] all =
        [
            (made.Soil is not null, Phrases.NotSoil), (made.Season is not null, Phrases.NotSeason), (made.Storm is not null, Phrases.NotWater), (made.Work.Count > 0, Phrases.NotMachine),
            (made.Driven is not null, Phrases.NotDriven), (made.Trial is not null || made.Results is not null, Phrases.NotTrial),
        ];
        return [.. all.Where(a => !a.Is).Select(a => new Statement(a.Said))];
    }

    private static string WaterData(ReportedStorm? storm)
    {
        if (storm is null)
        {
            return "";
        }

        Dictionary<string, double[]> lines = [];
        foreach (ReportedLineWater line in storm.Lines)
        {
            lines[line.Id] = [Math.Round(line.Soaked, 3), Math.Round(line.Spilled, 3)];
        }

        return string.Create(CultureInfo.InvariantCulture, $"<script type=\"application/json\" id=\"water-data\">{JsonSerializer.Serialize(lines)}</script>");
    }
}
