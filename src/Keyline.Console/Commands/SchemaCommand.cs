using Keyline.Console.Cli;

namespace Keyline.Console.Commands;

/// <summary><c>keyline schema</c>: what a file written by hand may hold.</summary>
internal static class SchemaCommand
{
    private static readonly string[] Kinds = ["job", "machine"];

    public static Command Command { get; } = new("schema", "print the JSON schema of a job file, or of a machine's", Run)
    {
        About = ["Prints the JSON schema (draft 2020-12) of a job file for keyline plan --job; with the word", "machine, that of a machine's file."],
        Examples = ["keyline schema > keyline-job.schema.json", "keyline schema machine > keyline-machine.schema.json"],
        Operand = "KIND",
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        string kind = arguments.Files.Count == 0 ? Kinds[0] : arguments.Files[0];
        if (arguments.Files.Count > 1 || !Kinds.Contains(kind))
        {
            throw new UsageException($"keyline schema takes one word, {string.Join(" or ", Kinds)}: there is no schema \"{string.Join(' ', arguments.Files)}\".");
        }

        context.Output.Write(Resources.Text($"keyline-{kind}.schema.json"));
        return ExitCode.Done;
    }
}
