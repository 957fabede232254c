using System.Globalization;
using Keyline.Field;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>What a trial is laid out on.</summary>
/// <remarks>Units: projected metres.</remarks>
public sealed record TrialSite
{
    /// <value>The plan's lines.</value>
    public required IReadOnlyList<WorkLine> Lines { get; init; }

    /// <value>The field with what is avoided in it.</value>
    public required FieldArea Field { get; init; }

    /// <value>Distance between passes.</value>
    public required double Spacing { get; init; }

    /// <value>Land too steep for the plan; null for none.</value>
    public Geometry? Steep { get; init; }

    /// <value>The shanks; null for one.</value>
    public ShankSet? Shanks { get; init; }

    /// <value>The ground; null where it is not known, and plots are then alike only by lying side by side.</value>
    public TrialGround? Ground { get; init; }

    /// <value>Zones whose edges no block may cross.</value>
    public IReadOnlyList<TrialZone> Zones { get; init; } = [];
}

/// <summary>Lays a trial out on a plan: blocks on like ground, plots of neighbouring passes, treatments by lot.</summary>
/// <remarks>
/// <para>Units: metres; ratios. Promises: the same site, options and seed give the same design; plots do not overlap, lie in the field, clear of what is
/// avoided and in one zone; each block has each treatment once. Where fewer than two blocks fit it gives a monitored comparison and says what that cannot show.</para>
/// <para>Cost: lines times stretches times cross-cuts; a second for a thousand lines. Source: blocks, replication and lots after Fisher 1935, "The Design of
/// Experiments"; split plots after Yates 1935; plots as strips of a machine's passes: common practice of trials on farms, no source.</para>
/// </remarks>
public static class TrialDesigner
{
    private const int LeastBlocks = 3;
    private const int MostBlocks = 40;
    private const int WatchedPlaces = 6;

    /// <summary>Lays it out.</summary>
    /// <param name="site">Where.</param>
    /// <param name="options">How.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">Options that cannot be, or a plan without spacing.</exception>
    public static TrialDesign Design(TrialSite site, TrialOptions options, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(site);
        ArgumentNullException.ThrowIfNull(options);
        options = options with { Treatments = TrialTreatment.Checked(options.Treatments) };
        options.Validate();
        if (!(site.Spacing > 0))
        {
            throw new GroundDataException("The plan does not say how far apart its passes are, so no plot can be told: give a plan.geojson of keyline plan.");
        }

        int wanted = (int)Math.Clamp(Math.Ceiling(TrialPower.BlocksFor(options.Power, Math.Log(options.Effect), options.SpreadOfDifferences) - 1e-9), LeastBlocks, MostBlocks);
        int asked = options.Blocks > 0 ? options.Blocks : wanted;
        BlockSearch search = new(site.Lines, site.Field, site.Steep, site.Spacing, site.Ground, site.Zones, options);
        List<BlockSite> best = [];
        double length = options.Length;
        foreach (double share in (double[])[1, 0.75, 0.5])
        {
            double tried = Math.Max(options.LeastLength, share * options.Length);
            List<BlockSite> found = search.Find(tried, options.Treatments.Count, asked, cancellationToken);
            if (found.Count > best.Count || share == 1)
            {
                (best, length) = (found, tried);
            }

            if (best.Count >= asked || tried <= options.LeastLength)
            {
                break;
            }
        }

        SeededDraws draws = new(options.Seed);
        PointPlacing placing = new(options, site.Spacing, site.Shanks, draws);
        List<TrialBlock> blocks = [];
        List<TrialPlot> plots = [];
        List<TrialPoint> points = [];
        bool watched = best.Count < 2;
        int columns = options.Treatments.Count;
        if (watched)
        {
            // One pass group here and there, all of them ripped: places to come back to.
            columns = 1;
            best = search.Find(length, 1, WatchedPlaces, cancellationToken);
            TrialTreatment ripped = options.Treatments.First(t => !t.IsControl);
            options = options with { Treatments = [.. options.Treatments.Where(t => t.IsControl), ripped] };
        }

        foreach (BlockSite own in best)
        {
            int number = blocks.Count + 1;
            blocks.Add(new TrialBlock(number, own.Shape, own.Zone, own.PositionRange, own.SlopeRange));
            TrialTreatment[] lots = watched ? [options.Treatments[^1]] : [.. options.Treatments];
            draws.Shuffle(lots);
            for (int p = 0; p < columns; p++)
            {
                int first = BlockSearch.FirstOf(p, options), last = first + options.Passes - 1;
                string id = FormattableString.Invariant($"B{number}P{p + 1}");
                string[] parts = options.Split.Count > 0 ? [.. options.Split] : [""];
                draws.Shuffle(parts);
                for (int s = 0; s < parts.Length; s++)
                {
                    (int from, int to) = BlockSearch.PartOf(own.Strip, s, parts.Length);
                    string name = parts.Length > 1 ? id + (char)('a' + s) : id;
                    plots.Add(new TrialPlot(name, number, lots[p].Id, parts[s], own.Strip.Shape(first, last, from, to), own.Strip.Lines[first..(last + 1)], own.Positions[p], own.Slopes[p]));
                    points.AddRange(placing.Of(name, own.Strip, first, last, from, to));
                }
            }
        }

        TrialKind kind = watched ? TrialKind.Monitored : TrialKind.Randomised;
        return new TrialDesign
        {
            Kind = kind, Field = site.Field.Name, Options = options, Spacing = site.Spacing, Length = length, BlocksWanted = wanted, Blocks = blocks, Plots = plots, Points = points,
            Notes = [.. Notes(kind, blocks, options, wanted, asked, length, site, placing.HasClearGround)],
        };
    }

