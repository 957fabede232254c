using System.Globalization;
using Keyline.Landform;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>Draws the long profile of a valley: the floor as sampled, the curve through it, and its breaks of slope with the evidence.</summary>
/// <remarks>
/// <para>Units: metres on both axes; how much taller than long it is drawn stands in the picture.</para>
/// <para>Promises: the same valley gives the same bytes on the same kind of machine; no meaning hangs on colour alone.</para>
/// <para>Cost: some tens of milliseconds.</para>
/// </remarks>
public static class ProfilePicture
{
    private const int Width = 1500;
    private const int Height = 760;
    private const float Left = 110;
    private const float Right = 1450;
    private const float Top = 130;
    private const float Bottom = 660;
    private const float Text = 22;
    private const float Large = 34;
    private const float Diamond = 13;

    /// <summary>Draws the profile as a PNG image of 1500 by 760 dots.</summary>
    /// <param name="png">Where the image goes; left open.</param>
    /// <param name="valley">The valley; it must have a profile.</param>
    /// <param name="breaks">Its keypoint and lesser breaks, by rank; may be empty.</param>
    /// <exception cref="ArgumentException">The valley has no profile.</exception>
    public static void Write(Stream png, ValleyLine valley, IReadOnlyList<Keypoint> breaks)
    {
        ArgumentNullException.ThrowIfNull(png);
        ArgumentNullException.ThrowIfNull(valley);
        ArgumentNullException.ThrowIfNull(breaks);
        ValleyProfile profile = valley.Profile ?? throw new ArgumentException("The valley is too short to have a profile.", nameof(valley));
        using SKSurface surface = SKSurface.Create(new SKImageInfo(Width, Height, SKColorType.Rgba8888, SKAlphaType.Premul)) ?? throw new InvalidOperationException("The image could not be made.");
        SKCanvas canvas = surface.Canvas;
        canvas.Clear(MapStyle.Paper);
        Axes axes = new(profile);
        DrawHeading(canvas, valley, profile, axes);
        foreach (Keypoint k in breaks.Where(k => k.Rank == 1))
        {
            DrawInterval(canvas, axes, k);
        }

        axes.Draw(canvas);
        DrawFloor(canvas, axes, profile);
        foreach (Keypoint k in breaks.OrderByDescending(k => k.Rank))
        {
            DrawBreak(canvas, axes, profile, k);
        }

        using SKImage image = surface.Snapshot();
        using SKData data = image.Encode(SKEncodedImageFormat.Png, 100) ?? throw new InvalidOperationException("The image cannot be packed as PNG.");
        data.SaveTo(png);
    }

    private static void DrawHeading(SKCanvas canvas, ValleyLine valley, ValleyProfile profile, Axes axes)
    {
        using SKFont large = MapStyle.Font(Large, strong: true);
        using SKFont small = MapStyle.Font(Text);
        string part = valley.Kind switch { ValleyKind.Main => "main valley", ValleyKind.Primary => "primary valley", _ => "minor hollow" };
        string end = valley.End switch { ValleyEnd.Confluence => FormattableString.Invariant($"into valley {valley.Joins}"), ValleyEnd.Hollow => "into a closed hollow", _ => "to the edge of the ground known" };
        Lettering.Plain(canvas, FormattableString.Invariant($"Valley {valley.Number}"), Left, 52, SKTextAlign.Left, large, MapStyle.Ink);
        Lettering.Plain(
            canvas,
            FormattableString.Invariant($"{part}, {end}: {valley.Length:0} m long, falls {valley.Fall:0.0} m, {valley.CatchmentArea / 10_000:0.0} ha drain through its foot"),
            Left, 88, SKTextAlign.Left, small, MapStyle.Ink);
        Lettering.Plain(
            canvas,
            FormattableString.Invariant($"Floor from its head (left) down; heights drawn {axes.Exaggeration:0.#} times, sampled every {profile.Step:0.#} m, scattered {100 * profile.Noise:0.0} cm about the curve"),
            Left, Height - 44, SKTextAlign.Left, small, MapStyle.QuietInk);
        Lettering.Plain(
            canvas,
            "Dashed: the two slopes that fit best. Band: where their break lies, nine times in ten. Small diamonds: lesser breaks of slope.",
            Left, Height - 14, SKTextAlign.Left, small, MapStyle.QuietInk);
    }

