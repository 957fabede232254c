using Keyline.Console.Cli;

namespace Keyline.Console.Commands;

/// <summary><c>keyline schema</c>: what a file written by hand, or for programs, may hold.</summary>
internal static class SchemaCommand
{
    private static readonly string[] Kinds = ["job", "machine", "trial", "results", "record"];

    public static Command Command { get; } = new("schema", "print the JSON schema of a job file, or of another", Run)
    {
        About = ["Prints the JSON schema (draft 2020-12) of a job file for keyline plan --job; with the word", "machine, that of a machine's file; with trial, results or record that of trial.json, results.json or", "record.json of keyline trial and keyline monitor."],
        Examples = ["keyline schema > keyline-job.schema.json", "keyline schema machine > keyline-machine.schema.json", "keyline schema results > keyline-results.schema.json"],
        Operand = "KIND",
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        string kind = arguments.Files.Count == 0 ? Kinds[0] : arguments.Files[0];
        if (arguments.Files.Count > 1 || !Kinds.Contains(kind))
        {
            throw new UsageException($"keyline schema takes one word, {string.Join(", ", Kinds[..^1])} or {Kinds[^1]}: there is no schema \"{string.Join(' ', arguments.Files)}\".");
        }

        context.Output.Write(Resources.Text($"keyline-{kind}.schema.json"));
        return ExitCode.Done;
    }
}
