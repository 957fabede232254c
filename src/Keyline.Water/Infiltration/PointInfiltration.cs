namespace Keyline.Water;

/// <summary>What became of rain at one place by some time.</summary>
/// <param name="Time">Seconds.</param>
/// <param name="Taken">Metres in the soil.</param>
/// <param name="Standing">Metres on it.</param>
/// <param name="Runoff">Metres gone.</param>
public readonly record struct PointState(double Time, double Taken, double Standing, double Runoff);

/// <summary>A storm at one place.</summary>
public sealed class PointRun
{
    internal PointRun(IReadOnlyList<PointState> states, IReadOnlyList<double> ponded, IReadOnlyList<double> dried) => (States, PondedAt, DriedAt) = (states, ponded, dried);

    /// <summary>States at the breakpoints of the rain and at the end.</summary>
    public IReadOnlyList<PointState> States { get; }

    /// <summary>Seconds at which water began to stand.</summary>
    public IReadOnlyList<double> PondedAt { get; }

    /// <summary>Seconds at which the last of it was gone.</summary>
    public IReadOnlyList<double> DriedAt { get; }

    /// <summary>Metres taken in by the end.</summary>
    public double Taken => States[^1].Taken;

    /// <summary>Metres run off by the end.</summary>
    public double Runoff => States[^1].Runoff;
}

/// <summary>Rain of changing intensity on one place: what soaks in, what stands, what runs off.</summary>
/// <remarks>
/// <para>Units: metres, seconds. Promises: rain = taken in + standing + runoff to rounding. Water between showers does not sink
/// deeper in the soil, so a second shower finds it as wet as the first left it.</para>
/// <para>Cost: a few roots a step of the rain. Source: Chu, Infiltration during an unsteady rain, Water Resources Research 14, 1978;
/// Skaggs and Khaleel, in Hydrologic Modeling of Small Watersheds, ASAE, 1982.</para>
/// </remarks>
public static class PointInfiltration
{
    /// <summary>Runs a storm.</summary>
    /// <param name="rain">The storm.</param>
    /// <param name="soil">The soil, of one layer.</param>
    /// <param name="detention">Depth that stands before any runs off, metres.</param>
    /// <param name="until">Seconds; recession is followed until then.</param>
    public static PointRun Run(Hyetograph rain, SoilColumn soil, double detention, double until)
    {
        ArgumentNullException.ThrowIfNull(rain);
        ArgumentNullException.ThrowIfNull(soil);
        Walk walk = new(soil.Conductivity, soil.Pull, detention);
        List<PointState> states = [new PointState(0, 0, 0, 0)];
        for (int i = 1; i < rain.Times.Count; i++)
        {
            walk.Go(rain.Times[i], (rain.Depths[i] - rain.Depths[i - 1]) / (rain.Times[i] - rain.Times[i - 1]));
            states.Add(walk.State);
        }

        if (until > rain.Duration)
        {
            walk.Go(until, 0);
            states.Add(walk.State);
        }

        return new PointRun(states, walk.Ponded, walk.Dried);
    }

    private sealed class Walk(double k, double pull, double detention)
    {
        private double _time;
        private double _taken;
        private double _standing;
        private double _runoff;
        private bool _wet;

        public List<double> Ponded { get; } = [];

        public List<double> Dried { get; } = [];

        public PointState State => new(_time, _taken, _standing, _runoff);

        public void Go(double end, double rain)
        {
            while (_time < end)
            {
                double left = end - _time;
                bool stands = _standing > 0 || (rain > k && _taken >= GreenAmpt.PondingDepth(k, pull, rain) * (1 - 1e-12));
                if (stands != _wet)
                {
                    (stands ? Ponded : Dried).Add(_time);
                    _wet = stands;
                }

                if (stands)
                {
                    Under(left, rain);
                }
                else
                {
                    double free = rain > k ? (GreenAmpt.PondingDepth(k, pull, rain) - _taken) / rain : double.PositiveInfinity;
                    double step = Math.Min(left, free);
                    _taken = free <= left ? GreenAmpt.PondingDepth(k, pull, rain) : _taken + (rain * step);
                    Pass(step, end);
                }
            }
        }

        // Under water. What stands is least where the soil's rate has come down to the rain's; before that it may run dry.
        private void Under(double left, double rain)
        {
            double end = _time + left;
            double turn = rain > k ? GreenAmpt.PondingDepth(k, pull, rain) : double.PositiveInfinity;
            if (_taken < turn)
            {
                double toTurn = double.IsInfinity(turn) ? double.PositiveInfinity : (turn - _taken - (pull * Math.Log((turn + pull) / (_taken + pull)))) / k;
                double step = Math.Min(left, toTurn);
                if (Left(step, rain) <= 0)
                {
                    double low = 0;
                    double high = step;
                    for (int i = 0; i < 200 && high - low > 1e-9; i++)
                    {
                        double middle = (low + high) / 2;
                        (low, high) = Left(middle, rain) > 0 ? (middle, high) : (low, middle);
                    }

                    // All that stood and fell is in the soil.
                    _taken += _standing + (rain * high);
                    _standing = 0;
                    Pass(high, end);
                    return;
                }

                Stand(step, rain);
                _taken = toTurn <= left ? Math.Max(_taken, turn) : _taken;
                Pass(step, end);
                return;
            }

            Stand(left, rain);
            Pass(left, end);
        }

        private double Left(double step, double rain) => _standing + (rain * step) - (GreenAmpt.DepthFrom(k, pull, _taken, step) - _taken);

        private void Stand(double step, double rain)
        {
            double taken = GreenAmpt.DepthFrom(k, pull, _taken, step);
            double standing = Math.Max(_standing + (rain * step) - (taken - _taken), 0);
            _runoff += Math.Max(standing - detention, 0);
            _standing = Math.Min(standing, detention);
            _taken = taken;
        }

        private void Pass(double step, double end)
        {
            // A step too short to move the clock has changed the state, so the next one moves it.
            double time = _time + step;
            _time = end - time > 1e-12 * end ? time : end;
        }
    }
}
