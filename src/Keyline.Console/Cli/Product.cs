using System.Reflection;

namespace Keyline.Console.Cli;

/// <summary>What the program calls itself in what it writes.</summary>
internal static class Product
{
    /// <summary>Version of the program, without the build's mark.</summary>
    public static string Version { get; } =
        typeof(Product).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion.Split('+')[0] ?? "0";

    /// <summary>Name and version.</summary>
    public static string Name { get; } = "Keyline " + Version;

    /// <summary>How the program can be called again from where the user stands: by its name where it is installed, else as it was started.</summary>
    public static string CalledAs => Called(Environment.ProcessPath, AppContext.BaseDirectory);

    internal static string Called(string? process, string folder)
    {
        string name = Path.GetFileNameWithoutExtension(process ?? "");
        if (name is "" or "keyline")
        {
            return "keyline";
        }

        string program = Path.Combine(folder, "Keyline.Console" + (OperatingSystem.IsWindows() ? ".exe" : ""));
        string path = File.Exists(program) ? program : Path.Combine(folder, "Keyline.Console.dll");
        string here = Path.GetRelativePath(Directory.GetCurrentDirectory(), path);
        here = here.Length < path.Length ? here : path;
        here = here.Any(char.IsWhiteSpace) ? $"\"{here}\"" : here;
        return path == program ? here : "dotnet " + here;
    }
}