    private static IEnumerable<string> Notes(TrialKind kind, List<TrialBlock> blocks, TrialOptions options, int wanted, int asked, double length, TrialSite site, bool clear)
    {
        CultureInfo c = CultureInfo.InvariantCulture;
        double spread = options.SpreadOfDifferences, singles = Math.Ceiling(TrialPower.TwoGroupsFor(options.Power, Math.Log(options.Effect), TrialPower.LogSpread(options.RingVariation)) - 1e-9);
        int rings = options.Points.GetValueOrDefault("ring");
        yield return string.Create(c, $"To show a ratio of {options.Effect:0.##} with a chance of {100 * options.Power:0} %, where single rings vary by {100 * options.RingVariation:0} %, takes {singles:0} single rings a side if nothing else varied; with {rings} rings a plot and plots that vary by {100 * options.PlotVariation:0} % it takes {wanted} blocks.");
        if (kind == TrialKind.Monitored)
        {
            yield return string.Create(c, $"This field cannot carry a trial: fewer than two blocks of {BlockSearch.PassesOf(options.Treatments.Count, options)} neighbouring passes {Math.Min(length, options.LeastLength):0} m long lie on like ground in it (narrower plots with --passes, shorter ones with --length).");
            yield return string.Create(c, $"What is laid out instead is {(blocks.Count == 0 ? "nothing, since not even single plots fit" : $"a monitored comparison at {blocks.Count} places")}: it shows whether the ground changes, not why. A wet year, rest from grazing or another hand at the ring would look the same as ripping.");
            yield return "To tell a cause, leave strips unripped in several fields and take each field as a block.";
            yield break;
        }

        double power = TrialPower.Blocks(blocks.Count, Math.Log(options.Effect), spread), shown = Math.Exp(TrialPower.DifferenceFor(options.Power, blocks.Count, spread));
        yield return string.Create(c, $"{blocks.Count} blocks of {options.Treatments.Count} plots, each {options.Passes} passes ({options.Passes * site.Spacing:0.#} m) by {length:0} m, are laid out: the chance of showing a ratio of {options.Effect:0.##} is {100 * power:0} %, and the smallest ratio they show with {100 * options.Power:0} % is {(shown < 1000 ? shown.ToString("0.0#", c) : "beyond reason")}.");
        if (blocks.Count < asked)
        {
            yield return string.Create(c, $"{asked} blocks were wanted and {blocks.Count} fit on like ground: more rings in each plot help only against what varies within plots.");
        }

        if (blocks.Count < 6)
        {
            yield return string.Create(c, $"With {blocks.Count} blocks a randomisation test cannot give less than p = {2.0 / Math.Pow(2, blocks.Count):0.###}; the t interval stands on the bell shape of block differences.");
        }

        if (options.Split.Count > 0)
        {
            yield return $"Each plot is parted along its length into {string.Join(" and ", options.Split)}, by lot: that factor is compared within plots.";
        }

        yield return string.Create(c, $"Points are drawn at random between passes, {PointPlacing.RipClear:0.##} m or more from a rip and outside wheel tracks {options.WheelTrack:0.##} m apart, 5 m from a plot's ends{(options.OnRip ? "; every second ring, penetrometer point and core lies on a rip, or where one would be" : "")}.");
        if (!clear)
        {
            yield return "Passes lie so close that no ground between them is clear of rips and wheels: points lie midway.";
        }

        if (site.Ground is null)
        {
            yield return "No elevation was given: plots of a block are alike only by lying side by side.";
        }
    }
}
