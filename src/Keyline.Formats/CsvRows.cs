using System.Globalization;
using CsvHelper;
using CsvHelper.Configuration;

namespace Keyline.Formats;

/// <summary>The rows of a CSV table below its head, with errors a person can act on.</summary>
/// <remarks>Source: RFC 4180 (2005), also parted by semicolons or tabs; parsed by CsvHelper. A cell is at most <see cref="MostCell"/> bytes,
/// so that a quote that is not closed swallows no more.</remarks>
internal static class CsvRows
{
    /// <summary>The largest cell, bytes.</summary>
    public const int MostCell = 1 << 16;

    /// <summary>Reads the rows that hold anything.</summary>
    /// <param name="reader">The table, its first line taken already.</param>
    /// <param name="between">What parts the cells.</param>
    /// <param name="name">Name for messages.</param>
    /// <param name="cancellationToken">Stops the reading.</param>
    /// <returns>Each row with the line of the file that it begins on.</returns>
    /// <exception cref="GroundDataException">A quote is not closed, or a cell is too large.</exception>
    public static IEnumerable<(int Line, string[] Cells)> Read(TextReader reader, string between, string name, CancellationToken cancellationToken = default)
    {
        using CsvParser parser = new(reader, new CsvConfiguration(CultureInfo.InvariantCulture) { Delimiter = between, TrimOptions = TrimOptions.Trim, IgnoreBlankLines = false, BadDataFound = null, MaxFieldSize = MostCell });
        while (true)
        {
            cancellationToken.ThrowIfCancellationRequested();
            int line = 2 + parser.RawRow;
            if (!MovesOn(parser, line, name))
            {
                yield break;
            }

            string[] cells = parser.Record ?? [];
            if (!Array.Exists(cells, c => c.Length > 0))
            {
                continue;
            }

            if (parser.RawRecord.AsSpan().Count('"') % 2 != 0)
            {
                throw new GroundDataException(FormattableString.Invariant($"{name}: line {line} has a quote that is not closed; mend it there."));
            }

            yield return (line, cells);
        }
    }

    private static bool MovesOn(CsvParser parser, int line, string name)
    {
        try
        {
            return parser.Read();
        }
        catch (CsvHelperException e)
        {
            throw new GroundDataException(FormattableString.Invariant($"{name}: line {line} has a quote that is not closed, or a cell of more than {MostCell >> 10} kB; mend it there."), e);
        }
    }
}
