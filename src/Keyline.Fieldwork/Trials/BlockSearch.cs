using Keyline.Field;
using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Prepared;

namespace Keyline.Fieldwork;

/// <summary>A stretch of passes on which a block can lie.</summary>
internal sealed record BlockSite(PassStrip Strip, Polygon Shape, string Zone, double[] Positions, double[] Slopes)
{
    public double PositionRange => Range(Positions);

    public double SlopeRange => Range(Slopes);

    private static double Range(double[] values) => values.Any(double.IsNaN) ? double.NaN : values.Max() - values.Min();
}

/// <summary>Looks along every line for stretches of neighbouring passes on like ground, and takes the best that do not meet.</summary>
internal sealed class BlockSearch(IReadOnlyList<WorkLine> lines, FieldArea field, Geometry? steep, double spacing, TrialGround? ground, IReadOnlyList<TrialZone> zones, TrialOptions options)
{
    private const double LeastStep = 10;

    // Where the implement is let down and lifted the depth is not what it is along the line.
    private const double EndRoom = 5;

    // In a bend the inner passes are shorter: plots of a block should be of about one size.
    private const double LeastLengthShare = 0.8;
    private readonly PassStrips _strips = new(lines, spacing);
    private readonly IPreparedGeometry _inside = PreparedGeometryFactory.Prepare(field.Boundary);
    private readonly Geometry[] _outside = [.. field.Avoided.Select(a => a.KeptClear), .. steep is null ? Array.Empty<Geometry>() : [steep]];
    private readonly (string Name, IPreparedGeometry Shape)[] _zones = [.. zones.Select(z => (z.Name, PreparedGeometryFactory.Prepare(z.Shape)))];

    /// <summary>Passes that a block of plots takes with those between them.</summary>
    public static int PassesOf(int plots, TrialOptions options) => (plots * options.Passes) + ((plots - 1) * options.Buffer);

    /// <summary>First pass of a plot in its block.</summary>
    public static int FirstOf(int plot, TrialOptions options) => plot * (options.Passes + options.Buffer);

    /// <summary>The best sites that keep clear of one another.</summary>
    public List<BlockSite> Find(double length, int plots, int most, CancellationToken stop)
    {
        List<(double Score, int Order, BlockSite Site)> sites = [];
        for (int i = 0; i < lines.Count; i++)
        {
            stop.ThrowIfCancellationRequested();
            for (double station = EndRoom; station + length <= lines[i].Line.Length - EndRoom + 1e-9; station += Math.Max(LeastStep, length / 4))
            {
                foreach (int side in (int[])[1, -1])
                {
                    if (Site(i, station, length, plots, side) is not { } site)
                    {
                        continue;
                    }

                    double score = (double.IsNaN(site.PositionRange) ? 0 : site.PositionRange / options.MostPositionRange) + (double.IsNaN(site.SlopeRange) ? 0 : site.SlopeRange / options.MostSlopeRange);
                    sites.Add((score, sites.Count, site));
                }
            }
        }

        List<BlockSite> taken = [];
        foreach ((_, _, BlockSite site) in sites.OrderBy(s => s.Score).ThenBy(s => s.Order))
        {
            if (taken.Count == most)
            {
                break;
            }

            double clear = Math.Max(options.Buffer, 0.5) * spacing;
            if (taken.TrueForAll(t => !t.Shape.EnvelopeInternal.Intersects(Grown(site.Shape.EnvelopeInternal, clear)) || t.Shape.Distance(site.Shape) >= clear))
            {
                taken.Add(site);
            }
        }

        return taken;
    }

    private BlockSite? Site(int line, double station, double length, int plots, int side)
    {
        if (_strips.From(line, station, length, PassesOf(plots, options), side) is not { } strip)
        {
            return null;
        }

        Polygon shape = strip.Shape(0, strip.Lines.Length - 1, 0, strip.Cuts - 1);
        if (Length(strip, strip.Lines.Length - 1) is var across && Math.Min(across, length) < LeastLengthShare * Math.Max(across, length)
            || !shape.IsValid || !_inside.Contains(shape) || _outside.Any(o => o.Intersects(shape)) || !InOneZone(shape, out string zone) || !Parts(strip, plots).All(p => p.IsValid && p.Area > 0))
        {
            return null;
        }

        double[] positions = new double[plots], slopes = new double[plots];
        for (int p = 0; p < plots; p++)
        {
            (positions[p], slopes[p]) = Mean(strip, FirstOf(p, options), FirstOf(p, options) + options.Passes - 1);
        }

        BlockSite site = new(strip, shape, zone, positions, slopes);
        return site.PositionRange > options.MostPositionRange || site.SlopeRange > options.MostSlopeRange ? null : site;
    }

    /// <summary>The cross-cuts between which a part of a plot lies.</summary>
    public static (int From, int To) PartOf(PassStrip strip, int part, int parts) => (part * (strip.Cuts - 1) / parts, (part + 1) * (strip.Cuts - 1) / parts);

    // In a tight bend cross-cuts meet and fold a part over though the whole is sound.
    private IEnumerable<Polygon> Parts(PassStrip strip, int plots)
    {
        int parts = Math.Max(1, options.Split.Count);
        for (int p = 0; p < plots; p++)
        {
            for (int s = 0; s < parts; s++)
            {
                (int from, int to) = PartOf(strip, s, parts);
                yield return strip.Shape(FirstOf(p, options), FirstOf(p, options) + options.Passes - 1, from, to);
            }
        }
    }

    private bool InOneZone(Polygon shape, out string zone)
    {
        zone = "";
        foreach ((string name, IPreparedGeometry own) in _zones)
        {
            if (!own.Intersects(shape))
            {
                continue;
            }

            if (zone.Length > 0 || !own.Contains(shape))
            {
                return false;
            }

            zone = name.Length > 0 ? name : "zone";
        }

        return true;
    }

    private (double Position, double Slope) Mean(PassStrip strip, int first, int last)
    {
        if (ground is null)
        {
            return (double.NaN, double.NaN);
        }

        double position = 0, slope = 0;
        int count = 0;
        for (int j = 0; j < strip.Cuts; j++)
        {
            for (int i = first; i <= last; i++)
            {
                Coordinate at = strip.At(j, i);
                (double p, double s) = ground.At(at.X, at.Y);
                if (double.IsFinite(p) && double.IsFinite(s))
                {
                    (position, slope, count) = (position + p, slope + s, count + 1);
                }
            }
        }

        return count == 0 ? (double.NaN, double.NaN) : (position / count, slope / count);
    }

    private static double Length(PassStrip strip, int pass) => Enumerable.Range(1, strip.Cuts - 1).Sum(j => strip.At(j, pass).Distance(strip.At(j - 1, pass)));

    private static Envelope Grown(Envelope box, double by)
    {
        Envelope grown = new(box);
        grown.ExpandBy(by);
        return grown;
    }
}
