namespace Keyline.Water;

/// <summary>How fast water in a rip goes into the soil around it.</summary>
/// <remarks>
/// <para>Units: square metres, that is cubic metres a metre of line; seconds. Promises: never more than is there.</para>
/// <para>Cost: a square root. Source: sorption from floor and walls under the mean head in the rip, sqrt(2 K (suction + head) deficit t)
/// a metre of edge (Green and Ampt without gravity, as for walls), and gravity through the loosened strip at what its conductivity is
/// above the soil's; combined as Green and Ampt's sum of both. Held against a 2-D solution of Richards' equation in the tests.</para>
/// </remarks>
internal readonly struct RipIntake
{
    private readonly double _edge;
    private readonly double _overEdge;
    private readonly double _down;
    private readonly double _pull;

    public RipIntake(Rip rip, SoilColumn soil)
    {
        double conductivity = soil.Conductivity;
        if (soil.Pan is { } pan && rip.Depth < soil.PanDepth)
        {
            // The tip ends above the tighter layer: what is loosened above it cannot drain faster than that lets through.
            conductivity = Math.Min(conductivity, pan.Conductivity);
        }

        if (double.IsInfinity(conductivity))
        {
            conductivity = 0;
        }

        _edge = rip.LoosenedEdge;
        _overEdge = 1 / _edge;
        double sorption = conductivity * (soil.Suction + (rip.Depth / 2)) * soil.Deficit * rip.Openness * rip.Openness;
        _down = conductivity * (rip.ConductivityRatio - 1) * rip.LoosenedWidth / _edge;
        _down = Math.Max(_down, 1e-15);
        _pull = sorption / _down;
    }

    /// <summary>What goes into the soil in a step.</summary>
    /// <param name="soaked">What went before, square metres.</param>
    /// <param name="water">What is there, square metres.</param>
    /// <param name="step">Seconds.</param>
    public double Of(double soaked, double water, double step)
    {
        double before = soaked * _overEdge;
        double run = _down * step;
        double a = before - (run / 2);
        double can = (Math.Sqrt((a * a) + (2 * run * (before + _pull))) - a) * _edge;
        return can < water ? Math.Max(can, 0) : water;
    }
}
