namespace Keyline.Fieldwork;

/// <summary>A place that could be cored, with what is known of it.</summary>
/// <param name="X">East, metres.</param>
/// <param name="Y">North, metres.</param>
/// <param name="Values">What is known there, as many for each place: conductivity, height, slope.</param>
public sealed record CoreCandidate(double X, double Y, IReadOnlyList<double> Values);

/// <summary>Chooses where to core, so that few places stand for all that varies over a field.</summary>
/// <remarks>
/// <para>Units: metres and the values' own. Promises: every value's range, and that of east and north, is cut into as many parts of like many
/// places as there are cores, and the cores lie one in each part as nearly as can be, with the values going together as they do over the
/// field; the same places, number and seed give the same cores on every machine.</para>
/// <para>Cost: some 10,000 exchanges, each O(cores times values). Source: B. Minasny and A. B. McBratney, "A conditioned Latin hypercube method for
/// sampling in the presence of ancillary information", Computers and Geosciences 32 (2006) 1378-1388, by annealing; 8 to 12 cores a field:
/// D. L. Corwin and S. M. Lesch, Computers and Electronics in Agriculture 46 (2005) 11-43.</para>
/// </remarks>
public static class CoreDesign
{
    /// <summary>Cores where no number is asked for.</summary>
    public const int DefaultCores = 10;

    private const int Exchanges = 12_000;
    private const double Cooling = 0.9993;

    /// <summary>Chooses.</summary>
    /// <param name="places">Where cores can be taken.</param>
    /// <param name="cores">How many, from 3 to 100.</param>
    /// <param name="seed">Another number, other cores.</param>
    /// <returns>Numbers of the places, rising.</returns>
    /// <exception cref="GroundDataException">Fewer places than cores, or values that are no numbers or not as many for each.</exception>
    public static IReadOnlyList<int> Choose(IReadOnlyList<CoreCandidate> places, int cores = DefaultCores, ulong seed = 1)
    {
        ArgumentNullException.ThrowIfNull(places);
        ArgumentOutOfRangeException.ThrowIfLessThan(cores, 3);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(cores, 100);
        if (places.Count < cores)
        {
            throw new GroundDataException(FormattableString.Invariant($"There are {places.Count} places for {cores} cores: give more places or ask for fewer cores."));
        }

        int known = places[0].Values.Count;
        double[][] values = [.. places.Select(p => (double[])[.. p.Values, p.X, p.Y])];
        if (values.Any(v => v.Length != known + 2 || v.Any(n => !double.IsFinite(n))))
        {
            throw new GroundDataException("Every place for a core needs the same values, all numbers: leave out places where one is missing.");
        }

        Choice choice = new(values, cores, seed);
        double best = choice.Objective(), temperature = 1;
        int[] kept = [.. choice.Taken];
        double now = best;
        for (int i = 0; i < Exchanges && best > 0 && places.Count > cores; i++, temperature *= Cooling)
        {
            (int at, int place) = choice.Propose();
            int before = choice.Exchange(at, place);
            double then = choice.Objective();
            if (then <= now || choice.Chance() < Math.Exp((now - then) / temperature))
            {
                now = then;
                if (now < best)
                {
                    (best, kept) = (now, [.. choice.Taken]);
                }
            }
            else
            {
                choice.Exchange(at, before);
            }
        }

        Array.Sort(kept);
        return kept;
    }

    private sealed class Choice
    {
        private readonly int[][] _parts;
        private readonly double[][] _scaled;
        private readonly double[,] _together;
        private readonly bool[] _isTaken;
        private readonly int[] _count;
        private ulong _state;

        public Choice(double[][] values, int cores, ulong seed)
        {
            _state = seed;
            int columns = values[0].Length;
            _parts = [.. values.Select(_ => new int[columns])];
            _scaled = [.. values.Select(v => (double[])v.Clone())];
            for (int c = 0; c < columns; c++)
            {
                int[] order = [.. Enumerable.Range(0, values.Length).OrderBy(i => values[i][c]).ThenBy(i => i)];
                for (int rank = 0; rank < order.Length; rank++)
                {
                    _parts[order[rank]][c] = (int)((long)rank * cores / order.Length);
                }

                double mean = values.Average(v => v[c]), spread = Math.Sqrt(values.Average(v => (v[c] - mean) * (v[c] - mean)));
                Array.ForEach(_scaled, v => v[c] = spread > 0 ? (v[c] - mean) / spread : 0);
            }

            _together = Correlations([.. Enumerable.Range(0, values.Length)]);
            _count = new int[columns * cores];
            _isTaken = new bool[values.Length];
            Taken = new int[cores];
            for (int k = 0; k < cores; k++)
            {
                int place;
                do
                {
                    place = (int)(Chance() * values.Length);
                }
                while (_isTaken[place]);
                (Taken[k], _isTaken[place]) = (place, true);
            }
        }

        public int[] Taken { get; }

        // SplitMix64 (Steele, Lea and Flood 2014): the same numbers everywhere.
        public double Chance()
        {
            ulong z = _state += 0x9E3779B97F4A7C15;
            z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
            return ((z ^ (z >> 31)) >> 11) / 9_007_199_254_740_992.0;
        }

        public (int At, int Place) Propose()
        {
            int at = (int)(Chance() * Taken.Length), place;
            do
            {
                place = (int)(Chance() * _isTaken.Length);
            }
            while (_isTaken[place]);
            return (at, place);
        }

        public int Exchange(int at, int place)
        {
            int before = Taken[at];
            (_isTaken[before], _isTaken[place], Taken[at]) = (false, true, place);
            return before;
        }

        public double Objective()
        {
            int columns = _parts[0].Length, cores = Taken.Length;
            Array.Clear(_count);
            foreach (int place in Taken)
            {
                for (int c = 0; c < columns; c++)
                {
                    _count[(c * cores) + _parts[place][c]]++;
                }
            }

            double sum = 0;
            foreach (int count in _count)
            {
                sum += Math.Abs(count - 1);
            }

            double[,] here = Correlations(Taken);
            for (int a = 0; a < columns; a++)
            {
                for (int b = 0; b < a; b++)
                {
                    sum += Math.Abs(here[a, b] - _together[a, b]);
                }
            }

            return sum;
        }

        private double[,] Correlations(int[] places)
        {
            int columns = _scaled[0].Length;
            double[] mean = new double[columns];
            double[,] sums = new double[columns, columns];
            foreach (int place in places)
            {
                for (int a = 0; a < columns; a++)
                {
                    mean[a] += _scaled[place][a] / places.Length;
                }
            }

            foreach (int place in places)
            {
                for (int a = 0; a < columns; a++)
                {
                    for (int b = 0; b <= a; b++)
                    {
                        sums[a, b] += (_scaled[place][a] - mean[a]) * (_scaled[place][b] - mean[b]);
                    }
                }
            }

            double[,] found = new double[columns, columns];
            for (int a = 0; a < columns; a++)
            {
                for (int b = 0; b < a; b++)
                {
                    double size = Math.Sqrt(sums[a, a] * sums[b, b]);
                    found[a, b] = size > 0 ? sums[a, b] / size : 0;
                }
            }

            return found;
        }
    }
}
