namespace Keyline.Console.Cli;

/// <summary>Where a command writes and what can stop it.</summary>
/// <param name="Output">For the summary; standard output.</param>
/// <param name="Error">For errors and progress; standard error.</param>
/// <param name="ShowProgress">Whether <paramref name="Error"/> is a terminal that progress may be drawn on.</param>
/// <param name="Stop">Set when the user interrupts.</param>
internal sealed record RunContext(TextWriter Output, TextWriter Error, bool ShowProgress, CancellationToken Stop);
