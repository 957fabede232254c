using NetTopologySuite.Geometries;
using static Keyline.Fieldwork.Paper;

namespace Keyline.Fieldwork;

/// <summary>The maps of the page on soil, as SVG in millimetres of paper.</summary>
internal static class ZonePicture
{
    private const double Width = 186;
    private const double MostHeight = 125;
    private const double Edge = 5;
    private const double SmallWidth = 90;
    private const int MostBlocks = 72;
    private const string Ink = "#1d242b";
    private const string Halo = "stroke=\"#fff\" stroke-width=\"0.7\" paint-order=\"stroke\"";

    private static readonly string[] Ramp = ["#f4efe2", "#e6dcbf", "#d2c295", "#b5a468", "#8f8446", "#66622f", "#3f411f"];

    /// <summary>The fill of a verdict: told apart by its pattern as well as by its colour.</summary>
    public static string FillOf(RipVerdict verdict) => verdict switch { RipVerdict.Rip => "#b9cfa6", RipVerdict.TestStripFirst => "url(#strip)", RipVerdict.RipAfter => "url(#after)", _ => "url(#not)" };

    /// <summary>The patterns that <see cref="FillOf"/> names; once a page.</summary>
    public const string Patterns = """
        <svg width="0" height="0" style="position:absolute" aria-hidden="true"><defs>
        <pattern id="strip" width="5" height="5" patternUnits="userSpaceOnUse"><rect width="5" height="5" fill="#f0e3b2"/><circle cx="1.4" cy="1.4" r="0.5" fill="#8a7421"/><circle cx="3.9" cy="3.9" r="0.5" fill="#8a7421"/></pattern>
        <pattern id="after" width="3" height="3" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="3" height="3" fill="#f1d3b3"/><path d="M0 0V3" stroke="#a2581c" stroke-width="0.7"/></pattern>
        <pattern id="not" width="3" height="3" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="3" height="3" fill="#e3b3ab"/><path d="M0 0H3M0 0V3" stroke="#84261a" stroke-width="0.6"/></pattern>
        </defs></svg>
        """;

    public static void Zones(StreamWriter text, SoilPageContent content)
    {
        Envelope extent = Extent(content);
        Paper paper = new(extent, Width, MostHeight, Edge);
        double height = paper.Height;
        text.WriteLine($"<svg viewBox=\"0 0 {N(Width)} {N(height)}\" role=\"img\" aria-label=\"Map of the zones\"><rect width=\"{N(Width)}\" height=\"{N(height)}\" fill=\"#fff\"/>");
        foreach (SoilZone zone in content.Zones)
        {
            text.WriteLine($"<path d=\"{Closed(paper, zone.Shape)}\" fill=\"{FillOf(zone.Verdict.Verdict)}\" fill-rule=\"evenodd\" stroke=\"{Ink}\" stroke-width=\"0.3\" stroke-linejoin=\"round\"><title>{Text($"{zone.Number} {zone.Name}: {zone.Verdict.Words}")}</title></path>");
        }

        if (content.Field is { } field)
        {
            text.WriteLine($"<path d=\"{Closed(paper, field)}\" fill=\"none\" stroke=\"{Ink}\" stroke-width=\"0.7\"/>");
        }

        foreach ((double x, double y) in Places(content).Select(p => paper.At(p.X, p.Y)))
        {
            text.WriteLine($"<circle cx=\"{N(x)}\" cy=\"{N(y)}\" r=\"0.45\" fill=\"{Ink}\"/>");
        }

        for (int i = 0; i < content.Cores.Count; i++)
        {
            (double x, double y) = paper.At(content.Cores[i].X, content.Cores[i].Y);
            text.WriteLine($"<path d=\"M{N(x)} {N(y - 1.5)}l1.4 2.4h-2.8z\" fill=\"#fff\" stroke=\"{Ink}\" stroke-width=\"0.35\"/><text x=\"{N(x + 1.7)}\" y=\"{N(y + 1.1)}\" font-size=\"2.3\" {Halo}>{i + 1}</text>");
        }

        foreach (SoilZone zone in content.Zones)
        {
            Polygon largest = Enumerable.Range(0, zone.Shape.NumGeometries).Select(zone.Shape.GetGeometryN).OfType<Polygon>().MaxBy(p => p.Area)!;
            Coordinate inside = largest.InteriorPoint.Coordinate;
            (double x, double y) = paper.At(inside.X, inside.Y);
            text.WriteLine($"<circle cx=\"{N(x)}\" cy=\"{N(y)}\" r=\"2.9\" fill=\"#fff\" stroke=\"{Ink}\" stroke-width=\"0.35\"/><text x=\"{N(x)}\" y=\"{N(y + 1.2)}\" font-size=\"3.5\" font-weight=\"700\" text-anchor=\"middle\">{zone.Number}</text>");
        }

        Frame(text, paper, Width, height);
        text.WriteLine("</svg>");
    }

