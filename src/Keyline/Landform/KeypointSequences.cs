using NetTopologySuite.Algorithm;
using NetTopologySuite.Geometries;
using NetTopologySuite.LinearReferencing;

namespace Keyline.Landform;

/// <summary>Orders keypoints along main ridges.</summary>
internal static class KeypointSequences
{
    /// <summary>Sequences of two keypoints or more, by ridge, the side on the left of its downward way first.</summary>
    public static List<KeypointSequence> Find(IReadOnlyList<RidgeLine> ridges, IReadOnlyList<ValleyLine> valleys, IReadOnlyList<Keypoint> keypoints, IReadOnlyDictionary<int, int> ridgeOfValley, CancellationToken cancellationToken)
    {
        List<KeypointSequence> found = [];
        foreach (RidgeLine ridge in ridges.Where(r => r.IsMain))
        {
            cancellationToken.ThrowIfCancellationRequested();
            LengthIndexedLine crest = new(ridge.Line);
            List<(int Side, double At, Keypoint Keypoint)> carried = [];
            foreach (Keypoint k in keypoints)
            {
                if (ridgeOfValley.GetValueOrDefault(k.ValleyNumber) == ridge.Number)
                {
                    Coordinate head = valleys[k.ValleyNumber - 1].Line.StartPoint.Coordinate;
                    double at = crest.Project(head);
                    Coordinate before = crest.ExtractPoint(Math.Max(0, at - 1)), after = crest.ExtractPoint(Math.Min(ridge.Line.Length, at + 1));
                    carried.Add(((int)Orientation.Index(before, after, head), at, k));
                }
            }

            foreach (int side in (int[])[1, -1])
            {
                // A crest runs from its higher end.
                (int, double, Keypoint)[] rising = [.. carried.Where(c => c.Side == side).OrderByDescending(c => c.At).ThenBy(c => c.Keypoint.ValleyNumber)];
                if (rising.Length > 1)
                {
                    double[] heights = [.. rising.Select(c => c.Item3.Location.Coordinate.Z)];
                    found.Add(new KeypointSequence(ridge.Number, [.. rising.Select(c => c.Item3.ValleyNumber)], heights, heights.Zip(heights.Skip(1)).Count(p => p.Second > p.First)));
                }
            }
        }

        return found;
    }
}
