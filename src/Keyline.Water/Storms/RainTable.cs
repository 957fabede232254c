using System.Globalization;

namespace Keyline.Water;

/// <summary>Depths of rain by duration and return period, as a weather service publishes them for a place.</summary>
/// <remarks>Metres and seconds. Between durations depths follow a power of the duration, as such tables do.</remarks>
public sealed class RainTable
{
    private readonly double[][] _depths;

    private RainTable(string name, double[] durations, double[] periods, double[][] depths) => (Name, Durations, ReturnPeriods, _depths) = (name, durations, periods, depths);

    /// <summary>Where it is from.</summary>
    public string Name { get; }

    /// <summary>Durations, seconds, growing.</summary>
    public IReadOnlyList<double> Durations { get; }

    /// <summary>Return periods, years, growing.</summary>
    public IReadOnlyList<double> ReturnPeriods { get; }

    /// <summary>Reads a table: the head "duration_min" and a column for each return period, as "y2,y10,y100"; millimetres.</summary>
    /// <param name="text">CSV with points as decimal marks.</param>
    /// <param name="name">Name for messages.</param>
    /// <exception cref="GroundDataException">It is no such table; the message says where.</exception>
    public static RainTable Read(TextReader text, string name)
    {
        CsvTable table = CsvTable.Read(text, name);
        int at = table.Need("duration_min");
        int[] columns = [.. Enumerable.Range(0, table.Head.Count).Where(c => c != at)];
        double[] periods = [.. columns.Select(c => table.Head[c].StartsWith('y') && double.TryParse(table.Head[c].AsSpan(1), NumberStyles.Float, CultureInfo.InvariantCulture, out double years) && years > 0
            ? years : throw new GroundDataException($"{name}: the column \"{table.Head[c]}\" is no return period: write it as y10 for ten years."))];
        if (table.Rows.Count == 0 || columns.Length == 0)
        {
            throw new GroundDataException($"{name}: it holds no depth of rain.");
        }

        double[] durations = [.. table.Rows.Select((_, r) => 60 * table.Number(r, at))];
        double[][] depths = [.. columns.Select(c => table.Rows.Select((_, r) => table.Number(r, c) / 1000).ToArray())];
        for (int r = 0; r < durations.Length; r++)
        {
            if (!(durations[r] > (r > 0 ? durations[r - 1] : 0)))
            {
                throw new GroundDataException(FormattableString.Invariant($"{name}: line {table.LineOf(r)} has the duration {durations[r] / 60:0.##} min, which is no longer than the one before."));
            }

            if (depths.Any(d => !(d[r] > (r > 0 ? d[r - 1] : 0))))
            {
                throw new GroundDataException($"{name}: line {table.LineOf(r)} has a depth that does not grow with the duration.");
            }
        }

        return new RainTable(name, durations, periods, depths);
    }

    /// <summary>Depth of rain of a duration, metres.</summary>
    /// <param name="period">Index into <see cref="ReturnPeriods"/>.</param>
    /// <param name="duration">Seconds; beyond the table its outermost power goes on.</param>
    public double DepthOf(int period, double duration)
    {
        double[] d = _depths[period];
        if (d.Length == 1)
        {
            return d[0] * Math.Pow(duration / Durations[0], UsualPower);
        }

        int k = 1;
        while (k < d.Length - 1 && duration > Durations[k])
        {
            k++;
        }

        double power = Math.Log(d[k] / d[k - 1]) / Math.Log(Durations[k] / Durations[k - 1]);
        return d[k - 1] * Math.Pow(duration / Durations[k - 1], power);
    }

    /// <summary>The storm of alternating blocks of a return period.</summary>
    /// <param name="period">Index into <see cref="ReturnPeriods"/>.</param>
    /// <param name="duration">Seconds.</param>
    /// <param name="step">Length of a block, seconds.</param>
    public Hyetograph Storm(int period, double duration, double step)
    {
        int n = Math.Max(1, (int)Math.Round(duration / step));
        return DesignStorms.AlternatingBlocks(FormattableString.Invariant($"{ReturnPeriods[period]:0.##} years, {duration / 3600:0.##} h"), step, [.. Enumerable.Range(1, n).Select(k => DepthOf(period, k * step))]);
    }

    // Where only one duration is known: common practice, no source, 0.2 to 0.35.
    private const double UsualPower = 0.25;
}
