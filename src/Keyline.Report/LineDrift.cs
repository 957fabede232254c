using Keyline.Check;
using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Report;

/// <summary>Which way water drifts along a stretch of line.</summary>
internal enum Drift
{
    /// <summary>Gentler than <see cref="LineMeasures.LevelGrade"/>.</summary>
    Level,

    /// <summary>Falls toward the ridge.</summary>
    ToRidge,

    /// <summary>Falls toward the valley.</summary>
    ToValley,
}

/// <summary>A stretch of line with one drift.</summary>
/// <param name="Drift">Which way water goes.</param>
/// <param name="Points">The stretch, projected metres, in the line's direction.</param>
/// <param name="FallsForward">True where the stretch falls in the line's direction.</param>
internal sealed record DriftStretch(Drift Drift, IReadOnlyList<Coordinate> Points, bool FallsForward)
{
    private Envelope? _extent;

    /// <summary>The box around it, projected metres.</summary>
    public Envelope Extent => _extent ??= new Envelope(Points);
}

/// <summary>Cuts a line into stretches by the way water drifts along it, for drawing: falls too short to see are left out.</summary>
/// <remarks>The same base and the same threshold as the layout check: <see cref="LineMeasures.GradeBase"/> metres and
/// <see cref="LineMeasures.LevelGrade"/> percent.</remarks>
internal static class LineDrift
{
    private const double Step = 2.5;

    public static IReadOnlyList<DriftStretch> Cut(LineString line, ElevationGrid ground, Grid<float> position)
    {
        List<Coordinate> stations = Stations(line);
        double[] heights = [.. stations.Select(s => ground.HeightAt(s.X, s.Y))];
        double[] places = [.. stations.Select(s => Sample(position, s.X, s.Y))];
        int reach = (int)Math.Round(LineMeasures.GradeBase / Step / 2);
        List<DriftStretch> stretches = [];
        List<Coordinate> current = [stations[0]];
        (Drift Drift, bool Forward)? kind = null;
        for (int i = 0; i + 1 < stations.Count; i++)
        {
            int from = Math.Max(0, i - reach + 1);
            int to = Math.Min(stations.Count - 1, i + reach);
            (Drift, bool) here = Kind(heights[to] - heights[from], (to - from) * Step, places[to] - places[from]);
            if (kind is not null && here != kind)
            {
                stretches.Add(new DriftStretch(kind.Value.Drift, current, kind.Value.Forward));
                current = [stations[i]];
            }

            kind = here;
            current.Add(stations[i + 1]);
        }

        if (kind is not null)
        {
            stretches.Add(new DriftStretch(kind.Value.Drift, current, kind.Value.Forward));
        }

        return Generalize(stretches);
    }

    /// <summary>Takes a fall shorter than the base it is measured over for level, and joins what then is alike.</summary>
    private static List<DriftStretch> Generalize(List<DriftStretch> stretches)
    {
        List<DriftStretch> plain = [];
        foreach (DriftStretch stretch in stretches)
        {
            bool isShort = (stretch.Points.Count - 1) * Step < LineMeasures.GradeBase;
            DriftStretch here = isShort ? stretch with { Drift = Drift.Level, FallsForward = false } : stretch;
            if (plain.Count > 0 && plain[^1].Drift == here.Drift && plain[^1].FallsForward == here.FallsForward)
            {
                plain[^1] = here with { Points = [.. plain[^1].Points, .. here.Points.Skip(1)] };
            }
            else
            {
                plain.Add(here);
            }
        }

        return plain;
    }

    private static (Drift Drift, bool Forward) Kind(double rise, double run, double towardRidge)
    {
        double grade = 100 * rise / run;
        if (!(Math.Abs(grade) > LineMeasures.LevelGrade) || !double.IsFinite(towardRidge) || towardRidge == 0)
        {
            return (Drift.Level, false);
        }

        bool forward = grade < 0;
        return (forward == towardRidge > 0 ? Drift.ToRidge : Drift.ToValley, forward);
    }

    /// <summary>Points along the line no further apart than the step, its own points among them at the ends.</summary>
    private static List<Coordinate> Stations(LineString line)
    {
        Coordinate[] points = line.Coordinates;
        List<Coordinate> stations = [points[0]];
        double due = Step;
        for (int i = 1; i < points.Length; i++)
        {
            double length = points[i - 1].Distance(points[i]);
            double walked = 0;
            while (length - walked >= due && length > 0)
            {
                walked += due;
                double share = walked / length;
                stations.Add(new Coordinate(
                    points[i - 1].X + (share * (points[i].X - points[i - 1].X)),
                    points[i - 1].Y + (share * (points[i].Y - points[i - 1].Y))));
                due = Step;
            }

            due -= length - walked;
        }

        stations.Add(points[^1]);
        return stations;
    }

    private static double Sample(Grid<float> grid, double x, double y)
    {
        GridFrame frame = grid.Frame;
        double column = Math.Clamp(frame.ColumnAt(x), 0, frame.Columns - 1);
        double row = Math.Clamp(frame.RowAt(y), 0, frame.Rows - 1);
        int west = Math.Min((int)column, Math.Max(0, frame.Columns - 2));
        int north = Math.Min((int)row, Math.Max(0, frame.Rows - 2));
        int east = Math.Min(west + 1, frame.Columns - 1);
        int south = Math.Min(north + 1, frame.Rows - 1);
        double right = column - west;
        double down = row - north;
        double upper = grid[north, west] + (right * (grid[north, east] - (double)grid[north, west]));
        double lower = grid[south, west] + (right * (grid[south, east] - (double)grid[south, west]));
        return upper + (down * (lower - upper));
    }
}
