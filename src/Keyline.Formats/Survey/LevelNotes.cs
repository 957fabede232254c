namespace Keyline.Formats;

/// <summary>Heights from the notes of a levelling: readings on a rod, and benchmarks whose height is known.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>Promises: the height of a place is that of the instrument less its reading. The instrument's height in a set-up is the
/// mean of height and reading over its benchmarks: rows with both, and rows whose name has got a height in an earlier set-up
/// (turning points).</para>
/// <para>Source: differential levelling by height of instrument, common practice, no source.</para>
/// </remarks>
internal static class LevelNotes
{
    // Benchmarks of one set-up that differ by more are told of: a careful levelling closes within a centimetre or two.
    private const double NotedMisfit = 0.02;

    /// <summary>Works heights out, set-up by set-up in the order of the rows.</summary>
    /// <param name="readings">The rows.</param>
    /// <param name="file">Name for messages.</param>
    /// <param name="notes">Told of benchmarks that do not agree.</param>
    /// <returns>A height for each row.</returns>
    /// <exception cref="GroundDataException">A row has neither height nor reading, or a set-up has no benchmark.</exception>
    public static double[] Heights(IReadOnlyList<LevelReading> readings, string file, List<string> notes)
    {
        Dictionary<string, double> known = [];
        double[] heights = new double[readings.Count];
        foreach (IGrouping<string, int> setup in Enumerable.Range(0, readings.Count).GroupBy(i => readings[i].Setup))
        {
            List<double> instrument = [];
            foreach (int i in setup)
            {
                LevelReading r = readings[i];
                if (r.Height is null && r.Rod is null)
                {
                    throw new GroundDataException(FormattableString.Invariant($"{file}: line {r.Line} has neither a height nor a reading; give one of them or take the line out."));
                }

                if (r.Rod is { } rod && (r.Height ?? (r.Name.Length > 0 && known.TryGetValue(r.Name, out double before) ? before : null)) is { } height)
                {
                    instrument.Add(height + rod);
                }
            }

            string which = setup.Key.Length > 0 ? $"set-up {setup.Key}" : "the set-up";
            if (instrument.Count == 0 && setup.Any(i => readings[i].Rod is not null))
            {
                throw new GroundDataException(FormattableString.Invariant(
                    $"{file}: {which} (line {readings[setup.First()].Line} on) has no benchmark: give one of its rows a height beside its reading, or read a point again that has a height from an earlier set-up."));
            }

            if (instrument.Count > 1 && instrument.Max() - instrument.Min() > NotedMisfit)
            {
                notes.Add(FormattableString.Invariant($"In {which} the benchmarks put the instrument at heights {instrument.Max() - instrument.Min():0.000} m apart; their mean was used: check the readings."));
            }

            double level = instrument.Count > 0 ? instrument.Average() : double.NaN;
            foreach (int i in setup)
            {
                LevelReading r = readings[i];
                heights[i] = r.Height ?? level - r.Rod!.Value;
                if (r.Name.Length > 0)
                {
                    known.TryAdd(r.Name, heights[i]);
                }
            }
        }

        return heights;
    }
}

/// <summary>A row of levelling notes.</summary>
/// <param name="Line">Its line in the file.</param>
/// <param name="Setup">Set-up of the instrument it was read from; may be empty.</param>
/// <param name="Name">The place's name; may be empty.</param>
/// <param name="Height">Its height where that is known, metres.</param>
/// <param name="Rod">The reading on the rod, metres.</param>
internal sealed record LevelReading(int Line, string Setup, string Name, double? Height, double? Rod);
