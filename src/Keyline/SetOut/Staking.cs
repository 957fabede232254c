using Keyline.Elevation;
using Keyline.Field;
using Keyline.Guidance;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.SetOut;

/// <summary>Puts stakes along a line for setting out by laser level and flags.</summary>
/// <remarks>
/// <para>Units: metres; grades in percent, positive where the ground falls toward the next stake.</para>
/// <para>Missing: a stake on missing ground has height NaN, and neither reading nor grade.</para>
/// <para>The profile is the ground under the line, at points a metre apart, calmed as asked.</para>
/// <para>Promises: stakes at the line's ends, at even distances, and wherever straight falls between stakes would miss the
/// profile, or straight ways between them the bend, by more than asked. The stakes of one set-up fit the rod and the sight.</para>
/// <para>Cost: n log n in the length in metres. Source: differential levelling by height of instrument, common practice, no
/// source; places of change by Douglas and Peucker (1973), see <see cref="LineThinning"/>.</para>
/// </remarks>
public static class Staking
{
    private const double Step = 1.0;

    // The lowest and highest tenth-metres of a rod are hard to read over grass and by a detector on its slide.
    private const double RodEnds = 0.2;

    // Stakes no farther from each other than this many sights can all be seen from one place: a circle of radius d over the
    // square root of 3 covers any set of points within d of each other (Jung 1901).
    private const double SightsBetween = 1.7320508;

    // A change this near to a stake that stands already needs none of its own.
    private const double Near = 2.0;

    /// <summary>Puts stakes along a line.</summary>
    /// <param name="id">The line's id, which the stakes are named after.</param>
    /// <param name="line">The line, projected metres; Z its heights, taken where no ground is given.</param>
    /// <param name="options">Where stakes go.</param>
    /// <param name="mark">The benchmark the level is read on; null for the line's first stake.</param>
    /// <param name="ground">Heights; null for those of the line.</param>
    /// <param name="field">The field, whose avoided areas stakes are told of; null for none.</param>
    /// <exception cref="ArgumentException">An option cannot be followed.</exception>
    /// <exception cref="GroundDataException">The line has no length, or a coordinate that is no number.</exception>
    public static StakedLine Along(string id, LineString line, SetOutOptions options, LevelMark? mark = null, ElevationGrid? ground = null, FieldArea? field = null)
    {
        ArgumentNullException.ThrowIfNull(id);
        ArgumentNullException.ThrowIfNull(line);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        LineRules.Check(line, "Line " + id);
        double length = line.Length;

        PlannedIndex along = new([new PlannedPath(id, 1, line)], options.Interval);
        double[] stations = [.. Enumerable.Range(0, (int)Math.Ceiling(length / Step)).Select(i => i * Step), length];
        Coordinate[] places = Array.ConvertAll(stations, s => At(along, s, ground));
        Calm(stations, places, options.Calming);
        SortedDictionary<double, StakeReasons> chosen = Chosen(stations, places, length, options);
        Coordinate[] at = [.. chosen.Keys.Select(s => OnProfile(At(along, s, null), s, places))];
        double[] where = [.. chosen.Keys];
        (int[] setUpOf, LevelSetUp[] setUps) = SetUps(id, at, options, mark);
        Stake[] stakes = new Stake[at.Length];
        for (int i = 0; i < at.Length; i++)
        {
            double fall = i + 1 < at.Length ? 100 * (at[i].Z - at[i + 1].Z) / (where[i + 1] - where[i]) : double.NaN;
            stakes[i] = new Stake(NameOf(id, i), where[i], at[i], chosen[where[i]], fall, setUpOf[i], KeepClearOf(at[i], field));
        }

        return new StakedLine(id, line, stakes, setUps, stations, Array.ConvertAll(places, p => p.Z));
    }

    private static string KeepClearOf(Coordinate at, FieldArea? field)
    {
        Point place = new(at);
        AvoidedArea? area = field?.Avoided.FirstOrDefault(a => a.KeptClear.Intersects(place));
        return area is null ? "" : area.Name.Length > 0 ? area.Name : "an avoided area";
    }

    private static string NameOf(string id, int index) => FormattableString.Invariant($"{id}-{index + 1:00}");

    private static CoordinateZ At(PlannedIndex along, double station, ElevationGrid? ground)
    {
        XY at = along.At(0, station);
        return new CoordinateZ(at.X, at.Y, ground is null ? along.HeightAt(0, station) : ground.HeightAt(at.X, at.Y));
    }

    // Stations are a step apart but for the last.
    private static CoordinateZ OnProfile(Coordinate at, double station, Coordinate[] places)
    {
        int i = Math.Min((int)(station / Step), places.Length - 2);
        double t = places.Length > 1 ? Math.Clamp((station - (i * Step)) / Math.Max(places[i].Distance(places[i + 1]), 1e-9), 0, 1) : 0;
        return new CoordinateZ(at.X, at.Y, t == 0 ? places[i].Z : t == 1 ? places[i + 1].Z : places[i].Z + (t * (places[i + 1].Z - places[i].Z)));
    }

