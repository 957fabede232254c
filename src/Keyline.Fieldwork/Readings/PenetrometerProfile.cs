namespace Keyline.Fieldwork;

/// <summary>How wet the ground was when a reading was taken.</summary>
public enum GroundMoisture
{
    /// <summary>Nobody said.</summary>
    Unknown,

    /// <summary>Drier than field capacity: everything reads hard.</summary>
    Dry,

    /// <summary>At or near field capacity.</summary>
    Moist,

    /// <summary>Wetter: everything reads soft.</summary>
    Wet,
}

/// <summary>A hard layer in a profile.</summary>
/// <param name="Found">Whether there is one; null where the profile is too shallow to tell.</param>
/// <param name="Top">Depth where the strength passes the bound, metres; NaN without one.</param>
/// <param name="Bottom">Depth where it falls below it again, metres; NaN where it does not within the profile.</param>
public readonly record struct HardLayer(bool? Found, double Top, double Bottom);

/// <summary>What a penetrometer read at one place, from the surface down.</summary>
/// <remarks>
/// <para>Units: metres, pascals. Promises: depths rise; a single reading that stands 2.5 MPa above both its neighbours, none farther
/// than 6 cm, is taken for a stone and left out. Cost: O(n).</para>
/// <para>Source: read at field capacity, the depth where it passes 300 psi and where it falls back: soil compaction guides of Penn State and
/// Cornell extension; the stone is a judgement.</para>
/// </remarks>
public sealed class PenetrometerProfile
{
    // Thin pans read high once as well; only what stands far above both neighbours is a stone, pascals. Judgement.
    private const double Stone = 2.5e6;

    // Only where readings lie this near can a stone be told from a layer, metres.
    private const double Near = 0.06;

    // A profile that found nothing tells that there is nothing only where it went so deep, metres. Judgement.
    private const double DeepEnough = 0.40;

    private readonly double[] _depths;
    private readonly double[] _strengths;

    /// <summary>Makes a profile.</summary>
    /// <param name="name">What it is called.</param>
    /// <param name="x">East, metres.</param>
    /// <param name="y">North, metres.</param>
    /// <param name="moisture">How wet the ground was.</param>
    /// <param name="readings">Depth in metres and strength in pascals, in any order.</param>
    /// <exception cref="GroundDataException">No reading, one below zero, or two at one depth.</exception>
    public PenetrometerProfile(string name, double x, double y, GroundMoisture moisture, IEnumerable<(double Depth, double Strength)> readings)
    {
        ArgumentNullException.ThrowIfNull(name);
        ArgumentNullException.ThrowIfNull(readings);
        (Name, X, Y, Moisture) = (name, x, y, moisture);
        (double Depth, double Strength)[] sorted = [.. readings.OrderBy(r => r.Depth)];
        if (sorted.Length == 0 || sorted.Any(r => !(r.Depth >= 0) || !(r.Strength >= 0) || double.IsInfinity(r.Strength) || r.Depth > 5))
        {
            throw new GroundDataException($"Profile {name}: depths must lie from 0 to 5 m and strengths be zero or more.");
        }

        for (int i = 1; i < sorted.Length; i++)
        {
            if (sorted[i].Depth == sorted[i - 1].Depth)
            {
                throw new GroundDataException(FormattableString.Invariant($"Profile {name}: it has two readings at {100 * sorted[i].Depth:0.#} cm; name each profile differently, or keep one."));
            }
        }

        bool[] stone = [.. sorted.Select((r, i) => i > 0 && i < sorted.Length - 1 && sorted[i + 1].Depth - r.Depth < Near && r.Depth - sorted[i - 1].Depth < Near && r.Strength > sorted[i - 1].Strength + Stone && r.Strength > sorted[i + 1].Strength + Stone)];
        Stones = [.. sorted.Where((_, i) => stone[i]).Select(r => r.Depth)];
        _depths = [.. sorted.Where((_, i) => !stone[i]).Select(r => r.Depth)];
        _strengths = [.. sorted.Where((_, i) => !stone[i]).Select(r => r.Strength)];
    }

    /// <summary>What it is called.</summary>
    public string Name { get; }

    /// <summary>East, metres.</summary>
    public double X { get; }

    /// <summary>North, metres.</summary>
    public double Y { get; }

    /// <summary>How wet the ground was.</summary>
    public GroundMoisture Moisture { get; }

    /// <summary>Depths of the readings kept, metres, rising.</summary>
    public IReadOnlyList<double> Depths => _depths;

    /// <summary>Strengths there, pascals.</summary>
    public IReadOnlyList<double> Strengths => _strengths;

    /// <summary>Depths of single readings left out as stones, metres.</summary>
    public IReadOnlyList<double> Stones { get; }

    /// <summary>The greatest strength kept, pascals.</summary>
    public double Greatest => _strengths.Max();

    /// <summary>The first layer at or above a bound; its edges lie on the straight line between two readings.</summary>
    /// <param name="bound">Pascals.</param>
    public HardLayer LayerAbove(double bound)
    {
        int first = Array.FindIndex(_strengths, s => s >= bound);
        if (first < 0)
        {
            return new HardLayer(_depths[^1] >= DeepEnough ? false : null, double.NaN, double.NaN);
        }

        double top = first == 0 ? _depths[0] : Between(first - 1, bound);
        int after = Array.FindIndex(_strengths, first, s => s < bound);
        return new HardLayer(true, top, after < 0 ? double.NaN : Between(after - 1, bound));
    }

    private double Between(int i, double bound) => _depths[i] + ((bound - _strengths[i]) / (_strengths[i + 1] - _strengths[i]) * (_depths[i + 1] - _depths[i]));
}
