using System.Globalization;
using System.Text;
using Keyline.Check;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Formats;
using Keyline.Guidance;
using Keyline.Layout;
using Keyline.Report;
using Keyline.SetOut;
using Keyline.Terrain;

namespace Keyline.Console.Commands;

/// <summary>The files of one plan.</summary>
internal sealed class PlanFiles
{
    public const string SummaryName = "plan.json";

    /// <summary>Everything a plan's folder holds, relative, with forward slashes.</summary>
    public static IReadOnlyList<string> Names { get; } =
        ["plan.geojson", SummaryName, PictureName, "guidance/waypoints.csv", "guidance/lines.gpx"];

    /// <summary>The report.</summary>
    public const string ReportName = "report.html";

    public const string ComparisonName = "comparison.txt";

    public const string PriceListName = "price-list.txt";

    public const string SvgName = "plan.svg";

    public const string SheetsName = "sheets.pdf";

    /// <summary>The map.</summary>
    public const string PictureName = "plan.png";

    /// <summary>The report on paper.</summary>
    public const string PagesName = "report.pdf";

    private const string PackageName = "plan.gpkg";
    private const int WantedContours = 40;

    private static readonly string[] PackageNames = [PackageName, .. PlanStyles.Names.Select(StyleName)];

    /// <summary>Everything that any plan's folder may hold.</summary>
    public static IReadOnlyList<string> AllNames { get; } = [.. Names, ReportName, SvgName, .. PackageNames, SheetsName, PagesName, ComparisonName, PriceListName];

    /// <summary>Everything that a request's folder holds.</summary>
    public static IReadOnlyList<string> NamesOf(PlanRequest request) =>
        [.. Names, ReportName, .. request.DrawsSvg ? [SvgName] : (string[])[], .. request.WritesPackage ? PackageNames : [], .. request.Sheets is not null ? [SheetsName, PagesName] : (string[])[], .. request.Compares ? [ComparisonName] : (string[])[], .. request.ListsPrices ? [PriceListName] : (string[])[]];

    private readonly KeylinePlan _plan;
    private readonly ElevationSource _ground;
    private readonly PlanRequest _request;
    private readonly PlanProvenance _provenance;

    public PlanFiles(KeylinePlan plan, ElevationSource ground, PlanRequest request, DriftCertainty certainty)
    {
        Certainty = certainty;
        _plan = plan;
        _ground = ground;
        _request = request;
        List<PlanInput> inputs =
        [
            .. ground.Files.Select(file => PlanInput.Of("dem", file)),
            PlanInput.Of("field", request.FieldPath),
            .. request.AvoidPaths.Select(avoid => PlanInput.Of("avoid", avoid)),
        ];

        foreach ((string role, string? path) in new[] { ("located", request.Located?.Path), ("pinned", request.PinnedPath), ("outlets", request.OutletsPath), ("gate", request.GatePath), ("flagged", request.FlaggedPath), ("machine", request.MachinePath), ("soil-zones", request.SoilZonesPath) })
        {
            if (path is not null)
            {
                inputs.Add(PlanInput.Of(role, path));
            }
        }

        _provenance = new PlanProvenance(Product.Version, inputs, [.. ground.Notes, .. MachineOption.Said(request.Machine, request.Layout), .. CriticalLength.Said(request.HasAutomaticLength, request.Layout, request.Soil)]);
    }

    /// <summary>How sure the drift is, given the noise of the heights.</summary>
    public DriftCertainty Certainty { get; }

    /// <summary>What whoever reads the plan must read with it.</summary>
    public PlanNotes Notes => new(PlanSummary.Warnings(_plan, _provenance), [.. _provenance.Assumed, _ground.Crs.DatumNote], Cautions);

    private IReadOnlyList<string> Cautions => [.. Formats.Cautions.WarningsOn(_plan.Options), .. PlanMapOptions.DefaultCautions];

