using NetTopologySuite.Geometries;
using NetTopologySuite.LinearReferencing;

namespace Keyline.Landform;

/// <summary>Puts keypoints that were walked to and flagged on the valley lines, before those that were found.</summary>
/// <remarks>
/// <para>Units: metres. Promises: a pin farther from every valley line than allowed is given back, never moved.</para>
/// <para>Cost: pins times points of the valley lines.</para>
/// <para>Source: own.</para>
/// </remarks>
internal static class KeypointPins
{
    /// <summary>A found break this near its interval's ends bears a pin out, metres.</summary>
    private const double Agreement = 10;

    /// <summary>Adds the pins.</summary>
    /// <param name="valleys">The valleys.</param>
    /// <param name="breaks">Breaks of each valley, ranked; the pins go in front.</param>
    /// <param name="options">The pins, and how far they may lie from a line.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Pins that lie too far from every valley line.</returns>
    public static List<Coordinate> Place(IReadOnlyList<ValleyLine> valleys, List<Keypoint>[] breaks, LandformOptions options, CancellationToken cancellationToken)
    {
        List<Coordinate> unplaced = [];
        Dictionary<int, List<Keypoint>> pinned = [];
        foreach (Coordinate pin in options.PinnedKeypoints)
        {
            cancellationToken.ThrowIfCancellationRequested();
            Point place = new(pin);
            ValleyLine? nearest = valleys.MinBy(v => v.Line.Distance(place));
            if (nearest is null || nearest.Line.Distance(place) > options.PinReach)
            {
                unplaced.Add(pin.Copy());
                continue;
            }

            LengthIndexedLine line = new(nearest.Line);
            double at = line.Project(pin);
            int i = nearest.Number - 1;
            if (!pinned.TryGetValue(i, out List<Keypoint>? list))
            {
                pinned[i] = list = [];
            }

            list.Add(Pinned(nearest, at, line.ExtractPoint(at), nearest.Line.Distance(place), breaks[i]));
        }

        foreach ((int i, List<Keypoint> list) in pinned)
        {
            breaks[i] = [.. list.Concat(breaks[i]).Select((k, rank) => k with { Rank = rank + 1 })];
        }

        return unplaced;
    }

    private static Keypoint Pinned(ValleyLine valley, double at, Coordinate place, double distance, List<Keypoint> found)
    {
        (double above, double below, double statistic, double sag, double fitted) = KeypointFinder.EvidenceAt(valley.Profile, at);
        bool bornOut = found.Exists(k => k.Class == KeypointClass.Clear && at >= k.PlaceFrom - Agreement && at <= k.PlaceTo + Agreement);
        return new Keypoint
        {
            ValleyNumber = valley.Number,
            Location = new Point(place),
            Class = bornOut ? KeypointClass.Clear : KeypointClass.Weak,
            DistanceFromHead = at,
            SlopeAbove = above,
            SlopeBelow = below,
            FStatistic = statistic,
            Sag = sag,
            FittedHeight = fitted,
            PlaceFrom = at,
            PlaceTo = at,
            ConcavityDistance = found.Count > 0 ? found[0].ConcavityDistance : double.NaN,
            InflectionDistance = found.Count > 0 ? found[0].InflectionDistance : double.NaN,
            IsPinned = true,
            PinDistance = distance,
        };
    }
}
