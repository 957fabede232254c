using Keyline.Field;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>Draws a trial: the whole field, or one block with its points.</summary>
internal static class TrialMap
{
    private const double Width = 186;
    private const string Ink = "#1d242b";
    private const string Halo = "paint-order=\"stroke\" stroke=\"#fff\" stroke-width=\"0.9\" stroke-linejoin=\"round\"";

    // Told apart in black and white too: the control is hatched, the others shade from light to dark.
    private static readonly string[] Fills = ["url(#left)", "#9cc3a5", "#e3b778", "#8fb3cf", "#c99bb4", "#b5ad93"];

    public static string FillOf(TrialDesign design, string treatment) => Fills[Math.Max(0, design.Options.Treatments.ToList().FindIndex(t => t.Id == treatment)) % Fills.Length];

    public static void WriteField(TextWriter text, TrialDesign design, IReadOnlyList<WorkLine> lines, FieldArea field)
    {
        Envelope extent = field.Boundary.EnvelopeInternal.Copy();
        extent.ExpandBy(0.03 * Math.Max(extent.Width, extent.Height));
        Paper paper = new(extent, Width, 200, 2);
        Begin(text, paper, "The field with the trial's blocks");
        text.WriteLine($"<path d=\"{paper.Path(field.Boundary)}\" fill=\"#f6f5f0\" stroke=\"{Ink}\" stroke-width=\"0.5\"/>");
        foreach (AvoidedArea avoided in field.Avoided)
        {
            text.WriteLine($"<path d=\"{paper.Path(avoided.KeptClear)}\" fill=\"#d9d9d9\" stroke=\"#777\" stroke-width=\"0.2\"/>");
        }

        text.WriteLine($"<path d=\"{string.Concat(lines.Select(l => paper.Path(l.Line)))}\" fill=\"none\" stroke=\"#a9b0a4\" stroke-width=\"0.14\"/>");
        Plots(text, paper, design, design.Plots);
        foreach (TrialBlock block in design.Blocks)
        {
            text.WriteLine($"<path d=\"{paper.Path(block.Shape)}\" fill=\"none\" stroke=\"{Ink}\" stroke-width=\"0.45\"/>");
            Envelope box = block.Shape.EnvelopeInternal;
            (double x, double y) = paper.At(box.Centre.X, box.MaxY);
            text.WriteLine($"<text x=\"{Paper.N(x)}\" y=\"{Paper.N(Math.Max(4, y - 1.2))}\" font-size=\"4\" font-weight=\"700\" text-anchor=\"middle\" {Halo}>B{block.Number}</text>");
        }

        End(text, paper);
    }

