namespace Keyline.Console.Cli;

/// <summary>Something in the command line or the job file that cannot be followed; its message is the sentence shown.</summary>
internal sealed class UsageException : Exception
{
    public UsageException(string message)
        : base(message)
    {
    }
}
