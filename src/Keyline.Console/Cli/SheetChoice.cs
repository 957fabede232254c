using System.Globalization;
using Keyline.Report;

namespace Keyline.Console.Cli;

/// <summary>How map sheets are to be cut, read from the options.</summary>
internal static class SheetChoice
{
    /// <summary>The choice; null where no sheets are asked for.</summary>
    /// <exception cref="UsageException">A scale, paper or way that there is none of, or one of these without sheets.</exception>
    public static SheetOptions? From(Arguments arguments)
    {
        int? scale = Scale(arguments);
        SheetPaper paper = arguments.Word(OptionSpec.Paper, "a4", "letter") == "letter" ? SheetPaper.Letter : SheetPaper.A4;
        bool? landscape = arguments.Has(OptionSpec.Turn) ? arguments.Word(OptionSpec.Turn, "landscape", "portrait") == "landscape" : null;
        if (arguments.Has(OptionSpec.Pdf))
        {
            return new SheetOptions { Scale = scale, Paper = paper, Landscape = landscape };
        }

        foreach (OptionSpec option in new[] { OptionSpec.Scale, OptionSpec.Paper, OptionSpec.Turn })
        {
            if (arguments[option] is { } setting)
            {
                throw new UsageException($"{setting.Where} is for PDF files, and none are asked for: add {OptionSpec.Pdf.Flag}.");
            }
        }

        return null;
    }

    private static int? Scale(Arguments arguments)
    {
        if (arguments[OptionSpec.Scale] is not { } setting)
        {
            return null;
        }

        string text = setting.Text.Replace(" ", "", StringComparison.Ordinal);
        string number = text.StartsWith("1:", StringComparison.Ordinal) ? text[2..] : text;
        return int.TryParse(number, NumberStyles.None, CultureInfo.InvariantCulture, out int scale) && SheetOptions.Scales.Contains(scale)
            ? scale
            : throw new UsageException($"{setting.Where} \"{setting.Text.Trim()}\" is no scale of a sheet: write one of {string.Join(", ", SheetOptions.Scales.Select(s => string.Create(CultureInfo.InvariantCulture, $"1:{s}")))}.");
    }
}

/// <summary>The units of what people read, from the options.</summary>
internal static class UnitChoice
{
    public static UnitSystem From(Arguments arguments) => arguments.Word(OptionSpec.UnitsOf, "metric", "us") == "us" ? UnitSystem.Us : UnitSystem.Metric;
}