    private static void Calm(double[] stations, Coordinate[] places, double deviation)
    {
        foreach ((int from, int to) in deviation > 0 ? Known(places) : [])
        {
            LinePath profile = new([.. Enumerable.Range(from, to - from).Select(i => new XY(stations[i], places[i].Z))], false);
            XY[] calm = profile.Smooth(deviation / Step).Points;
            for (int i = from; i < to; i++)
            {
                places[i].Z = calm[i - from].Y;
            }
        }
    }

    // Runs of places whose heights are known, of three or more.
    private static List<(int From, int To)> Known(Coordinate[] places)
    {
        List<(int, int)> runs = [];
        for (int i = 0; i < places.Length;)
        {
            int end = i;
            while (end < places.Length && !double.IsNaN(places[end].Z))
            {
                end++;
            }

            if (end - i > 2)
            {
                runs.Add((i, end));
            }

            i = Math.Max(end, i + 1);
        }

        return runs;
    }

    private static SortedDictionary<double, StakeReasons> Chosen(double[] stations, Coordinate[] places, double length, SetOutOptions options)
    {
        SortedDictionary<double, StakeReasons> chosen = new() { [0] = StakeReasons.Start, [length] = StakeReasons.End };
        for (int k = 1; k * options.Interval < length - Math.Min(Near, options.Interval / 2); k++)
        {
            chosen[k * options.Interval] = StakeReasons.Interval;
        }

        // Bends on the map, then changes of grade in each unbroken part of the profile.
        Add(Corners(Enumerable.Range(0, places.Length).Select(i => new Coordinate(places[i].X, places[i].Y)), options.BendStep), 0, StakeReasons.Bend);
        foreach ((int from, int to) in Known(places))
        {
            Add(Corners(Enumerable.Range(from, to - from).Select(j => new Coordinate(stations[j], places[j].Z)), options.HeightStep), from, StakeReasons.Grade);
        }

        return chosen;

        void Add(IEnumerable<int> corners, int from, StakeReasons reason)
        {
            foreach (double station in corners.Select(c => stations[from + c]))
            {
                double nearest = chosen.Keys.MinBy(k => Math.Abs(k - station));
                double key = Math.Abs(nearest - station) <= Math.Min(Near, options.Interval / 4) ? nearest : station;
                chosen[key] = chosen.GetValueOrDefault(key) | reason;
            }
        }
    }

    // Inner points that stay when a run of points is thinned, by their place in the run.
    private static IEnumerable<int> Corners(IEnumerable<Coordinate> points, double tolerance)
    {
        Coordinate[] given = [.. points];
        Coordinate[] kept = LineThinning.Thin(new LineString(given), tolerance, double.PositiveInfinity).Coordinates;
        int next = 1;
        for (int i = 1; i < given.Length - 1 && next < kept.Length - 1; i++)
        {
            if (given[i].Equals2D(kept[next]))
            {
                next++;
                yield return i;
            }
        }
    }

    private static (int[] Of, LevelSetUp[] SetUps) SetUps(string id, Coordinate[] at, SetOutOptions options, LevelMark? mark)
    {
        int[] of = new int[at.Length];
        List<LevelSetUp> setUps = [];
        double reach = options.Rod - (2 * RodEnds);
        for (int i = 0; i < at.Length;)
        {
            // The plane is known only where the benchmark was read, and only stakes that the rod can show are read from there.
            bool first = i == 0 && mark is not null;
            int end = first ? End(i, at, options, z => z >= mark!.Plane - options.Rod + RodEnds && z <= mark.Plane - RodEnds) : i;
            if (first && end == i)
            {
                first = false;
            }

            // Later set-ups begin with the last stake of the one before, which need not be read anew to be counted.
            int from = first || i == 0 ? i : i - 1;
            if (!first)
            {
                double low = double.PositiveInfinity, high = double.NegativeInfinity;
                end = End(from, at, options, z =>
                {
                    (low, high) = (Math.Min(low, z), Math.Max(high, z));
                    return high - low <= reach;
                });
                end = Math.Max(end, i + 1);
            }

            Array.Fill(of, setUps.Count + 1, i, end - i);
            setUps.Add(first ? new LevelSetUp(setUps.Count + 1, mark!.Name, mark.Height, mark.Plane) : new LevelSetUp(setUps.Count + 1, NameOf(id, from), at[from].Z, double.NaN));
            i = end;
        }

        return (of, [.. setUps]);
    }

    // One past the last stake in a row that the rod can show and two sights can span.
    private static int End(int from, Coordinate[] at, SetOutOptions options, Func<double, bool> shows)
    {
        int end = from;
        while (end < at.Length && (double.IsNaN(at[end].Z) || shows(at[end].Z)) && Enumerable.Range(from, end - from).All(j => at[j].Distance(at[end]) <= SightsBetween * options.Sight))
        {
            end++;
        }

        return end;
    }
}
