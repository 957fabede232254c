using System.Globalization;

namespace Keyline.Console.Cli;

/// <summary>Which share of a list a task of a scheduler is to work on: <c>--shard 3/8</c>.</summary>
/// <param name="Share">From 1.</param>
/// <param name="Of">How many shares there are.</param>
internal readonly record struct ShareChoice(int Share, int Of)
{
    /// <summary>Everything.</summary>
    public static ShareChoice Whole => new(1, 1);

    /// <summary>Reads one; everything where none was given.</summary>
    /// <exception cref="UsageException">It is none.</exception>
    public static ShareChoice From(Setting? shard)
    {
        if (shard is null)
        {
            return Whole;
        }

        string[] parts = shard.Text.Split('/');
        return parts.Length == 2 && int.TryParse(parts[0], NumberStyles.None, CultureInfo.InvariantCulture, out int k) && int.TryParse(parts[1], NumberStyles.None, CultureInfo.InvariantCulture, out int n) && k >= 1 && k <= n
            ? new ShareChoice(k, n)
            : throw new UsageException($"{shard.Where} is \"{shard.Text.Trim()}\": write which share of how many, as 3/8.");
    }

    /// <summary>Whether the share holds the item at a place of the list, from 0.</summary>
    public bool Holds(int place) => place % Of == Share - 1;
}
