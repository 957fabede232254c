using Keyline.Check;
using Keyline.Layout;

namespace Keyline.Console.Views;

/// <summary>Layouts of the same field side by side.</summary>
internal static class LayoutTables
{
    // Common practice, no source: a tractor turning with the implement raised.
    private const double TurningKilometresPerHour = 5;

    public static void WriteComparison(TextWriter output, IReadOnlyList<PatternLayout> patterns)
    {
        output.WriteLine("The same field laid out six ways, measured alike");
        output.WriteLine();
        output.WriteLine(Heading("", 30));
        foreach (PatternLayout pattern in patterns)
        {
            output.WriteLine(Row(Name(pattern.Pattern).PadRight(30), pattern.Layout));
        }

        output.WriteLine();
        foreach (PatternLayout pattern in patterns)
        {
            output.WriteLine($"{Name(pattern.Pattern)}: {pattern.Detail}.");
        }

        output.WriteLine();
        Legend(output);
    }

    public static void WritePriceList(TextWriter output, IReadOnlyList<PricedLayout> plans, LinePattern pattern)
    {
        if (pattern == LinePattern.Even)
        {
            WriteEvenPrices(output, plans);
            return;
        }

        output.WriteLine("Plans of this field that no other beats in both drift and number of guides");
        output.WriteLine();
        output.WriteLine(Heading("--ease", 8));
        foreach (PricedLayout plan in plans)
        {
            output.WriteLine(Row(Words.Number(plan.Ease, "0.###").PadRight(8), plan.Layout));
        }

        output.WriteLine();
        output.WriteLine("Spoilt ground by cause, square metres (what the choice of guides weighed):");
        output.WriteLine("--ease    steep lines  wrong drift  corners  bare ground  line ends  guides    total");
        foreach (PricedLayout plan in plans)
        {
            LayoutCost c = plan.Layout.Cost;
            output.WriteLine(Words.Number(plan.Ease, "0.###").PadRight(8) + Cell(c.SteepLines, 13) + Cell(c.WrongDrift, 13) + Cell(c.Corners, 9)
                + Cell(c.BareGround, 13) + Cell(c.LineEnds, 11) + Cell(c.Guides, 8) + Cell(c.Total, 9));
        }

        output.WriteLine();
        Legend(output);
        output.WriteLine("Make one of them with keyline plan and its --ease.");
    }

    private static void WriteEvenPrices(TextWriter output, IReadOnlyList<PricedLayout> plans)
    {
        output.WriteLine("Plans of this field that no other beats in both drift (of all the length) and number of lines");
        output.WriteLine();
        output.WriteLine(Heading("--ease  --wished-fall", 22));
        foreach (PricedLayout plan in plans)
        {
            output.WriteLine(Row(Words.Number(plan.Ease, "0.###").PadRight(8) + (Words.Number(plan.LeastFall, "0.###") + " %").PadRight(14), plan.Layout));
        }

        output.WriteLine();
        Legend(output);
        output.WriteLine("Make one of them with keyline plan and its --ease and --wished-fall.");
    }

    private static string Heading(string first, int width) =>
        first.PadRight(width) + " guides  lines  grade %  drift %  spaced %  covered %  mean m  short %   ends  inner/km  turning km  hours";

    private static string Row(string first, RipLayout layout)
    {
        LayoutFigures f = layout.Figures;
        return first + Cell(layout.Guides.Count, 7) + Cell(f.LineCount, 7) + Share(f.WithinGradeShare, 9) + Share(f.ToRidgeShare, 9) + Share(f.SpacingWithin10Share, 10) + Share(f.Coverage, 11)
            + Cell(f.MeanLength, 8) + Share(f.ShortShare, 9) + Cell(f.LineEnds, 7) + Words.Cell(f.InnerEndsPerKm, "0.00", 10)
            + Words.Number(layout.Driving.TurningLength / 1000, "0.0").PadLeft(12)
            + Words.Number(layout.Driving.TurningTime(TurningKilometresPerHour / 3.6).TotalHours, "0.0").PadLeft(7);
    }

    private static void Legend(TextWriter output)
    {
        output.WriteLine("grade: length on workable land within the grade limit; drift: of the length that falls along its line, what");
        output.WriteLine("falls toward higher ground between valley and ridge (no water is routed);");
        output.WriteLine("spaced: length whose next line, each side by itself, is within 10 % of the spacing;");
        output.WriteLine(FormattableString.Invariant($"short: length in lines under {LayoutFigures.ShortLine:0} m; ends: of lines, and those out in the workable ground for each km; hours: turning at {TurningKilometresPerHour:0} km/h."));
    }

    private static string Name(LayoutPattern pattern) => pattern switch
    {
        LayoutPattern.Straight => "straight lines",
        LayoutPattern.OneKeyline => "one keyline, paralleled",
        LayoutPattern.ValleysAndRidges => "a guide a valley and a ridge",
        LayoutPattern.RowGradeContours => "contours set anew by the rule",
        LayoutPattern.EvenLines => "even lines",
        _ => "guides chosen for the field",
    };

    private static string Cell(double value, int width) => Words.Number(value, "0").PadLeft(width);

    private static string Share(double share, int width) => (double.IsFinite(share) ? Words.Number(100 * share, "0.0") : "-").PadLeft(width);
}
