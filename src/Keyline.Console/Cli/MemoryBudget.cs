namespace Keyline.Console.Cli;

/// <summary>How much memory the work may take: beyond it the program says so and ends, and neither fills the machine nor is killed.</summary>
internal static class MemoryBudget
{
    /// <summary>Less than this is too little for the program itself.</summary>
    public const long Least = 192L << 20;

    /// <summary>Sets it.</summary>
    /// <param name="setting">What was asked for; null for what the machine has.</param>
    /// <exception cref="UsageException">It is too little.</exception>
    public static void Set(Setting? setting)
    {
        if (setting is null)
        {
            return;
        }

        long bytes = Quantity.Bytes(setting.Text, setting.Where);
        if (bytes < Least)
        {
            throw new UsageException($"{setting.Where} is {setting.Text.Trim()}: give at least {Least >> 20} MB.");
        }

        AppContext.SetData("GCHeapHardLimit", (ulong)bytes);
        GC.RefreshMemoryLimit();
    }

    /// <summary>Whether an error means that memory ran out, on whichever thread.</summary>
    public static bool RanOut(Exception error) => error switch
    {
        OutOfMemoryException => true,
        AggregateException many => many.Flatten().InnerExceptions.Any(RanOut),
        _ => error.InnerException is { } inner && RanOut(inner),
    };
}
