using System.Diagnostics;
using System.Globalization;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Formats;
using Keyline.Layout;
using Keyline.Report;
using NetTopologySuite.Geometries;

namespace Keyline.Benchmarks;

/// <summary>Times what is drawn of a finished plan of a square field: the report's page, the picture and the sheets, with their sizes.</summary>
internal static class ReportTimes
{
    private const int Surroundings = 100;

    // Inside zone 10, so that positions have longitudes.
    private const double West = 600_000, South = 4_000_000;

    public static int Print(int side, int rounds, double spacing)
    {
        ElevationGrid made = MadeGround.Valleys(side + (2 * Surroundings), holes: false);
        GridFrame at = made.Frame;
        ElevationGrid ground = ElevationGrid.Copy(new GridFrame(at.Rows, at.Columns, at.CellSize, West, South + (at.Rows * at.CellSize)), made.Heights);
        FieldArea field = new(new GeometryFactory().ToGeometry(new Envelope(West + Surroundings, West + Surroundings + side, South + Surroundings, South + Surroundings + side)));
        KeylinePlan plan = KeylinePlanner.Design(ground, field, new LayoutOptions { Spacing = spacing });
        GroundCrs crs = GroundCrs.FromEpsg(32610);
        ReportContent content = new() { Plan = plan, ToLonLat = crs.ToLonLat, CoordinateSystem = crs.Name };
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{side * (double)side / 1e4:F1} ha, cells of 1 m, {plan.Layout.Lines.Count} lines, {plan.Layout.Figures.TotalLength / 1000:F0} km; the first time and the median of {rounds} more"));
        Time("report.html", stream => ReportPage.Write(stream, content));
        using MemoryStream page = new();
        ReportPage.Write(page, content);
        string text = System.Text.Encoding.UTF8.GetString(page.ToArray());
        Time("report.pdf", stream => ReportPdf.Write(stream, text, plan));
        Time("plan.png", stream => PlanMap.Write(stream, plan));
        Time("sheets.pdf", stream => MapSheets.Write(stream, plan));
        return 0;

        void Time(string name, Action<Stream> write)
        {
            List<double> seconds = [], processor = [];
            long bytes = 0;
            for (int round = 0; round <= rounds; round++)
            {
                using MemoryStream stream = new();
                long from = Stopwatch.GetTimestamp();
                TimeSpan worked = Environment.CpuUsage.TotalTime;
                write(stream);
                seconds.Add(Stopwatch.GetElapsedTime(from).TotalSeconds);
                processor.Add((Environment.CpuUsage.TotalTime - worked).TotalSeconds);
                bytes = stream.Length;
            }

            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  {name,-12} {seconds[0],6:F2} s {LandformTimes.Median([.. seconds.Skip(1)]),6:F2} s, processor {processor[0],5:F2} s {LandformTimes.Median([.. processor.Skip(1)]),5:F2} s, {bytes / 1e6,7:F2} MB"));
        }
    }
}
