namespace Keyline.Console.Cli;

/// <summary>Where a command writes and what can stop it.</summary>
/// <param name="Output">For the summary; standard output.</param>
/// <param name="Error">For errors and progress; standard error.</param>
/// <param name="ShowProgress">Whether <paramref name="Error"/> is a terminal that progress may be drawn on.</param>
/// <param name="Stop">Set when the user interrupts.</param>
internal sealed record RunContext(TextWriter Output, TextWriter Error, bool ShowProgress, CancellationToken Stop)
{
    /// <summary>What has come of the run so far.</summary>
    public RunState State { get; init; } = new();

    /// <summary>The signal that stopped the program: 2 for an interrupt, 15 to terminate, 1 for a hang-up.</summary>
    public Func<int> Signal { get; init; } = () => 2;
}

/// <summary>What has come of a run so far, known to every thread that may end it.</summary>
internal sealed class RunState
{
    private readonly TaskCompletionSource _said = new();
    private int _saidStopped;

    /// <summary>Whether results stand on the disk: from then on no failure to say so changes the exit code.</summary>
    public bool HasWritten { get; set; }

    /// <summary>Whether it is for the caller to say that the run was stopped; so only once.</summary>
    private bool TakesTurnToSayStopped() => Interlocked.Exchange(ref _saidStopped, 1) == 0;

    /// <summary>Says that the run was stopped, unless somebody does already.</summary>
    /// <param name="error">Where.</param>
    /// <param name="sentence">The words.</param>
    public void SayStopped(TextWriter error, string sentence)
    {
        if (TakesTurnToSayStopped())
        {
            error.WriteLine(sentence);
            _said.TrySetResult();
        }
    }

    /// <summary>Waits until whoever took the turn has said it, for so many milliseconds at most.</summary>
    public void AwaitSaid(int milliseconds) => _said.Task.Wait(milliseconds);
}
