using Keyline.Check;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout.Even;

/// <summary>A line that the even pattern must hold.</summary>
/// <param name="Path">Where it runs, in the workable ground and a little past its edge.</param>
/// <param name="Pinned">Number of the pinned guide it is, or -1 for a keyline.</param>
/// <param name="Height">Height of a keyline, metres; NaN for a pinned guide.</param>
/// <param name="Reason">Why it is held.</param>
internal sealed record FixedLine(LinePath Path, int Pinned, double Height, string Reason);

/// <summary>The lines that the even pattern must hold: pinned guides, and keylines of clear keypoints in the field.</summary>
/// <remarks>
/// <para>Units: metres. A common keyline stands for those of its valleys. A line is rounded to the radius and cut to the workable
/// ground; stretches shorter than the least length, and stretches nearer than a spacing and a half to a line taken before, are
/// left out, for lines between them could not keep the spacing. Pinned guides come first, then keylines of more valleys, then longer ones.</para>
/// </remarks>
internal static class FixedLines
{
    private const double LeastApart = 1.5;
    private const double Step = 1.0;
    private const double Smoothing = 6.0;

    // Lines are held a little way past the edge, so that what is cut there still follows them.
    private const double PastEdge = 8.0;

    /// <summary>Finds them, with a sentence for each that is lost.</summary>
    public static (IReadOnlyList<FixedLine> Lines, IReadOnlyList<string> Lost) Find(LandformReading landform, FieldArea field, Geometry workable, EvenSettings settings)
    {
        HashSet<int> clear = [.. landform.Keypoints.Where(k => k.Class == KeypointClass.Clear && field.Boundary.Covers(k.Location)).Select(k => k.ValleyNumber)];
        CommonKeyline[] common = [.. landform.CommonKeylines.Where(c => c.ValleyNumbers.Any(clear.Contains)).OrderByDescending(c => c.ValleyNumbers.Count)];
        HashSet<int> shared = [.. common.SelectMany(c => c.ValleyNumbers)];
        List<(LineString Line, int Pinned, double Height, string Name, string Reason)> wanted = [.. field.PinnedGuides.Select((g, i) => (g.Line, i, double.NaN, $"Pinned guide {i + 1}", g.IsRipped ? "pinned" : "pinned, not to be ripped"))];
        wanted.AddRange(common.Select(c => (c.Line, -1, c.Height, $"The keyline of valleys {string.Join(", ", c.ValleyNumbers)}", $"through the keypoints of valleys {string.Join(", ", c.ValleyNumbers)}")));
        wanted.AddRange(landform.Keylines.Where(k => clear.Contains(k.ValleyNumber) && !shared.Contains(k.ValleyNumber)).OrderByDescending(k => k.Line.Length).Select(k => (k.Line, -1, k.Height, $"The keyline of valley {k.ValleyNumber}", $"through the keypoint of valley {k.ValleyNumber}")));

        AreaClip clip = new(workable);
        AreaClip around = new(workable.Buffer(PastEdge));
        SegmentBins taken = new(workable.EnvelopeInternal, Math.Max(settings.Spacing, 2));
        List<FixedLine> lines = [];
        List<string> lost = [];
        foreach ((LineString line, int pinned, double height, string name, string reason) in wanted)
        {
            LinePath whole = SampledLine.PathOf(line).Resample(Step);
            double inside = 0;
            double kept = 0;
            int before = lines.Count;
            LinePath rounded = PathFairing.Fair(pinned >= 0 ? whole : whole.Smooth(Smoothing / Step), settings.MinimumRadius);
            foreach (LinePath piece in PathFairing.Drivable(rounded, settings.MinimumRadius).SelectMany(p => around.Inside(p, 0)))
            {
                inside += clip.Inside(piece, 0).Sum(p => p.Length());
                LinePath even = piece.Resample(Step);
                bool[] free = [.. even.Points.Select(p => !taken.AnyWithin(p, LeastApart * settings.Spacing))];
                foreach (LinePath run in PathRuns.Where(even, free).Where(r => clip.Inside(r, settings.MinimumLength).Count > 0))
                {
                    kept += run.Length();
                    lines.Add(new FixedLine(run, pinned, height, reason));
                }
            }

            foreach (FixedLine laid in lines.Skip(before))
            {
                taken.Add(laid.Path, 0);
            }

            if (kept == 0)
            {
                lost.Add(FormattableString.Invariant($"{name} is no line of the plan: {Reason(line.Length, inside, settings)}."));
            }
        }

        return (lines, lost);
    }

    private static string Reason(double length, double inside, EvenSettings settings) => inside < settings.MinimumLength
        ? FormattableString.Invariant($"of its {length:F0} m no stretch of {settings.MinimumLength:F0} m lies in the workable ground without turning tighter than {settings.MinimumRadius:F0} m")
        : FormattableString.Invariant($"it runs within {LeastApart * settings.Spacing:F1} m of one that is");
}
