using Keyline.Elevation;
using Keyline.Formats;
using Keyline.Gdal;

namespace Keyline.Console.Cli;

/// <summary>Which elevation is wanted and how it is to be taken, the same in every command.</summary>
internal sealed class GroundRequest
{
    private const long ManyCells = 20_000_000;

    private readonly GroundMendingOptions _mending;

    private GroundRequest(IReadOnlyList<string> paths, ElevationReadOptions options, GroundMendingOptions mending) =>
        (Paths, Options, _mending) = (paths, options, mending);

    /// <summary>Files and folders, as given.</summary>
    public IReadOnlyList<string> Paths { get; }

    /// <summary>How they are read.</summary>
    public ElevationReadOptions Options { get; }

    /// <summary>Reads the options.</summary>
    /// <exception cref="UsageException">No file, or a value that cannot be followed.</exception>
    public static GroundRequest From(Arguments arguments, string command)
    {
        Setting dem = arguments.Need(OptionSpec.Dem, command, "The elevation model");
        return Of(dem.Texts, dem.Where, arguments);
    }

    /// <summary>Reads the options beside files given some other way.</summary>
    public static GroundRequest Of(IReadOnlyList<string> paths, string where, Arguments arguments)
    {
        foreach (string path in paths)
        {
            if (!File.Exists(path) && !Directory.Exists(path))
            {
                throw new UsageException($"There is no elevation file {path}: check {where}.");
            }
        }

        int? code = arguments[OptionSpec.Crs] is { } crs ? Quantity.EpsgCode(crs.Text, crs.Where) : null;
        ElevationReadOptions options = new()
        {
            Crs = code is int c ? GroundCrs.FromEpsg(c) : null,
            MetresPerHeightUnit = arguments[OptionSpec.HeightUnit] is { } unit ? HeightUnit(unit) : null,
            Converter = GdalLibrary.IsPresent ? new GdalConverter() : null,
            Survey = new SurveyOptions
            {
                Method = arguments[OptionSpec.Surface] is { } kind ? Method(kind) : null,
                CellSize = arguments.Above(OptionSpec.Cell),
                KeepSuspects = arguments.Has(OptionSpec.KeepSuspects),
            },
            MissingValue = arguments[OptionSpec.Missing] is { } missing ? Quantity.Number(missing.Text, missing.Where, "-9999") : null,
        };
        double hole = arguments.AtLeastNothing(OptionSpec.FillHoles, GroundMendingOptions.DefaultMaximumVoid);
        return new GroundRequest(paths, options, new GroundMendingOptions { MaximumVoid = hole, RemoveSpikes = arguments.Has(OptionSpec.DropSpikes) });
    }

    /// <summary>Reads and mends the elevation.</summary>
    /// <param name="window">The ground wanted; null for all of it.</param>
    /// <param name="progress">Told of it.</param>
    /// <param name="stop">Stops the work.</param>
    public ElevationSource Read(GroundWindow? window, ProgressLine progress, CancellationToken stop)
    {
        progress.Show("reading the ground");
        ElevationSource source = ElevationReader.Read(Paths, Options with { Window = window }, stop);
        LetGo(source.Grid.Frame.CellCount);
        progress.Show("mending the ground");
        source = GroundMending.Mend(source, _mending, stop);
        LetGo(source.Grid.Frame.CellCount);
        return source;
    }

    // Of a large grid a second one is made twice: when it is put upright and when it is mended. The runtime would keep the old ones until memory is short.
    private static void LetGo(long cells)
    {
        if (cells > ManyCells)
        {
            GC.Collect(GC.MaxGeneration, GCCollectionMode.Aggressive, blocking: true, compacting: true);
        }
    }

    /// <summary>Reads the elevation as it is.</summary>
    public ElevationSource ReadUnmended(CancellationToken stop) => ElevationReader.Read(Paths, Options, stop);

    /// <summary>Reads the elevation of a window as it is.</summary>
    public ElevationSource ReadUnmended(GroundWindow? window, CancellationToken stop) => ElevationReader.Read(Paths, Options with { Window = window }, stop);

    /// <summary>The file, where only one will do.</summary>
    public string SingleFile(string because) => Paths.Count == 1 && File.Exists(Paths[0])
        ? Paths[0]
        : throw new UsageException($"{because} works on a single GeoTIFF: give one file with {OptionSpec.Dem.Flag}.");

    // Exact by definition, or by the US survey foot's (NIST SP 811, 2008, appendix B.6).
    private static double HeightUnit(Setting unit) => unit.Text.Trim() switch
    {
        "m" => 1.0,
        "ft" => 0.3048,
        "ftUS" => 1200.0 / 3937.0,
        _ => throw new UsageException($"{unit.Where} is \"{unit.Text.Trim()}\": write m, ft (0.3048 m) or ftUS (US survey foot)."),
    };

    private static SurveyMethod Method(Setting kind) => kind.Text.Trim() switch
    {
        "plate" => SurveyMethod.ThinPlate,
        "triangles" => SurveyMethod.Triangles,
        _ => throw new UsageException($"{kind.Where} is \"{kind.Text.Trim()}\": write plate or triangles."),
    };
}
