using Keyline.Field;
using NetTopologySuite.Geometries;
using static Keyline.Fieldwork.Paper;

namespace Keyline.Fieldwork;

/// <summary>The map of a driver's sheet, as SVG in millimetres of paper.</summary>
internal static class SheetMap
{
    private const double Width = 186;
    private const double MostHeight = 120;
    private const double Edge = 6;
    private const double LabelWidth = 6.5;
    private const double LabelHeight = 2.6;
    private const string Ink = "#1d242b";
    private const string Halo = "stroke=\"#fff\" stroke-width=\"0.6\" paint-order=\"stroke\"";

    public static void Write(StreamWriter text, DriverSheetContent content)
    {
        FieldArea field = content.Job.Field;
        Paper paper = new(Extent(content), Width, MostHeight, Edge);
        double height = paper.Height;
        text.WriteLine($"<svg viewBox=\"0 0 {N(Width)} {N(height)}\" role=\"img\" aria-label=\"Map of the sheet's lines\">");
        text.WriteLine($"<defs><pattern id=\"hatch\" width=\"1.6\" height=\"1.6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><path d=\"M0 0V1.6\" stroke=\"#8c3b1f\" stroke-width=\"0.3\"/></pattern><clipPath id=\"sheet\"><rect x=\"0.5\" y=\"0.5\" width=\"{N(Width - 1)}\" height=\"{N(height - 1)}\"/></clipPath></defs>");
        text.WriteLine($"<rect x=\"0.5\" y=\"0.5\" width=\"{N(Width - 1)}\" height=\"{N(height - 1)}\" fill=\"#fff\" stroke=\"#c9ced2\" stroke-width=\"0.2\"/><g clip-path=\"url(#sheet)\" fill=\"none\" stroke-linejoin=\"round\">");
        text.WriteLine($"<path d=\"{paper.Path(field.Boundary)}\" stroke=\"{Ink}\" stroke-width=\"0.6\"/>");
        if (content.Job.Options.Steep is { IsEmpty: false } steep)
        {
            text.WriteLine($"<path d=\"{paper.Path(steep)}\" fill=\"#e6e0d2\" fill-rule=\"evenodd\" stroke=\"#b5a88c\" stroke-width=\"0.2\"/>");
        }

        foreach (AvoidedArea area in field.Avoided)
        {
            text.WriteLine($"<path d=\"{paper.Path(area.KeptClear)}\" fill=\"url(#hatch)\" stroke=\"#8c3b1f\" stroke-width=\"0.25\"/>");
            if (area.HandDig > 0)
            {
                text.WriteLine($"<path d=\"{paper.Path(area.Shape.Buffer(area.HandDig))}\" fill=\"#8c3b1f\" fill-opacity=\"0.5\" stroke=\"#8c3b1f\" stroke-width=\"0.5\"/>");
            }
        }

        foreach (DepthZone zone in content.Depths)
        {
            text.WriteLine($"<path d=\"{paper.Path(zone.Shape)}\" stroke=\"#5a636b\" stroke-width=\"0.4\" stroke-dasharray=\"0.4 0.9\" stroke-linecap=\"round\"/>");
        }

        HashSet<WorkStop> here = [.. content.Block.Stops];
        foreach (WorkStop other in content.Job.Stops.Where(s => !here.Contains(s)))
        {
            text.WriteLine($"<path d=\"{paper.Path(other.Course)}\" stroke=\"#c9ced2\" stroke-width=\"0.15\"/>");
        }

        foreach (WorkStop stop in content.Block.Stops)
        {
            if (stop.Change is { } change && stop != content.Block.Stops[0])
            {
                text.WriteLine($"<path d=\"{paper.Path(change.Way.ToLine())}\" stroke=\"#2b6a8c\" stroke-width=\"0.2\"{(change.Fits ? "" : " stroke-dasharray=\"0.8 0.6\"")}/>");
            }

            bool warned = stop.Line.Warning.Length > 0;
            text.WriteLine($"<path d=\"{paper.Path(stop.Course)}\" stroke=\"{Ink}\" stroke-width=\"{(warned ? "0.5" : "0.28")}\"{(warned ? " stroke-dasharray=\"1.6 0.7\"" : "")}/>");
        }

        Named(text, content, paper);
        Labels(text, content, paper);
        Unfit(text, content, paper);
        text.WriteLine("</g>");
        Frame(text, paper, height);
        text.WriteLine("</svg>");
    }

    // A cross where a turn that fits nowhere runs into what is in its way, as in the list of lines.
    private static void Unfit(StreamWriter text, DriverSheetContent content, Paper paper)
    {
        HashSet<string> here = [.. content.Block.Stops.Skip(1).Select(s => s.Line.Id)];
        foreach (WorkFinding finding in content.Job.Findings.Where(f => f.Kind == WorkFindingKind.TurnDoesNotFit && here.Contains(f.To)))
        {
            (double x, double y) = paper.At(finding.X, finding.Y);
            text.WriteLine($"<path d=\"M{N(x - 1.3)} {N(y - 1.3)}l2.6 2.6m0 -2.6l-2.6 2.6\" fill=\"none\" stroke=\"#fff\" stroke-width=\"1.1\"/><path d=\"M{N(x - 1.3)} {N(y - 1.3)}l2.6 2.6m0 -2.6l-2.6 2.6\" fill=\"none\" stroke=\"#8c3b1f\" stroke-width=\"0.55\"/>");
        }
    }

    // Letters of the zones, and what must be dug by hand, where they lie in the map.
    private static void Named(StreamWriter text, DriverSheetContent content, Paper paper)
    {
        Geometry window = content.Job.Field.Boundary.Factory.ToGeometry(Extent(content));
        for (int i = 0; i < content.Depths.Count; i++)
        {
            Write(content.Depths[i].Shape, DriverSheetContent.Letter(i), 3.4, "#5a636b");
        }

        foreach (AvoidedArea area in content.Job.Field.Avoided.Where(a => a.HandDig > 0))
        {
            Write(area.Shape, "HAND DIG", 2.8, "#8c3b1f");
        }

        void Write(Geometry shape, string word, double size, string colour)
        {
            if (shape.Intersection(window) is { IsEmpty: false } seen && seen.InteriorPoint.Coordinate is { } at && paper.At(at.X, at.Y) is (double x, double y))
            {
                text.WriteLine($"<text x=\"{N(x)}\" y=\"{N(y + 1)}\" font-size=\"{N(size)}\" font-weight=\"700\" text-anchor=\"middle\" style=\"fill: {colour}\" {Halo}>{word}</text>");
            }
        }
    }

    // Start and end of the sheet first, then warned lines, then the others where there is room.
    private static void Labels(StreamWriter text, DriverSheetContent content, Paper paper)
    {
        List<(double X, double Y)> taken = [(Width - 5, 6)];
        WorkStop first = content.Block.Stops[0], last = content.Block.Stops[^1];
        Mark(text, paper, first.Course.StartPoint.Coordinate, "START", true, taken);
        Mark(text, paper, last.Course.EndPoint.Coordinate, "END", false, taken);
        foreach (WorkStop stop in content.Block.Stops.OrderByDescending(s => s.Line.Warning.Length > 0).ThenBy(s => s.Number))
        {
            Coordinate at = stop.Course.StartPoint.Coordinate;
            (double x, double y) = paper.At(at.X, at.Y);
            if (Free(taken, x, y))
            {
                text.WriteLine($"<circle cx=\"{N(x)}\" cy=\"{N(y)}\" r=\"0.5\" fill=\"{Ink}\"/><text x=\"{N(x + 0.8)}\" y=\"{N(y - 0.6)}\" font-size=\"2.4\" {Halo}>{stop.Number}{(stop.Line.Warning.Length > 0 ? "!" : "")}</text>");
            }
        }
    }

    private static void Mark(StreamWriter text, Paper paper, Coordinate at, string word, bool filled, List<(double X, double Y)> taken)
    {
        (double x, double y) = paper.At(at.X, at.Y);
        taken.Add((x, y));
        taken.Add((x + 6, y));
        bool right = x > Width - 18;
        text.WriteLine($"<circle cx=\"{N(x)}\" cy=\"{N(y)}\" r=\"1.3\" fill=\"{(filled ? Ink : "#fff")}\" stroke=\"{Ink}\" stroke-width=\"0.4\"/><text x=\"{N(right ? x - 2 : x + 2)}\" y=\"{N(y + 1)}\" font-size=\"3\" font-weight=\"700\" text-anchor=\"{(right ? "end" : "start")}\" {Halo}>{word}</text>");
    }

    private static bool Free(List<(double X, double Y)> taken, double x, double y)
    {
        if (taken.Exists(t => Math.Abs(t.X - x) < LabelWidth && Math.Abs(t.Y - y) < LabelHeight))
        {
            return false;
        }

        taken.Add((x, y));
        return true;
    }

    private static Envelope Extent(DriverSheetContent content)
    {
        Envelope extent = new();
        foreach (WorkStop stop in content.Block.Stops)
        {
            extent.ExpandToInclude(stop.Course.EnvelopeInternal);
        }

        extent.ExpandBy(Math.Max(15, 0.04 * Math.Max(extent.Width, extent.Height)));
        return extent;
    }

    private static void Frame(StreamWriter text, Paper paper, double height)
    {
        double most = 45 / paper.Scale, power = Math.Pow(10, Math.Floor(Math.Log10(most))), bar = power * (most >= 5 * power ? 5 : most >= 2 * power ? 2 : 1), width = bar * paper.Scale;
        text.WriteLine($"<path d=\"M4 {N(height - 3)}v-1.2h{N(width)}v1.2\" fill=\"none\" stroke=\"{Ink}\" stroke-width=\"0.35\"/><text x=\"{N(5 + width)}\" y=\"{N(height - 2.6)}\" font-size=\"2.9\" {Halo}>{N(bar)} m</text>");
        text.WriteLine($"<path d=\"M{N(Width - 5)} 3l1.6 5.4-1.6-1.2-1.6 1.2z\" fill=\"{Ink}\"/><text x=\"{N(Width - 5)}\" y=\"11.6\" font-size=\"3\" text-anchor=\"middle\">N</text>");
    }
}
