using System.Globalization;
using System.Text;

namespace Keyline.Formats;

/// <summary>Reads heights listed as x, y, z, one place a line, where the places lie on a regular grid.</summary>
/// <remarks>
/// <para>Units: heights are taken as metres unless the caller says otherwise; the text cannot say.</para>
/// <para>Missing: places of the grid that are not listed, nan, and the value the options name.</para>
/// <para>Promises: lines in any order; blanks, tabs, semicolons or commas between the numbers; further columns are passed over;
/// one line of names may come first. Places off the grid, a place listed twice with two heights, and decimal commas are
/// refused with the line.</para>
/// <para>Source: common practice, no source.</para>
/// </remarks>
internal static class XyzGridReader
{
    // Places may be off the grid by this share of a cell: they are written with few decimals.
    private const double Slack = 0.02;

    // A grid with fewer listed places than this share is not meant as one.
    private const double LeastFull = 0.02;

    // Further than any coordinate of the earth, in any unit.
    private const double MostCoordinate = 1e12;

    private static readonly char[] Blanks = [' ', '\t', '\r'];

    /// <summary>Whether the first bytes of a file look like such a list.</summary>
    public static bool IsXyz(ReadOnlySpan<byte> head)
    {
        string[] lines = Encoding.Latin1.GetString(head).TrimStart('\u00EF', '\u00BB', '\u00BF').Split('\n');
        for (int i = 0; i < Math.Min(2, lines.Length); i++)
        {
            string[] parts = lines[i].Split([' ', '\t', '\r', ',', ';'], StringSplitOptions.RemoveEmptyEntries);
            if (parts.Length >= 3 && parts.Take(3).All(p => double.TryParse(p, NumberStyles.Float, CultureInfo.InvariantCulture, out _)))
            {
                return true;
            }
        }

        return false;
    }

    public static RawFile Read(byte[] text, string name, Sidecars beside, ElevationReadOptions options, CancellationToken cancellationToken)
    {
        List<string> notes = [];
        GroundCrs crs = TextGround.Crs(name, "a list of x, y, z", beside, options, notes);
        List<(double X, double Y, double Z, int Line)> places = Places(text, name, options, cancellationToken);
        Axis across = Axis.Of([.. places.Select(p => p.X)]);
        Axis up = Axis.Of([.. places.Select(p => p.Y)]);
        (across, up) = (across.Count > 1 ? across : across with { Step = up.Step }, up.Count > 1 ? up : up with { Step = across.Step });
        if (!(across.Step > 0))
        {
            throw new GroundDataException($"{name}: it lists a single place, which is no grid.");
        }

        long cells = (long)across.Count * up.Count;
        if (places.Count < LeastFull * cells)
        {
            throw new GroundDataException(FormattableString.Invariant($"{name}: its {places.Count} places do not lie on a regular grid (they would fill {100.0 * places.Count / cells:0.#} % of one); give them as a survey, with a first row that names the columns easting, northing and height, or make a grid of them first."));
        }

        if (cells > options.MaximumCells)
        {
            throw new GroundDataException(FormattableString.Invariant($"{name}: its places span {up.Count} x {across.Count} cells, more than the {options.MaximumCells} that are read at once; cut it to the farm."));
        }

        float[] heights = new float[cells];
        Array.Fill(heights, float.NaN);
        int[] lines = new int[cells];
        double unit = options.MetresPerHeightUnit ?? 1.0;
        foreach ((double x, double y, double z, int line) in places)
        {
            (double column, double row) = ((x - across.First) / across.Step, (up.First + ((up.Count - 1) * up.Step) - y) / up.Step);
            if (Math.Abs(column - Math.Round(column)) > Slack || Math.Abs(row - Math.Round(row)) > Slack)
            {
                throw new GroundDataException(FormattableString.Invariant($"{name}: line {line} lies off the grid of {across.Step:G6} by {up.Step:G6} that the others lie on; take it out, or make a grid of them first."));
            }

            long cell = ((long)Math.Round(row) * across.Count) + (long)Math.Round(column);
            float height = z == (options.MissingValue ?? double.NaN) || !(Math.Abs(z) < 1e30) ? float.NaN : (float)(z * unit);
            if (lines[cell] > 0 && !height.Equals(heights[cell]))
            {
                throw new GroundDataException(FormattableString.Invariant($"{name}: lines {lines[cell]} and {line} give one place two heights; keep one of them."));
            }

            (heights[cell], lines[cell]) = (height, line);
        }

        CellMapping mapping = new(across.First - (across.Step / 2), across.Step, 0, up.First + ((up.Count - 0.5) * up.Step), 0, -up.Step);
        return new HeldFile
        {
            Name = name,
            Rows = up.Count,
            Columns = across.Count,
            Heights = heights,
            Mapping = mapping.Times(crs.IsGeographic ? 1 : crs.MetresPerUnit),
            Crs = crs,
            Notes = notes,
        };
    }

