namespace Keyline.Water;

/// <summary>A day of layered soil's water, metres.</summary>
/// <param name="Transpired">By plants.</param>
/// <param name="Evaporated">From the bare soil.</param>
/// <param name="Drained">Out of the lowest layer.</param>
/// <param name="Excess">What the full soil did not take.</param>
/// <param name="Held">In all layers at the end.</param>
public readonly record struct LayeredDay(double Transpired, double Evaporated, double Drained, double Excess, double Held);

/// <summary>The daily balance of water in layers of soil.</summary>
/// <remarks>
/// <para>Units: metres a day. Promises: intake = transpired + evaporated + drained + excess + change of what is held, to rounding; no layer holds more than when full
/// or less than at its wilting point (the uppermost, than half of that). Water only goes down: no rise from below, no frost, no cracks.</para>
/// <para>The day's intake comes first; plants draw by the roots in each layer, less where it had dried beyond what is ready as the day began; the bare soil dries
/// the uppermost layer; then each layer, from the top down, passes on a part of what it holds above field capacity, the more the better it conducts, and what is
/// above full; never more than it conducts in a day. What a layer can neither hold nor pass on stands back up, at last as excess.</para>
/// <para>Cost: linear in days times layers. Source: Allen and others, FAO Irrigation and Drainage Paper 56, 1998, equations 71 to 74 and 84; drainage after Raes,
/// Steduto, Hsiao and Fereres, AquaCrop Reference Manual, FAO, chapter 3 (from memory): a full layer loses the share 0.0866 K^0.35, K in mm a day, of what is between full and field
/// capacity, a drier one by the exponential of its moisture.</para>
/// </remarks>
public sealed class LayeredBalance
{
    private const double Day = 86_400;

    private readonly LayeredSoil _soil;
    private readonly PlantCover _cover;
    private readonly int _count;
    private readonly double[] _held;
    private readonly double[] _dry;
    private readonly double[] _wilt;
    private readonly double[] _capacity;
    private readonly double[] _full;
    private readonly double[] _loses;
    private readonly double[] _most;
    private readonly double[] _roots;
    private readonly double[] _drawn;

    /// <summary>Begins a balance.</summary>
    /// <param name="soil">The soil.</param>
    /// <param name="cover">The plants.</param>
    /// <param name="start">How full each layer is, 0 at the wilting point and 1 at field capacity.</param>
    /// <exception cref="GroundDataException">Values that cannot be.</exception>
    public LayeredBalance(LayeredSoil soil, PlantCover cover, double start = 0.5)
    {
        ArgumentNullException.ThrowIfNull(soil);
        ArgumentNullException.ThrowIfNull(cover);
        cover.Validate();
        if (!(start is >= 0 and <= 1))
        {
            throw new GroundDataException(FormattableString.Invariant($"The soil begins {100 * start:0.#} % full of what plants can use: it must lie between 0 and 100 %."));
        }

        (_soil, _cover, _count) = (soil, cover, soil.Layers.Count);
        _held = new double[_count];
        _dry = new double[_count];
        _wilt = new double[_count];
        _capacity = new double[_count];
        _full = new double[_count];
        _loses = new double[_count];
        _most = new double[_count];
        _roots = new double[_count];
        _drawn = new double[_count];
        double top = 0;
        for (int k = 0; k < _count; k++)
        {
            SoilLayer l = soil.Layers[k];
            _wilt[k] = l.WiltingPoint * l.Thickness;
            _capacity[k] = l.FieldCapacity * l.Thickness;
            _full[k] = l.Saturation * l.Thickness;
            _dry[k] = k == 0 ? _wilt[k] / 2 : _wilt[k];
            _held[k] = _wilt[k] + (start * (_capacity[k] - _wilt[k]));
            _loses[k] = Math.Min(0.0866 * Math.Pow(1000 * l.Conductivity * Day, 0.35), 1);
            _most[k] = l.Conductivity * Day;
            _roots[k] = cover.RootsAbove(top + l.Thickness) - cover.RootsAbove(top);
            top += l.Thickness;
        }
    }

    /// <summary>Share of the volume that is water in a layer.</summary>
    /// <param name="layer">Index of the layer, from 0.</param>
    public double Moisture(int layer) => _held[layer] / _soil.Layers[layer].Thickness;

