using Keyline.Planar;

namespace Keyline.Layout.Even;

/// <summary>The directions a line may take at a place: within the grade limit, and falling toward the ridge where the land
/// says which way that is.</summary>
/// <remarks>
/// <para>Units: percent, radians from the contour as of <see cref="NodeGrid"/>.</para>
/// <para>A line at fall f gains position as long as f is less than the fall at which what is gained along the contour is lost
/// again downhill. The window reaches from the least fall wished for to a little less than that, or than the grade limit.
/// Where position hardly changes along the contour the window blends into one about the contour.</para>
/// <para>Source: ours.</para>
/// </remarks>
internal readonly record struct DirectionWindow(double DownEast, double DownSouth, double Slope, double Low, double High)
{
    private const double LimitShare = 0.85;
    private const double LostShare = 0.85;
    private const double LeastTop = 0.3;
    private const double BottomShare = 0.6;
    private const double NoSay = 0.05;
    private const double FullSay = 0.3;
    private const double LevelFall = 0.3;
    private const double MostSine = 0.95;

    /// <summary>The window at a place.</summary>
    /// <param name="fall">Downhill gradient, metres per metre, east and south.</param>
    /// <param name="rise">Gradient of the position, east and south; only its direction matters.</param>
    /// <param name="limit">Steepest grade, percent.</param>
    /// <param name="leastFall">Least fall wished for, percent; 0 asks for none.</param>
    public static DirectionWindow Of(XY fall, XY rise, double limit, double leastFall)
    {
        double norm = fall.Norm;
        double slope = (100 * norm) + 1e-7;
        XY down = norm > 0 ? fall * (1 / norm) : new XY(0, 1);
        double along = rise.Dot(new XY(-down.Y, down.X));
        double lost = -rise.Dot(down);
        double most = limit * LimitShare;

        // The fall along the line at which position is neither gained nor lost.
        double even = slope * (along == 0 ? 0 : lost > 0 ? Math.Abs(along) / Math.Sqrt((along * along) + (lost * lost)) : 1);
        double say = leastFall > 0 ? Math.Clamp((even - NoSay) / (FullSay - NoSay), 0, 1) : 0;
        double level = leastFall > 0 ? Math.Min(LevelFall, most) : most;
        double top = Math.Min(most, Math.Max(LostShare * even, LeastTop));
        double bottom = Math.Min(leastFall, BottomShare * top);
        double low = (bottom * say) - (level * (1 - say));
        double high = (top * say) + (level * (1 - say));
        if (along < 0)
        {
            (low, high) = (-high, -low);
        }

        return new DirectionWindow(down.X, down.Y, slope, Angle(low), Angle(high));

        double Angle(double f) => Math.Asin(Math.Clamp(f / slope, -MostSine, MostSine));
    }
}
