namespace Keyline.Planar;

/// <summary>Lines at an exact level distance from a guide.</summary>
/// <remarks>
/// <para>Units: metres; the distance is signed, positive to the left of travel.</para>
/// <para>Promises: every point of a result lies at the distance asked for from the guide, to within
/// <see cref="Tolerance"/>, before fairing; a place whose nearest guide point is another one is cut away, so a result
/// neither folds back on itself nor runs closer to the guide. Corners left by the cutting are joined.</para>
/// <para>Cost: proportional to the length of the guide times the guide segments within the distance.</para>
/// <para>Source: tangent-normal offset of a smooth curve with interference test against the generator; the trimming of
/// local and global self-intersections as in Held 1991, "On the Computational Geometry of Pocket Machining", ch. 3.</para>
/// </remarks>
internal static class ParallelLines
{
    /// <summary>How far a kept point may be short of the distance asked for, metres.</summary>
    public const double Tolerance = 0.02;

    private const double LongestChord = 2.0;

    /// <summary>The parallel of a guide at a distance.</summary>
    /// <param name="guide">The guide, points about 1 m apart and smooth.</param>
    /// <param name="distance">Metres, positive left.</param>
    /// <param name="level">Every piece of the guide's level, the guide among them: ground nearer to another piece is that piece's.</param>
    /// <param name="wanted">Tells the places that are of use; what lies elsewhere is cut away too. Null for all.</param>
    public static List<LinePath> Offset(LinePath guide, double distance, SegmentBins level, Func<XY, bool>? wanted = null)
    {
        (List<XY> raw, bool closed) = Raw(guide, distance);
        double clearance = Math.Abs(distance) - Tolerance;
        bool[] keep = new bool[raw.Count];
        bool all = true;
        for (int i = 0; i < keep.Length; i++)
        {
            keep[i] = (wanted is null || wanted(raw[i])) && !level.AnyWithin(raw[i], clearance);
            all &= keep[i];
        }

        if (all)
        {
            return raw.Count >= 2 ? [new LinePath([.. raw], closed)] : [];
        }

        List<List<XY>> runs = Runs(raw, keep, closed);
        return Join(runs, closed);
    }

    private static (List<XY> Points, bool Closed) Raw(LinePath guide, double distance)
    {
        List<XY> points = [];
        int n = guide.SegmentCount;
        for (int i = 0; i < n; i++)
        {
            XY p0 = guide.Points[i];
            XY p1 = guide.End(i);
            XY n0 = guide.Tangent(i).Left;
            XY n1 = guide.Tangent(i + 1).Left;
            XY a = p0 + (n0 * distance);
            XY b = p1 + (n1 * distance);
            points.Add(a);
            int pieces = (int)Math.Ceiling((b - a).Norm / LongestChord);
            double turn = Math.Atan2(n0.Cross(n1), n0.Dot(n1));
            for (int k = 1; k < pieces; k++)
            {
                double t = (double)k / pieces;
                XY q = CatmullRom(guide.At(i - 1), p0, p1, guide.At(i + 2), t);
                double c = Math.Cos(turn * t);
                double s = Math.Sin(turn * t);
                XY normal = new((n0.X * c) - (n0.Y * s), (n0.X * s) + (n0.Y * c));
                points.Add(q + (normal * distance));
            }
        }

        if (!guide.Closed)
        {
            points.Add(guide.Points[^1] + (guide.Tangent(guide.Count - 1).Left * distance));
        }

        return (points, guide.Closed);
    }

    private static XY CatmullRom(XY a, XY b, XY c, XY d, double t)
    {
        double t2 = t * t;
        double t3 = t2 * t;
        return (a * ((-0.5 * t3) + t2 - (0.5 * t))) + (b * ((1.5 * t3) - (2.5 * t2) + 1))
            + (c * ((-1.5 * t3) + (2 * t2) + (0.5 * t))) + (d * ((0.5 * t3) - (0.5 * t2)));
    }

    private static List<List<XY>> Runs(List<XY> raw, bool[] keep, bool closed)
    {
        int n = raw.Count;
        int start = closed ? Array.IndexOf(keep, false) : 0;
        List<List<XY>> runs = [];
        List<XY>? run = null;
        for (int k = 0; k < n; k++)
        {
            int i = (start + k) % n;
            if (keep[i])
            {
                if (run is null)
                {
                    runs.Add(run = []);
                }

                run.Add(raw[i]);
            }
            else
            {
                run = null;
            }
        }

        return runs;
    }

    // Where a fold was cut out, the two ends lie within a chord or two of the corner they meet in.
    private static List<LinePath> Join(List<List<XY>> runs, bool closed)
    {
        const double MostGap = 3 * LongestChord;
        List<List<XY>> joined = [];
        foreach (List<XY> run in runs)
        {
            if (joined.Count > 0 && Meets(joined[^1], run, MostGap))
            {
                Connect(joined[^1], run);
            }
            else
            {
                joined.Add([.. run]);
            }
        }

        bool ring = false;
        if (closed && joined.Count > 1 && Meets(joined[^1], joined[0], MostGap))
        {
            Connect(joined[^1], joined[0]);
            joined.RemoveAt(0);
        }
        else if (closed && joined.Count == 1 && joined[0].Count > 8 && Meets(joined[0], joined[0], MostGap))
        {
            ring = true;
        }

        List<LinePath> paths = [];
        foreach (List<XY> run in joined)
        {
            if (run.Count >= 2)
            {
                paths.Add(new LinePath([.. run], ring));
            }
        }

        return paths;
    }

    private static bool Meets(List<XY> a, List<XY> b, double gap) => (b[0] - a[^1]).Norm <= gap;

    private static void Connect(List<XY> a, List<XY> b)
    {
        if (a.Count >= 2 && b.Count >= 2)
        {
            XY u = a[^1] - a[^2];
            XY v = b[1] - b[0];
            double cross = u.Cross(v);
            if (Math.Abs(cross) > 1e-9)
            {
                double t = (b[0] - a[^1]).Cross(v) / cross;
                XY corner = a[^1] + (u * t);
                if (t >= 0 && (corner - a[^1]).Norm <= 3 * LongestChord && (corner - b[0]).Dot(v) <= 0)
                {
                    a.Add(corner);
                }
            }
        }

        a.AddRange(b);
    }
}
