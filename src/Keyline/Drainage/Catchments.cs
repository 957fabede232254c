using Keyline.Elevation;
using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Union;

namespace Keyline.Drainage;

/// <summary>Which cells drain through which places.</summary>
/// <remarks>
/// <para>Units: labels from 1 in the order the places are given; 0 where a cell drains through none. Metres, square metres.</para>
/// <para>Missing: 0.</para>
/// <para>Promises: a cell belongs to the first place its water comes by, so that a place upstream of another keeps its own
/// catchment and the lower one gets what is left; where two places share a cell, the first given has it. Every catchment is
/// one piece by eight neighbours.</para>
/// <para>Cost: linear in cells; 8 bytes a cell.</para>
/// <para>Source: common practice, no source.</para>
/// </remarks>
public static class Catchments
{
    /// <summary>The catchments of points.</summary>
    /// <param name="directions">Where each cell drains.</param>
    /// <param name="points">Places; each counts for the cell it lies in.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentException">A point lies outside the grid or where there is no ground.</exception>
    /// <exception cref="FlowLoopException">The directions run in a loop.</exception>
    public static Grid<int> OfPoints(D8Directions directions, IReadOnlyList<Coordinate> points, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(directions);
        ArgumentNullException.ThrowIfNull(points);
        return Spread(directions, [.. points.Select((p, i) => (int[])[CellOf(directions, p, i)])], cancellationToken);
    }

    /// <summary>The catchments of lines: what drains over each of them, by every cell it touches.</summary>
    /// <param name="directions">Where each cell drains.</param>
    /// <param name="lines">Lines; the parts outside the grid or over missing ground count for nothing.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentException">A line touches no ground.</exception>
    /// <exception cref="FlowLoopException">The directions run in a loop.</exception>
    public static Grid<int> OfLines(D8Directions directions, IReadOnlyList<LineString> lines, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(directions);
        ArgumentNullException.ThrowIfNull(lines);
        int[][] cells = [.. lines.Select(line => TouchedCells.Of(directions.Frame, line).Where(directions.HasGround).ToArray())];
        int empty = Array.FindIndex(cells, c => c.Length == 0);
        return empty < 0
            ? Spread(directions, cells, cancellationToken)
            : throw new ArgumentException($"Line {empty + 1} touches no ground.", nameof(lines));
    }

    /// <summary>The cell near a point through which most area drains: where a point put by eye beside a channel should lie.</summary>
    /// <param name="area">The area that drains through each cell, as <see cref="FlowAccumulation"/> gives it.</param>
    /// <param name="point">The point.</param>
    /// <param name="distance">How far it may be moved, metres, from 0. Of equals the nearest counts, then the first.</param>
    /// <returns>The centre of the cell.</returns>
    /// <exception cref="ArgumentException">There is no ground within the distance.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The distance is below 0.</exception>
    public static Coordinate Snap(Grid<double> area, Coordinate point, double distance)
    {
        ArgumentNullException.ThrowIfNull(area);
        ArgumentNullException.ThrowIfNull(point);
        if (!(distance >= 0))
        {
            throw new ArgumentOutOfRangeException(nameof(distance), distance, "The distance must be a number of metres from 0.");
        }

        GridFrame f = area.Frame;
        (int row, int column) = f.CellAt(point.X, point.Y);
        int reach = (int)Math.Ceiling(distance / f.CellSize);
        Coordinate? best = null;
        (double Area, double Near) most = (double.NegativeInfinity, 0);
        for (int r = Math.Max(row - reach, 0); r <= Math.Min(row + reach, f.Rows - 1); r++)
        {
            for (int c = Math.Max(column - reach, 0); c <= Math.Min(column + reach, f.Columns - 1); c++)
            {
                Coordinate centre = new(f.CentreX(c), f.CentreY(r));
                double away = (r, c) == (row, column) ? 0 : centre.Distance(point);
                if (away <= distance && (area[r, c], -away).CompareTo(most) > 0)
                {
                    most = (area[r, c], -away);
                    best = centre;
                }
            }
        }

        return best ?? throw new ArgumentException($"There is no ground within {distance} m of the point.", nameof(point));
    }

    /// <summary>The outline of a catchment, along the edges of its cells.</summary>
    /// <param name="labels">Labels as they come from here.</param>
    /// <param name="label">Which catchment, from 1.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>A polygon, or several where cells touch by corners only; empty where no cell has the label.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The label is below 1.</exception>
    public static Geometry Outline(Grid<int> labels, int label, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(labels);
        ArgumentOutOfRangeException.ThrowIfLessThan(label, 1);
        GridFrame f = labels.Frame;
        List<Geometry> runs = [];
        for (int r = 0; r < f.Rows; r++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            ReadOnlySpan<int> row = labels.Row(r);
            for (int c = row.IndexOf(label); c >= 0 && c < row.Length;)
            {
                int length = row[c..].IndexOfAnyExcept(label);
                int end = length < 0 ? row.Length : c + length;
                runs.Add(GeometryFactory.Default.ToGeometry(new Envelope(
                    f.West + (c * f.CellSize), f.West + (end * f.CellSize), f.North - (r * f.CellSize), f.North - ((r + 1) * f.CellSize))));
                int next = row[end..].IndexOf(label);
                c = next < 0 ? row.Length : end + next;
            }
        }

        return runs.Count == 0 ? GeometryFactory.Default.CreatePolygon() : Union(runs, cancellationToken);
    }

    // Neighbouring rows first, so that the pieces stay few and the token is looked at between them.
    private static Geometry Union(List<Geometry> pieces, CancellationToken cancellationToken)
    {
        const int atOnce = 256;
        while (pieces.Count > atOnce)
        {
            List<Geometry> joined = [];
            foreach (Geometry[] some in pieces.Chunk(atOnce))
            {
                cancellationToken.ThrowIfCancellationRequested();
                joined.Add(UnaryUnionOp.Union(some));
            }

            pieces = joined;
        }

        return UnaryUnionOp.Union(pieces);
    }

    private static int CellOf(D8Directions directions, Coordinate point, int index)
    {
        GridFrame f = directions.Frame;
        int cell = f.IndexAt(point.X, point.Y);
        return cell >= 0 && directions.HasGround(cell)
            ? cell
            : throw new ArgumentException(FormattableString.Invariant($"Point {index + 1} at {point.X}, {point.Y} does not lie on ground."), nameof(point));
    }

    private static Grid<int> Spread(D8Directions directions, int[][] places, CancellationToken cancellationToken)
    {
        int[] labels = new int[directions.Codes.Length];
        for (int place = places.Length - 1; place >= 0; place--)
        {
            foreach (int cell in places[place])
            {
                labels[cell] = place + 1;
            }
        }

        UpstreamSweep.Give(directions, new Label(labels), cancellationToken);
        return new Grid<int>(directions.Frame, labels);
    }

    // A cell without a place of its own has that of the cell below.
    private readonly struct Label(int[] labels) : IGiven
    {
        public void Give(int cell, int below, byte code)
        {
            if (labels[cell] == 0 && below >= 0)
            {
                labels[cell] = labels[below];
            }
        }
    }
}
