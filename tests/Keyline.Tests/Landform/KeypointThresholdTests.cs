using Keyline.Landform;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Landform;

/// <summary>The limits of what counts as a break of slope, each crossed slowly on one floor.</summary>
public sealed class KeypointThresholdTests
{
    private static List<Keypoint> Find(Func<double, double> height, double length)
    {
        Coordinate[] points = [.. Enumerable.Range(0, (int)(length / 2) + 1).Select(i => (Coordinate)new CoordinateZ(0, -2.0 * i, height(2.0 * i)))];
        LineString line = new(points);
        ValleyProfile profile = ValleyProfile.Sample(points, 2, double.PositiveInfinity)!;
        ValleyLine valley = new(1, line, 1, 1e5, ValleyKind.Primary, 0, ValleyEnd.Edge, profile);
        return KeypointFinder.Find(valley, profile, 2, 2, new LandformOptions());
    }

    // A break from 8 % to 4 % in 300 m, under waves of 60 m that grow until they hide it: the least F that still gives a keypoint
    // is 7, which one valley of one slope in twenty or fewer exceeds.
    [Fact]
    public void Find_GrowingWaves_HasNoKeypointBelowAnFOfSeven()
    {
        List<double> found = [];
        int none = 0;
        for (double wave = 0.2; wave < 4; wave *= 1.01)
        {
            List<Keypoint> keypoints = Find(
                d => 40 - (0.08 * Math.Min(d, 150)) - (0.04 * Math.Max(0, d - 150)) + (wave * Math.Sin(2 * Math.PI * (d - 150) / 60)), 300);
            found.AddRange(keypoints.Select(k => k.FStatistic));
            none += keypoints.Count == 0 ? 1 : 0;
        }

        Assert.InRange(found.Min(), 7, 7.8);
        Assert.True(none > 10);
    }

    // Two exact slopes that meet in the middle of 200 m hang (above - below) x 50 m below the straight way: 0.3 m at 0.6 % apart.
    [Fact]
    public void Find_GrowingBreak_HasNoKeypointBelowASagOfThirtyCentimetres()
    {
        List<(double Change, double Sag)> found = [];
        for (double change = 0.001; change < 0.02; change += 0.0001)
        {
            found.AddRange(Find(d => 40 - ((0.004 + change) * Math.Min(d, 100)) - (0.004 * Math.Max(0, d - 100)), 200).Select(k => (change, k.Sag)));
        }

        Assert.Equal(0.006, found[0].Change, 2e-4);
        Assert.InRange(found.Min(f => f.Sag), 0.3, 0.31);
    }
}
