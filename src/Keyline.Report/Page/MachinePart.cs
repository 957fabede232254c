namespace Keyline.Report;

/// <summary>The work with a machine: pull, hours, fuel and cost.</summary>
internal static class MachinePart
{
    public static void Write(HtmlParts page, MadeSince made) => page.Section("machine", Phrases.Machine, p =>
    {
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
    });

    private static IEnumerable<IReadOnlyList<string>> Rows(MadeSince made, ReportedWork work)
    {
        ReportedTimes?[] times = [work.Easy, work.Usual, work.Hard];
        yield return [PageText.Say(Phrases.MachineDepth), .. Same(new Measure(Unit.Depth, work.Depth, 0))];
        yield return [PageText.Say(Phrases.MachineSpeed), .. Same(new Measure(Unit.Speed, work.Speed, 1))];
        yield return [PageText.Say(Phrases.MachineDraft), .. work.Draft.Select(d => PageText.Quantity(new Measure(Unit.Force, d / 1000, 0)))];
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
}
