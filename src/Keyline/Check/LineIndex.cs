using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Check;

/// <summary>What lies around a place on a line.</summary>
/// <param name="Any">Distance to the nearest other line whichever way, metres; infinite where none is within reach.</param>
/// <param name="SameGuide">The same to lines of the same guide.</param>
/// <param name="Left">Distance to whatever line lies next on the left.</param>
/// <param name="Right">The same on the right.</param>
/// <param name="LeftLine">Which one; -1 where there is none.</param>
/// <param name="RightLine">Which one; -1 where there is none.</param>
internal readonly record struct NextLines(double Any, double SameGuide, double Left, double Right, int LeftLine, int RightLine);

/// <summary>All lines of a check, to ask what lies next to a place on one of them.</summary>
/// <remarks>
/// <para>Units: metres. A line lies next on a side where a point of it is nearest to the place among all that stand across the
/// direction of travel there: within a cone about the normal whose sides run 0.6 along for 1 across, opened by 0.3 m. A line that
/// ends short of the place is so not taken for its neighbour. A line's own course counts where it comes past again farther on than
/// five reaches of a spacing along itself.</para>
/// <para>Cost: as <see cref="SegmentBins.Collect"/>.</para>
/// </remarks>
internal sealed class LineIndex
{
    private const double ConeSlope = 0.6;
    private const double ConeRoom = 0.3;
    private const double LeastOwnWay = 15.0;

    private readonly SegmentBins _bins;
    private readonly List<double> _stations = [];
    private readonly double[] _lengths;
    private readonly int[] _guides;
    private readonly double _ownWay;

    public LineIndex(IReadOnlyList<CheckedLine> lines, double spacing)
    {
        double asked = double.IsNaN(spacing) ? 0 : spacing;
        _bins = new SegmentBins(Extent(lines), Math.Max(asked, 2));
        _ownWay = Math.Max(LeastOwnWay, 5 * asked);
        _lengths = new double[lines.Count];
        _guides = new int[lines.Count];
        Paths = new LinePath[lines.Count];
        Dictionary<string, int> guides = [];
        for (int i = 0; i < lines.Count; i++)
        {
            Paths[i] = SampledLine.PathOf(lines[i].Line);
            _bins.Add(Paths[i], i);
            for (int k = 0; k < Paths[i].SegmentCount; k++)
            {
                _stations.Add(_lengths[i]);
                _lengths[i] += (Paths[i].End(k) - Paths[i].Points[k]).Norm;
            }

            if (!guides.TryGetValue(lines[i].GuideId, out _guides[i]))
            {
                guides[lines[i].GuideId] = _guides[i] = guides.Count;
            }
        }
    }

    public LinePath[] Paths { get; }

    /// <summary>What lies around a place on a line.</summary>
    /// <param name="line">The line.</param>
    /// <param name="station">How far along it, metres.</param>
    /// <param name="p">The place.</param>
    /// <param name="direction">Unit direction of travel there.</param>
    /// <param name="reach">How far to look, metres.</param>
    /// <param name="near">Room to work in.</param>
    public NextLines Around(int line, double station, XY p, XY direction, double reach, List<int> near)
    {
        double any = reach * reach;
        double same = any;
        double left = any;
        double right = any;
        (bool anyMet, bool sameMet, int leftLine, int rightLine) = (false, false, -1, -1);
        _bins.Collect(p, reach, near);
        foreach (int segment in near)
        {
            (XY start, XY end, int owner) = _bins.Segment(segment);
            if (owner == line && !ComesPastAgain(line, segment, station, (end - start).Norm))
            {
                continue;
            }

            if (owner != line)
            {
                double d = SegmentBins.SquareDistance(p, start, end);
                (any, anyMet) = d <= any ? (d, true) : (any, anyMet);
                (same, sameMet) = d <= same && _guides[owner] == _guides[line] ? (d, true) : (same, sameMet);
            }

            XY a = start - p;
            XY b = end - p;
            double toLeft = AcrossSquare(a, b, direction, 1);
            (left, leftLine) = Nearer(toLeft, owner, left, leftLine);
            double toRight = AcrossSquare(a, b, direction, -1);
            (right, rightLine) = Nearer(toRight, owner, right, rightLine);
        }

        return new NextLines(Root(any, anyMet), Root(same, sameMet), Root(left, leftLine >= 0), Root(right, rightLine >= 0), leftLine, rightLine);

        static double Root(double square, bool met) => met ? Math.Sqrt(square) : double.PositiveInfinity;
    }

    /// <summary>Owners above a given one whose segments meet a segment, and where.</summary>
    public IEnumerable<(int Owner, Coordinate At)> Meeting(XY a, XY b, int above) => _bins.Meeting(a, b, above);

    /// <summary>The box around all lines; a box at the origin where there are none.</summary>
    public static Envelope Extent(IReadOnlyList<CheckedLine> lines)
    {
        Envelope box = new();
        foreach (CheckedLine line in lines)
        {
            box.ExpandToInclude(line.Line.EnvelopeInternal);
        }

        return box.IsNull ? new Envelope(0, 1, 0, 1) : box;
    }

    // Lines at one distance go by number, so that the order of the bins does not decide.
    private static (double Square, int Line) Nearer(double found, int owner, double square, int line) =>
        found < square || (found == square && (line < 0 || owner < line)) ? (found, owner) : (square, line);

    private bool ComesPastAgain(int line, int segment, double station, double length)
    {
        double from = _stations[segment];
        double away = station < from ? from - station : station > from + length ? station - from - length : 0;
        if (Paths[line].Closed)
        {
            double around = station < from ? station + _lengths[line] - from - length : from + _lengths[line] - station;
            away = Math.Min(away, Math.Max(0, around));
        }

        return away > _ownWay;
    }

    // Square of the distance from the origin to what of a segment lies in the cone on one side; infinite where nothing does.
    private static double AcrossSquare(XY a, XY b, XY direction, int side)
    {
        double from = 0;
        double to = 1;
        double acrossA = side * direction.Cross(a);
        double acrossB = side * direction.Cross(b);
        double alongA = direction.Dot(a);
        double alongB = direction.Dot(b);
        if (!Keep(acrossA, acrossB, ref from, ref to)
            || !Keep((ConeSlope * acrossA) + ConeRoom - alongA, (ConeSlope * acrossB) + ConeRoom - alongB, ref from, ref to)
            || !Keep((ConeSlope * acrossA) + ConeRoom + alongA, (ConeSlope * acrossB) + ConeRoom + alongB, ref from, ref to))
        {
            return double.PositiveInfinity;
        }

        XY v = b - a;
        double square = v.Dot(v);
        XY foot = a + (v * Math.Clamp(square > 0 ? -a.Dot(v) / square : 0, from, to));
        return foot.Dot(foot);
    }

    // Cuts a stretch (shares of a segment) to where something that changes evenly along it is not below 0.
    private static bool Keep(double atStart, double atEnd, ref double from, ref double to)
    {
        if (atStart < 0 && atEnd < 0)
        {
            return false;
        }

        if (atStart < 0)
        {
            from = Math.Max(from, atStart / (atStart - atEnd));
        }
        else if (atEnd < 0)
        {
            to = Math.Min(to, atStart / (atStart - atEnd));
        }

        return from <= to;
    }
}
