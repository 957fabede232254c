namespace Keyline.Water;

/// <summary>Reasons why ripping gains no water, or harms, each with where it was found.</summary>
/// <remarks>
/// <para>Units: metres, seconds. Cost: none. Source: named in each sentence; limits marked as judgement are ours.</para>
/// </remarks>
public static class WhenNot
{
    /// <summary>Conductivity above which a soil takes water in without help, metres a second: 50 mm/h, a judgement.</summary>
    public const double OpenConductivity = 50 / 3.6e6;

    /// <summary>Exchangeable sodium from which a soil is called sodic, and may fall apart in rain, percent.</summary>
    public const double SodicFrom = 6;

    /// <summary>Depth of rock down to which a soil is called shallow, metres: Soil Survey Manual, Agriculture Handbook 18, 2017, chapter 3 (from memory).</summary>
    public const double ShallowRock = 0.5;

    // Soil left between tip and rock, a judgement.
    private const double AboveRock = 0.1;

    // A share that is told as all of the field.
    private const double All = 0.995;
    private const double Worthwhile = 0.001;

    /// <summary>Depth above which rock is in the way of a rip, metres: soil that is shallow over it, or less than 0.1 m between tip and rock (a judgement).</summary>
    /// <param name="rip">The rip.</param>
    public static double RockInTheWay(Rip rip)
    {
        ArgumentNullException.ThrowIfNull(rip);
        return Math.Max(ShallowRock, rip.Depth + AboveRock);
    }

    /// <summary>What speaks against ripping for this storm's water.</summary>
    /// <param name="soil">The soil.</param>
    /// <param name="rip">The rip.</param>
    /// <param name="runoffBefore">Metres that run off the field as it is.</param>
    /// <param name="gain">Metres more kept with the lines.</param>
    /// <param name="traits">What else is known of the soil; null for nothing.</param>
    public static IReadOnlyList<string> Reasons(SoilColumn soil, Rip rip, double runoffBefore, double gain, SoilTraits? traits = null)
    {
        ArgumentNullException.ThrowIfNull(soil);
        ArgumentNullException.ThrowIfNull(rip);
        List<string> reasons = [];
        if (runoffBefore < Worthwhile)
        {
            reasons.Add(FormattableString.Invariant($"Only {1000 * runoffBefore:0.0} mm run off as it is: there is nothing to catch in such a storm (in a dry winter on steep wheat land slots even dried the soil beside them)."));
        }
        else if (gain < Worthwhile)
        {
            reasons.Add(FormattableString.Invariant($"The lines keep {1000 * gain:0.0} mm more: nothing that pays."));
        }

        if (soil.Conductivity > OpenConductivity)
        {
            reasons.Add(FormattableString.Invariant($"The soil takes in {soil.Conductivity * 3.6e6:0} mm/h when wet: sand needs no rips for its water, whatever a pan in it may need."));
        }

        if (soil.Pan is { } pan && rip.Depth < soil.PanDepth)
        {
            reasons.Add(FormattableString.Invariant($"The rip ends at {rip.Depth:0.00} m, above the tighter layer at {soil.PanDepth:0.00} m ({pan.Conductivity * 3.6e6:0.#} mm/h): it fills and stands."));
        }

        if (soil.Deficit < 0.05)
        {
            reasons.Add("The soil is all but full before the storm: on poorly drained ground loosening made more run off, not less (slit hay fields in Georgia: Franklin and others 2007).");
        }

        if (traits is { ExchangeableSodium: >= SodicFrom })
        {
            reasons.Add(FormattableString.Invariant($"Exchangeable sodium is {traits.ExchangeableSodium:0.#} %{(traits.SodicShare < All ? FormattableString.Invariant($" at its most, and {100 * traits.SodicShare:0} % of the field is sodic") : "")}, from {SodicFrom:0} % on called sodic (Northcote and Skene 1972): a rip in sodic clay slumps and seals in the first rain (Grains Research and Development Corporation, update paper of February 2021 on ripping heavy sodic soil), so that next to nothing of this gain lasts. Rip one test line, wait for rain and look; gypsum at the rate of a soil test comes first."));
        }

        if (traits is { IsCracking: true })
        {
            reasons.Add($"The soil {(traits.CrackingShare < All ? FormattableString.Invariant($"of {100 * traits.CrackingShare:0} % of the field ") : "")}is a cracking clay: dry, its own cracks take in a storm's first water, and wet it swells shut whatever was loosened, neither of which is reckoned here; it loosens itself, and yields on such clay moved by 0.3 t/ha either way (Grains Research and Development Corporation, deep ripping guides). Rip only where a pan was shown.");
        }

        if (traits is not null && traits.RockDepth < RockInTheWay(rip))
        {
            string where = traits.RockShare < All ? FormattableString.Invariant($" at its least; on {100 * traits.RockShare:0} % of the field it is in the way") : "";
            string tip = traits.RockDepth <= rip.Depth ? FormattableString.Invariant($"above the tip at {rip.Depth:0.00} m, and a shank that catches on it breaks")
                : traits.RockDepth < rip.Depth + AboveRock ? FormattableString.Invariant($"close below the tip at {rip.Depth:0.00} m, and a shank that catches on it breaks") : "shallow soil";
            reasons.Add(FormattableString.Invariant($"Rock lies {traits.RockDepth:0.00} m down{where}: {tip} (shallow is less than {ShallowRock} m to rock: Soil Survey Manual, Agriculture Handbook 18, 2017). What soil lies over it is soon full, however it is loosened: the gain above, which knows of no rock, is too high there, and on shallow soil over shale ripping gave no more forage (Gifford, Journal of Range Management, 1977 and 1978)."));
        }

        return reasons;
    }
}
