using System.Globalization;
using System.Text;
using Keyline.Console.Cli;
using Keyline.Formats;

namespace Keyline.Console.Batch;

/// <summary>The tables of a batch: for a spreadsheet, for a map, and to be read.</summary>
internal static class BatchTables
{
    private const string CsvName = "results.csv";
    private const string PackageName = "results.gpkg";
    private const string IndexName = "index.html";

    public static IReadOnlyList<string> Names { get; } = [CsvName, PackageName, IndexName];

    /// <summary>Writes them.</summary>
    public static void Write(OutputFolder folder, IReadOnlyList<FieldResult> results, PageVoice voice, CancellationToken stop)
    {
        using (Stream stream = folder.Create(CsvName))
        {
            stream.Write(Csv(results));
        }

        voice.Write(folder, IndexName, stream => stream.Write(BatchPage.Of(results)));

        GeoPackageTables.Write(Path.Combine(folder.Partial, PackageName), [Table(results)], stop);
    }

    private static byte[] Csv(IReadOnlyList<FieldResult> results)
    {
        StringBuilder text = new();
        text.AppendJoin(',', (string[])["id", "name", "state", .. FieldResult.FigureNames, "seconds", "peak_mb", "report", "sentence"]).Append("\r\n");
        foreach (FieldResult result in results)
        {
            text.AppendJoin(',', (string[])
            [
                CsvCell.Of(result.Field.Id), CsvCell.Of(result.Field.Name), result.Outcome.State, .. result.Figures.Select(Number),
                Number(result.Outcome.Seconds), Number(result.Outcome.PeakMegabytes), CsvCell.Of(result.Report), CsvCell.Of(result.Outcome.Sentence),
            ]).Append("\r\n");
        }

        return Encoding.UTF8.GetBytes(text.ToString());
    }

    private static FeatureTable Table(IReadOnlyList<FieldResult> results) => new(
        "fields",
        "Every field of the batch with what came of it and its plan's figures.",
        [("id", "TEXT"), ("name", "TEXT"), ("state", "TEXT"), .. FieldResult.FigureNames.Select(n => (n, "REAL")), ("seconds", "REAL"), ("peak_mb", "REAL"), ("report", "TEXT"), ("sentence", "TEXT")],
        [.. results.Select(r => (r.Field.Shape, (IReadOnlyList<object?>)[r.Field.Id, r.Field.Name, r.Outcome.State, .. r.Figures.Select(f => (object?)(double.IsFinite(f) ? Math.Round(f, 4) : null)), r.Outcome.Seconds, r.Outcome.PeakMegabytes, r.Report, r.Outcome.Sentence]))]);

    private static string Number(double value) => double.IsFinite(value) ? value.ToString("0.####", CultureInfo.InvariantCulture) : "";
}
