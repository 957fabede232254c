namespace Keyline.Fieldwork;

/// <summary>Finds readings that do not fit those around them.</summary>
/// <remarks>
/// <para>Units: the value's own. Promises: tells, takes nothing away; looks at what each value differs by from the middle one of its eight
/// nearest, so that a rich corner of a field is no outlier; below ten readings nothing is told.</para>
/// <para>Cost: about that of eight neighbours a point. Source: the modified z score above 3.5, B. Iglewicz and D. C. Hoaglin, How to detect and
/// handle outliers, 1993, chapter 3; against neighbours instead of all, ours.</para>
/// </remarks>
public static class OutlierCheck
{
    /// <summary>Scores above this are told.</summary>
    public const double Bound = 3.5;

    private const int Least = 10;
    private const int Neighbours = 8;

    /// <summary>Numbers of the points that do not fit, rising.</summary>
    /// <param name="points">The points.</param>
    public static IReadOnlyList<int> Find(IReadOnlyList<SoilPoint> points)
    {
        ArgumentNullException.ThrowIfNull(points);
        if (points.Count < Least)
        {
            return [];
        }

        NearestPoints nearest = new([.. points.Select(p => p.X)], [.. points.Select(p => p.Y)]);
        int[] found = new int[Neighbours];
        double[] squares = new double[Neighbours], differs = new double[points.Count];
        for (int i = 0; i < points.Count; i++)
        {
            int count = nearest.Find(points[i].X, points[i].Y, i, found, squares);
            differs[i] = points[i].Value - Middle([.. found.Take(count).Select(k => points[k].Value)]);
        }

        double middle = Middle(differs), spread = Middle([.. differs.Select(d => Math.Abs(d - middle))]);
        return spread > 0 ? [.. Enumerable.Range(0, points.Count).Where(i => 0.6745 * Math.Abs(differs[i] - middle) / spread > Bound)] : [];
    }

    /// <summary>The middle value; of an even number the mean of the two in the middle.</summary>
    internal static double Middle(double[] values) => Share(values, 0.5);

    /// <summary>The value below which a share of them lies, between two of them by their distance.</summary>
    internal static double Share(double[] values, double share)
    {
        double[] sorted = [.. values.Order()];
        double at = share * (sorted.Length - 1);
        int low = (int)Math.Floor(at), high = Math.Min(low + 1, sorted.Length - 1);
        return sorted[low] + ((at - low) * (sorted[high] - sorted[low]));
    }
}
