using Keyline.Field;
using Keyline.Formats;

namespace Keyline.Console.Cli;

/// <summary>The machine among the options: a file, or a generic one by its name.</summary>
internal static class MachineOption
{
    /// <exception cref="UsageException">Neither a file nor a name that is known.</exception>
    public static Machine Read(Setting setting) => File.Exists(setting.Text) ? MachineFile.Read(setting.Text)
        : GenericMachines.Named(setting.Text.Trim())
            ?? throw new UsageException($"{setting.Where} {setting.Text.Trim()} is neither a file nor a generic machine: give a JSON file (keyline schema machine prints what it may hold), or one of {string.Join(", ", GenericMachines.All.Select(m => m.Name))}.");
}
