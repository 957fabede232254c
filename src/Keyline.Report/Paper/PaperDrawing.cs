using System.Globalization;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>The drawings of the report's page on paper: charts, profiles, small maps, the skyline. Paths stay paths and letters stay letters.</summary>
internal static class PaperDrawing
{
    // Six points: smaller letters are not read on paper.
    private const float LeastLetters = 2.15f;

    private static readonly Dictionary<string, (SKColor? Fill, SKColor? Edge, float Width)> Looks = new()
    {
        ["rule"] = (null, new SKColor(0xE2, 0xDF, 0xD6), 1),
        ["axis"] = (null, new SKColor(0x76, 0x7C, 0x82), 1),
        ["bar"] = (PaperStyle.Bar, null, 0),
        ["mark"] = (null, PaperStyle.Care, 1.8f),
        ["dot"] = (new SKColor(0x85, 0x8B, 0x90), null, 0),
        ["floor"] = (null, MapStyle.Valley, 2.2f),
        ["band"] = (MapStyle.KeypointFill.WithAlpha(0x47), null, 0),
        ["key"] = (MapStyle.KeypointFill, MapStyle.Ink, 1.8f),
        ["rips"] = (null, PaperStyle.Hill, 0.35f),
        ["edge"] = (null, MapStyle.Ink, 1.6f),
    };

    /// <summary>A drawing as wide as a width, its height in proportion.</summary>
    /// <exception cref="FormatException">It holds what no drawing of the page has.</exception>
    public static PaperPiece Of(PageNode svg, PaperVoice voice, float width)
    {
        (double wide, double high) = Box(svg);
        float scale = (float)(width / wide);
        PageNode[] shapes = [.. svg.Children.Where(voice.Shows).SelectMany(c => c.Name == "g" ? c.Children : (IEnumerable<PageNode>)[c]).Where(c => c.Name is not ("" or "title") && voice.Shows(c))];
        return new PaperPiece((float)(high * scale), (canvas, x, y) =>
        {
            foreach (PageNode shape in shapes)
            {
                Draw(canvas, shape, voice, x, y, scale);
            }
        });
    }

    /// <summary>The skyline of the page's head, stretched into a box.</summary>
    public static void Crest(SKCanvas canvas, PageNode svg, SKRect box)
    {
        (double wide, double high) = Box(svg);
        using SKPaint line = MapStyle.Stroke(PaperStyle.Hill.WithAlpha(0x8C), 0.2f);
        foreach (PageNode path in svg.Children.Where(c => c.Name == "path"))
        {
            Draw(canvas, path["d"], line, SKMatrix.CreateScaleTranslation(box.Width / (float)wide, box.Height / (float)high, box.Left, box.Top));
        }
    }

    private static (double Wide, double High) Box(PageNode svg) => svg["viewBox"].Split(' ') is ["0", "0", var wide, var high]
        ? (double.Parse(wide, CultureInfo.InvariantCulture), double.Parse(high, CultureInfo.InvariantCulture)) : throw new FormatException("A drawing does not say its size.");

    private static void Draw(SKCanvas canvas, PageNode shape, PaperVoice voice, float x, float y, float scale)
    {
        float At(string name) => (float)shape.Number(name) * scale;
        if (shape.Name == "text")
        {
            Letters letters = new(Math.Max(LeastLetters, (shape.Is("q") ? 11 : 11.5f) * scale), MapStyle.QuietInk);
            string said = shape.Is("q") ? voice.Quantity(shape) : PaperText.Clean(string.Concat(shape.Children.Select(c => c.Text)));
            letters.Draw(canvas, said, x + At("x"), y + At("y"), shape["text-anchor"] switch { "end" => SKTextAlign.Right, "middle" => SKTextAlign.Center, _ => SKTextAlign.Left });
            return;
        }

        if (!Looks.TryGetValue(shape.Class, out (SKColor? Fill, SKColor? Edge, float Width) look))
        {
            throw new FormatException($"No way to draw a {shape.Name} of class \"{shape.Class}\".");
        }

        if (look.Fill is { } fill)
        {
            using SKPaint paint = MapStyle.Fill(shape.Is("weak") ? SKColors.White : fill);
            Shape(paint);
        }

        if (look.Edge is { } edge)
        {
            using SKPaint paint = MapStyle.Stroke(edge, look.Width * scale, shape.Class == "mark" ? [5 * scale, 3 * scale] : null);
            Shape(paint);
        }

        void Shape(SKPaint paint)
        {
            switch (shape.Name)
            {
                case "path":
                    Draw(canvas, shape["d"], paint, SKMatrix.CreateScaleTranslation(scale, scale, x, y));
                    break;
                case "rect":
                    canvas.DrawRect(x + At("x"), y + At("y"), At("width"), At("height"), paint);
                    break;
                case "circle":
                    canvas.DrawCircle(x + At("cx"), y + At("cy"), At("r"), paint);
                    break;
                default:
                    throw new FormatException($"No way to draw a {shape.Name}.");
            }
        }
    }

    private static void Draw(SKCanvas canvas, string course, SKPaint paint, SKMatrix place)
    {
        using SKPath drawn = SKPath.ParseSvgPathData(course) ?? throw new FormatException("A path of a drawing cannot be read.");
        using SKPath placed = new(drawn);
        placed.Transform(place);
        canvas.DrawPath(placed, paint);
    }
}
