using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>Draws places to measure at in a plot: between its passes, clear of rips and wheels, or on a rip where that is the question.</summary>
internal sealed class PointPlacing(TrialOptions options, double spacing, ShankSet? shanks, SeededDraws draws)
{
    public const double RipClear = 0.35;
    public const double WheelHalf = 0.3;
    private const double EndClear = 5;
    private const double Apart = 2;
    private const int Tries = 60;
    private const double Step = 0.05;

    private readonly double[] _rips = shanks is { Count: > 1 } s ? [.. Enumerable.Range(0, s.Count).Select(k => (k - ((s.Count - 1) / 2.0)) * s.Spacing)] : [0];

    /// <summary>Whether some place between passes a spacing apart is clear of rips and wheels.</summary>
    public bool HasClearGround => Clear(spacing).Length > 0;

    /// <summary>The points of a plot, or of a part of one.</summary>
    public IEnumerable<TrialPoint> Of(string plot, PassStrip strip, int first, int last, int from, int to)
    {
        List<Coordinate> taken = [];
        foreach ((string kind, int count) in options.Points.Where(p => p.Value > 0).OrderBy(p => p.Key, StringComparer.Ordinal))
        {
            for (int n = 1; n <= count; n++)
            {
                bool onRip = options.OnRip && kind is "ring" or "penetrometer" or "core" && options.OnRip && n % 2 == 0;
                string id = FormattableString.Invariant($"{plot}-{TrialPoint.Letter(kind)}{n}");
                if (kind == "photo")
                {
                    // From one end along the middle of the plot, the same way every visit.
                    double middle = (first + last) / 2.0;
                    double begin = from + Math.Min(EndClear / PassStrips.CutStep, (to - from) / 4.0);
                    Coordinate stand = strip.At(begin, middle), look = strip.At(to, middle);
                    yield return new TrialPoint(id, plot, kind, stand.X, stand.Y, false, Math.Round((450 - (Math.Atan2(look.Y - stand.Y, look.X - stand.X) * 180 / Math.PI)) % 360));
                    continue;
                }

                Coordinate best = Draw(strip, first, last, from, to, onRip);
                for (int k = 0; k < Tries && taken.Exists(t => t.Distance(best) < Apart); k++)
                {
                    best = Draw(strip, first, last, from, to, onRip);
                }

                taken.Add(best);
                yield return new TrialPoint(id, plot, kind, best.X, best.Y, onRip, double.NaN);
            }
        }
    }

    private Coordinate Draw(PassStrip strip, int first, int last, int from, int to, bool onRip)
    {
        double margin = Math.Min(EndClear / PassStrips.CutStep, (to - from) / 4.0);
        double cut = from + margin + (draws.Share() * (to - from - (2 * margin)));
        int row = first + draws.Whole(last - first);
        double gap = strip.At(cut, row).Distance(strip.At(cut, row + 1));
        if (onRip)
        {
            return strip.At(cut, row + Math.Max(0, _rips[^1] / gap));
        }

        double[] clear = Clear(gap);
        return strip.At(cut, row + (clear.Length > 0 ? clear[draws.Whole(clear.Length)] / gap : 0.5));
    }

    // Distances from a pass towards the next, metres, that lie clear of the rips and wheels of both.
    private double[] Clear(double gap)
    {
        int count = (int)Math.Floor(gap / Step);
        return [.. Enumerable.Range(1, Math.Max(0, count - 1)).Select(k => k * Step).Where(x => IsClear(x) && IsClear(x - gap))];
    }

    private bool IsClear(double off) => _rips.All(r => Math.Abs(off - r) >= RipClear) && Math.Abs(Math.Abs(off) - (options.WheelTrack / 2)) >= WheelHalf;
}
