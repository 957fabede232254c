using Keyline.SetOut;

namespace Keyline.Formats;

/// <summary>What a table of readings came to.</summary>
/// <param name="Stakes">The stakes that were read, with the heights found.</param>
/// <param name="Unread">How many stakes of the table were not.</param>
/// <param name="Notes">What was assumed, one sentence each.</param>
public sealed record LevelReadingResult(IReadOnlyList<LevelledStake> Stakes, int Unread, IReadOnlyList<string> Notes);

/// <summary>Reads the table of stakes once it is filled in.</summary>
/// <remarks>
/// <para>Units: metres, or feet in columns named so (<c>rod_ft</c>, <c>height_ft</c>, <c>moved_left_ft</c>).</para>
/// <para>Promises: in each set-up the laser's plane is as high as the marks read from it say: benchmarks with a height, and
/// stakes read from an earlier set-up. Where neither is read, the first set-up of a line starts from the planned height of the
/// first stake read from it. Lines read at one standing may share a set-up's name.
/// Rows without a reading are left out and counted. What cannot be used is refused with one sentence.</para>
/// <para>Source: differential levelling by height of instrument, common practice, no source; RFC 4180 (2005).</para>
/// </remarks>
public static class LevelReadings
{
    /// <summary>Reads a table.</summary>
    /// <param name="path">The stakes' table with its columns <c>rod_m</c> (and <c>height_m</c> for benchmarks) filled in.</param>
    /// <exception cref="GroundDataException">It is absent, is no such table, or holds no reading.</exception>
    public static LevelReadingResult Read(string path) => NamedFile.Read(path, Read);

    /// <summary>Reads a table from a stream.</summary>
    /// <param name="stream">The table.</param>
    /// <param name="name">Name for messages.</param>
    /// <exception cref="GroundDataException">It is no such table, or holds no reading.</exception>
    public static LevelReadingResult Read(Stream stream, string name)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(name);
        SurveyTable table = SurveyTable.Read(stream, name, default);
        foreach (string column in new[] { "name", "line", "distance", "planned_height", "rod" })
        {
            if (!table.Has(column))
            {
                throw new GroundDataException($"{name}: it has no column {(column == "name" ? "stake" : column == "line" ? column : column + "_m")}; fill in the stakes.csv that keyline setout wrote.");
            }
        }

        List<string> notes = [];
        List<LevelReading> readings = [];
        List<SurveyRow> rows = [];
        int unread = 0;
        foreach (SurveyRow row in table.Rows)
        {
            if (Metres(table, row, "rod") is not double rod)
            {
                unread += Metres(table, row, "planned_height") is null ? 0 : 1;
                continue;
            }

            readings.Add(new LevelReading(row.Line, SetUpOf(table, row, table.Text(row, "line")), table.Text(row, "name"), Metres(table, row, "height"), rod));
            rows.Add(row);
        }

        if (readings.Count == 0)
        {
            throw new GroundDataException($"{name}: its column of rod readings is empty; write the readings into rod_m (or name it rod_ft).");
        }

        Start(table, rows, readings, notes);
        double[] heights = LevelNotes.Heights(readings, name, notes);
        List<LevelledStake> stakes = [];
        HashSet<string> taken = [];
        for (int i = 0; i < rows.Count; i++)
        {
            if (Metres(table, rows[i], "planned_height") is double planned && Metres(table, rows[i], "distance") is double station && taken.Add(readings[i].Name))
            {
                stakes.Add(new LevelledStake(readings[i].Name, table.Text(rows[i], "line"), station, planned, heights[i], table.Has("moved_left") ? Metres(table, rows[i], "moved_left") ?? 0 : 0));
            }
        }

        return stakes.Count > 0
            ? new LevelReadingResult(stakes, unread, notes)
            : throw new GroundDataException($"{name}: only benchmarks were read; write the readings of stakes into rod_m.");
    }

    // A set-up with neither a benchmark nor a stake read before stands on the planned height of its first stake, where it is the
    // first of that stake's line; else a mark was forgotten, which LevelNotes refuses.
    private static void Start(SurveyTable table, List<SurveyRow> rows, List<LevelReading> readings, List<string> notes)
    {
        HashSet<string> known = [], lines = [];
        foreach (int[] setUp in Enumerable.Range(0, readings.Count).GroupBy(i => readings[i].Setup).Select(g => g.ToArray()))
        {
            int first = Array.FindIndex(setUp, i => Metres(table, rows[i], "planned_height") is not null);
            bool stands = setUp.Any(i => readings[i].Height is not null || (readings[i].Name.Length > 0 && known.Contains(readings[i].Name)));
            if (!stands && first >= 0 && !lines.Contains(table.Text(rows[setUp[first]], "line")))
            {
                int at = setUp[first];
                readings[at] = readings[at] with { Height = Metres(table, rows[at], "planned_height") };
                notes.Add($"Line {table.Text(rows[at], "line")} has no benchmark: its heights count from the planned height of {readings[at].Name}.");
            }

            known.UnionWith(setUp.Select(i => readings[i].Name));
            lines.UnionWith(setUp.Select(i => table.Text(rows[i], "line")));
        }
    }

    private static string SetUpOf(SurveyTable table, SurveyRow row, string line)
    {
        string setUp = table.Text(row, "setup");
        return setUp.Length > 0 ? setUp : line;
    }

    private static double? Metres(SurveyTable table, SurveyRow row, string column)
    {
        if (!table.Has(column) || table.Number(row, column) is not double value)
        {
            return null;
        }

        double unit = table.Unit(column);
        return value * (double.IsNaN(unit) ? 1 : unit);
    }
}
