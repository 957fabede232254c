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
}
