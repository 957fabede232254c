using System.Globalization;
using Keyline.Formats;
using Keyline.Report;

namespace Keyline.Console;

/// <summary>The files of one plan.</summary>
internal sealed class PlanFiles
{
    public const string SummaryName = "plan.json";

    /// <summary>Everything a plan's folder holds, relative, with forward slashes.</summary>
    public static IReadOnlyList<string> Names { get; } =
        ["plan.geojson", SummaryName, "plan.png", "guidance/waypoints.csv", "guidance/lines.gpx"];

    private readonly KeylinePlan _plan;
    private readonly ElevationSource _ground;
    private readonly PlanRequest _request;

    public PlanFiles(KeylinePlan plan, ElevationSource ground, PlanRequest request)
    {
        _plan = plan;
        _ground = ground;
        _request = request;
    }

    public IReadOnlyList<string> Assumed => _ground.Notes;

    public IReadOnlyList<string> Cautions => [.. _plan.Layout.Notes.Take(0)];

    public void Write(OutputFolder folder, string prefix, ProgressLine progress, CancellationToken stop)
    {
        PlanProvenance provenance = new();
        Action<Stream>[] writers =
        [
            stream => PlanGeoJson.Write(stream, _plan, _ground.Crs, provenance),
            stream => PlanSummary.Write(stream, _plan, _ground.Crs, provenance),
            stream => PlanMap.Write(stream, _plan, MapOptions(), stop),
            stream => WaypointCsv.Write(stream, _plan, _ground.Crs, provenance),
            stream => GpxLines.Write(stream, _plan, _ground.Crs, provenance),
        ];
        for (int i = 0; i < writers.Length; i++)
        {
            stop.ThrowIfCancellationRequested();
            progress.Show("writing " + Names[i]);
            using FileStream stream = folder.Create(prefix + Names[i]);
            writers[i](stream);
        }
    }

    private PlanMapOptions MapOptions() => new()
    {
        CoordinateSystem = _ground.Crs.EpsgCode is int code
            ? string.Create(CultureInfo.InvariantCulture, $"EPSG:{code}, {_ground.Crs.Name}")
            : _ground.Crs.Name,
        SpacingAsked = _request.SpacingText,
        GroundSource = _ground.Name,
        MadeWith = "Keyline " + App.Version,
        Cautions = Cautions,
    };
}
