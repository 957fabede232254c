namespace Keyline.Water;

/// <summary>The rain of a storm: how much has fallen by when, steady between breakpoints.</summary>
/// <remarks>Metres and seconds from the storm's beginning. Never changes.</remarks>
public sealed class Hyetograph
{
    private readonly double[] _times;
    private readonly double[] _depths;

    private Hyetograph(string name, double[] times, double[] depths) => (Name, _times, _depths) = (name, times, depths);

    /// <summary>What the storm is called, for tables.</summary>
    public string Name { get; }

    /// <summary>Seconds at the breakpoints, from 0 on, growing.</summary>
    public IReadOnlyList<double> Times => _times;

    /// <summary>Metres fallen by each breakpoint, from 0 on, never falling.</summary>
    public IReadOnlyList<double> Depths => _depths;

    /// <summary>All the rain, metres.</summary>
    public double Depth => _depths[^1];

    /// <summary>How long it lasts, seconds.</summary>
    public double Duration => _times[^1];

    /// <summary>Makes a storm of breakpoints.</summary>
    /// <param name="name">What it is called.</param>
    /// <param name="times">Seconds, the first 0, growing.</param>
    /// <param name="depths">Metres fallen by then, the first 0, never falling.</param>
    /// <exception cref="GroundDataException">The breakpoints are no storm; the message says where.</exception>
    public static Hyetograph Of(string name, IReadOnlyList<double> times, IReadOnlyList<double> depths)
    {
        ArgumentNullException.ThrowIfNull(name);
        ArgumentNullException.ThrowIfNull(times);
        ArgumentNullException.ThrowIfNull(depths);
        if (times.Count != depths.Count)
        {
            throw new ArgumentException($"{times.Count} times and {depths.Count} depths were given.", nameof(depths));
        }

        if (times.Count < 2 || times[0] != 0 || depths[0] != 0)
        {
            throw new GroundDataException($"Storm {name}: it needs at least two breakpoints, the first at time 0 with no rain yet.");
        }

        for (int i = 1; i < times.Count; i++)
        {
            if (!(times[i] > times[i - 1]) || !double.IsFinite(times[i]))
            {
                throw new GroundDataException(FormattableString.Invariant($"Storm {name}: step {i} is out of order, {times[i] / 60:0.###} min after {times[i - 1] / 60:0.###} min: put the steps in order of time."));
            }

            if (!(depths[i] >= depths[i - 1]) || !double.IsFinite(depths[i]))
            {
                throw new GroundDataException(FormattableString.Invariant($"Storm {name}: the rain of step {i} is below zero ({(depths[i] - depths[i - 1]) * 1000:0.###} mm): rain never falls upward."));
            }
        }

        return new Hyetograph(name, [.. times], [.. depths]);
    }

    /// <summary>Metres fallen by a time.</summary>
    /// <param name="time">Seconds from the beginning; before it nothing has fallen, after the end all.</param>
    public double By(double time)
    {
        if (!(time > 0))
        {
            return 0;
        }

        if (time >= Duration)
        {
            return Depth;
        }

        int k = Array.BinarySearch(_times, time);
        if (k >= 0)
        {
            return _depths[k];
        }

        k = ~k;
        return _depths[k - 1] + ((_depths[k] - _depths[k - 1]) * ((time - _times[k - 1]) / (_times[k] - _times[k - 1])));
    }

    /// <summary>The most rain that falls in any stretch of a length, metres.</summary>
    /// <param name="length">Seconds, above 0.</param>
    public double MostIn(double length) => By(BusiestFrom(length) + length) - By(BusiestFrom(length));

    /// <summary>The same rain with all depths multiplied.</summary>
    /// <param name="name">What the new storm is called.</param>
    /// <param name="depth">All of its rain, metres, above 0.</param>
    public Hyetograph ScaledTo(string name, double depth)
    {
        if (!(depth > 0) || !double.IsFinite(depth))
        {
            throw new GroundDataException(FormattableString.Invariant($"Storm {name}: its depth is {depth * 1000:0.###} mm; it must be above zero."));
        }

        return Of(name, _times, [.. _depths.Select(d => d / Depth * depth)]);
    }

    /// <summary>Seconds at which the busiest stretch of a length begins. The largest share over a sliding window of rain that is
    /// steady between breakpoints begins or ends at a breakpoint.</summary>
    internal double BusiestFrom(double length)
    {
        if (!(length > 0))
        {
            throw new ArgumentOutOfRangeException(nameof(length), length, "A stretch of rain is longer than 0 s.");
        }

        double best = -1;
        double from = 0;
        foreach (double start in _times.Concat(_times.Select(t => t - length)).Where(t => t >= 0))
        {
            double fell = By(start + length) - By(start);
            if (fell > best + 1e-12)
            {
                (best, from) = (fell, start);
            }
        }

        return from;
    }
}
