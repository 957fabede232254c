using System.Globalization;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Formats;
using Keyline.Water;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary>Places beside the field whose water keyline water counts: outlets, dams, gully heads, neighbours.</summary>
internal static class WaterPlaces
{
    private static readonly OptionSpec Watch = new("--watch", ValueKind.Path, "FILE", "what may get more or less water: GeoJSON points, lines or areas with a name, and a kind as dam, gully or neighbour");

    // How far from the field places are followed, and a change that is none: metres, and shares of what came before.
    private const double Farthest = 250;
    private const double NoChange = 0.01;
    private const double NoWater = 0.05;

    public static IReadOnlyList<OptionSpec> All { get; } = [OptionSpec.StableOutlets with { Help = "stable outlets that line ends may let water go to, and whose inflow is counted: GeoJSON of any shapes (default: the plan's)" }, Watch];

    /// <summary>Reads the places; each with its kind. Outlets are those of the plan where none are given.</summary>
    public static List<WatchedPlace> Read(Arguments arguments, GroundCrs crs, Geometry? planned)
    {
        List<WatchedPlace> places = [];
        if (arguments.File(All[0], "file of outlets") is { } outlets)
        {
            places.AddRange(FieldFiles.ReadAttributed(outlets, "outlets").On(crs).Select((o, k) => new WatchedPlace(o.Values.GetValueOrDefault("name", "").Trim() is { Length: > 0 } name ? name : string.Create(CultureInfo.InvariantCulture, $"outlet {k + 1}"), "outlet", o.Shape)));
        }
        else if (planned is { } shapes)
        {
            places.AddRange(Enumerable.Range(0, shapes.NumGeometries).Select(k => new WatchedPlace(string.Create(CultureInfo.InvariantCulture, $"outlet {k + 1}"), "outlet", shapes.GetGeometryN(k))));
        }

        if (arguments.File(Watch, "file of places") is { } watched)
        {
            foreach (AttributedShape shape in FieldFiles.ReadAttributed(watched, "places").On(crs))
            {
                string kind = shape.Values.GetValueOrDefault("kind", "").Trim().ToLowerInvariant() is { Length: > 0 } said ? said : "place";
                string name = shape.Values.GetValueOrDefault("name", "").Trim() is { Length: > 0 } called ? called : string.Create(CultureInfo.InvariantCulture, $"{kind} {places.Count(p => p.Kind == kind) + 1}");
                places.Add(new WatchedPlace(name, kind, shape.Shape));
            }
        }

        return places;
    }

    /// <summary>The ground to run: some metres around the field, and the places within reach.</summary>
    public static Envelope Ground(Envelope field, double margin, IEnumerable<WatchedPlace> places)
    {
        Envelope ground = new(field);
        Envelope reach = new(field);
        reach.ExpandBy(Farthest);
        foreach (WatchedPlace place in places)
        {
            Envelope near = reach.Intersection(place.Shape.EnvelopeInternal);
            if (!near.IsNull)
            {
                ground.ExpandToInclude(near);
            }
        }

        ground.ExpandBy(margin);
        return ground;
    }

    /// <summary>What the plan changes at a place, in a sentence; null where that is nothing.</summary>
    public static string? Said(WatchedPlace place, GaugeReading before, GaugeReading after)
    {
        if (before.Area <= 0)
        {
            return string.Create(CultureInfo.InvariantCulture, $"{Capital(place.Name)} lies off the ground that was run (places up to {Farthest:0} m from the field are): it was not counted.");
        }

        double change = after.Inflow - before.Inflow;
        if (Math.Abs(change) <= Math.Max(NoWater, NoChange * before.Inflow))
        {
            return null;
        }

        string water = string.Create(CultureInfo.InvariantCulture, $"{Math.Abs(change):0.0} m3 {(change > 0 ? "more" : "less")} with the plan ({after.Inflow:0.0} m3 for {before.Inflow:0.0} m3)");
        return (place.Kind, change > 0) switch
        {
            ("gully" or "gully head", true) => $"{Capital(place.Name)} gets {water}: more water makes a gully head walk uphill. Lead it elsewhere, or look at the lines above.",
            ("neighbour", true) => $"{Capital(place.Name)} gets {water}: water may have to leave the land where and as it did; ask before you rip, and see the law of the place.",
            ("neighbour", false) => $"{Capital(place.Name)} gets {water}: who uses it there should be asked.",
            ("dam", false) => $"{Capital(place.Name)} gets {water}: what soaks in above does not fill it.",
            _ => $"{Capital(place.Name)} gets {water}.",
        };
    }

    internal static string Capital(string name) => char.ToUpperInvariant(name[0]) + name[1..];
}
