using Keyline.Field;
using Keyline.Fieldwork;
using Keyline.Formats;
using Keyline.Layout;

namespace Keyline.Console.Cli;

/// <summary>The machine among the options: a file, or a generic one by its name.</summary>
internal static class MachineOption
{
    /// <summary>What a plan takes from a machine: shanks, radius, side slope and headland, unless they are given as options.</summary>
    public static LayoutOptions Applied(Arguments arguments, LayoutOptions layout, Machine? machine)
    {
        if (machine is null)
        {
            return LimitOptions.IsAutomaticHeadland(arguments) ? throw new UsageException($"{arguments[OptionSpec.Headland]!.Where} auto needs the machine whose turns it is worked out from: give it with {OptionSpec.Machine.Flag} {OptionSpec.Machine.ValueName}.") : layout;
        }

        return layout with
        {
            MinimumRadius = arguments.Has(OptionSpec.MinRadius) ? layout.MinimumRadius : machine.Implement.RadiusInGround,
            MaximumSideSlope = arguments.Has(OptionSpec.SideSlope) ? layout.MaximumSideSlope : machine.MaximumSideSlope,
            Headland = arguments.Has(OptionSpec.Headland) && !LimitOptions.IsAutomaticHeadland(arguments) ? layout.Headland : HeadlandWidth.Automatic(machine, layout.Spacing),
        };
    }

    /// <summary>What a plan says of the machine it is made for, one sentence each.</summary>
    public static IEnumerable<string> Said(Machine? machine, LayoutOptions layout) => machine is null ? [] :
    [
        .. PullEstimate.Of(machine).Sentences(),
        FormattableString.Invariant($"Turning takes {HeadlandWidth.SkippingRows(machine):0.0} m beyond ends square to the fence where rows are skipped, {HeadlandWidth.NextRow(machine, layout.Spacing):0.0} m for a loop into the next row{(double.IsNaN(HeadlandWidth.NextRowReversing(machine, layout.Spacing)) ? "" : FormattableString.Invariant($", {HeadlandWidth.NextRowReversing(machine, layout.Spacing):0.0} m with one reverse"))}; the headland is {layout.Headland:0.##} m."),
    ];

    /// <summary>The machine of the call, or null where none is given.</summary>
    public static Machine? Read(Arguments arguments) => arguments[OptionSpec.Machine] is { } setting ? Read(setting) : null;

    /// <exception cref="UsageException">Neither a file nor a name that is known.</exception>
    public static Machine Read(Setting setting) => File.Exists(setting.Text) ? MachineFile.Read(setting.Text)
        : GenericMachines.Named(Path.GetFileName(setting.Text.Trim()))
            ?? throw new UsageException($"{setting.Where} {setting.Text.Trim()} is neither a file nor a generic machine: give a JSON file (keyline schema machine prints what it may hold), or one of {string.Join(", ", GenericMachines.All.Select(m => m.Name))}.");
}