    private static void DrawFloor(SKCanvas canvas, Axes axes, ValleyProfile profile)
    {
        using SKPaint sampled = MapStyle.Stroke(MapStyle.LevelLine, 1.6f, [3, 4]);
        using SKPaint curve = MapStyle.Stroke(MapStyle.Valley, 4);
        using SKPath samples = Path(axes, profile.Distance, profile.Height);
        using SKPath smooth = Path(axes, profile.Distance, profile.Curve);
        canvas.DrawPath(smooth, curve);
        canvas.DrawPath(samples, sampled);
    }

    private static SKPath Path(Axes axes, IReadOnlyList<double> distance, IReadOnlyList<double> height)
    {
        using SKPathBuilder builder = new();
        builder.AddPoly([.. distance.Select((d, i) => axes.At(d, height[i]))], false);
        return builder.Detach();
    }

    private static void DrawInterval(SKCanvas canvas, Axes axes, Keypoint k)
    {
        float from = axes.At(k.PlaceFrom, 0).X, to = axes.At(k.PlaceTo, 0).X;
        using SKPaint band = MapStyle.Fill(MapStyle.KeypointFill.WithAlpha(0x50));
        canvas.DrawRect(new SKRect(Math.Min(from, to - 3), Top, to, Bottom), band);
    }

    private static void DrawBreak(SKCanvas canvas, Axes axes, ValleyProfile profile, Keypoint k)
    {
        SKPoint at = axes.At(k.DistanceFromHead, Level(profile, k.DistanceFromHead));
        bool first = k.Rank == 1;
        float size = first ? Diamond : Diamond * 0.6f;
        if (first && !double.IsNaN(k.SlopeAbove) && !double.IsNaN(k.FittedHeight))
        {
            double reach = 0.35 * (profile.Distance[^1] - profile.Distance[0]);
            using SKPaint slope = MapStyle.Stroke(MapStyle.Ridge, 2.4f, [12, 6]);
            double up = Math.Min(reach, k.DistanceFromHead), down = Math.Min(reach, profile.Distance[^1] - k.DistanceFromHead);
            SKPoint meet = axes.At(k.DistanceFromHead, k.FittedHeight);
            canvas.DrawLine(axes.At(k.DistanceFromHead - up, k.FittedHeight + (up * k.SlopeAbove / 100)), meet, slope);
            canvas.DrawLine(meet, axes.At(k.DistanceFromHead + down, k.FittedHeight - (down * k.SlopeBelow / 100)), slope);
        }

        using SKPathBuilder builder = new();
        builder.AddPoly([new SKPoint(at.X, at.Y - size), new SKPoint(at.X + size, at.Y), new SKPoint(at.X, at.Y + size), new SKPoint(at.X - size, at.Y)], true);
        using SKPath diamond = builder.Detach();
        using SKPaint fill = MapStyle.Fill(first && k.Class == KeypointClass.Clear ? MapStyle.KeypointFill : SKColors.White);
        using SKPaint edge = MapStyle.Stroke(MapStyle.Ink, first ? 3 : 2);
        canvas.DrawPath(diamond, fill);
        canvas.DrawPath(diamond, edge);
        if (!first)
        {
            return;
        }

        using SKFont font = MapStyle.Font(Text, strong: true);
        using SKFont plain = MapStyle.Font(Text);
        string name = k.IsPinned ? "keypoint, flagged in the field" : k.Class == KeypointClass.Clear ? "keypoint, clear" : "keypoint, weak: walk it first";
        string[] lines =
        [
            name,
            FormattableString.Invariant($"{k.DistanceFromHead:0} m from the head, {at_height(k):0.0} m high"),
            double.IsNaN(k.SlopeAbove) ? "" : FormattableString.Invariant($"{k.SlopeAbove:0.0} % above, {k.SlopeBelow:0.0} % below"),
            FormattableString.Invariant($"between {k.PlaceFrom:0} and {k.PlaceTo:0} m (90 %)"),
        ];
        float widest = lines.Max(l => font.MeasureText(l)), x = at.X + 40 + widest > Right ? at.X - 40 - widest : at.X + 40;

        // Above the floor, on whichever side it falls away.
        float y = Math.Max(Top + 26, at.Y - 150);
        for (int i = 0; i < lines.Length; i++)
        {
            Lettering.Haloed(canvas, lines[i], x, y + (i * 28), SKTextAlign.Left, i == 0 ? font : plain, MapStyle.Ink);
        }

        static double at_height(Keypoint k) => k.Location.Coordinate.Z;
    }

