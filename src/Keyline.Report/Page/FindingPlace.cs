using Keyline.Check;
using Keyline.Layout;
using NetTopologySuite.Geometries;
using NetTopologySuite.LinearReferencing;

namespace Keyline.Report;

/// <summary>Where a finding lies, so that it is found on the ground and on paper: how far along its line, and what lies next to it.</summary>
/// <remarks>
/// <para>Units: metres. The next line is looked for square to the line, on the side that the finding speaks of, along the stretch it holds for.</para>
/// <para>Cost: that of the lines whose bounds a ray meets.</para>
/// </remarks>
internal sealed class FindingPlace(IReadOnlyList<RipLine> lines)
{
    private const double Step = 2;
    private const double AtEnd = 0.5;

    // Farther than this a driver would not call it the next line.
    private const double Farthest = 50;

    private readonly Dictionary<string, RipLine> _byId = lines.ToDictionary(l => l.Id, StringComparer.Ordinal);

    /// <summary>How far from the line's start; NaN where the line is not known.</summary>
    public double Along(LayoutFinding finding) => _byId.TryGetValue(finding.LineId, out RipLine? line) ? new LengthIndexedLine(line.Line).Project(new Coordinate(finding.X, finding.Y)) : double.NaN;

    /// <summary>Whether the place is an end of its line: true the last, false the first; null for neither.</summary>
    public bool? IsLast(LayoutFinding finding)
    {
        double at = Along(finding);
        return at < AtEnd ? false : _byId.TryGetValue(finding.LineId, out RipLine? line) && at > line.Line.Length - AtEnd ? true : null;
    }

    /// <summary>The line that lies next on the finding's side beyond a reach, and how far off, as near to the finding's place as there is one; null where none lies there.</summary>
    public (string Id, double Distance)? Next(LayoutFinding finding, double reach)
    {
        if (finding.IsOnLeft is not { } left || !_byId.TryGetValue(finding.LineId, out RipLine? own))
        {
            return null;
        }

        LengthIndexedLine course = new(own.Line);
        double middle = Along(finding), half = double.IsFinite(finding.Length) ? finding.Length / 2 : 0;
        for (int k = 0; k <= 2 * (int)(half / Step); k++)
        {
            // From the place outward, on either side by turns.
            double at = middle + ((k % 2 == 0 ? -1 : 1) * ((k + 1) / 2) * Step);
            if (at < 0 || at > own.Line.Length)
            {
                continue;
            }

            Coordinate here = course.ExtractPoint(at), before = course.ExtractPoint(Math.Max(0, at - 0.5)), after = course.ExtractPoint(Math.Min(own.Line.Length, at + 0.5));
            double ahead = before.Distance(after);
            if (ahead == 0)
            {
                continue;
            }

            double side = left ? 1 : -1, dx = -side * (after.Y - before.Y) / ahead * Farthest, dy = side * (after.X - before.X) / ahead * Farthest;
            if (First(own, here, dx, dy) is { } next && next.Distance > reach)
            {
                return next;
            }
        }

        return null;
    }

    private (string Id, double Distance)? First(RipLine own, Coordinate from, double dx, double dy)
    {
        Envelope ray = new(from.X, from.X + dx, from.Y, from.Y + dy);
        double first = double.PositiveInfinity;
        string id = "";
        foreach (RipLine other in lines)
        {
            if (ReferenceEquals(other, own) || !other.Line.EnvelopeInternal.Intersects(ray))
            {
                continue;
            }

            Coordinate[] c = other.Line.Coordinates;
            for (int i = 1; i < c.Length; i++)
            {
                double ex = c[i].X - c[i - 1].X, ey = c[i].Y - c[i - 1].Y, cross = (dx * ey) - (dy * ex);
                if (cross == 0)
                {
                    continue;
                }

                double t = (((c[i - 1].X - from.X) * ey) - ((c[i - 1].Y - from.Y) * ex)) / cross, u = (((c[i - 1].X - from.X) * dy) - ((c[i - 1].Y - from.Y) * dx)) / cross;
                if (t > 0 && t <= 1 && u >= 0 && u <= 1 && t < first)
                {
                    (first, id) = (t, other.Id);
                }
            }
        }

        return id.Length > 0 ? (id, first * Farthest) : null;
    }
}
