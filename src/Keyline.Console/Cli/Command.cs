namespace Keyline.Console.Cli;

/// <summary>One command: the one place that its name, its options, its help and what it does come from.</summary>
/// <param name="Name">As typed.</param>
/// <param name="Summary">What it does, for the list of commands.</param>
/// <param name="Run">Does it; returns one of <see cref="ExitCode"/>.</param>
internal sealed record Command(string Name, string Summary, Func<Arguments, RunContext, int> Run)
{
    /// <summary>What it does, in a few lines.</summary>
    public required IReadOnlyList<string> About { get; init; }

    /// <summary>Calls a newcomer can copy, the simplest first.</summary>
    public required IReadOnlyList<string> Examples { get; init; }

    /// <summary>Its options, in the order of the help.</summary>
    /// <value>A command that works on threads also takes a budget of memory.</value>
    public IReadOnlyList<OptionSpec> Options
    {
        get;
        init => field = value.Contains(OptionSpec.Threads) && !value.Contains(OptionSpec.Memory)
            ? [.. value.SelectMany(o => o.Equals(OptionSpec.Threads) ? new[] { o, OptionSpec.MemoryLimit } : [o])]
            : value;
    } = [];

    /// <summary>What the words that belong to no option are, in capitals; empty where it takes none.</summary>
    public string Operand { get; init; } = "";

    /// <summary>What is to be said below the options.</summary>
    public string Note { get; init; } = "";
}
