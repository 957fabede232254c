using Keyline.Console.Cli;

namespace Keyline.Console.Commands;

/// <summary><c>keyline schema</c>: what a job file may hold.</summary>
internal static class SchemaCommand
{
    public static Command Command { get; } = new("schema", "print the JSON schema of a job file", (_, context) =>
    {
        context.Output.Write(Resources.Text("keyline-job.schema.json"));
        return ExitCode.Done;
    })
    {
        About = ["Prints the JSON schema (draft 2020-12) of a job file for keyline plan --job."],
        Examples = ["keyline schema > keyline-job.schema.json"],
    };
}
