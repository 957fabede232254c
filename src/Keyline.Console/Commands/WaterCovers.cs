using System.Globalization;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Field;
using Keyline.Formats;
using Keyline.Water;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary>How a plan's avoided areas, headland and outlets behave in a storm.</summary>
internal sealed class WaterCovers
{
    public static readonly OptionSpec HeadlandIntake = new("--headland-intake", ValueKind.Percent, "PERCENT", "what the headland takes in, of what its soil would, where it is driven hard (default 100)");

    private static readonly string[] DamWords = ["dam", "pond", "reservoir", "tank", "tajamar"];
    private static readonly string[] Hard = ["rock", "rocks", "outcrop", "building", "house", "shed", "yard", "track", "road", "lane"];
    private static readonly string[] Wet = ["wetland", "swamp", "marsh", "bog"];

    private readonly List<(CoveredGround Ground, string Kind)> _covers = [];

    private WaterCovers(FieldArea field, double headland, double intake, IReadOnlyList<WatchedPlace> places)
    {
        List<string> plain = [];
        if (headland > 0 && intake < 1)
        {
            _covers.Add((new CoveredGround("headland", field.Boundary.Difference(field.Within(headland)), GroundCover.Trafficked) { Intake = intake }, "headland"));
        }

        foreach (AvoidedArea area in field.Avoided)
        {
            string word = KindOf(area.Kind) ?? KindOf(area.Name) ?? "";
            string name = area.Name.Length > 0 ? area.Name : word.Length > 0 ? word : "unnamed";
            if (word.Length == 0)
            {
                plain.Add(name);
            }
            else
            {
                _covers.Add((new CoveredGround(name, area.Shape, word == "dam" ? GroundCover.Dam : GroundCover.TakesNothing), word));
            }
        }

        Dams = _covers.Count(c => c.Ground.Cover == GroundCover.Dam);
        _covers.AddRange(places.Where(p => p.Kind == "dam").Select(p => (new CoveredGround(p.Name, p.Shape, GroundCover.Dam), "dam")));
        Outlets = [.. places.Where(p => p.Kind == "outlet").Select(p => new WaterOutlet(p.Name, p.Shape))];
        string[] hard = [.. _covers.Where(c => c.Kind is "hard" or "wet").Select(c => c.Ground.Name).Distinct()];
        Said =
        [
            .. hard.Length == 0 ? [] : (string[])[$"Avoided ground that takes nothing in: {string.Join(", ", hard)}."],
            .. plain.Count == 0 ? [] : (string[])[$"Avoided ground that is taken as the ground around it, for its kind is not told: {string.Join(", ", plain.Distinct())}. Kinds that behave otherwise are dam, rock, building, yard, track, road and wetland (the attribute kind, or a word of the name)."],
            .. !(headland > 0) ? [] : (string[])[string.Create(CultureInfo.InvariantCulture, $"Lines end on the headland of {headland:0.0} m, which is not ripped and is taken to take in {100 * intake:0} % of what its soil would (--headland-intake).")],
        ];
    }

    /// <summary>How many dams are the field's own; they come before those that are watched.</summary>
    public int Dams { get; }

    /// <summary>Outlets that rips may end at.</summary>
    public IReadOnlyList<WaterOutlet> Outlets { get; }

    /// <summary>What there is to say of it before a storm.</summary>
    public IReadOnlyList<string> Said { get; }

    public static WaterCovers From(Arguments arguments, WrittenPlan plan, FieldArea field, IReadOnlyList<WatchedPlace> places)
    {
        double intake = arguments.AtLeastNothing(HeadlandIntake, 100) / 100;
        return intake <= 1 ? new WaterCovers(field, plan.Headland, intake, places) : throw new UsageException($"{arguments[HeadlandIntake]!.Where} is above 100 %: driven ground takes in no more than its soil.");
    }

    /// <summary>The soils with what lies between them.</summary>
    public SoilMap On(SoilMap soils, Elevation.GridFrame frame) => soils.Covered(frame, [.. _covers.Select(c => c.Ground)]);

    /// <summary>What reached dams and outlets, in sentences.</summary>
    public static IEnumerable<string> Reached(StormResult before, StormResult after)
    {
        foreach ((DamReading was, DamReading dam) in before.Dams.Zip(after.Dams))
        {
            yield return string.Create(CultureInfo.InvariantCulture, $"{WaterPlaces.Capital(dam.Name)} stores {dam.Stored:0.0} m3 with the plan and {was.Stored:0.0} m3 without, the rain on it in both; it is taken to hold what comes.");
        }

        foreach (IGrouping<string, OutletDelivery> outlet in after.Deliveries.GroupBy(d => d.Outlet).Where(o => o.Any(d => d.Volume > 0)))
        {
            yield return string.Create(CultureInfo.InvariantCulture, $"{WaterPlaces.Capital(outlet.Key)} gets {outlet.Sum(d => d.Volume):0.0} m3 out of {Words.Count(outlet.Count(d => d.Volume > 0), "line end")}: see that it stands that.");
        }
    }

    private static string? KindOf(string text)
    {
        string[] words = text.ToLowerInvariant().Split([' ', '-', '_', ',', '.', '(', ')', '/'], StringSplitOptions.RemoveEmptyEntries);
        return words.Any(DamWords.Contains) ? "dam" : words.Any(Hard.Contains) ? "hard" : words.Any(Wet.Contains) ? "wet" : null;
    }
}
