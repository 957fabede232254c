namespace Keyline.Planar;

/// <summary>Cuts a path into the runs of points that pass a test.</summary>
internal static class PathRuns
{
    /// <summary>Runs of kept points; a run of a closed path may pass through its first point. Runs of one point are dropped.</summary>
    public static List<LinePath> Where(LinePath path, bool[] keep)
    {
        List<LinePath> runs = [];
        int n = path.Count;
        int firstOut = Array.IndexOf(keep, false);
        if (firstOut < 0)
        {
            runs.Add(path);
            return runs;
        }

        int start = path.Closed ? firstOut : 0;
        List<XY> run = [];
        for (int k = 0; k <= n; k++)
        {
            int i = (start + k) % n;
            if (k < n && keep[i])
            {
                run.Add(path.Points[i]);
                continue;
            }

            if (run.Count >= 2)
            {
                runs.Add(new LinePath([.. run], false));
            }

            run.Clear();
        }

        return runs;
    }
}