    /// <summary>A map of values in seven shades, with its points.</summary>
    public static void Values(StreamWriter text, PointMap map, IReadOnlyList<SoilPoint> points)
    {
        Elevation.GridFrame f = map.Map!.Values.Frame;
        Paper paper = new(f.Extent, SmallWidth, 70, 2);
        double height = paper.Height + 8;
        int step = Math.Max(1, (int)Math.Ceiling(Math.Max(f.Columns, f.Rows) / (double)MostBlocks));
        double least = double.PositiveInfinity, greatest = double.NegativeInfinity;
        foreach (double v in map.Map.Values.Values)
        {
            (least, greatest) = double.IsNaN(v) ? (least, greatest) : (Math.Min(least, v), Math.Max(greatest, v));
        }

        text.WriteLine($"<svg viewBox=\"0 0 {N(SmallWidth)} {N(height)}\" role=\"img\" aria-label=\"Map of {Text(map.Name)}\" shape-rendering=\"crispEdges\">");
        for (int r = 0; r < f.Rows; r += step)
        {
            int from = 0, shade = -1;
            for (int c = 0; c < f.Columns + step; c += step)
            {
                int here = c < f.Columns ? Shade(map.Map.Values, r, c, step, least, greatest) : -1;
                if (here == shade)
                {
                    continue;
                }

                if (shade >= 0)
                {
                    (double x, double y) = paper.At(f.West + (from * f.CellSize), f.North - (r * f.CellSize));
                    text.WriteLine($"<path fill=\"{Ramp[shade]}\" d=\"M{N(x)} {N(y)}h{N((Math.Min(c, f.Columns) - from) * f.CellSize * paper.Scale)}v{N(step * f.CellSize * paper.Scale)}H{N(x)}z\"/>");
                }

                (from, shade) = (c, here);
            }
        }

        foreach (SoilPoint p in points.Take(1500))
        {
            (double x, double y) = paper.At(p.X, p.Y);
            text.WriteLine($"<circle cx=\"{N(x)}\" cy=\"{N(y)}\" r=\"0.45\" fill=\"#fff\" stroke=\"{Ink}\" stroke-width=\"0.15\" shape-rendering=\"auto\"/>");
        }

        for (int k = 0; k < Ramp.Length; k++)
        {
            text.WriteLine($"<rect x=\"{N(4 + (6 * k))}\" y=\"{N(height - 6)}\" width=\"6\" height=\"2.5\" fill=\"{Ramp[k]}\" stroke=\"#8b9096\" stroke-width=\"0.1\"/>");
        }

        text.WriteLine($"<text x=\"4\" y=\"{N(height - 0.6)}\" font-size=\"2.6\">{VariogramModel.Figures(least)}</text><text x=\"46\" y=\"{N(height - 0.6)}\" font-size=\"2.6\" text-anchor=\"end\">{VariogramModel.Figures(greatest)} {Text(map.Unit)}</text></svg>");
    }

    private static int Shade(Elevation.Grid<double> values, int row, int column, int step, double least, double greatest)
    {
        double sum = 0;
        int count = 0;
        for (int r = row; r < Math.Min(row + step, values.Frame.Rows); r++)
        {
            foreach (double v in values.Row(r)[column..Math.Min(column + step, values.Frame.Columns)])
            {
                (sum, count) = double.IsNaN(v) ? (sum, count) : (sum + v, count + 1);
            }
        }

        return count == 0 ? -1 : Math.Clamp((int)((sum / count - least) / Math.Max(greatest - least, double.Epsilon) * Ramp.Length), 0, Ramp.Length - 1);
    }

    private static IEnumerable<SoilPoint> Places(SoilPageContent content) => content.Readings is { } r ? r.Series.Where(s => s.Quantity != "eca_ms_m").SelectMany(s => s.Points).DistinctBy(p => (p.X, p.Y)).Take(3000) : [];

    private static string Closed(Paper paper, Geometry shape) => paper.Path(shape);

    private static Envelope Extent(SoilPageContent content)
    {
        Envelope extent = new();
        foreach (SoilZone zone in content.Zones)
        {
            extent.ExpandToInclude(zone.Shape.EnvelopeInternal);
        }

        return extent;
    }

    private static void Frame(StreamWriter text, Paper paper, double width, double height)
    {
        double most = 45 / paper.Scale, power = Math.Pow(10, Math.Floor(Math.Log10(most))), bar = power * (most >= 5 * power ? 5 : most >= 2 * power ? 2 : 1), length = bar * paper.Scale;
        text.WriteLine($"<path d=\"M4 {N(height - 3)}v-1.2h{N(length)}v1.2\" fill=\"none\" stroke=\"{Ink}\" stroke-width=\"0.35\"/><text x=\"{N(5 + length)}\" y=\"{N(height - 2.6)}\" font-size=\"2.9\" {Halo}>{N(bar)} m</text>");
        text.WriteLine($"<path d=\"M{N(width - 5)} 3l1.6 5.4-1.6-1.2-1.6 1.2z\" fill=\"{Ink}\"/><text x=\"{N(width - 5)}\" y=\"11.6\" font-size=\"3\" text-anchor=\"middle\">N</text>");
    }
}
