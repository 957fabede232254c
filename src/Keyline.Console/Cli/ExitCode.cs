namespace Keyline.Console.Cli;

/// <summary>What the program tells the shell.</summary>
internal static class ExitCode
{
    /// <summary>Done, and every limit that was asked for holds.</summary>
    public const int Done = 0;

    /// <summary>A fault of the program itself.</summary>
    public const int Fault = 1;

    /// <summary>Bad input or a wrong call; nothing was written.</summary>
    public const int BadInput = 2;

    /// <summary>Done and written, but the check found a place where a limit could not be kept.</summary>
    public const int LimitNotKept = 3;

    /// <summary>Stopped by the user; nothing was written. 128 plus the number of the signal, as shells have it.</summary>
    public const int Stopped = 130;

    /// <summary>Stopped by a signal.</summary>
    /// <param name="signal">Its number.</param>
    public static int StoppedBy(int signal) => 128 + signal;
}
