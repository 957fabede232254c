namespace Keyline.Water;

/// <summary>Reads the rain of a storm from a table.</summary>
/// <remarks>
/// <para>Units: minutes and millimetres in, seconds and metres out. Columns <c>minute</c> and either <c>mm</c> (fallen since the
/// line before) or <c>total_mm</c> (fallen since the beginning). Cost: linear. Source: docs/water.md, ours.</para>
/// </remarks>
public static class HyetographCsv
{
    /// <summary>Reads a storm.</summary>
    /// <param name="text">CSV with points as decimal marks; lines that begin with # are left out.</param>
    /// <param name="name">Name for messages and tables.</param>
    /// <exception cref="GroundDataException">It is no storm; the message says where.</exception>
    public static Hyetograph Read(TextReader text, string name)
    {
        CsvTable table = CsvTable.Read(text, name);
        int minute = table.Need("minute");
        int total = table.Find("total_mm");
        int step = total >= 0 ? -1 : table.Need("mm");
        List<double> times = [];
        List<double> depths = [];
        for (int r = 0; r < table.Rows.Count; r++)
        {
            double t = 60 * table.Number(r, minute);
            double fell = total >= 0 ? table.Number(r, total) / 1000 : (depths.Count > 0 ? depths[^1] : 0) + (table.Number(r, step) / 1000);
            if (times.Count == 0 && (t != 0 || fell != 0))
            {
                times.Add(0);
                depths.Add(0);
            }

            times.Add(t);
            depths.Add(fell);
        }

        return Hyetograph.Of(name, times, depths);
    }
}
