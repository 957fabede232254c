using Keyline.Field;
using Keyline.Fieldwork;
using Keyline.Formats;
using Keyline.Layout;

namespace Keyline.Console.Cli;

/// <summary>Located services among the options: their file, and how wide the zone is in which digging is by hand only.</summary>
internal static class LocatedOptions
{
    /// <summary>Width of the zone on either side, metres.</summary>
    /// <exception cref="UsageException">Neither a length nor a state there is a figure for.</exception>
    public static double Width(Arguments arguments)
    {
        if (arguments[OptionSpec.HandDig] is not { } setting)
        {
            return ServiceRecord.HandDigZone;
        }

        string text = setting.Text.Trim();
        double width = text.Length == 2 && text.All(char.IsAsciiLetter) ? HandDigZones.Of(text) : Quantity.Length(text, setting.Where);
        return width is > 0 and <= 100 ? width
            : throw new UsageException(double.IsNaN(width)
                ? $"{setting.Where} {text}: no figure for that state is known here ({string.Join(", ", HandDigZones.States)} are): ask the locator and give the width, as \"24 in\"."
                : $"{setting.Where} is {text}: it must be above 0 and up to 100 m.");
    }

    /// <summary>Checks what can be checked without the plan.</summary>
    /// <returns>The file of services; null where none is given.</returns>
    /// <exception cref="UsageException">A width that is none, or one without services.</exception>
    public static string? Check(Arguments arguments)
    {
        _ = Width(arguments);
        return arguments.File(OptionSpec.Located, "file of located services") is { } path ? path
            : arguments.Has(OptionSpec.HandDig) ? throw new UsageException($"{arguments[OptionSpec.HandDig]!.Where} needs the located services: give them with {OptionSpec.Located.Flag} {OptionSpec.Located.ValueName}.")
            : null;
    }

    /// <summary>The services as areas to avoid; none where no file is given.</summary>
    /// <param name="arguments">The options.</param>
    /// <param name="crs">The projected system to bring them to.</param>
    /// <param name="shanks">The shanks, which reach to either side of the line driven; null for one.</param>
    public static IReadOnlyList<AvoidedArea> Read(Arguments arguments, GroundCrs crs, ShankSet? shanks)
    {
        string? path = Check(arguments);
        return path is null ? [] : FieldFiles.ReadLocated(path, crs, Width(arguments), Beside(shanks));
    }

    /// <summary>What the outer shanks reach to either side of the line driven, metres.</summary>
    public static double Beside(ShankSet? shanks) => shanks is null ? 0 : (shanks.Count - 1) * shanks.Spacing / 2;
}
