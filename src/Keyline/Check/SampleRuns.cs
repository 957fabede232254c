namespace Keyline.Check;

/// <summary>Runs of samples in a row that have something in common.</summary>
/// <remarks>On a closed line a run may pass through the first sample. Cost: linear.</remarks>
internal static class SampleRuns
{
    private const double AllButAsBad = 0.02;

    /// <summary>Runs of one key, those of key 0 left out.</summary>
    /// <param name="keys">What each sample is; equal keys side by side make a run.</param>
    /// <param name="closed">Whether the last sample stands beside the first.</param>
    /// <returns>First sample, number of samples and key; sample numbers past the last one count on from 0.</returns>
    public static List<(int Start, int Count, int Key)> Of(int[] keys, bool closed)
    {
        List<(int Start, int Count, int Key)> runs = [];
        int first = 0;
        if (closed)
        {
            // Begin where a run begins; a ring of one key has no such place.
            while (first < keys.Length && keys[first] == keys[(first + keys.Length - 1) % keys.Length])
            {
                first++;
            }

            first = first == keys.Length ? 0 : first;
        }

        for (int k = 0; k < keys.Length;)
        {
            int key = keys[(first + k) % keys.Length];
            int start = k;
            while (k < keys.Length && keys[(first + k) % keys.Length] == key)
            {
                k++;
            }

            if (key != 0)
            {
                runs.Add((first + start, k - start, key));
            }
        }

        return runs;
    }

    /// <summary>The worst sample of a run; where many are all but as bad, the middle one of them.</summary>
    /// <param name="run">First sample and number of samples.</param>
    /// <param name="samples">How many there are on the whole line.</param>
    /// <param name="badness">How bad a sample is, above 0.</param>
    public static int Worst((int Start, int Count, int Key) run, int samples, Func<int, double> badness)
    {
        int[] members = [.. Enumerable.Range(run.Start, run.Count).Select(i => i % samples)];
        double worst = members.Max(badness);
        int[] bad = [.. members.Where(i => badness(i) >= (1 - AllButAsBad) * worst)];
        return bad[bad.Length / 2];
    }
}
