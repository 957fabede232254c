using SkiaSharp;

namespace Keyline.Report;

/// <summary>Colours, letters and distances of the report's pages on paper; lengths are millimetres.</summary>
/// <remarks>The colours are those of the page. No meaning hangs on them alone.</remarks>
internal static class PaperStyle
{
    public const float Side = 18;
    public const float Head = 20;
    public const float Foot = 17;

    // Lines of more than some ninety letters are hard to follow.
    public const float WidestText = 152;
    public const float Gap = 4;

    public static readonly SKColor Hill = new(0x00, 0x53, 0x4F);
    public static readonly SKColor Care = new(0x9B, 0x11, 0x48);
    public static readonly SKColor Soil = new(0x7A, 0x43, 0x00);
    public static readonly SKColor Bar = new(0x3D, 0x7F, 0x7A);
    public static readonly SKColor Ground = new(0xE9, 0xE6, 0xDD);

    public static readonly Letters Title = new(8.4f, MapStyle.Ink, true);
    public static readonly Letters Section = new(5.2f, MapStyle.Ink, true);
    public static readonly Letters Heading = new(3.7f, MapStyle.Ink, true);
    public static readonly Letters Lead = new(3.8f, MapStyle.Ink);
    public static readonly Letters Body = new(3.2f, MapStyle.Ink);
    public static readonly Letters Small = new(2.85f, MapStyle.Ink);
    public static readonly Letters Quiet = new(2.85f, MapStyle.QuietInk);
    public static readonly Letters Number = new(6.6f, MapStyle.Ink, true);
    public static readonly Letters Edge = new(2.5f, MapStyle.QuietInk);
}
