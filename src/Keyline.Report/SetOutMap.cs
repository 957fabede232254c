using Keyline.Guidance;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Report;

/// <summary>The sketch map of a set-out sheet, as SVG in millimetres of paper.</summary>
internal static class SetOutMap
{
    private const double Width = 186;
    private const double MostHeight = 88;
    private const double LineMostHeight = 80;
    private const double Edge = 7;
    private const double LabelRoom = 10;

    private const string Hatch = "<pattern id=\"hatch\" width=\"1.6\" height=\"1.6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><path d=\"M0 0V1.6\" stroke=\"#4a3f52\" stroke-width=\"0.3\"/></pattern>";

    private static readonly double[] Bars = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000];

    /// <summary>Draws the whole field, or one line with its stakes.</summary>
    public static void Write(StreamWriter text, SetOutSheetContent content, StakedLine? line)
    {
        Envelope extent = Extent(content, line);
        double most = line is null ? MostHeight : LineMostHeight, scale = Math.Min((Width - (2 * Edge)) / extent.Width, (most - (2 * Edge)) / extent.Height);
        double height = (extent.Height * scale) + (2 * Edge), left = (Width - (extent.Width * scale)) / 2;
        Frame frame = new(extent, scale, left, height);
        text.WriteLine($"<svg viewBox=\"0 0 {N(Width)} {N(height)}\" role=\"img\" aria-label=\"{(line is null ? "Map of the lines to set out" : "Map of line " + SetOutSheet.Text(line.Id))}\">");
        string clip = line is null ? "whole" : "line-" + SetOutSheet.Number(content.Lines.ToList().IndexOf(line), "0");

        // Ids hold for the whole page, so the hatching of the first drawing serves all.
        text.WriteLine($"<defs>{(line is null ? Hatch : "")}<clipPath id=\"{clip}\"><rect x=\"0.5\" y=\"0.5\" width=\"{N(Width - 1)}\" height=\"{N(height - 1)}\"/></clipPath></defs>");
        text.WriteLine($"<rect x=\"0.5\" y=\"0.5\" width=\"{N(Width - 1)}\" height=\"{N(height - 1)}\" fill=\"#fff\" stroke=\"#c9ced2\" stroke-width=\"0.2\"/><g clip-path=\"url(#{clip})\" fill=\"none\" stroke-linejoin=\"round\">");
        if (content.Field is { } field)
        {
            text.WriteLine($"<path d=\"{frame.Shape(field.Boundary)}\" stroke=\"#1d242b\" stroke-width=\"0.6\"/>");
            foreach (AvoidedArea area in field.Avoided)
            {
                text.WriteLine($"<path d=\"{frame.Shape(area.KeptClear)}\" fill=\"url(#hatch)\" stroke=\"#4a3f52\" stroke-width=\"0.25\"/>");
            }
        }

        foreach (LineString other in content.OtherLines.Concat(content.Lines.Where(l => l != line).Select(l => l.Line)))
        {
            text.WriteLine($"<path d=\"{frame.Shape(other)}\" stroke=\"#9aa2a8\" stroke-width=\"0.2\"/>");
        }

        List<(double X, double Y)> labels = [];
        foreach (StakedLine bold in content.Lines.Where(l => line is null || l == line))
        {
            text.WriteLine($"<path d=\"{frame.Shape(bold.Line)}\" stroke=\"#1d242b\" stroke-width=\"{(line is null ? "0.5" : "0.7")}\"/>");
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

    private static void Stakes(StreamWriter text, Frame frame, StakedLine line, List<(double X, double Y)> labels)
    {
        // Ends first, so that they are always named; then changes, then the rest where there is room.
        foreach (Stake stake in line.Stakes.OrderByDescending(s => (s.Reasons & (StakeReasons.Start | StakeReasons.End)) != 0).ThenByDescending(s => (s.Reasons & (StakeReasons.Grade | StakeReasons.Bend)) != 0).ThenBy(s => s.Station))
        {
            (double x, double y) = frame.At(stake.Place);
            bool change = (stake.Reasons & (StakeReasons.Grade | StakeReasons.Bend)) != 0;
            text.WriteLine($"<circle cx=\"{N(x)}\" cy=\"{N(y)}\" r=\"0.85\" fill=\"{(change ? "#1d242b" : "#fff")}\" stroke=\"#1d242b\" stroke-width=\"0.3\"/>");
        }

        foreach (Stake stake in line.Stakes.OrderByDescending(s => (s.Reasons & (StakeReasons.Start | StakeReasons.End)) != 0).ThenBy(s => s.Station))
        {
            Label(text, frame, stake.Place, stake.Name[(stake.Name.LastIndexOf('-') + 1)..], labels);
        }
    }

    private static void Label(StreamWriter text, Frame frame, Coordinate place, string name, List<(double X, double Y)> labels)
    {
        (double x, double y) = frame.At(place);
        if (labels.Any(l => Math.Abs(l.X - x) < LabelRoom * 0.7 && Math.Abs(l.Y - y) < LabelRoom * 0.36))
        {
            return;
        }

        labels.Add((x, y));
        bool right = x > Width - 12;
        text.WriteLine($"<text x=\"{N(right ? x - 1.3 : x + 1.3)}\" y=\"{N(y < 5 ? y + 3.6 : y - 1.3)}\" font-size=\"2.9\" text-anchor=\"{(right ? "end" : "start")}\" stroke=\"#fff\" stroke-width=\"0.7\" paint-order=\"stroke\">{SetOutSheet.Text(name)}</text>");
    }

    private static void NorthAndScale(StreamWriter text, SetOutSheetContent content, double scale, double height)
    {
        double unit = content.Unit.Metres, bar = Bars.Where(b => b * unit * scale <= 45).DefaultIfEmpty(Bars[0]).Max(), width = bar * unit * scale;
        text.WriteLine($"<path d=\"M4 {N(height - 3)}v-1.2h{N(width)}v1.2\" fill=\"none\" stroke=\"#1d242b\" stroke-width=\"0.35\"/><text x=\"{N(5 + width)}\" y=\"{N(height - 2.6)}\" font-size=\"2.9\" stroke=\"#fff\" stroke-width=\"0.7\" paint-order=\"stroke\">{SetOutSheet.Number(bar, "0")} {SetOutSheet.Text(content.Unit.Name)}</text>");
        text.WriteLine($"<path d=\"M{N(Width - 5)} 3l1.6 5.4-1.6-1.2-1.6 1.2z\" fill=\"#1d242b\"/><text x=\"{N(Width - 5)}\" y=\"11.6\" font-size=\"3\" text-anchor=\"middle\">N</text>");
    }

    private static string N(double value) => SetOutSheet.Number(value, "0.##");

    /// <summary>Metres to millimetres of paper, north up.</summary>
    private sealed record Frame(Envelope Extent, double Scale, double Left, double Height)
    {
        public (double X, double Y) At(Coordinate c) => (Left + ((c.X - Extent.MinX) * Scale), Height - Edge - ((c.Y - Extent.MinY) * Scale));

        public string Shape(Geometry shape)
        {
            System.Text.StringBuilder path = new();
            Add(shape);
            return path.ToString();

            void Add(Geometry g)
            {
                switch (g)
                {
                    case LineString line:
                        for (int i = 0; i < line.NumPoints; i++)
                        {
                            (double x, double y) = At(line.GetCoordinateN(i));
                            path.Append(i == 0 ? 'M' : 'L').Append(N(x)).Append(' ').Append(N(y));
                        }

                        break;
                    case Polygon polygon:
                        Add(polygon.ExteriorRing);
                        Array.ForEach(polygon.InteriorRings, Add);
                        break;
                    case GeometryCollection many:
                        Array.ForEach(many.Geometries, Add);
                        break;
                }
            }
        }
    }
}
