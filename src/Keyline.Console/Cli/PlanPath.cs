namespace Keyline.Console.Cli;

/// <summary>The plan that a command goes on from.</summary>
internal static class PlanPath
{
    /// <summary>The plan's file among the words, or in the folder that was given.</summary>
    /// <exception cref="UsageException">None, several, or one that is not there.</exception>
    public static string From(Arguments arguments, string command)
    {
        if (arguments.Files.Count != 1)
        {
            throw new UsageException($"keyline {command} takes one plan, a folder or a plan.geojson, and {arguments.Files.Count} were given (keyline {command} --help shows an example).");
        }

        string given = arguments.Files[0];
        string path = Directory.Exists(given) ? Path.Combine(given, "plan.geojson") : given;
        return File.Exists(path) ? path : throw new UsageException(Directory.Exists(given) ? $"The folder {given} holds no plan.geojson: give the folder that keyline plan wrote." : $"There is no plan {given}: give the folder that keyline plan wrote, or its plan.geojson.");
    }
}
