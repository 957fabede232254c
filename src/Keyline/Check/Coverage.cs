using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Check;

/// <summary>Share of an area that lies within half a spacing of a line.</summary>
/// <remarks>
/// <para>Units: metres. Half a spacing and 5 %, so that lines a little off their place do not count as a row of bare slits.</para>
/// <para>Cost: rows of points across the area alone, whatever lies between its pieces: proportional to its area and its outline.</para>
/// </remarks>
internal static class Coverage
{
    private const double MostPoints = 250_000;
    private const double Slack = 1.05;

    public static double Share(IReadOnlyList<CheckedLine> lines, Geometry area, double spacing, CancellationToken cancellationToken)
    {
        if (area.IsEmpty || double.IsNaN(spacing))
        {
            return double.NaN;
        }

        SegmentBins index = new(area.EnvelopeInternal, Math.Max(spacing, 2));
        for (int i = 0; i < lines.Count; i++)
        {
            index.Add(SampledLine.PathOf(lines[i].Line), i);
        }

        Envelope box = area.EnvelopeInternal;
        double step = Math.Max(spacing / 6, Math.Sqrt(area.Area / MostPoints));
        List<double>[] crossings = Crossings(area, box, step);
        long[] inside = new long[crossings.Length];
        long[] covered = new long[crossings.Length];
        Parallel.For(0, crossings.Length, WorkThreads.Options(cancellationToken), r =>
        {
            List<double> at = crossings[r];
            at.Sort();
            for (int k = 0; k + 1 < at.Count; k += 2)
            {
                int first = (int)Math.Ceiling(((at[k] - box.MinX) / step) - 0.5);
                int last = (int)Math.Floor(((at[k + 1] - box.MinX) / step) - 0.5);
                for (int c = first; c <= last; c++)
                {
                    inside[r]++;
                    covered[r] += index.AnyWithin(new XY(box.MinX + ((c + 0.5) * step), box.MinY + ((r + 0.5) * step)), Slack * spacing / 2) ? 1 : 0;
                }
            }
        });
        return inside.Sum() > 0 ? (double)covered.Sum() / inside.Sum() : double.NaN;
    }

    // Where each row of points crosses the outline: inside lies between the first and the second, the third and the fourth.
    private static List<double>[] Crossings(Geometry area, Envelope box, double step)
    {
        List<double>[] rows = new List<double>[(int)(box.Height / step) + 1];
        for (int r = 0; r < rows.Length; r++)
        {
            rows[r] = [];
        }

        for (int g = 0; g < area.NumGeometries; g++)
        {
            if (area.GetGeometryN(g) is Polygon polygon)
            {
                for (int h = -1; h < polygon.NumInteriorRings; h++)
                {
                    Cross((h < 0 ? polygon.ExteriorRing : polygon.GetInteriorRingN(h)).Coordinates);
                }
            }
        }

        return rows;

        void Cross(Coordinate[] ring)
        {
            for (int i = 1; i < ring.Length; i++)
            {
                (Coordinate low, Coordinate high) = ring[i - 1].Y <= ring[i].Y ? (ring[i - 1], ring[i]) : (ring[i], ring[i - 1]);

                // Rows from the lower end up to but not at the upper one, so that a corner counts once.
                int first = Math.Max(0, (int)Math.Ceiling(((low.Y - box.MinY) / step) - 0.5));
                for (int r = first; r < rows.Length && box.MinY + ((r + 0.5) * step) < high.Y; r++)
                {
                    double y = box.MinY + ((r + 0.5) * step);
                    rows[r].Add(low.X + ((high.X - low.X) * (y - low.Y) / (high.Y - low.Y)));
                }
            }
        }
    }
}
