using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>What kriging looks at from a place.</summary>
/// <remarks>Units: counts.</remarks>
public sealed record KrigingOptions
{
    /// <summary>The default of <see cref="Neighbours"/>.</summary>
    public const int DefaultNeighbours = 24;

    /// <value>How many of the nearest points have a say at a place. Default 24; 48 takes about four times as long. All points where they are no more.</value>
    public int Neighbours { get; init; } = DefaultNeighbours;

    /// <value>How the mean changes over the land. Default: it does not.</value>
    public KrigingTrend Trend { get; init; }

    /// <value>Side of the square whose mean is estimated around each place, metres; 0 for the place itself. Default 0. A mean over a square is surer than a place of it, and keeps no point's value;
    /// points left out are always estimated as places.</value>
    public double Block { get; init; }
}

/// <summary>A map from points.</summary>
/// <param name="Values">The estimates; NaN outside what was asked for.</param>
/// <param name="Variance">The variance of each, the square of the value's unit: 0 at a point, more away from them.</param>
public sealed record KrigedMap(Grid<double> Values, Grid<double> Variance);

/// <summary>Estimates a value between points where it was measured, and how far off that may be.</summary>
/// <remarks>
/// <para>Units: projected metres; the value's own unit, its variance in the square of that. Missing: NaN outside the shape asked for.</para>
/// <para>Promises: a point keeps its value, with variance 0; the estimates are linear in the values, and a constant added to all is added to
/// each; the nugget is taken as a property of the ground, not as an error to be smoothed; points at one place count as their mean;
/// only the nearest points (<see cref="KrigingOptions.Neighbours"/>) have a say, so a map may show faint edges where one takes another's
/// place. Same points, same bytes, on any number of threads.</para>
/// <para>Cost: O(k^3) a cell for k neighbours, less where the cell before had the same ones: 5,000 points onto a million cells with 24 take
/// under 20 s on two cores. Source: ordinary and universal kriging, N. A. C. Cressie, Statistics for spatial data, 1993, sections 3.2
/// and 3.4, means over squares by four by four places after Gauss; by covariances as in E. J. Pebesma, Computers and Geosciences 30 (2004) 683-691.</para>
/// </remarks>
public sealed class PointKriging
{
    private readonly PointSet _points;
    private readonly NearestPoints? _nearest;
    private readonly int[] _all;
    private readonly int _most;

    private PointKriging(PointSet points, VariogramModel model, KrigingOptions options)
    {
        (_points, Model, Options) = (points, model, options);
        _most = Math.Min(options.Neighbours, points.Count);
        _all = [.. Enumerable.Range(0, points.Count)];
        _nearest = _most < points.Count ? new NearestPoints(points.X, points.Y) : null;
    }

    /// <summary>The variogram.</summary>
    public VariogramModel Model { get; }

    /// <summary>What is looked at.</summary>
    public KrigingOptions Options { get; }

    /// <summary>Places with a value.</summary>
    public int Count => _points.Count;

    /// <summary>Prepares kriging.</summary>
    /// <param name="points">The points, one or more.</param>
    /// <param name="model">Their variogram; it must vary.</param>
    /// <param name="options">What is looked at; null for the defaults.</param>
    /// <exception cref="GroundDataException">No point, or one that is no number.</exception>
    /// <exception cref="ArgumentException">A variogram that is zero everywhere, or fewer than one neighbour.</exception>
    public static PointKriging Of(IEnumerable<SoilPoint> points, VariogramModel model, KrigingOptions? options = null) => Of(PointSet.Of(points), model, options);

    internal static PointKriging Of(PointSet set, VariogramModel model, KrigingOptions? options)
    {
        ArgumentNullException.ThrowIfNull(model);
        options ??= new KrigingOptions();
        ArgumentOutOfRangeException.ThrowIfLessThan(options.Neighbours, 1);
        ArgumentOutOfRangeException.ThrowIfNegative(options.Block);
        return model.Nugget + model.Sill > 0 ? new PointKriging(set, model, options)
            : throw new ArgumentException("The variogram is zero everywhere: all values are alike, so there is nothing to map.", nameof(model));
    }

