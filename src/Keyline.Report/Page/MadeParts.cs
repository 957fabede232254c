using System.Globalization;
using System.Text.Json;

namespace Keyline.Report;

/// <summary>The parts of the page that what was made since fills: between marks, so that they can be written anew into a page that lies there.</summary>
internal static class MadeParts
{
    private const int MostSpilling = 8;
    private const int FirstSaid = 3;

    /// <summary>The parts, by name.</summary>
    public static readonly IReadOnlyList<string> Names = ["costs", "gains", "water", "machine", "water-data"];

    public static string Open(string name) => $"<!--part:{name}-->";

    public static string Close(string name) => $"<!--/part:{name}-->";

    /// <summary>What stands in a part.</summary>
    public static string Of(string name, MadeSince? made) => name switch
    {
        "costs" => CostTile(made),
        "gains" => GainTile(made?.Storm),
        "water" => Water(made?.Storm),
        "machine" => Machine(made),
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
                : PageText.Say(Phrases.GainsText, storm.Name, new Measure(Unit.Rain, storm.Cases[1].Runoff, 0), new Measure(Unit.Rain, storm.Cases[0].Runoff, 0)));
        return page.ToString();
    }

    private static string Water(ReportedStorm? storm) => new HtmlParts().Section("water", Phrases.Water, p =>
    {
        if (storm is null)
        {
            p.Say(Phrases.WaterNone);
            return;
        }

        p.Say(Phrases.WaterIntro, storm.Name, storm.Soil);
        p.Table(
            [Phrases.WaterCaseHead, Phrases.WaterLinesHead, Phrases.WaterTakenHead, Phrases.WaterHollowHead, Phrases.WaterSpurHead, Phrases.WaterRunoffHead, Phrases.WaterPeakHead],
            storm.Cases.Select(c => (IReadOnlyList<string>)
            [
                c.Name switch { "as it is" => PageText.Say(Phrases.CaseBefore), "with the plan" => PageText.Say(Phrases.CasePlan), _ => PageText.Encoded(c.Name) },
                c.Length > 0 ? PageText.Quantity(Measure.Distance(c.Length)) : "–", Rain(c.TakenIn), Rain(c.Hollows), Rain(c.Spurs), Rain(c.Runoff), PageText.Quantity(new Measure(Unit.Flow, c.Peak, 0)),
            ]));
        string[] most = [.. storm.Lines.Where(l => l.Spilled > 0).OrderByDescending(l => l.Spilled).ThenBy(l => l.Id, StringComparer.Ordinal).Take(MostSpilling).Select(l => l.Id)];
        if (most.Length > 0)
        {
            p.Say(Phrases.WaterMost, new Markup(string.Join(", ", most.Select(HtmlParts.Line))));
        }

        p.Written(storm.Sentences.Take(FirstSaid));
        if (storm.Sentences.Count > FirstSaid)
        {
            p.Add($"<details><summary>{PageText.Say(Phrases.MoreSaid)}</summary>").Written(storm.Sentences.Skip(FirstSaid)).Add("</details>");
        }

        p.Say(Phrases.WaterCaution);
    }).ToString();

    private static string Machine(MadeSince? made) => new HtmlParts().Section("machine", Phrases.Machine, p =>
    {
        if (made is null || made.Work.Count == 0)
        {
            p.Say(Phrases.MachineNone);
            return;
        }

        p.Add($"<p class=\"warn\"><strong>{PageText.Say(Phrases.MachineServices)}:</strong> {(made.Services is { } s ? PageText.Say(Phrases.MachineServicesText, s.ClearedBy, s.Ticket, s.Until) : PageText.Say(Phrases.MachineServicesNone))}</p>");
        foreach (ReportedWork work in made.Work)
        {
            if (work.Year > 0)
            {
                p.Heading(Phrases.MachineYear, work.Year);
            }

            p.Table([Phrases.FigureHead, Phrases.MachineEasy, Phrases.MachineUsual, Phrases.MachineHard], Rows(made, work)).Written(work.Sentences);
            if (work.TurnsToLookAt > 0)
            {
                p.Say(Phrases.MachineFits, work.TurnsToLookAt);
            }
        }
    }).ToString();

    private static IEnumerable<IReadOnlyList<string>> Rows(MadeSince made, ReportedWork work)
    {
        ReportedTimes?[] times = [work.Easy, work.Usual, work.Hard];
        yield return [PageText.Say(Phrases.MachineDepth), .. Same(new Measure(Unit.Depth, work.Depth, 0))];
        yield return [PageText.Say(Phrases.MachineSpeed), .. Same(new Measure(Unit.Speed, work.Speed, 1))];
        yield return [PageText.Say(Phrases.MachineDraft), .. work.Draft.Select(d => PageText.Quantity(new Measure(Unit.Force, d / 1000, 1)))];
        yield return [PageText.Say(Phrases.MachineEngine), .. work.Power.Select(d => PageText.Quantity(new Measure(Unit.Power, d, 0)))];
        yield return [PageText.Say(Phrases.MachineHours), .. times.Select(t => Shown(t, u => new Measure(Unit.Hours, u.Hours, 1)))];
        yield return [PageText.Say(Phrases.MachineRipping), .. times.Select(t => Shown(t, u => new Measure(Unit.Hours, u.Ripping, 1)))];
        yield return [PageText.Say(Phrases.MachineTurning), .. times.Select(t => Shown(t, u => new Measure(Unit.Hours, u.Turning, 1)))];
        yield return [PageText.Say(Phrases.MachineOther), .. times.Select(t => Shown(t, u => new Measure(Unit.Hours, u.Hours - u.Ripping - u.Turning, 1)))];
        yield return [PageText.Say(Phrases.MachineFuel), .. times.Select(t => Shown(t, u => new Measure(Unit.Fuel, u.Litres, 0)))];
        yield return [PageText.Say(Phrases.MachineDays), .. Same(Measure.Number(work.Days))];
        if (work.Usual is { } usual && double.IsFinite(usual.Cost))
        {
            yield return [PageText.Say(Phrases.MachineCost), .. times.Select(t => t is null || !double.IsFinite(t.Cost) ? "–" : $"{PageText.Quantity(Measure.Number(t.Cost))} <bdi>{PageText.Encoded(made.Currency)}</bdi> ({PageText.Quantity(new Measure(Unit.PerArea, t.CostAHectare, 2))})")];
        }
    }

    private static string[] Same(Measure measure) => [PageText.Quantity(measure), PageText.Quantity(measure), PageText.Quantity(measure)];

    private static string Shown(ReportedTimes? times, Func<ReportedTimes, Measure> measure) => times is null ? "–" : PageText.Quantity(measure(times));

    private static string Rain(double metres) => PageText.Quantity(new Measure(Unit.Rain, metres, 1));

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