    private static List<(double X, double Y, double Z, int Line)> Places(byte[] text, string name, ElevationReadOptions options, CancellationToken cancellationToken)
    {
        List<(double X, double Y, double Z, int Line)> places = [];
        using StreamReader reader = new(new LineGuard(new MemoryStream(text), name, "line", LineGuard.LineEnds), Encoding.UTF8);
        char[]? between = null;
        int number = 0;
        while (reader.ReadLine() is { } line)
        {
            if ((++number & 0xFFFF) == 0)
            {
                cancellationToken.ThrowIfCancellationRequested();
            }

            if (line.AsSpan().Trim().IsEmpty)
            {
                continue;
            }

            between ??= Separators(line);
            string[] parts = line.Split(between, StringSplitOptions.RemoveEmptyEntries);
            double[] values = new double[3];
            int read = 0;
            while (read < Math.Min(3, parts.Length) && double.TryParse(parts[read].TrimEnd(','), NumberStyles.Float, CultureInfo.InvariantCulture, out values[read]))
            {
                read++;
            }

            if (read < 3)
            {
                // Names of the columns, which may set other separators than the numbers have.
                if (places.Count == 0 && number == 1 && parts.Length > 0 && !line.AsSpan().ContainsAnyInRange('0', '9'))
                {
                    between = null;
                    continue;
                }

                throw new GroundDataException($"{name}: line {number.ToString(CultureInfo.InvariantCulture)} {Complaint(parts, read)}.");
            }

            if (!(Math.Abs(values[0]) < MostCoordinate && Math.Abs(values[1]) < MostCoordinate))
            {
                throw new GroundDataException(FormattableString.Invariant($"{name}: line {number} holds a place that is nowhere on the earth; take it out."));
            }

            if (places.Count >= options.MaximumCells)
            {
                throw new GroundDataException(FormattableString.Invariant($"{name}: it lists more than the {options.MaximumCells} places that are read at once; cut it to the farm."));
            }

            places.Add((values[0], values[1], values[2], number));
        }

        return places;
    }

    // Commas part numbers only where nothing else does: beside blanks or semicolons they would be decimal commas.
    private static char[] Separators(string line)
    {
        if (line.Contains(';', StringComparison.Ordinal))
        {
            return [.. Blanks, ';'];
        }

        return line.Split(Blanks, StringSplitOptions.RemoveEmptyEntries).Length >= 3 ? Blanks : [.. Blanks, ','];
    }

    private static string Complaint(string[] parts, int read)
    {
        if (read >= parts.Length)
        {
            return "holds fewer than three numbers";
        }

        string text = parts[read].Length > 30 ? parts[read][..30] : parts[read];
        return text.Contains(',', StringComparison.Ordinal)
            ? $"holds \"{text}\"; write numbers with a decimal point, not a comma"
            : $"holds \"{text}\" where a number should stand";
    }

    /// <summary>Evenly spaced values along one axis.</summary>
    private readonly record struct Axis(double First, double Step, int Count)
    {
        public static Axis Of(double[] values)
        {
            Array.Sort(values);
            double span = values[^1] - values[0];
            double step = double.PositiveInfinity;
            for (int i = 1; i < values.Length; i++)
            {
                double gap = values[i] - values[i - 1];
                step = gap > 1e-9 * Math.Max(span, Math.Abs(values[^1])) && gap < step ? gap : step;
            }

            if (!double.IsFinite(step))
            {
                return new Axis(values[0], 0, 1);
            }

            // The smallest gap as written is rounded; the whole span over whole steps is not.
            double steps = Math.Round(span / step);
            return steps < int.MaxValue - 1
                ? new Axis(values[0], span / steps, (int)steps + 1)
                : new Axis(values[0], step, int.MaxValue);
        }
    }
}