    /// <summary>The estimate at a place, and its variance.</summary>
    /// <param name="x">East, metres.</param>
    /// <param name="y">North, metres.</param>
    public (double Value, double Variance) At(double x, double y) => At(new Place(this), x, y, -1);

    /// <summary>A map on a frame.</summary>
    /// <param name="frame">The cells; each takes the estimate at its centre.</param>
    /// <param name="within">Only cells whose centre lies in it; null for all.</param>
    /// <param name="progress">Told of it, or null.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public KrigedMap Map(GridFrame frame, Geometry? within = null, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(frame);
        double[] values = new double[frame.CellCount], variance = new double[frame.CellCount];
        double[][]? inside = within is null ? null : ScanLines.Crossings(within, frame.CentreY(frame.Rows - 1), frame.CellSize, frame.Rows);
        int done = 0;
        Lock telling = new();

        // Parallel: a cell takes microseconds and depends on no other. A thread's room is made once and never changes what comes out.
        Parallel.For(0, frame.Rows, WorkThreads.Options(cancellationToken), () => new Place(this), (row, _, place) =>
        {
            double y = frame.CentreY(row);
            double[]? crossings = inside?[frame.Rows - 1 - row];
            for (int column = 0; column < frame.Columns; column++)
            {
                double x = frame.CentreX(column);
                int at = (row * frame.Columns) + column;
                (values[at], variance[at]) = crossings is null || IsInside(crossings, x) ? At(place, x, y, -1) : (double.NaN, double.NaN);
            }

            int now = Interlocked.Increment(ref done);
            if (progress is not null && now % Math.Max(frame.Rows / 50, 1) == 0)
            {
                lock (telling)
                {
                    progress.Report(new PlanProgress("mapping between the points", (double)now / frame.Rows));
                }
            }

            return place;
        }, _ => { });
        return new KrigedMap(Grid.Copy<double>(frame, values), Grid.Copy<double>(frame, variance));
    }

    /// <summary>Each point estimated from the others.</summary>
    internal (double Value, double Variance)[] LeavingOut(CancellationToken cancellationToken)
    {
        (double, double)[] found = new (double, double)[_points.Count];
        Parallel.For(0, _points.Count, WorkThreads.Options(cancellationToken), () => new Place(this), (i, _, place) =>
        {
            found[i] = At(place, _points.X[i], _points.Y[i], i);
            return place;
        }, _ => { });
        return found;
    }

    private (double Value, double Variance) At(Place place, double x, double y, int but)
    {
        if (_nearest is not null)
        {
            int count = _nearest.Find(x, y, but, place.Found, place.Squares);
            return Asked(place.Found.AsSpan(0, count));
        }

        if (but < 0)
        {
            return Asked(_all);
        }

        _all.AsSpan(0, but).CopyTo(place.Found);
        _all.AsSpan(but + 1).CopyTo(place.Found.AsSpan(but));
        return place.System.At(place.Found.AsSpan(0, _all.Length - 1), x, y);

        (double, double) Asked(ReadOnlySpan<int> set) => but < 0 && Options.Block > 0 ? place.System.OverSquare(set, x, y, Options.Block) : place.System.At(set, x, y);
    }

    private static bool IsInside(double[] crossings, double x)
    {
        int before = 0;
        while (before < crossings.Length && crossings[before] <= x)
        {
            before++;
        }

        return before % 2 == 1;
    }

    private sealed class Place(PointKriging kriging)
    {
        public KrigingSystem System { get; } = new(kriging._points, kriging.Model, kriging.Options.Trend, kriging._most);

        public int[] Found { get; } = new int[kriging._most];

        public double[] Squares { get; } = new double[kriging._most];
    }
}
