using System.Reflection;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>The colours, line widths and letters of the map. Lengths are millimetres on paper.</summary>
/// <remarks>
/// Meaning never hangs on red against green. Water is blue and crests are ochre, which stay apart in every common
/// kind of colour blindness; the three drifts of a rip line differ in lightness as well as in hue, and the one to
/// look at is also the widest. Every line kind has its own width or dash, so a grey print can still be read.
/// </remarks>
internal static class MapStyle
{
    public const float BodySize = 2.35f;
    public const float SmallSize = 2.0f;
    public const float NumberSize = 1.5f;
    public const float HeadingSize = 2.5f;
    public const float TitleSize = 5.2f;

    public static readonly SKColor Ink = new(0x1D, 0x24, 0x2B);
    public static readonly SKColor QuietInk = new(0x5A, 0x63, 0x6B);
    public static readonly SKColor Rule = new(0xC9, 0xCE, 0xD2);
    public static readonly SKColor Paper = SKColors.White;
    public static readonly SKColor LowGround = new(0xDD, 0xE6, 0xE6);
    public static readonly SKColor HighGround = new(0xF8, 0xF1, 0xE0);
    public static readonly SKColor Contour = new(0x8C, 0x74, 0x5A);
    public static readonly SKColor Valley = new(0x12, 0x5C, 0xB0);
    public static readonly SKColor Ridge = new(0xB8, 0x5C, 0x00);
    public static readonly SKColor Keyline = new(0xF2, 0xC1, 0x14);
    public static readonly SKColor Guide = new(0x1D, 0x24, 0x2B);
    public static readonly SKColor LevelLine = new(0x7C, 0x83, 0x88);
    public static readonly SKColor ToRidge = new(0x00, 0x64, 0x5F);
    public static readonly SKColor ToValley = new(0xE0, 0x44, 0x8F);
    public static readonly SKColor Boundary = new(0x1D, 0x24, 0x2B);
    public static readonly SKColor Headland = new(0xFF, 0xFF, 0xFF, 0xA8);
    public static readonly SKColor Avoided = new(0x4A, 0x3F, 0x52);
    public static readonly SKColor Steep = new(0x8A, 0x4B, 0x1F);
    public static readonly SKColor KeypointFill = new(0xF2, 0xC1, 0x14);

    public const float ContourWidth = 0.13f;
    public const float IndexContourWidth = 0.26f;
    public const float ValleyWidth = 0.75f;
    public const float RidgeWidth = 0.65f;
    public const float KeylineWidth = 0.75f;
    public const float GuideWidth = 0.42f;
    public const float RipWidth = 0.2f;
    public const float BoundaryWidth = 0.6f;

    public static readonly float[] RidgeDash = [2.6f, 0.9f, 0.5f, 0.9f];

    private static readonly Lazy<SKTypeface> RegularFace = new(() => Load("OpenSans-Regular.ttf"));
    private static readonly Lazy<SKTypeface> StrongFace = new(() => Load("OpenSans-Semibold.ttf"));

    /// <summary>A font whose letters do not depend on the machine: no system font, no hinting.</summary>
    public static SKFont Font(float size, bool strong = false) => new(strong ? StrongFace.Value : RegularFace.Value, size)
    {
        Hinting = SKFontHinting.None,
        Subpixel = true,
        LinearMetrics = true,
        Edging = SKFontEdging.Antialias,
    };

    /// <summary>A colour with less of itself.</summary>
    public static SKColor Faint(SKColor color, float strength) => color.WithAlpha((byte)MathF.Round(color.Alpha * strength));

    /// <summary>A colour mixed with white.</summary>
    public static SKColor Pale(SKColor color, float strength)
    {
        byte Mixed(byte channel) => (byte)MathF.Round(255 - ((255 - channel) * strength));
        return new SKColor(Mixed(color.Red), Mixed(color.Green), Mixed(color.Blue), color.Alpha);
    }

    public static SKPaint Fill(SKColor color) => new() { Color = color, IsAntialias = true, Style = SKPaintStyle.Fill };

    public static SKPaint Stroke(SKColor color, float width, float[]? dash = null) => new()
    {
        Color = color,
        IsAntialias = true,
        Style = SKPaintStyle.Stroke,
        StrokeWidth = width,
        StrokeJoin = SKStrokeJoin.Round,
        StrokeCap = dash is null ? SKStrokeCap.Round : SKStrokeCap.Butt,
        PathEffect = dash is null ? null : SKPathEffect.CreateDash(dash, 0),
    };

    private static SKTypeface Load(string file)
    {
        using Stream stream = Assembly.GetExecutingAssembly().GetManifestResourceStream("Fonts/" + file)
            ?? throw new InvalidOperationException($"The typeface {file} is not embedded in this assembly.");
        using SKData data = SKData.Create(stream);
        return SKTypeface.FromData(data);
    }
}
