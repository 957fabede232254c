using Keyline.Field;
using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Overlay;
using NetTopologySuite.Operation.OverlayNG;

namespace Keyline.Fieldwork;

/// <summary>A piece of land with its verdict.</summary>
/// <param name="Number">From 1.</param>
/// <param name="Name">The site's name, and the class of the map that parted it where one did.</param>
/// <param name="Shape">Its outline, projected metres; may have several parts.</param>
/// <param name="Verdict">Whether to rip it, and why.</param>
/// <param name="How">What was read in it, one phrase each.</param>
public sealed record SoilZone(int Number, string Name, Geometry Shape, SiteVerdict Verdict, IReadOnlyList<string> How)
{
    /// <summary>Square metres.</summary>
    public double Area => Shape.Area;

    /// <summary>What is known of its soil and site, readings before the survey.</summary>
    public SiteFacts Facts { get; init; } = new();

    /// <summary>Whether a plan made now leaves it out: where it is not to be ripped, or not yet.</summary>
    public bool IsLeftOut => Verdict.Verdict is RipVerdict.DoNotRip or RipVerdict.RipAfter;
}

/// <summary>Puts sites, maps and readings together into zones, and decides for each.</summary>
/// <remarks>
/// <para>Units: projected metres. Promises: zones do not overlap and fill the field, but for necks below 10 cm and specks below a square metre; where sites overlap the later one holds; what was read in a zone
/// goes before what a survey says of it, and where the two differ that is said; zones are numbered in the order of the sites.</para>
/// <para>Cost: that of the overlays. Source: ours; overlays by NetTopologySuite.</para>
/// </remarks>
public static class SoilZones
{
    /// <summary>Pieces of a map below this join the largest piece of their site, square metres.</summary>
    public const double DefaultLeastArea = 1000;

    // A survey's pan and a reading's that lie this far apart are worth a word, metres.
    private const double Differs = 0.10;
    private const double Sliver = 1;
    private const double Neck = 0.1;

    /// <summary>Makes zones.</summary>
    /// <param name="field">The field; null for all the sites.</param>
    /// <param name="sites">Sites of a survey; none where the field is all that is known.</param>
    /// <param name="classes">Pieces of a map by class, with the words for each; none where no map parts the land.</param>
    /// <param name="readings">What was read at points; null for nothing.</param>
    /// <param name="rules">The bounds.</param>
    /// <param name="machine">The machine; null where it is not known.</param>
    /// <param name="leastArea">Square metres below which a piece of a map joins another.</param>
    /// <exception cref="GroundDataException">No land: neither a field nor a site, or none within the field.</exception>
    public static IReadOnlyList<SoilZone> Of(
        Geometry? field, IReadOnlyList<SoilSite> sites, IReadOnlyList<(string Words, Geometry Shape)> classes, SoilReadings? readings, RipRules rules, Machine? machine, double leastArea = DefaultLeastArea)
    {
        ArgumentNullException.ThrowIfNull(sites);
        ArgumentNullException.ThrowIfNull(classes);
        ArgumentNullException.ThrowIfNull(rules);
        Geometry? left = field;
        List<(string Name, Geometry Shape, SiteFacts Facts)> parts = [];
        Geometry? taken = null;
        foreach (SoilSite site in sites.Reverse())
        {
            Geometry shape = field is null ? site.Shape : Overlay(site.Shape, field, SpatialFunction.Intersection);
            shape = taken is null ? shape : Overlay(shape, taken, SpatialFunction.Difference);
            if (shape.Area > Sliver)
            {
                parts.Insert(0, (site.Name, shape, site.Facts));
                taken = taken is null ? shape : Overlay(taken, shape, SpatialFunction.Union);
                left = left is null ? null : Overlay(left, shape, SpatialFunction.Difference);
            }
        }

        if (left is not null && left.Area > Math.Max(Sliver, sites.Count > 0 ? 0.001 * field!.Area : 0))
        {
            parts.Add((sites.Count > 0 ? "outside the survey" : "the field", left, new SiteFacts()));
        }

        if (parts.Count == 0)
        {
            throw new GroundDataException("None of the sites lies in the field: check that both are of the same place.");
        }

        List<SoilZone> zones = [];
        foreach ((string name, Geometry shape, SiteFacts facts) in parts)
        {
            foreach ((string words, Geometry whole) in Parted(shape, classes, leastArea))
            {
                Geometry piece = WithoutNecks(whole);
                if (piece.Area <= Sliver)
                {
                    continue;
                }

                List<string> how = [];
                SiteFacts read = readings?.FactsIn(piece, rules.StopStrength, how) ?? new SiteFacts();
                if (Math.Abs(read.PanTop - facts.PanTop) > Differs)
                {
                    how.Add(FormattableString.Invariant($"the survey has the pan at {100 * facts.PanTop:0} cm, the readings at {100 * read.PanTop:0} cm: the readings were taken"));
                }
                else if (read.HasPan is not null && facts.HasPan is not null && read.HasPan != facts.HasPan)
                {
                    how.Add($"the survey says that there is {(facts.HasPan == true ? "a" : "no")} pan, the readings {(facts.HasPan == true ? "found none" : "found one")}: the readings were taken");
                }

                zones.Add(new SoilZone(zones.Count + 1, words.Length > 0 ? $"{name}, {words}" : name, piece, RipDecision.Of(facts.With(read), rules, machine), how) { Facts = facts.With(read) });
            }
        }

        return zones;
    }

