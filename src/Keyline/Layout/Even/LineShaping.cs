using Keyline.Layout.Parallels;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout.Even;

/// <summary>From traced lines to lines that can be driven: smoothed, rounded to the radius, cut to the workable ground, kept
/// apart, and long enough.</summary>
/// <remarks>
/// <para>Units: metres. Promises: no line leaves the workable ground, turns tighter than the radius, or comes nearer than
/// <see cref="LeastGapShare"/> spacings to another or to itself; so none cross.</para>
/// <para>Cost: proportional to the length of all lines.</para>
/// </remarks>
internal sealed class LineShaping
{
    /// <summary>Least distance to another line, in spacings.</summary>
    public const double LeastGapShare = 0.55;

    private const double Step = 1.0;
    private const double Smoothing = 2.0;
    private const int SelfReach = 12;
    private const double OnKeyline = 0.15;
    private const double KeylineShare = 0.6;

    private readonly EvenSettings _settings;
    private readonly AreaClip _clip;
    private readonly StepAround? _around;
    private readonly SegmentBins _laid;
    private readonly SegmentBins _near;
    private readonly IReadOnlyList<LinePath> _keylines;
    private readonly List<EvenLine> _lines = [];

    public LineShaping(Geometry area, IReadOnlyList<LinePath> keylines, EvenSettings settings, StepAround? around = null)
    {
        _around = around;
        _keylines = keylines;
        _near = new SegmentBins(area.EnvelopeInternal, Math.Max(settings.Spacing, 2));
        for (int k = 0; k < keylines.Count; k++)
        {
            _near.Add(keylines[k], k);
        }

        _settings = settings;
        _clip = new AreaClip(area);
        _laid = new SegmentBins(area.EnvelopeInternal, Math.Max(settings.Spacing, 2));
    }

    public IReadOnlyList<EvenLine> Lines => _lines;

    /// <summary>Shapes and lays lines, those along keylines first, then the longest.</summary>
    public void Lay(IReadOnlyList<LinePath> traced, CancellationToken cancellationToken)
    {
        List<LinePath>[] shaped = new List<LinePath>[traced.Count];
        Parallel.For(0, traced.Count, WorkThreads.Options(cancellationToken), i => shaped[i] = Shape(traced[i]));
        foreach ((LinePath path, int keyline, double _) in shaped.SelectMany(s => s).Select(p => (p, KeylineOf(p), p.Length())).OrderBy(p => p.Item2 < 0).ThenByDescending(p => p.Item3))
        {
            Place(path, keyline);
        }
    }

    /// <summary>Lays a line where there is room.</summary>
    /// <returns>The length laid, metres.</returns>
    public double Place(LinePath path, int keyline)
    {
        double length = 0;
        double gap = LeastGapShare * _settings.Spacing;
        bool[] free = new bool[path.Count];
        for (int i = 0; i < free.Length; i++)
        {
            free[i] = !_laid.AnyWithin(path.Points[i], gap);
        }

        foreach (LinePath run in PathRuns.Where(path, free).SelectMany(r => ClearOfItself(r, gap)))
        {
            double runLength = run.Length();
            if (runLength >= _settings.MinimumLength)
            {
                length += runLength;
                _laid.Add(run, _lines.Count);
                _lines.Add(new EvenLine(run, keyline));
            }
        }

        return length;
    }

    // The keyline that a line runs along, for as much of either as it covers; -1 for none.
    private int KeylineOf(LinePath path)
    {
        if (_keylines.Count == 0)
        {
            return -1;
        }

        double within = OnKeyline * _settings.Spacing;
        int on = path.Points.Count(p => _near.AnyWithin(p, within));
        if (on * Step < KeylineShare * _settings.MinimumLength)
        {
            return -1;
        }

        int best = -1;
        int most = 0;
        for (int k = 0; k < _keylines.Count; k++)
        {
            SegmentBins one = new(Box(_keylines[k]), Math.Max(_settings.Spacing, 2));
            one.Add(_keylines[k], 0);
            int count = path.Points.Count(p => one.AnyWithin(p, within));
            if (count > most && count >= KeylineShare * Math.Min(path.Count, _keylines[k].Count))
            {
                (most, best) = (count, k);
            }
        }

        return best;
    }

    private static Envelope Box(LinePath path)
    {
        Envelope box = new();
        foreach (XY p in path.Points)
        {
            box.ExpandToInclude(p.X, p.Y);
        }

        return box;
    }

    private List<LinePath> Shape(LinePath traced)
    {
        if (traced.Length() < 0.5 * _settings.MinimumLength)
        {
            return [];
        }

        LinePath fair = PathFairing.Fair(traced.Resample(Step).Smooth(Smoothing / Step), _settings.MinimumRadius);
        double least = 0.5 * _settings.MinimumLength;
        return [.. PathFairing.Drivable(fair, _settings.MinimumRadius)
            .SelectMany(p => _around is null ? _clip.Inside(p, least) : _around.Join(p, _clip.Inside(p, least), _clip, least)).Select(p => p.Resample(Step))];
    }

    // A pass that comes back beside an earlier one of the same line is cut away.
    private static List<LinePath> ClearOfItself(LinePath path, double gap)
    {
        Dictionary<(int, int), List<int>> bins = [];
        bool[] keep = new bool[path.Count];
        double square = gap * gap;
        int apart = Math.Max(SelfReach, (int)(3 * gap / Step));
        for (int i = 0; i < keep.Length; i++)
        {
            XY p = path.Points[i];
            (int X, int Y) bin = ((int)Math.Floor(p.X / gap), (int)Math.Floor(p.Y / gap));
            bool near = false;
            for (int dx = -1; dx <= 1 && !near; dx++)
            {
                for (int dy = -1; dy <= 1 && !near; dy++)
                {
                    if (bins.TryGetValue((bin.X + dx, bin.Y + dy), out List<int>? there))
                    {
                        foreach (int j in there)
                        {
                            XY d = path.Points[j] - p;
                            bool around = path.Closed && path.Count - (i - j) <= apart;
                            if (i - j > apart && !around && d.Dot(d) < square)
                            {
                                near = true;
                                break;
                            }
                        }
                    }
                }
            }

            keep[i] = !near;
            if (!near)
            {
                if (!bins.TryGetValue(bin, out List<int>? list))
                {
                    bins[bin] = list = [];
                }

                list.Add(i);
            }
        }

        return PathRuns.Where(path, keep);
    }
}

/// <summary>A line of the even pattern.</summary>
/// <param name="Path">Where it runs.</param>
/// <param name="Keyline">Number of the keyline it is, or -1.</param>
internal sealed record EvenLine(LinePath Path, int Keyline);