    private static double Level(ValleyProfile profile, double distance)
    {
        double i = Math.Clamp((distance - profile.Distance[0]) / profile.Step, 0, profile.Curve.Count - 1);
        int at = Math.Min((int)i, profile.Curve.Count - 2);
        return profile.Curve[at] + ((i - at) * (profile.Curve[at + 1] - profile.Curve[at]));
    }

    /// <summary>Metres to dots, with round figures along both axes.</summary>
    private sealed class Axes
    {
        private readonly double _from;
        private readonly double _to;
        private readonly double _low;
        private readonly double _high;

        public Axes(ValleyProfile profile)
        {
            (_from, _to) = (0, Math.Max(profile.Distance[^1], 1));
            double low = profile.Height.Concat(profile.Curve).Min(), high = profile.Height.Concat(profile.Curve).Max(), room = Math.Max(0.06 * (high - low), 0.25);
            (_low, _high) = (low - room, high + room);
        }

        public double Exaggeration => (Bottom - Top) / (_high - _low) / ((Right - Left) / (_to - _from));

        public SKPoint At(double distance, double height) => new(
            Left + (float)((distance - _from) / (_to - _from) * (Right - Left)), Bottom - (float)((height - _low) / (_high - _low) * (Bottom - Top)));

        public void Draw(SKCanvas canvas)
        {
            using SKPaint rule = MapStyle.Stroke(MapStyle.Rule, 1.2f);
            using SKPaint frame = MapStyle.Stroke(MapStyle.QuietInk, 1.6f);
            using SKFont font = MapStyle.Font(Text);
            foreach (double d in Round(_from, _to, 9))
            {
                SKPoint at = At(d, _low);
                canvas.DrawLine(at.X, Top, at.X, Bottom, rule);
                Lettering.Plain(canvas, d.ToString("0", CultureInfo.InvariantCulture) + " m", at.X, Bottom + 30, SKTextAlign.Center, font, MapStyle.QuietInk);
            }

            foreach (double h in Round(_low, _high, 7))
            {
                SKPoint at = At(_from, h);
                canvas.DrawLine(Left, at.Y, Right, at.Y, rule);
                Lettering.Plain(canvas, h.ToString("0.##", CultureInfo.InvariantCulture) + " m", Left - 12, at.Y + 8, SKTextAlign.Right, font, MapStyle.QuietInk);
            }

            canvas.DrawRect(new SKRect(Left, Top, Right, Bottom), frame);
        }

        private static IEnumerable<double> Round(double from, double to, int about)
        {
            double step = RoundStep.Near((to - from) / about);
            for (double at = Math.Ceiling(from / step) * step; at <= to + (1e-9 * step); at += step)
            {
                yield return at;
            }
        }
    }
}
