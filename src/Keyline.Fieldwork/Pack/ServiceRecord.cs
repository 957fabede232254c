namespace Keyline.Fieldwork;

/// <summary>The record that buried services were located and the work permitted.</summary>
/// <remarks>Source: state one-call pages (Oklahoma: tillage deeper than 18 in needs notice; Idaho: 24 in (610 mm) on either side are dug by hand);
/// in the USA the number is 811, and private lines are not marked by it.</remarks>
/// <param name="ClearedBy">Who located or cleared them.</param>
/// <param name="Ticket">Number of the ticket or permission.</param>
/// <param name="Until">Last day it holds.</param>
public sealed record ServiceRecord(string ClearedBy, string Ticket, DateOnly Until)
{
    /// <summary>Width on either side of a located line that is dug by hand only, metres: 24 inches, as in Idaho.</summary>
    public const double HandDigZone = 24 * 0.0254;

    /// <summary>Depth from which ripping wants notice everywhere, metres: 12 inches, the least that an operator asks for.</summary>
    public const double NoticeDepth = 12 * 0.0254;

    /// <summary>The same for the note of a line in a guidance file.</summary>
    public const string MissingInShort = "no record of located services";

    /// <summary>What stands in every sheet and file where there is no record.</summary>
    public const string Missing = "NO RECORD that buried services were located. Do not rip before pipes and cables have been located and marked, private ones too (in the USA call 811; private lines are not marked by it).";

    /// <summary>The record, or that it is missing or runs out, in one sentence.</summary>
    /// <param name="record">The record; null where there is none.</param>
    /// <param name="lastDay">Last day of the work, where it is known.</param>
    public static string Say(ServiceRecord? record, DateOnly? lastDay = null) => record is null ? Missing
        : FormattableString.Invariant($"Buried services located and cleared by {record.ClearedBy}, ticket {record.Ticket}, until {record.Until:yyyy-MM-dd}.")
            + (lastDay > record.Until ? FormattableString.Invariant($" The work goes on to {lastDay:yyyy-MM-dd}: have it renewed before {record.Until:yyyy-MM-dd} is over.") : "");
}
