using Keyline.Field;

namespace Keyline.Fieldwork;

/// <summary>A figure with the range that the draft standard leaves open.</summary>
/// <param name="Least">Where the soil takes least draft.</param>
/// <param name="Usual">In the middle.</param>
/// <param name="Most">Where the soil takes most draft.</param>
public readonly record struct DraftRange(double Least, double Usual, double Most);

/// <summary>Whether a tractor pulls an implement, how fast, and what to change where it does not.</summary>
/// <remarks>
/// <para>Units: newtons, kilowatts, metres, metres a second. Promises: every figure comes with the standard's range; "least" and "most"
/// are of the draft, so speeds and shanks come the other way round.</para>
/// <para>Source: <see cref="SubsoilerDraft"/>, <see cref="TractivePower"/>; solved in closed form or by halving, computed here.</para>
/// </remarks>
public sealed class PullEstimate
{
    /// <summary>Pull that a tractor holds without slipping beyond its best, share of its weight. Common practice, no source.</summary>
    public const double PullOfWeight = 0.45;

    private const double Gravity = 9.81;

    private readonly DraftRow _row;

    private PullEstimate(Machine machine, SoilTexture soil, SoilSurface surface)
    {
        Machine = machine;
        Soil = soil;
        Surface = surface;
        _row = SubsoilerDraft.RowOf(machine.Implement.Tip);
        PowerTakeOff = TractivePower.AtPowerTakeOff(machine.Tractor, surface);
        Drawbar = TractivePower.AtDrawbar(machine.Tractor, surface);
        Speed = new DraftRange(SpeedAt(1 - _row.Range), SpeedAt(1), SpeedAt(1 + _row.Range));
        Draft = Each(k => k * SubsoilerDraft.Newtons(machine.Implement, soil, WorkingSpeed(k)));
        DrawbarNeeded = Each(k => k * SubsoilerDraft.Newtons(machine.Implement, soil, WorkingSpeed(k)) * WorkingSpeed(k) / 1000);
    }

    /// <summary>The machine.</summary>
    public Machine Machine { get; }

    /// <summary>Texture of the soil.</summary>
    public SoilTexture Soil { get; }

    /// <summary>What the tractor stands on.</summary>
    public SoilSurface Surface { get; }

    /// <summary>Power at the power take-off, kilowatts.</summary>
    public double PowerTakeOff { get; }

    /// <summary>Power at the drawbar, kilowatts.</summary>
    public double Drawbar { get; }

    /// <summary>The speed the tractor pulls it at, within the machine's speeds, metres a second; 0 where it does not pull it at the
    /// slowest.</summary>
    public DraftRange Speed { get; }

    /// <summary>Draft at that speed (at the slowest where it does not pull it), newtons.</summary>
    public DraftRange Draft { get; }

    /// <summary>Drawbar power asked there, kilowatts.</summary>
    public DraftRange DrawbarNeeded { get; }

    /// <summary>Power at the power take-off asked there, kilowatts.</summary>
    public DraftRange PowerTakeOffNeeded => Scaled(DrawbarNeeded, 1 / TractivePower.DrawbarShare(Machine.Tractor.Drive, Surface));

    /// <summary>Engine power asked there, kilowatts.</summary>
    public DraftRange EngineNeeded => Scaled(PowerTakeOffNeeded, 1 / TractivePower.PowerTakeOffShare);

    /// <summary>Whether it is pulled at all where the soil takes the usual draft.</summary>
    public bool IsPulled => Speed.Usual > 0;

    /// <summary>Makes an estimate.</summary>
    /// <param name="machine">The machine.</param>
    /// <param name="soil">Texture of the soil.</param>
    /// <param name="surface">What the tractor stands on.</param>
    /// <exception cref="ArgumentException">The machine is not possible.</exception>
    public static PullEstimate Of(Machine machine, SoilTexture soil = SoilTexture.Medium, SoilSurface surface = SoilSurface.Firm)
    {
        ArgumentNullException.ThrowIfNull(machine);
        machine.Validate();
        return new PullEstimate(machine, soil, surface);
    }

    /// <summary>The most shanks the tractor pulls at a speed and the working depth: a number with its fraction.</summary>
    /// <param name="speed">Metres a second.</param>
    public DraftRange MostShanks(double speed) => Each(k => Drawbar * 1000 / speed / (k * SubsoilerDraft.Newtons(_row, Soil, 1, Machine.Implement.Depth, speed)));

    /// <summary>The greatest depth the tractor pulls its shanks at at a speed, metres.</summary>
    /// <param name="speed">Metres a second.</param>
    public DraftRange MostDepth(double speed) => Each(k => Drawbar * 1000 / speed / (k * SubsoilerDraft.Newtons(_row, Soil, Machine.Implement.Shanks, 0.01, speed)) * 0.01);