    private static IEnumerable<(string Words, Geometry Shape)> Parted(Geometry shape, IReadOnlyList<(string Words, Geometry Shape)> classes, double leastArea)
    {
        List<(string Words, Geometry Shape)> pieces = [.. classes.Select(c => (c.Words, Overlay(shape, c.Shape, SpatialFunction.Intersection))).Where(p => p.Item2.Area > Sliver)];
        if (pieces.Count == 0)
        {
            return [("", shape)];
        }

        // What no class covers, as the fringe of cells along the outline, goes with the largest piece; so do pieces too small to work.
        Geometry rest = pieces.Aggregate(shape, (g, p) => Overlay(g, p.Shape, SpatialFunction.Difference));
        int largest = pieces.IndexOf(pieces.MaxBy(p => p.Shape.Area));
        (string words, Geometry main) = pieces[largest];
        main = rest.IsEmpty ? main : Overlay(main, rest, SpatialFunction.Union);
        foreach ((_, Geometry small) in pieces.Where((p, i) => i != largest && p.Shape.Area < leastArea))
        {
            main = Overlay(main, small, SpatialFunction.Union);
        }

        return pieces.Select((p, i) => i == largest ? (words, main) : p).Where((p, i) => i == largest || p.Item2.Area >= leastArea);
    }

    // Narrower necks than this close in a file whose places are rounded, and what touches itself is refused when it is read, metres.
    private static Geometry WithoutNecks(Geometry shape)
    {
        NetTopologySuite.Operation.Buffer.BufferParameters corners = new() { JoinStyle = NetTopologySuite.Operation.Buffer.JoinStyle.Mitre };
        return Areas(shape.Buffer(-Neck / 2, corners).Buffer(Neck / 2, corners), shape.Factory);
    }

    private static Geometry Areas(Geometry found, GeometryFactory factory)
    {
        Polygon[] areas = [.. Enumerable.Range(0, found.NumGeometries).Select(found.GetGeometryN).OfType<Polygon>().Where(p => p.Area > Sliver)];
        return areas.Length == 1 ? areas[0] : factory.CreateMultiPolygon(areas);
    }

    private static Geometry Overlay(Geometry a, Geometry b, SpatialFunction how)
    {
        Geometry found = OverlayNGRobust.Overlay(a, b, how);
        Polygon[] areas = [.. Enumerable.Range(0, found.NumGeometries).Select(found.GetGeometryN).OfType<Polygon>().Where(p => !p.IsEmpty)];
        return areas.Length == 1 ? areas[0] : a.Factory.CreateMultiPolygon(areas);
    }
}
