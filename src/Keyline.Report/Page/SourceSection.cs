using Keyline.Layout;

namespace Keyline.Report;

/// <summary>Order of work; cautions; what was taken as given; sources; how it was made; room to sign.</summary>
internal static class SourceSection
{
    public static void WriteOrder(HtmlParts page, ReportContent content) => page.Section("order", Phrases.Order, p =>
    {
        RipLayout layout = content.Plan.Layout;
        if (layout.Lines.Count > 0)
        {
            p.Say(Phrases.OrderIntro, layout.Lines[0].Id, layout.Lines[^1].Id, Measure.Distance(layout.Driving.DrivenLength), Measure.Distance(layout.Driving.TurningLength), layout.Driving.Turns);
        }

        p.Add("<ol class=\"steps\">");
        foreach (Phrase step in (Phrase[])[Phrases.OrderStep1, Phrases.OrderStep2, Phrases.OrderStep3, Phrases.OrderStep4, Phrases.OrderStep5, Phrases.OrderStep6, Phrases.OrderStep7])
        {
            p.Add($"<li>{PageText.Say(step)}</li>");
        }

        p.Add($"</ol><details id=\"lines\"><summary>{PageText.Say(Phrases.OrderTable)}</summary><div id=\"line-table\"></div></details>");
        if (layout.Notes.Count > 0)
        {
            p.Heading(Phrases.LeftOut).Written(layout.Notes);
        }
    });

    public static void WriteCautions(HtmlParts page) => page.Section("cautions", Phrases.CautionsTitle, p => p.List(Phrases.Cautions.Select(c => new Statement(c))));

    public static void Write(HtmlParts page, ReportContent content)
    {
        page.Section("assumed", Phrases.Assumptions, p => p.Written([.. content.Assumed, content.DatumNote]).Say(Phrases.Smoothing, Measure.Length(content.Plan.SmoothingLength, 1)));
        page.Section("sources", Phrases.Sources, p =>
        {
            p.Say(Phrases.SourceCrs, content.CoordinateSystem).Say(Phrases.SourceCell, Measure.Length(content.Plan.Ground.Frame.CellSize, 2));
            p.Table([Phrases.SourceRole, Phrases.SourceFile, Phrases.SourceHash], content.Inputs.Select(i => (IReadOnlyList<string>)
                [Role(i.Role), $"<bdi>{PageText.Encoded(i.File)}</bdi>", i.Sha256 is { } hash ? $"<code>{PageText.Encoded(hash)}</code>" : PageText.Say(Phrases.NoHash)]));
            p.Heading(Phrases.SourceLicence).Say(Phrases.SourceLicenceText).Add("<p class=\"blank\"></p>");
        });
        page.Section("made", Phrases.Made, p => p.Say(Phrases.MadeText, content.MadeWith).Table([Phrases.OptionHead, Phrases.OptionValueHead], Options(content)));
        page.Section("sign", Phrases.Sign, p =>
        {
            p.Say(Phrases.SignText).Add($"<p class=\"label\">{PageText.Say(Phrases.SignChanges)}</p><p class=\"blank\"></p><p class=\"blank\"></p><div class=\"signs\">");
            foreach (Phrase who in (Phrase[])[Phrases.SignOwner, Phrases.SignConsultant, Phrases.SignDriver])
            {
                p.Add("<div>").Heading(who);
                foreach (Phrase what in (Phrase[])[Phrases.SignName, Phrases.SignSignature, Phrases.SignDate])
                {
                    p.Add($"<p class=\"blank\"></p><p class=\"label\">{PageText.Say(what)}</p>");
                }

                p.Add("</div>");
            }

            p.Add("</div>");
        });
    }

    private static Phrase Pattern(LinePattern pattern) => pattern switch
    {
        LinePattern.Even => Phrases.PatternEven,
        LinePattern.Straight => Phrases.PatternStraight,
        LinePattern.OneKeyline => Phrases.PatternOneKeyline,
        _ => Phrases.PatternParallel,
    };

    private static IEnumerable<IReadOnlyList<string>> Options(ReportContent content)
    {
        LayoutOptions o = content.Plan.Options;
        string spacing = PageText.Quantity(Measure.Length(o.Spacing, 3).Asked) + (content.SpacingAsked.Length > 0 ? $" (<bdi>{PageText.Encoded(content.SpacingAsked)}</bdi>)" : "");
        yield return [PageText.Say(Phrases.OptionSpacing), spacing];
        yield return [PageText.Say(Phrases.OptionPattern), PageText.Say(Pattern(o.Pattern))];
        yield return [PageText.Say(Phrases.OptionGrade), o.RowGrade is { } rule ? PageText.Encoded(rule.Name) : PageText.Quantity(Measure.Percent(o.MaximumGrade, 2).Asked)];
        yield return [PageText.Say(Phrases.OptionFall), PageText.Quantity(Measure.Percent(o.DesignFall, 2).Asked)];
        yield return [PageText.Say(Phrases.OptionRadius), PageText.Quantity(Measure.Length(o.MinimumRadius, 1).Asked)];
        yield return [PageText.Say(Phrases.OptionHeadland), PageText.Quantity(Measure.Length(o.Headland, 1).Asked)];
        yield return [PageText.Say(Phrases.OptionLength), PageText.Quantity(Measure.Length(o.MinimumLength, 1).Asked)];
        yield return [PageText.Say(Phrases.OptionSlope), PageText.Quantity(Measure.Percent(o.MaximumSlope).Asked)];
        yield return [PageText.Say(Phrases.OptionSide), PageText.Quantity(new Measure(Unit.Angle, o.MaximumSideSlope, 1).Asked)];
        if (o.Shanks is { } shanks)
        {
            yield return [PageText.Say(Phrases.OptionShanks), PageText.Quantity(Measure.Number(shanks.Count)) + " × " + PageText.Quantity(Measure.Length(shanks.Spacing, 2).Asked)];
        }
    }

    private static string Role(string role) => role switch
    {
        "dem" => PageText.Say(Phrases.RoleDem),
        "field" => PageText.Say(Phrases.RoleField),
        "avoid" => PageText.Say(Phrases.RoleAvoid),
        "pinned" => PageText.Say(Phrases.RolePinned),
        "outlets" => PageText.Say(Phrases.RoleOutlets),
        "gate" => PageText.Say(Phrases.RoleGate),
        "flagged" => PageText.Say(Phrases.RoleFlagged),
        "machine" => PageText.Say(Phrases.RoleMachine),
        _ => PageText.Encoded(role),
    };
}
