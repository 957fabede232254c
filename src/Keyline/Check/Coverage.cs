using Keyline.Planar;
using NetTopologySuite.Algorithm.Locate;
using NetTopologySuite.Geometries;

namespace Keyline.Check;

/// <summary>Share of an area that lies within half a spacing of a line.</summary>
internal static class Coverage
{
    private const double MostPoints = 250_000;
    private const double Slack = 1.05;

    public static double Share(IReadOnlyList<CheckedLine> lines, Geometry area, double spacing, CancellationToken cancellationToken)
    {
        if (area.IsEmpty)
        {
            return double.NaN;
        }

        SegmentBins index = new(area.EnvelopeInternal, Math.Max(spacing, 2));
        for (int i = 0; i < lines.Count; i++)
        {
            index.Add(new LinePath([.. lines[i].Line.Coordinates.Select(c => new XY(c.X, c.Y))], false), i);
        }

        Envelope box = area.EnvelopeInternal;
        double step = Math.Max(spacing / 6, Math.Sqrt(area.Area / MostPoints));
        int rows = (int)(box.Height / step) + 1;
        int columns = (int)(box.Width / step) + 1;
        IndexedPointInAreaLocator locator = new(area);
        _ = locator.Locate(box.Centre);
        long[] inside = new long[rows];
        long[] covered = new long[rows];
        Parallel.For(0, rows, WorkThreads.Options(cancellationToken), r =>
        {
            for (int c = 0; c < columns; c++)
            {
                XY p = new(box.MinX + ((c + 0.5) * step), box.MinY + ((r + 0.5) * step));
                if (locator.Locate(new Coordinate(p.X, p.Y)) == Location.Interior)
                {
                    inside[r]++;
                    covered[r] += index.AnyWithin(p, Slack * spacing / 2) ? 1 : 0;
                }
            }
        });
        return inside.Sum() > 0 ? (double)covered.Sum() / inside.Sum() : double.NaN;
    }
}
