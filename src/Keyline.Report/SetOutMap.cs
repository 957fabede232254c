using Keyline.Field;
using Keyline.SetOut;
using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>The sketch map of a set-out sheet, as SVG in millimetres of paper.</summary>
internal static class SetOutMap
{
    private const double Width = 186;
    private const double MostHeight = 88;
    private const double LineMostHeight = 80;
    private const double Edge = 7;
    private const double LongestBar = 45;
    private const float LabelWidth = 7;
    private const float LabelHeight = 3.6f;

    private static readonly SKRect Paper = new(-1, -1, 1000, 1000);

    private static readonly string Hatch = $"<pattern id=\"hatch\" width=\"1.6\" height=\"1.6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><path d=\"M0 0V1.6\" stroke=\"{Svg.Avoided}\" stroke-width=\"0.3\"/></pattern>";

    /// <summary>Draws the whole field, or one line with its stakes.</summary>
    public static void Write(StreamWriter text, SetOutSheetContent content, StakedLine? line)
    {
        Envelope extent = Extent(content, line);
        double most = line is null ? MostHeight : LineMostHeight, scale = Math.Min((Width - (2 * Edge)) / extent.Width, (most - (2 * Edge)) / extent.Height);
        double height = (extent.Height * scale) + (2 * Edge), left = (Width - (extent.Width * scale)) / 2;
        PaperFrame frame = new(extent.MinX, extent.MaxY, left, Edge, scale);
        text.WriteLine($"<svg viewBox=\"0 0 {Svg.N(Width)} {Svg.N(height)}\" role=\"img\" aria-label=\"{(line is null ? "Map of the lines to set out" : "Map of line " + Svg.Text(line.Id))}\">");
        string clip = line is null ? "whole" : "line-" + Svg.Number(content.Lines.ToList().IndexOf(line), "0");

        // Ids hold for the whole page, so the hatching of the first drawing serves all.
        text.WriteLine($"<defs>{(line is null ? Hatch : "")}<clipPath id=\"{clip}\"><rect x=\"0.5\" y=\"0.5\" width=\"{Svg.N(Width - 1)}\" height=\"{Svg.N(height - 1)}\"/></clipPath></defs>");
        text.WriteLine($"<rect x=\"0.5\" y=\"0.5\" width=\"{Svg.N(Width - 1)}\" height=\"{Svg.N(height - 1)}\" fill=\"#fff\" stroke=\"{Svg.Rule}\" stroke-width=\"0.2\"/><g clip-path=\"url(#{clip})\" fill=\"none\" stroke-linejoin=\"round\">");
        if (content.Field is { } field)
        {
            text.WriteLine($"<path d=\"{Svg.Path(frame, field.Boundary)}\" stroke=\"{Svg.Ink}\" stroke-width=\"0.6\"/>");
            foreach (AvoidedArea area in field.Avoided)
            {
                text.WriteLine($"<path d=\"{Svg.Path(frame, area.KeptClear)}\" fill=\"url(#hatch)\" stroke=\"{Svg.Avoided}\" stroke-width=\"0.25\"/>");
            }
        }

        foreach (LineString other in content.OtherLines.Concat(content.Lines.Where(l => l != line).Select(l => l.Line)))
        {
            text.WriteLine($"<path d=\"{Svg.Path(frame, other)}\" stroke=\"#9aa2a8\" stroke-width=\"0.2\"/>");
        }

        LabelPlacer labels = new(Paper);
        foreach (StakedLine bold in content.Lines.Where(l => line is null || l == line))
        {
            text.WriteLine($"<path d=\"{Svg.Path(frame, bold.Line)}\" stroke=\"{Svg.Ink}\" stroke-width=\"{(line is null ? "0.5" : "0.7")}\"/>");
            if (line is null)
            {
                Label(text, frame, bold.Stakes[0].Place, bold.Id, labels);
            }
        }

        if (line is not null)
        {
            Stakes(text, frame, line, labels);
        }

        text.WriteLine("</g>");
        NorthAndScale(text, content, scale, height);
        text.WriteLine("</svg>");
    }

    private static Envelope Extent(SetOutSheetContent content, StakedLine? line)
    {
        Envelope extent = line?.Line.EnvelopeInternal.Copy() ?? content.Field?.Boundary.EnvelopeInternal.Copy() ?? new Envelope();
        if (line is null)
        {
            foreach (StakedLine staked in content.Lines)
            {
                extent.ExpandToInclude(staked.Line.EnvelopeInternal);
            }
        }

        // A straight level line still needs some ground around it.
        double least = Math.Max(extent.Width, extent.Height) * 0.25;
        extent.ExpandBy(Math.Max(0, (least - extent.Width) / 2), Math.Max(0, (least - extent.Height) / 2));
        return extent;
    }

    private static void Stakes(StreamWriter text, PaperFrame frame, StakedLine line, LabelPlacer labels)
    {
        // Ends first, so that they are always named; then changes, then the rest where there is room.
        foreach (Stake stake in line.Stakes.OrderByDescending(s => (s.Reasons & (StakeReasons.Start | StakeReasons.End)) != 0).ThenByDescending(s => (s.Reasons & (StakeReasons.Grade | StakeReasons.Bend)) != 0).ThenBy(s => s.Station))
        {
            (double x, double y) = frame.At(stake.Place.X, stake.Place.Y);
            bool change = (stake.Reasons & (StakeReasons.Grade | StakeReasons.Bend)) != 0;
            text.WriteLine(Svg.Mark(x, y, 0.85, change));
        }

        foreach (Stake stake in line.Stakes.OrderByDescending(s => (s.Reasons & (StakeReasons.Start | StakeReasons.End)) != 0).ThenBy(s => s.Station))
        {
            Label(text, frame, stake.Place, stake.Name[(stake.Name.LastIndexOf('-') + 1)..], labels);
        }
    }

    private static void Label(StreamWriter text, PaperFrame frame, Coordinate place, string name, LabelPlacer labels)
    {
        (double x, double y) = frame.At(place.X, place.Y);
        if (!labels.TryTake(SKRect.Create((float)x, (float)y, LabelWidth, LabelHeight)))
        {
            return;
        }

        bool right = x > Width - 12;
        text.WriteLine($"<text x=\"{Svg.N(right ? x - 1.3 : x + 1.3)}\" y=\"{Svg.N(y < 5 ? y + 3.6 : y - 1.3)}\" font-size=\"2.9\" text-anchor=\"{(right ? "end" : "start")}\" {Svg.Halo}>{Svg.Text(name)}</text>");
    }

    private static void NorthAndScale(StreamWriter text, SetOutSheetContent content, double scale, double height)
    {
        double unit = content.Unit.Metres, bar = Math.Max(1, RoundStep.AtMost(LongestBar / (unit * scale))), width = bar * unit * scale;
        text.WriteLine($"<path d=\"M4 {Svg.N(height - 3)}v-1.2h{Svg.N(width)}v1.2\" fill=\"none\" stroke=\"{Svg.Ink}\" stroke-width=\"0.35\"/><text x=\"{Svg.N(5 + width)}\" y=\"{Svg.N(height - 2.6)}\" font-size=\"2.9\" {Svg.Halo}>{Svg.Number(bar, "0")} {Svg.Text(content.Unit.Name)}</text>");
        text.WriteLine($"<path d=\"M{Svg.N(Width - 5)} 3l1.6 5.4-1.6-1.2-1.6 1.2z\" fill=\"{Svg.Ink}\"/><text x=\"{Svg.N(Width - 5)}\" y=\"11.6\" font-size=\"3\" text-anchor=\"middle\">N</text>");
    }
}
