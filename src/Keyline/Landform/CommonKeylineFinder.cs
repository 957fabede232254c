using Keyline.Elevation;
using Keyline.Terrain;
using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>One keyline for neighbouring valleys whose keypoints lie at nearly one height.</summary>
/// <remarks>
/// <para>Units: metres. Missing: a contour ends where heights do, and so does the common keyline.</para>
/// <para>Promises: valleys are neighbours where the contour of each one's keypoint comes to the other's floor before any third;
/// within a common keyline no two keypoints differ by more than was allowed; each valley is in one at most.</para>
/// <para>Cost: one contour a keypoint, followed up to 2 km each way.</para>
/// <para>Source: the common keyline is P. A. Yeomans's, The Keyline Plan, 1954, ch. 6; how neighbours are found is ours.</para>
/// </remarks>
internal static class CommonKeylineFinder
{
    /// <summary>Finds them.</summary>
    /// <param name="ground">The ground the keypoints lie on.</param>
    /// <param name="valleys">All valleys.</param>
    /// <param name="keypoints">One keypoint a valley.</param>
    /// <param name="shape">The shape of the ground.</param>
    /// <param name="position">The landform position.</param>
    /// <param name="within">Most that keypoints of one line may differ, metres.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static List<CommonKeyline> Find(
        ElevationGrid ground, IReadOnlyList<ValleyLine> valleys, IReadOnlyList<Keypoint> keypoints, GroundShape shape, Grid<float> position, double within, CancellationToken cancellationToken)
    {
        Grid<int> floors = Burn(shape.ContourCurvature.Frame, valleys, cancellationToken);
        Dictionary<int, Keypoint> of = keypoints.ToDictionary(k => k.ValleyNumber);
        (int Back, int Ahead)[] beside = new (int, int)[keypoints.Count];
        Parallel.For(0, keypoints.Count, WorkThreads.Options(cancellationToken), i =>
        {
            Keypoint k = keypoints[i];
            double level = ground.HeightAt(k.Location.X, k.Location.Y);
            if (ContourWalk.Through(ground, k.Location.Coordinate, level, KeylineTracer.Furthest) is { } walk)
            {
                beside[i] = (Reached(walk, -1, k, floors, of, within), Reached(walk, 1, k, floors, of, within));
            }
        });

        Dictionary<int, (int Back, int Ahead)> next = keypoints.Select((k, i) => (k.ValleyNumber, beside[i])).ToDictionary(p => p.ValleyNumber, p => p.Item2);
        List<CommonKeyline> found = [];
        HashSet<int> taken = [];

        // From the ends of chains first; what is left goes round a hill and may begin anywhere.
        foreach (bool ends in (bool[])[true, false])
        {
            foreach (Keypoint k in keypoints)
            {
                cancellationToken.ThrowIfCancellationRequested();
                if (taken.Contains(k.ValleyNumber) || (ends && Joined(next, next[k.ValleyNumber].Back, k.ValleyNumber)))
                {
                    continue;
                }

                List<Keypoint> chain = [];
                for (int v = k.ValleyNumber; taken.Add(v);)
                {
                    if (chain.Count > 0 && chain.Append(of[v]).Max(Height) - chain.Append(of[v]).Min(Height) > within)
                    {
                        Close(chain);
                        chain = [];
                    }

                    chain.Add(of[v]);
                    int ahead = next[v].Ahead;
                    if (!Joined(next, v, ahead))
                    {
                        break;
                    }

                    v = ahead;
                }

                Close(chain);
            }
        }

        return found;

        void Close(List<Keypoint> chain)
        {
            if (chain.Count > 1 && Draw(ground, valleys, chain, shape, position) is { } line)
            {
                found.Add(line);
            }
        }
    }

    private static double Height(Keypoint k) => k.Location.Coordinate.Z;

    // Whether two valleys are neighbours by both their contours, the second ahead of the first.
    private static bool Joined(Dictionary<int, (int Back, int Ahead)> next, int first, int second) =>
        first > 0 && second > 0 && next[first].Ahead == second && next[second].Back == first;

    // The first other valley's floor that a contour comes to, where that valley's keypoint lies about as high; else 0.
    private static int Reached(ContourWalk walk, int step, Keypoint from, Grid<int> floors, Dictionary<int, Keypoint> keypoints, double within)
    {
        int n = walk.Points.Length;
        for (int k = 1; k < n; k++)
        {
            int i = walk.Start + (k * step);
            if (walk.Closed)
            {
                i = ((i % n) + n) % n;
            }
            else if (i < 0 || i >= n)
            {
                return 0;
            }

            int cell = floors.Frame.IndexAt(walk.Points[i].X, walk.Points[i].Y);
            int valley = cell >= 0 ? floors.Array[cell] : 0;
            if (valley != 0 && valley != from.ValleyNumber)
            {
                return keypoints.TryGetValue(valley, out Keypoint? other) && Math.Abs(Height(other) - Height(from)) <= within ? valley : 0;
            }
        }

        return 0;
    }

    private static CommonKeyline? Draw(ElevationGrid ground, IReadOnlyList<ValleyLine> valleys, List<Keypoint> chain, GroundShape shape, Grid<float> position)
    {
        double level = chain.Average(Height);
        Coordinate?[] places = [.. chain.Select(k => AtHeight(valleys[k.ValleyNumber - 1].Line, k.DistanceFromHead, level))];
        if (places[0] is not { } first || ContourWalk.Through(ground, first, level, KeylineTracer.Furthest) is not { } walk)
        {
            return null;
        }

        int[] at = [.. places.Select(p => p is null ? -1 : Nearest(walk, p, 3 * shape.ContourCurvature.Frame.CellSize))];
        for (int i = 0; i < at.Length; i++)
        {
            if (at[i] < 0 || (i > 0 && at[i] <= at[i - 1]))
            {
                return null;
            }
        }

        List<Coordinate> line = KeylineTracer.Walk(walk, at[0], -1, shape, position);
        line.Reverse();
        line.AddRange(walk.Points[(at[0] + 1)..at[^1]]);
        line.AddRange(KeylineTracer.Walk(walk, at[^1], 1, shape, position));
        return new CommonKeyline([.. chain.Select(k => k.ValleyNumber)], KeylineTracer.Level(line, level), level, chain.Max(Height) - chain.Min(Height));
    }

    private static int Nearest(ContourWalk walk, Coordinate place, double within)
    {
        int best = -1;
        double least = within;
        for (int i = 0; i < walk.Points.Length; i++)
        {
            double d = walk.Points[i].Distance(place);
            if (d < least)
            {
                (best, least) = (i, d);
            }
        }

        return best;
    }

    // The place nearest along a floor to a distance from its head where it passes a height.
    private static CoordinateZ? AtHeight(LineString floor, double from, double level)
    {
        Coordinate[] points = floor.Coordinates;
        CoordinateZ? best = null;
        double least = double.PositiveInfinity, walked = 0;
        for (int i = 1; i < points.Length; i++)
        {
            Coordinate a = points[i - 1], b = points[i];
            double step = a.Distance(b);
            if ((a.Z >= level) != (b.Z >= level))
            {
                double t = (level - a.Z) / (b.Z - a.Z), off = Math.Abs(walked + (t * step) - from);
                if (off < least)
                {
                    (least, best) = (off, new CoordinateZ(a.X + (t * (b.X - a.X)), a.Y + (t * (b.Y - a.Y)), level));
                }
            }

            walked += step;
        }

        return best;
    }

    // The number of the first valley whose floor runs through each cell; 0 for none.
    private static Grid<int> Burn(GridFrame frame, IReadOnlyList<ValleyLine> valleys, CancellationToken cancellationToken)
    {
        int[] floors = new int[checked((int)frame.CellCount)];
        foreach (ValleyLine valley in valleys)
        {
            cancellationToken.ThrowIfCancellationRequested();
            foreach (int cell in LineCells.Of(frame, valley.Line))
            {
                floors[cell] = floors[cell] == 0 ? valley.Number : floors[cell];
            }
        }

        return new Grid<int>(frame, floors);
    }
}
