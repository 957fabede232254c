using System.Reflection;

namespace Keyline.Console.Cli;

/// <summary>Files inside the program: the job schema and the demo farm.</summary>
internal static class Resources
{
    public static Stream Open(string name) => Assembly.GetExecutingAssembly().GetManifestResourceStream(name)
        ?? throw new InvalidOperationException($"The file {name} is not embedded in the program.");

    public static string Text(string name)
    {
        using StreamReader reader = new(Open(name));
        return reader.ReadToEnd();
    }
}