    /// <summary>Metres of water in all layers.</summary>
    public double Held => _held.Sum();

    /// <summary>A balance that goes on from here by itself.</summary>
    public LayeredBalance Copy()
    {
        LayeredBalance copy = new(_soil, _cover);
        _held.CopyTo(copy._held, 0);
        return copy;
    }

    /// <summary>Goes on by a day.</summary>
    /// <param name="intake">What soaks in, metres, 0 or more.</param>
    /// <param name="reference">Evapotranspiration of short grass, metres, 0 or more.</param>
    public LayeredDay Step(double intake, double reference) => Step(intake, reference, 0, 0);

    /// <summary>Goes on by a day, with water that comes in below the surface, as from rips.</summary>
    /// <param name="intake">What soaks in from the surface, metres, 0 or more.</param>
    /// <param name="reference">Evapotranspiration of short grass, metres, 0 or more.</param>
    /// <param name="within">What comes in below, spread evenly over the layers down to one, metres, 0 or more.</param>
    /// <param name="downTo">Index of that layer.</param>
    public LayeredDay Step(double intake, double reference, double within, int downTo)
    {
        if (!(intake >= 0) || !(reference >= 0) || !(within >= 0))
        {
            throw new ArgumentOutOfRangeException(nameof(intake), intake, "What soaks in and what evaporates are 0 or more.");
        }

        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(downTo, _count);

        double wanted = _cover.Coefficient * reference;
        for (int k = 0; k < _count; k++)
        {
            double available = _capacity[k] - _wilt[k];
            double stress = Math.Clamp((_held[k] - _wilt[k]) / ((1 - _cover.Ready) * available), 0, 1);
            _drawn[k] = Math.Min(wanted * _roots[k] * stress, Math.Max(_held[k] - _wilt[k], 0));
        }

        _held[0] += intake + (within / (downTo + 1));
        double evaporated = Evaporated(reference);
        _held[0] -= evaporated;
        double transpired = 0;
        double carried = 0;
        for (int k = 0; k < _count; k++)
        {
            // What the bare soil took from the uppermost layer plants cannot take too.
            double drawn = k == 0 ? Math.Min(_drawn[0], Math.Max(_held[0] - _wilt[0], 0)) : _drawn[k];
            transpired += drawn;
            _held[k] += carried - drawn + (k > 0 && k <= downTo ? within / (downTo + 1) : 0);
            carried = PassedOn(k);
            _held[k] -= carried;
        }

        double drained = Math.Min(carried, _soil.DrainageLimit);
        _held[_count - 1] += carried - drained;
        double excess = 0;
        for (int k = _count - 1; k >= 0; k--)
        {
            excess = Math.Max(_held[k] - _full[k], 0);
            _held[k] -= excess;
            if (k > 0)
            {
                _held[k - 1] += excess;
            }
        }

        return new LayeredDay(transpired, evaporated, drained, excess, Held);
    }

    private double PassedOn(int k)
    {
        double over = _held[k] - _capacity[k];
        if (!(over > 0) || double.IsInfinity(_most[k]))
        {
            return Math.Max(over, 0);
        }

        double thickness = _soil.Layers[k].Thickness;
        double room = (_full[k] - _capacity[k]) / thickness;
        double wet = Math.Min(over / thickness, room);
        double slow = room > 0 ? _loses[k] * room * (Math.Exp(wet) - 1) / (Math.Exp(room) - 1) * thickness : 0;
        return Math.Min(slow + Math.Max(_held[k] - _full[k], 0), _most[k]);
    }

    private double Evaporated(double reference)
    {
        double most = _capacity[0] - _dry[0];
        double ready = Math.Min(_cover.ReadyEvaporation, most);
        double gone = Math.Max(_capacity[0] - _held[0], 0);
        double reduced = gone <= ready ? 1 : Math.Max((most - gone) / (most - ready), 0);
        double coefficient = Math.Min(reduced * Math.Max(_cover.Most - _cover.Coefficient, 0), (1 - _cover.Cover) * _cover.Most);
        return Math.Min(coefficient * reference, Math.Max(_held[0] - _dry[0], 0));
    }
}