    /// <summary>Writes every file, those that take longest first, side by side.</summary>
    /// <param name="folder">The plan's folder.</param>
    /// <param name="comparison">The usual ways laid out; empty where that was not asked for.</param>
    /// <param name="progress">Told of each file.</param>
    /// <param name="stop">Stops it.</param>
    public void Write(OutputFolder folder, IReadOnlyList<PatternLayout> comparison, ProgressLine progress, CancellationToken stop)
    {
        PlanMapOptions map = MapOptions();
        List<Action> works = [];
        if (_request.Sheets is { } sheets)
        {
            works.Add(() => Put(SheetsName, stream => MapSheets.Write(stream, _plan, sheets with { Map = map }, stop)));
        }

        works.Add(() =>
        {
            using MemoryStream page = new();
            WriteReport(page, comparison, stop);
            Put(ReportName, page.WriteTo);
            if (_request.Sheets is { } paper)
            {
                Put(PagesName, stream => ReportPdf.Write(stream, Encoding.UTF8.GetString(page.ToArray()), _plan, paper with { Map = map }, stop));
            }
        });
        works.Add(() => Put(PictureName, stream => PlanMap.Write(stream, _plan, map, stop)));
        if (_request.DrawsSvg)
        {
            works.Add(() => Put(SvgName, stream => PlanMap.WriteSvg(stream, _plan, map, stop)));
        }

        works.Add(() =>
        {
            GuidanceSet lines = GuidancePreparation.Prepare([.. _plan.Layout.Lines.Select(PlannedPath.Of)], null, _plan.Field, _plan.Options.Spacing, stop);
            Put("guidance/waypoints.csv", stream => CsvGuidance.Write(stream, lines, _ground.Crs, stop));
            Put("guidance/lines.gpx", stream => GpxGuidance.Write(stream, lines, _ground.Crs, GpxKind.Tracks, stop));
        });
        works.Add(() => Put("plan.geojson", stream => PlanGeoJson.Write(stream, _plan, _ground.Crs, _provenance, stop)));
        works.Add(() => Put(SummaryName, stream => PlanSummary.Write(stream, _plan, _ground.Crs, _provenance, Certainty)));
        WorkThreads.Together(stop, works);
        if (_request.WritesPackage)
        {
            WritePackage(folder, progress, stop);
        }

        void Put(string name, Action<Stream> write)
        {
            stop.ThrowIfCancellationRequested();
            progress.Show("writing " + name);
            using Stream stream = folder.Create(name);
            write(stream);
        }
    }

    private static string StyleName(string table) => $"styles/{table}.sld";

    // Those that keyline setout sets where nothing else is asked for: along guides through keypoints and pinned ones, else along all where they are few.
    private FeatureTable[] Stakes()
    {
        GuideLine[] guides = [.. _plan.Layout.Guides.Where(g => g.IsKeyline || g.IsPinned)];
        guides = guides.Length > 0 ? guides : _plan.Layout.Guides.Count <= SetOutCommand.FewGuides ? [.. _plan.Layout.Guides] : [];
        return guides.Length > 0 ? [StakeFiles.Table([.. guides.Select(g => Staking.Along(g.Id, g.Line, new SetOutOptions(), field: _plan.Field))], _ground.Crs)] : [];
    }

    private void WritePackage(OutputFolder folder, ProgressLine progress, CancellationToken stop)
    {
        progress.Show("writing " + PackageName);
        IReadOnlyList<ContourLine> contours = ContourLines.Trace(_plan.Smoothed, ContourLevels.Of(_plan.Smoothed, null, WantedContours), stop);
        PlanGeoPackage.Write(Path.Combine(folder.Partial, PackageName), _plan, _ground.Crs, _provenance, contours, Stakes(), stop);
        foreach (string table in PlanStyles.Names)
        {
            using Stream style = folder.Create(StyleName(table));
            PlanStyles.Write(style, table);
        }
    }

    private void WriteReport(Stream stream, IReadOnlyList<PatternLayout> comparison, CancellationToken stop) => ReportPage.Write(
            stream,
            new ReportContent
            {
                Plan = _plan,
                ToLonLat = _ground.Crs.ToLonLat,
                CoordinateSystem = SystemName,
                DatumNote = _ground.Crs.DatumNote,
                SpacingAsked = _request.SpacingText,
                MadeWith = Product.Name,
                Units = _request.Units,
                Language = _request.Language,
                Inputs = [.. _provenance.Inputs.Select(i => new ReportInput(i.Role, i.File, i.Sha256))],
                Assumed = _provenance.Assumed,
                Warnings = PlanSummary.Warnings(_plan, _provenance),
                Certainty = Certainty,
                Comparison = comparison,
            },
            null,
            stop);

    private string SystemName => _ground.Crs.EpsgCode is int code
        ? string.Create(CultureInfo.InvariantCulture, $"EPSG:{code}, {_ground.Crs.Name}")
        : _ground.Crs.Name;

    private PlanMapOptions MapOptions() => new()
    {
        CoordinateSystem = SystemName,
        SpacingAsked = _request.SpacingText,
        GroundSource = _ground.Name,
        MadeWith = Product.Name,
        Units = _request.Units,
        Language = _request.Language,
        TrueNorth = -_ground.Crs.ConvergenceAt(_plan.Field.Boundary.EnvelopeInternal.Centre),
        Cautions = Cautions,
    };
}
