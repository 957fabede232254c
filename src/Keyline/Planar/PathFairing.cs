namespace Keyline.Planar;

/// <summary>Makes paths that a machine of a given turning radius can follow.</summary>
/// <remarks>
/// <para>Units: metres. Works on paths resampled near 1 m; curvature is that of the circle through points three places apart.</para>
/// <para>Cost: rounds times the points near tight places. Source: local smoothing, ours.</para>
/// </remarks>
internal static class PathFairing
{
    private const int Arm = 3;

    /// <summary>Pulls in the places that turn tighter than a radius until none is left or nothing more is gained.</summary>
    /// <remarks>Works on a path resampled near 1 m; moves only the neighbourhood of a tight place.</remarks>
    public static LinePath Fair(LinePath line, double minimumRadius)
    {
        if (minimumRadius <= 0 || line.Count < 5)
        {
            return line;
        }

        const int MostRounds = 160;
        double limit = 1 / (minimumRadius * 1.03);
        XY[] points = [.. line.Points];
        LinePath path = new(points, line.Closed);
        int reach = Math.Max((int)Math.Ceiling(minimumRadius * 0.7), Arm);
        bool[] move = new bool[points.Length];
        int[] watched = [.. Enumerable.Range(0, points.Length)];
        XY[] next = new XY[points.Length];
        for (int round = 0; round < MostRounds; round++)
        {
            // After the first round only the neighbourhood of what moved can have changed.
            Array.Clear(move);
            bool any = false;
            foreach (int i in watched)
            {
                if (Math.Abs(path.CurvatureAt(i, Arm)) <= limit)
                {
                    continue;
                }

                any = true;
                for (int k = -reach; k <= reach; k++)
                {
                    int j = line.Closed ? ((i + k) % points.Length + points.Length) % points.Length : i + k;
                    if (j >= 0 && j < points.Length)
                    {
                        move[j] = true;
                    }
                }
            }

            if (!any)
            {
                break;
            }

            int[] moved = [.. watched.Where(i => move[i] && (line.Closed || (i >= 2 && i < points.Length - 2)))];
            foreach (int i in moved)
            {
                next[i] = (points[i] * 0.4) + ((path.At(i - 2) + path.At(i + 2)) * 0.15) + ((path.At(i - 1) + path.At(i + 1)) * 0.15);
            }

            foreach (int i in moved)
            {
                points[i] = next[i];
            }

            if (round == 0)
            {
                bool[] near = new bool[points.Length];
                foreach (int i in moved)
                {
                    for (int k = -4 * reach; k <= 4 * reach; k++)
                    {
                        int j = line.Closed ? ((i + k) % points.Length + points.Length) % points.Length : i + k;
                        if (j >= 0 && j < points.Length)
                        {
                            near[j] = true;
                        }
                    }
                }

                watched = [.. watched.Where(i => near[i])];
            }
        }

        return path;
    }

    /// <summary>The stretches that turn no tighter than a radius: what <see cref="Fair"/> could not mend is cut out.</summary>
    /// <remarks>Works on a path resampled near 1 m.</remarks>
    public static List<LinePath> Drivable(LinePath line, double minimumRadius)
    {
        const double Slack = 1.01;
        if (minimumRadius <= 0 || line.Count < 5)
        {
            return [line];
        }

        bool[] keep = new bool[line.Count];
        Array.Fill(keep, true);
        for (int i = 0; i < keep.Length; i++)
        {
            if (Math.Abs(line.CurvatureAt(i, Arm)) * minimumRadius > Slack)
            {
                for (int k = -1; k <= 1; k++)
                {
                    int j = line.Closed ? (i + k + keep.Length) % keep.Length : Math.Clamp(i + k, 0, keep.Length - 1);
                    keep[j] = false;
                }
            }
        }

        return PathRuns.Where(line, keep);
    }
}
