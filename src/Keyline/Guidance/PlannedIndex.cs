using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Guidance;

/// <summary>A place on a planned line that a track may be at.</summary>
/// <param name="Line">Which line.</param>
/// <param name="Station">Distance from the line's start, metres.</param>
/// <param name="Right">How far right of the line the track is, seen as the line was planned, metres.</param>
/// <param name="Sense">1 where the track goes the way of the line, -1 where against it.</param>
internal readonly record struct PlannedPlace(int Line, double Station, double Right, int Sense);

/// <summary>Planned lines, to ask which of them a track may be on.</summary>
/// <remarks>Units: metres. Cost: a question looks at the segments within its reach.</remarks>
internal sealed class PlannedIndex
{
    // Long straight segments are divided, or each would lie in all the bins around its diagonal.
    private const double LongestSegment = 20;
    private const double LeastBin = 5;

    // The track may run past a line's end by rounding.
    private const double EndSlack = 0.5;

    private readonly List<(XY Start, XY End, int Line, double Station)> _segments = [];
    private readonly int[] _first;
    private readonly SegmentBins _index;
    private readonly double[][] _heights;

    public PlannedIndex(IReadOnlyList<PlannedPath> lines, double reach)
    {
        Envelope extent = new();
        foreach (PlannedPath line in lines)
        {
            extent.ExpandToInclude(line.Line.EnvelopeInternal);
        }

        _index = new SegmentBins(extent.IsNull ? new Envelope(0, 1, 0, 1) : extent, Math.Max(reach, LeastBin));
        _first = new int[lines.Count + 1];
        Lengths = new double[lines.Count];
        _heights = new double[lines.Count][];
        for (int k = 0; k < lines.Count; k++)
        {
            _first[k] = _segments.Count;
            (Lengths[k], _heights[k]) = Add(lines[k].Line.Coordinates, k);
        }

        _first[^1] = _segments.Count;
        _index.Freeze();
    }

    /// <summary>Length of each line, metres.</summary>
    public double[] Lengths { get; }

    /// <summary>Segments of all lines.</summary>
    public SegmentBins Segments => _index;

    /// <summary>The nearest place on every line within a reach whose direction agrees.</summary>
    /// <param name="at">Where the track is.</param>
    /// <param name="way">Which way it goes.</param>
    /// <param name="reach">Metres.</param>
    /// <param name="leastCosine">Cosine of the widest angle.</param>
    /// <param name="found">Filled with places, by line.</param>
    /// <param name="near">Room to work in.</param>
    public void Near(XY at, XY way, double reach, double leastCosine, List<PlannedPlace> found, List<int> near)
    {
        found.Clear();
        _index.Collect(at, reach, near);
        foreach (int segment in near)
        {
            if (Place(segment, at, way, reach, leastCosine) is { } place)
            {
                int known = found.FindIndex(f => f.Line == place.Line);
                if (known < 0)
                {
                    found.Add(place);
                }
                else if (Better(place, found[known]))
                {
                    found[known] = place;
                }
            }
        }

        found.Sort((a, b) => a.Line.CompareTo(b.Line));
    }

    // A segment may be met in several bins, in any order, so ties go to the nearer start of the line.
    internal static bool Better(PlannedPlace a, PlannedPlace b) =>
        Math.Abs(a.Right) < Math.Abs(b.Right) || (Math.Abs(a.Right) == Math.Abs(b.Right) && a.Station < b.Station);

    /// <summary>Where a place lies on one segment, or null where it is out of reach, past an end of the line, or goes another way.</summary>
    internal PlannedPlace? Place(int segment, XY at, XY way, double reach, double leastCosine)
    {
        (XY start, XY end, int line, double station) = _segments[segment];
        XY along = end - start;
        double length = along.Norm;
        double cosine = along.Dot(way) / length;
        if (Math.Abs(cosine) < leastCosine)
        {
            return null;
        }

        double t = (at - start).Dot(along) / length;
        if ((segment == _first[line] && t < -EndSlack) || (segment == _first[line + 1] - 1 && t > length + EndSlack))
        {
            return null;
        }

        t = Math.Clamp(t, 0, length);
        XY off = at - (start + (along * (t / length)));
        double distance = off.Norm;
        return distance > reach ? null : new PlannedPlace(line, station + t, along.Cross(off) > 0 ? -distance : distance, cosine > 0 ? 1 : -1);
    }

    /// <summary>Number of segments.</summary>
    internal int Count => _segments.Count;

    /// <summary>Point of a line at a station.</summary>
    public XY At(int line, double station)
    {
        (XY start, XY end, _, double from) = _segments[Find(line, station)];
        XY along = end - start;
        return start + (along * Math.Clamp((station - from) / along.Norm, 0, 1));
    }

    /// <summary>Unit direction of a line at a station.</summary>
    public XY Direction(int line, double station)
    {
        (XY start, XY end, _, _) = _segments[Find(line, station)];
        return (end - start).Unit();
    }

    /// <summary>Height of a line at a station by its own heights, metres, or NaN.</summary>
    public double HeightAt(int line, double station)
    {
        int segment = Find(line, station), i = segment - _first[line];
        (XY start, XY end, _, double from) = _segments[segment];
        double t = Math.Clamp((station - from) / (end - start).Norm, 0, 1);
        return _heights[line][i] + (t * (_heights[line][i + 1] - _heights[line][i]));
    }

    /// <summary>The stretch of a line between two stations.</summary>
    public LineString Stretch(int line, double from, double to)
    {
        List<Coordinate> points = [];
        Add(from);
        for (int s = _first[line]; s < _first[line + 1]; s++)
        {
            double station = _segments[s].Station;
            if (station > from && station < to)
            {
                points.Add(new CoordinateZ(_segments[s].Start.X, _segments[s].Start.Y, _heights[line][s - _first[line]]));
            }
        }

        Add(to);
        return GeometryFactory.Default.CreateLineString([.. points]);

        void Add(double station)
        {
            XY at = At(line, station);
            points.Add(new CoordinateZ(at.X, at.Y, HeightAt(line, station)));
        }
    }

    private int Find(int line, double station)
    {
        int low = _first[line], high = _first[line + 1] - 1;
        while (low < high)
        {
            int middle = (low + high + 1) / 2;
            (low, high) = _segments[middle].Station <= station ? (middle, high) : (low, middle - 1);
        }

        return low;
    }

    private (double Length, double[] Heights) Add(Coordinate[] points, int line)
    {
        double station = 0;
        List<double> heights = [points[0].Z];
        for (int i = 0; i + 1 < points.Length; i++)
        {
            XY a = new(points[i].X, points[i].Y), b = new(points[i + 1].X, points[i + 1].Y);
            double length = (b - a).Norm;
            int pieces = (int)Math.Ceiling(length / LongestSegment);
            for (int p = 0; p < pieces; p++)
            {
                XY from = a + ((b - a) * ((double)p / pieces)), to = p + 1 == pieces ? b : a + ((b - a) * ((p + 1.0) / pieces));
                _segments.Add((from, to, line, station + (length * p / pieces)));
                _index.Add(from, to, line);
                heights.Add(points[i].Z + ((points[i + 1].Z - points[i].Z) * (p + 1) / pieces));
            }

            station += length;
        }

        return (station, [.. heights]);
    }
}
