using Keyline.Console.Cli;
using Keyline.Fieldwork;

namespace Keyline.Console.Commands;

/// <summary>What trial is wanted, read from the options of keyline trial.</summary>
internal static class TrialRequest
{
    public static readonly OptionSpec Treatments = new("--treatments", ValueKind.Word, "LIST", "what is done on plots, with commas, each beginning with one word (default \"unripped,ripped\")");
    public static readonly OptionSpec Blocks = new("--blocks", ValueKind.Number, "NUMBER", "blocks (default: as many as showing the effect takes)");
    public static readonly OptionSpec Seed = new("--seed", ValueKind.Number, "NUMBER", "seed of the lots, kept in trial.json (default 1)");
    public static readonly OptionSpec Passes = new("--passes", ValueKind.Number, "NUMBER", "passes side by side in a plot (default 4)");
    public static readonly OptionSpec Buffer = new("--buffer", ValueKind.Number, "NUMBER", "passes between plots that belong to none (default 1)");
    public static readonly OptionSpec Length = new("--plot-length", ValueKind.Length, "LENGTH", "length of a plot along its passes (default 80 m; down to half of it where blocks do not fit)");
    public static readonly OptionSpec Effect = new("--effect", ValueKind.Number, "RATIO", "ratio of ripped to unripped that the trial should show (default 2: a doubling)");
    public static readonly OptionSpec RingSpread = new("--ring-spread", ValueKind.Percent, "PERCENT", "how single rings vary in a plot, coefficient of variation (default 100)");
    public static readonly OptionSpec PlotSpread = new("--plot-spread", ValueKind.Percent, "PERCENT", "how plots of a block vary beyond that (default 30)");
    public static readonly OptionSpec Power = new("--power", ValueKind.Percent, "PERCENT", "chance of showing the effect (default 80)");
    public static readonly OptionSpec Zones = new("--zones", ValueKind.Path, "FILE", "soil zones, conductivity zones or past uses whose edges no block may cross: GeoJSON polygons with a name");
    public static readonly OptionSpec Split = new("--split", ValueKind.Word, "LIST", "a second factor on parts of each plot, as \"grazed,rested\"");
    public static readonly OptionSpec Points = new("--points", ValueKind.Word, "LIST", "points in a plot, as \"ring 6,penetrometer 6,quadrat 5,pole 4,clip 3,core 3,photo 1\"");
    public static readonly OptionSpec OnRip = new("--on-rip", ValueKind.Switch, "", "every second ring, penetrometer point and core on a rip; without it all lie between rips");
    public static readonly OptionSpec WheelTrack = new("--wheel-track", ValueKind.Length, "LENGTH", "distance between the middles of the wheel tracks (default 1.8 m)");

    public static IReadOnlyList<OptionSpec> All { get; } = [Treatments, Blocks, Seed, Passes, Buffer, Length, Effect, RingSpread, PlotSpread, Power, Zones, Split, Points, OnRip, WheelTrack];

    public static TrialOptions From(Arguments arguments)
    {
        double length = arguments.Above(Length, TrialOptions.DefaultLength);
        TrialOptions usual = new();
        TrialOptions options = usual with
        {
            Treatments = arguments[Treatments] is { } treatments ? TrialTreatment.Checked([.. Listed(treatments.Text).Select(TrialTreatment.Parse)]) : TrialTreatment.Usual,
            Blocks = arguments.Whole(Blocks, 1, 40) ?? 0,
            Seed = (ulong)(arguments.Whole(Seed, 0, int.MaxValue) ?? 1),
            Passes = arguments.Whole(Passes, 2, 40) ?? TrialOptions.DefaultPasses,
            Buffer = arguments.Whole(Buffer, 0, 20) ?? usual.Buffer,
            Length = length,
            LeastLength = Math.Min(length, Math.Max(20, length / 2)),
            Effect = arguments.Above(Effect, usual.Effect),
            RingVariation = arguments.Above(RingSpread, 100) / 100,
            PlotVariation = arguments.AtLeastNothing(PlotSpread, 30) / 100,
            Power = arguments.Above(Power, 80) / 100,
            Split = arguments[Split] is { } split ? Listed(split.Text) : [],
            Points = arguments[Points] is { } points ? Counts(points) : TrialPoint.UsualCounts,
            OnRip = arguments.Has(OnRip),
            WheelTrack = arguments.Above(WheelTrack, usual.WheelTrack),
        };
        options.Validate();
        return options;
    }

    private static SortedDictionary<string, int> Counts(Setting points)
    {
        SortedDictionary<string, int> counts = new(StringComparer.Ordinal);
        foreach (string part in Listed(points.Text))
        {
            string[] words = part.Split(' ', StringSplitOptions.RemoveEmptyEntries);
            if (words.Length != 2 || !TrialPoint.UsualCounts.ContainsKey(words[0]))
            {
                throw new UsageException($"{points.Where} has \"{part}\": write a kind and a number, as in \"ring 6\"; kinds are {string.Join(", ", TrialPoint.UsualCounts.Keys)}.");
            }

            counts[words[0]] = Quantity.Whole(words[1], points.Where, 0, 40);
        }

        return counts;
    }

    private static string[] Listed(string text) => text.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
}
