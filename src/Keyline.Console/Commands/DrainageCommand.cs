using Keyline.Console.Cli;
using Keyline.Console.Tiles;
using Keyline.Console.Views;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Formats;

namespace Keyline.Console.Commands;

/// <summary><c>keyline drainage</c>: filled ground, flow, channels, hollows and catchments.</summary>
internal static class DrainageCommand
{
    private const string ListName = "drainage.json";
    private const double DefaultChannelArea = 10_000;
    private const double DefaultHollowDepth = 0.1;

    public static Command Command { get; } = new("drainage", "filled ground, flow, channels, hollows and catchments", Run)
    {
        About =
        [
            "Routes water over the ground: hollows filled, directions, contributing area, channel order, flow",
            "lengths as GeoTIFF; hollows (dams, potholes) and catchments as GeoJSON.",
            "Directions are degrees clockwise from north, none where no water flows.",
        ],
        Examples =
        [
            "keyline drainage --dem dem.tif --out drainage",
            "keyline drainage --dem dem.tif --only area,depressions --out drainage",
            "keyline drainage --dem dem.tif --channel-area \"2 acres\" --cut-depth \"1.5 m\" --out drainage",
            "keyline drainage --dem county.tif --out shared --stage fill --shard 3/8",
        ],
        Options =
        [
            OptionSpec.Dem, OptionSpec.ChannelArea, OptionSpec.CutDepth, OptionSpec.CutLength, OptionSpec.Shared,
            OptionSpec.Outlets, OptionSpec.HollowDepth, FileChoice.Option("area,depressions"), OptionSpec.Memory,
            OptionSpec.Stage, OptionSpec.Tile, OptionSpec.Shard with { Help = "only the Kth of N shares of the tiles, as 3/8, for a task of a scheduler" },
            OptionSpec.AtOnce with { Help = "tiles of a stage worked on side by side (default 1), each with memory of its own" },
            OptionSpec.Gather with { Help = "make nothing, only put the finished tiles together: filled.tif, directions.tif and area.tif" },
            OptionSpec.Crs, .. OptionSpec.GroundOptions,
            OptionSpec.Out, OptionSpec.Overwrite with { Help = "replace an earlier result in the folder, once the new one is whole" },
            OptionSpec.Threads, OptionSpec.UnitsOnScreen, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Note = $"Lengths carry their unit ({Quantity.Units}), areas too (m2, ha, km2, ft2, acres).",
    };

    private static string[] Files { get; } =
    [
        "filled.tif", "directions.tif", "area.tif", "order.tif", "length-down.tif", "length-up.tif", "depressions.geojson",
        "shared-directions.tif", "shared-area.tif", "catchments.tif", "catchments.geojson",
    ];

    private static Dictionary<string, OptionSpec> Needs { get; } = new()
    {
        ["shared-directions.tif"] = OptionSpec.Shared, ["shared-area.tif"] = OptionSpec.Shared, ["catchments.tif"] = OptionSpec.Outlets, ["catchments.geojson"] = OptionSpec.Outlets,
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        double channel = arguments.Above(OptionSpec.ChannelArea, DefaultChannelArea);
        double? cutDepth = arguments.Above(OptionSpec.CutDepth);
        double cutLength = arguments.Above(OptionSpec.CutLength) ?? BreachOptions.DefaultMaximumLength;
        if (cutDepth is null && arguments.Has(OptionSpec.CutLength))
        {
            throw new UsageException($"{arguments[OptionSpec.CutLength]!.Where} says how long cuts may be but not how deep: give {OptionSpec.CutDepth.Flag} as well.");
        }

        double hollow = arguments.Above(OptionSpec.HollowDepth) ?? DefaultHollowDepth;
        FileChoice choice = FileChoice.From(arguments, Files, Needs);
        if (TileRequest.IsAsked(arguments))
        {
            return TileDrainage.Run(arguments, choice, [.. Files, ListName], ListName, context);
        }

        if (arguments[OptionSpec.Memory] is { } memory)
        {
            return LargeDrainageRun.Run(arguments, Quantity.Bytes(memory.Text, memory.Where), choice, [.. Files, ListName], ListName, context);
        }

        string? outlets = arguments.File(OptionSpec.Outlets, "file of outlet lines");
        bool shares = arguments.Has(OptionSpec.Shared) && choice.WantsAny("shared-directions.tif", "shared-area.tif");
        bool follows = outlets is not null && choice.WantsAny("catchments.tif", "catchments.geojson");
        return RasterCommand.Run("drainage", ListName, [.. Files, ListName], arguments, context, Course(cutDepth is not null, shares, follows, choice), (source, rasters, progress) =>
        {
            IReadOnlyList<GroundLine> lines = outlets is null ? [] : FieldFiles.ReadLines(outlets, source.Crs);
            int? cuts = null;
            ElevationGrid ground = source.Grid;
            if (cutDepth is double depth)
            {
                progress.Show("cutting through banks");
                BreachedGround cut = DepressionBreaching.Breach(
                    ground, new BreachOptions { MaximumDepth = depth, MaximumLength = cutLength, FillRest = false }, context.Stop);
                ground = cut.Ground;
                cuts = cut.Breaches.Count;
            }

            progress.Show("filling hollows");
            ElevationGrid filled = DepressionFilling.Fill(ground, context.Stop);
            if (choice.Wants("filled.tif"))
            {
                rasters.Write("filled.tif", "heights with hollows filled", "m", filled);
            }

            if (choice.Wants("depressions.geojson"))
            {
                IReadOnlyList<Depression> hollows = Depressions.Find(ground, filled, hollow, cancellationToken: context.Stop);
                rasters.WriteShapes("depressions.geojson", "hollows", hollows.Count, stream =>
                    TerrainGeoJson.WriteDepressions(stream, hollows, ground, source.Crs, rasters.Provenance, context.Stop));
            }

            D8Directions? directions = null;
            if (follows || choice.WantsAny("directions.tif", "area.tif", "order.tif", "length-down.tif", "length-up.tif"))
            {
                progress.Show("routing water");
                directions = D8Directions.Route(filled, context.Stop);
                WriteFlow(directions, channel, choice, rasters, context.Stop);
            }

            if (shares)
            {
                progress.Show("sharing water");
                WriteShared(filled, choice, rasters, context.Stop);
            }

            if (follows)
            {
                progress.Show("following catchments");
                WriteCatchments(directions!, lines, outlets!, choice, ground, source.Crs, rasters, context.Stop);
            }

            return new DrainageSettings(channel, hollow, cutDepth, cutDepth is null ? null : cutLength, cuts);
        });
    }

    private static void WriteFlow(D8Directions directions, double channel, FileChoice choice, RasterFolder rasters, CancellationToken stop)
    {
        if (choice.Wants("directions.tif"))
        {
            rasters.Write("directions.tif", "way down, clockwise from north", "degrees", DirectionDegrees.Of(directions), recur: true);
        }

        if (choice.WantsAny("area.tif", "order.tif"))
        {
            Grid<double> flow = FlowAccumulation.Compute(directions, stop);
            if (choice.Wants("area.tif"))
            {
                rasters.Write("area.tif", "ground that drains through", "m2", flow, recur: true);
            }

            if (choice.Wants("order.tif"))
            {
                rasters.Write("order.tif", "channel order", "", StrahlerOrder.Compute(directions, flow, channel, stop), 0);
            }
        }

        if (choice.Wants("length-down.tif"))
        {
            rasters.Write("length-down.tif", "way down to where water leaves", "m", FlowLength.Downstream(directions, stop), recur: true);
        }

        if (choice.Wants("length-up.tif"))
        {
            rasters.Write("length-up.tif", "longest way down from a divide", "m", FlowLength.Upstream(directions, stop), recur: true);
        }
    }

    private static void WriteShared(ElevationGrid filled, FileChoice choice, RasterFolder rasters, CancellationToken stop)
    {
        DInfinityDirections shared = DInfinityDirections.Route(filled, stop);
        if (choice.Wants("shared-directions.tif"))
        {
            rasters.Write("shared-directions.tif", "way down, clockwise from north", "degrees", Grid.Copy(shared.Frame, shared.Degrees));
        }

        if (choice.Wants("shared-area.tif"))
        {
            rasters.Write("shared-area.tif", "ground that drains through, shared", "m2", FlowAccumulation.Compute(shared, stop));
        }
    }

    private static void WriteCatchments(
        D8Directions directions, IReadOnlyList<GroundLine> lines, string outlets, FileChoice choice, ElevationGrid ground, GroundCrs crs, RasterFolder rasters, CancellationToken stop)
    {
        Grid<int> labels = OfLines(directions, lines, outlets, stop);
        if (choice.Wants("catchments.tif"))
        {
            rasters.Write("catchments.tif", "number of the outlet line", "", labels, 0);
        }

        if (choice.Wants("catchments.geojson"))
        {
            rasters.WriteShapes("catchments.geojson", "catchments", lines.Count, stream =>
                TerrainGeoJson.WriteCatchments(stream, labels, lines.Count, ground, crs, rasters.Provenance, stop));
        }
    }

    // The stages with their share of the time, as taken on a million cells of 1 m.
    private static (string, double)[] Course(bool cuts, bool shares, bool follows, FileChoice choice) => choice.Course(
    [
        ("reading the ground", 7), ("mending the ground", 4), ("cutting through banks", cuts ? 4 : 0), ("filling hollows", 2), ("writing filled.tif", 3),
        ("writing depressions.geojson", 3), ("routing water", 2), ("writing directions.tif", 2), ("writing area.tif", 4), ("writing order.tif", 3),
        ("writing length-down.tif", 5), ("writing length-up.tif", 5), ("sharing water", shares ? 2 : 0), ("writing shared-directions.tif", shares ? 4 : 0),
        ("writing shared-area.tif", shares ? 6 : 0), ("following catchments", follows ? 2 : 0), ("writing catchments.tif", follows ? 3 : 0), ("writing catchments.geojson", follows ? 4 : 0),
    ]);

    private static Grid<int> OfLines(D8Directions directions, IReadOnlyList<GroundLine> lines, string file, CancellationToken stop)
    {
        try
        {
            return Catchments.OfLines(directions, [.. lines.Select(line => line.Line)], stop);
        }
        catch (ArgumentException error)
        {
            throw new UsageException($"{Path.GetFileName(file)}: {error.Message.Split(" (Parameter")[0].TrimEnd('.')}; draw it on the elevation.");
        }
    }
}