    /// <summary>What to tell whoever plans the work, one sentence each.</summary>
    public IReadOnlyList<string> Sentences()
    {
        Implement tool = Machine.Implement;
        string shanks = tool.Shanks == 1 ? "one shank" : FormattableString.Invariant($"{tool.Shanks} shanks");
        string soil = Soil.ToString().ToLowerInvariant();
        List<string> said = [];
        if (IsPulled)
        {
            string slow = Speed.Most > 0 ? FormattableString.Invariant($"{Speed.Most * 3.6:0.0} km/h") : "not at all";
            said.Add(FormattableString.Invariant(
                $"On {soil} soil {shanks} at {100 * tool.Depth:0} cm take {Draft.Usual / 1000:0.0} kN (the standard leaves {Draft.Least / 1000:0.0} to {Draft.Most / 1000:0.0} kN open) and {EngineNeeded.Usual:0} kW at the engine; {Drawbar:0} kW at the drawbar pull them at {Speed.Usual * 3.6:0.0} km/h, {Speed.Least * 3.6:0.0} km/h where the soil is easy, {slow} where it is hard."));
        }
        else
        {
            DraftRange most = MostShanks(Machine.SlowestSpeed), depth = MostDepth(Machine.SlowestSpeed);
            said.Add(FormattableString.Invariant(
                $"On {soil} soil {shanks} at {100 * tool.Depth:0} cm take {Draft.Usual / 1000:0.0} kN and more than the {Drawbar:0} kW this tractor has at the drawbar, even at {Machine.SlowestSpeed * 3.6:0.0} km/h."));
            List<string> ways = [];
            if (tool.Shanks > 1 && most.Usual >= 1)
            {
                ways.Add(FormattableString.Invariant($"{Math.Floor(most.Usual):0} of {tool.Shanks} shanks"));
            }

            ways.Add(FormattableString.Invariant($"{Math.Floor(20 * depth.Usual) / 20:0.00} m of depth at the most, deepening over the years"));
            if (SlowerSpeed() is double slower)
            {
                ways.Add(FormattableString.Invariant($"{slower * 3.6:0.0} km/h if the implement may go so slowly"));
            }

            said.Add($"It would pull {string.Join("; or ", ways)}.");
        }

        if (CriticalDepth.Warning(tool) is { } warning)
        {
            said.Add(warning);
        }

        if (!double.IsNaN(Machine.Tractor.Mass) && Draft.Usual > PullOfWeight * Machine.Tractor.Mass * Gravity)
        {
            said.Add(FormattableString.Invariant(
                $"The draft is {100 * Draft.Usual / (Machine.Tractor.Mass * Gravity):0} % of the tractor's weight; beyond about {100 * PullOfWeight:0} % wheels slip more than pays (common practice, no source): ballast it as its manual allows, or go shallower."));
        }

        (double from, double to) = TractivePower.BestSlip(Surface);
        said.Add(FormattableString.Invariant($"Slip to aim for on this surface: {100 * from:0} to {100 * to:0} %."));
        return said;
    }

    // The fastest working speed whose drawbar power is there, with the draft so much more or less than usual.
    private double SpeedAt(double factor)
    {
        if (Power(Machine.SlowestSpeed) > Drawbar)
        {
            return 0;
        }

        double low = Machine.SlowestSpeed, high = Machine.FastestSpeed;
        if (Power(high) <= Drawbar)
        {
            return high;
        }

        for (int i = 0; i < 60; i++)
        {
            double middle = (low + high) / 2;
            (low, high) = Power(middle) <= Drawbar ? (middle, high) : (low, middle);
        }

        return low;

        double Power(double speed) => factor * SubsoilerDraft.Newtons(Machine.Implement, Soil, speed) * speed / 1000;
    }

    // A speed below the machine's own at which the power would be enough, down to a walk.
    private double? SlowerSpeed()
    {
        const double walk = 2 / 3.6;
        for (double speed = Machine.SlowestSpeed; speed >= walk; speed -= 0.1 / 3.6)
        {
            if (SubsoilerDraft.Newtons(Machine.Implement, Soil, speed) * speed / 1000 <= Drawbar)
            {
                return speed;
            }
        }

        return null;
    }

    private double WorkingSpeed(double factor)
    {
        double speed = factor < 1 ? Speed.Least : factor > 1 ? Speed.Most : Speed.Usual;
        return speed > 0 ? speed : Machine.SlowestSpeed;
    }

    private DraftRange Each(Func<double, double> figure) => new(figure(1 - _row.Range), figure(1), figure(1 + _row.Range));

    private static DraftRange Scaled(DraftRange range, double by) => new(range.Least * by, range.Usual * by, range.Most * by);
}
