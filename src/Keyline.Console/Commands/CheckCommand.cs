using Keyline.Check;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Field;
using Keyline.Formats;

namespace Keyline.Console.Commands;

/// <summary><c>keyline check</c>: measures lines of any origin against the ground.</summary>
internal static class CheckCommand
{
    // A layout's options must have a spacing; the limits that lines are held to need none.
    private const double AnySpacing = 3;

    public static Command Command { get; } = new("check", "measure any lines against the ground", Run)
    {
        About =
        [
            "Measures lines of any origin against the ground: grade, drift, turns, crossings, clearances.",
            "Without --spacing, neighbours are not compared; without --field, nothing is said about edges.",
        ],
        Examples = ["keyline check --dem dem.tif --lines driven.geojson --field field.geojson --spacing \"10 ft\""],
        Options =
        [
            OptionSpec.Dem, OptionSpec.Lines, OptionSpec.Field, OptionSpec.Avoid,
            OptionSpec.Spacing with { Help = "the distance neighbouring lines should have, as \"10 ft\" or \"3 m\"" },
            OptionSpec.MaxGrade, OptionSpec.MinFall, OptionSpec.MinRadius,
            OptionSpec.Headland with { Help = "width inside the boundary that coverage does not count (default 0 m)" },
            OptionSpec.MinLength with { Help = "shorter lines are reported (default 0 m)" },
            OptionSpec.MaxSlope with { Help = "land steeper than this is too steep to work (default 15)" },
            OptionSpec.SideSlope with { Help = "steepest side slope for your tractor (default 15)" },
            OptionSpec.CriticalLength with { Help = "lines that fall one way farther than this without an outlet are reported" }, OptionSpec.StableOutlets,
            OptionSpec.Crs, .. OptionSpec.GroundOptions, OptionSpec.Threads, OptionSpec.UnitsOnScreen, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Note = $"Lengths carry their unit ({Quantity.Units}). Percent signs may be left out.",
    };

    // The stages with their share of the time, as taken on a field of 10 ha with cells of 1 m and 157 lines. The landform is read for the direction of drift.
    private static (string, double)[] Course { get; } =
    [
        ("reading the ground", 12), ("mending the ground", 12), ("measuring", 2), ("smoothing", 8), ("shape of the ground", 1), ("drainage", 2), ("valley lines", 11), ("ridge lines", 3),
        ("landform position", 5), ("keypoints", 5), ("keylines", 6), ("check", 33),
    ];

    private static int Run(Arguments arguments, RunContext context)
    {
        GroundRequest request = GroundRequest.From(arguments, "check");
        string linesPath = arguments.NeedFile(OptionSpec.Lines, "check", "The file of lines", "file of lines");
        string? fieldPath = arguments.File(OptionSpec.Field, "field file");
        string[] avoidPaths = arguments.Paths(OptionSpec.Avoid, "file of avoided areas");
        if (avoidPaths.Length > 0 && fieldPath is null)
        {
            throw new UsageException($"{arguments[OptionSpec.Avoid]!.Where} needs the field as well: give it with {OptionSpec.Field.Flag} {OptionSpec.Field.ValueName}.");
        }

        string? outletsPath = arguments.File(OptionSpec.StableOutlets, "file of outlets");
        if (outletsPath is not null && fieldPath is null)
        {
            throw new UsageException($"{arguments[OptionSpec.StableOutlets]!.Where} needs the field as well: give it with {OptionSpec.Field.Flag} {OptionSpec.Field.ValueName}.");
        }

        double spacing = arguments.Has(OptionSpec.Spacing) ? arguments.Above(OptionSpec.Spacing, 0) : double.NaN;
        LineLimits held = LimitOptions.From(arguments, double.IsNaN(spacing) ? AnySpacing : spacing, 0, 0).Limits with { Spacing = spacing };

        IReadOnlyList<CheckedLine> lines;
        LayoutCheckResult result;
        using (ProgressLine progress = new(context, arguments.Has(OptionSpec.Quiet), Course))
        {
            GroundWindow window = FieldFiles.Window(linesPath);
            ElevationSource ground = request.Read(fieldPath is null ? window : window.With(FieldFiles.Window(fieldPath)), progress, context.Stop);
            FieldArea? field = fieldPath is null ? null : FieldFiles.Read(fieldPath, avoidPaths, outletsPath, ground.Crs);
            lines = [.. FieldFiles.ReadLines(linesPath, ground.Crs).Select(line => new CheckedLine(line.Id, line.GuideId ?? "", line.Line))];
            progress.Show("measuring");
            result = KeylinePlanner.Check(ground.Grid, lines, field, held, progress, context.Stop);
        }

        CheckView view = new(lines, result, held);
        Screen.Show(view, arguments, context);
        return view.ExitCode;
    }
}