    public static void WriteBlock(TextWriter text, TrialDesign design, TrialBlock block, IReadOnlyList<WorkLine> lines)
    {
        Envelope extent = block.Shape.EnvelopeInternal.Copy();
        extent.ExpandBy(0.22 * Math.Max(extent.Width, extent.Height));
        Polygon box = (Polygon)GeometryFactory.Default.ToGeometry(extent);
        Paper paper = new(extent, Width, 165, 2);
        Begin(text, paper, $"Block {block.Number} with its points");
        Plots(text, paper, design, design.Plots.Where(p => p.Block == block.Number));
        foreach (WorkLine line in lines.Where(l => l.Line.EnvelopeInternal.Intersects(extent)))
        {
            text.WriteLine($"<path d=\"{paper.Path(NetTopologySuite.Operation.OverlayNG.OverlayNGRobust.Overlay(line.Line, box, NetTopologySuite.Operation.Overlay.SpatialFunction.Intersection))}\" fill=\"none\" stroke=\"#6b7268\" stroke-width=\"0.2\"/>");
        }

        HashSet<string> here = [.. design.Plots.Where(p => p.Block == block.Number).Select(p => p.Id)];
        List<(double X, double Y)> labels = [];
        foreach (TrialPoint point in design.Points.Where(p => here.Contains(p.Plot)))
        {
            (double x, double y) = paper.At(point.X, point.Y);
            text.WriteLine($"<circle cx=\"{Paper.N(x)}\" cy=\"{Paper.N(y)}\" r=\"0.75\" fill=\"{(point.OnRip ? Ink : "#fff")}\" stroke=\"{Ink}\" stroke-width=\"0.3\"/>");
            if (point.Kind == "photo")
            {
                double turn = point.Bearing * Math.PI / 180;
                text.WriteLine($"<path d=\"M{Paper.N(x)} {Paper.N(y)}l{Paper.N(5 * Math.Sin(turn))} {Paper.N(-5 * Math.Cos(turn))}\" stroke=\"{Ink}\" stroke-width=\"0.5\"/>");
            }

            // Four places for a name, the first that is free; none at all rather than two on one another.
            foreach ((double dx, double dy, string anchor) in ((double, double, string)[])[(1.2, 0.8, "start"), (-1.2, 0.8, "end"), (1.2, 2.6, "start"), (-1.2, -1, "end")])
            {
                double centre = x + dx + (anchor == "start" ? 1.8 : -1.8), middle = y + dy;
                if (labels.TrueForAll(l => Math.Abs(l.X - centre) > 4 || Math.Abs(l.Y - middle) > 2))
                {
                    labels.Add((centre, middle));
                    text.WriteLine($"<text x=\"{Paper.N(x + dx)}\" y=\"{Paper.N(y + dy)}\" font-size=\"2.3\" text-anchor=\"{anchor}\" {Halo}>{Paper.Text(point.Id[(point.Id.IndexOf('-', StringComparison.Ordinal) + 1)..])}</text>");
                    break;
                }
            }
        }

        foreach (TrialPlot plot in design.Plots.Where(p => p.Block == block.Number))
        {
            // Beyond the end where its ring begins, clear of points.
            Coordinate[] ring = plot.Shape.ExteriorRing.Coordinates;
            Coordinate a = ring[0], b = ring[^2], next = ring[1];
            (double x, double y) = paper.At(((a.X + b.X) / 2) - (2.5 * (next.X - a.X) / Math.Max(a.Distance(next), 1)), ((a.Y + b.Y) / 2) - (2.5 * (next.Y - a.Y) / Math.Max(a.Distance(next), 1)));
            string anchor = Math.Abs(next.X - a.X) < 0.5 * Math.Abs(next.Y - a.Y) ? "middle" : next.X > a.X ? "end" : "start";
            text.WriteLine($"<text x=\"{Paper.N(x)}\" y=\"{Paper.N(y)}\" font-size=\"3.6\" font-weight=\"700\" text-anchor=\"{anchor}\" {Halo}>{Paper.Text(plot.Id)} {Paper.Text(plot.Treatment)}{(plot.Split.Length > 0 ? ", " + Paper.Text(plot.Split) : "")}</text>");
        }

        End(text, paper);
    }

    private static void Plots(TextWriter text, Paper paper, TrialDesign design, IEnumerable<TrialPlot> plots)
    {
        foreach (TrialPlot plot in plots)
        {
            text.WriteLine($"<path d=\"{paper.Path(plot.Shape)}\" fill=\"{FillOf(design, plot.Treatment)}\" fill-opacity=\"0.85\" stroke=\"{Ink}\" stroke-width=\"0.25\"/>");
        }
    }

    public const string Hatch = "<defs><pattern id=\"left\" width=\"2\" height=\"2\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect width=\"2\" height=\"2\" fill=\"#fff\"/><path d=\"M0 0V2\" stroke=\"#b5452c\" stroke-width=\"0.9\"/></pattern></defs>";

    private static void Begin(TextWriter text, Paper paper, string title) => text.WriteLine($"<svg viewBox=\"0 0 {Width:0} {Paper.N(paper.Height)}\" role=\"img\" aria-label=\"{title}\">{Hatch}");

    private static void End(TextWriter text, Paper paper)
    {
        double most = 45 / paper.Scale, power = Math.Pow(10, Math.Floor(Math.Log10(most))), bar = power * (most >= 5 * power ? 5 : most >= 2 * power ? 2 : 1);
        text.WriteLine($"<path d=\"M4 {Paper.N(paper.Height - 3)}v-1.2h{Paper.N(bar * paper.Scale)}v1.2\" fill=\"none\" stroke=\"{Ink}\" stroke-width=\"0.35\"/><text x=\"{Paper.N(5 + (bar * paper.Scale))}\" y=\"{Paper.N(paper.Height - 2.6)}\" font-size=\"2.9\" {Halo}>{Paper.N(bar)} m</text>");
        text.WriteLine($"<path d=\"M{Width - 5:0} 3l1.6 5.4-1.6-1.2-1.6 1.2z\" fill=\"{Ink}\"/><text x=\"{Width - 5:0}\" y=\"11.6\" font-size=\"3\" text-anchor=\"middle\">N</text></svg>");
    }
}
