using NetTopologySuite.Geometries;
using NetTopologySuite.Index.Strtree;

namespace Keyline.Fieldwork;

/// <summary>Neighbouring passes along a stretch, as places on every pass at cross-cuts some metres apart.</summary>
internal sealed class PassStrip(string[] lines, Coordinate[][] places)
{
    /// <summary>Ids of the passes, side by side.</summary>
    public string[] Lines { get; } = lines;

    /// <summary>Number of cross-cuts.</summary>
    public int Cuts => places.Length;

    /// <summary>The place on a pass at a cross-cut; both may lie between two.</summary>
    public Coordinate At(double cut, double pass)
    {
        int j = Math.Clamp((int)cut, 0, Cuts - 2);
        Coordinate a = On(places[j], pass), b = On(places[j + 1], pass);
        double share = cut - j;
        return new Coordinate(a.X + (share * (b.X - a.X)), a.Y + (share * (b.Y - a.Y)));
    }

    /// <summary>The ground of some passes between two cross-cuts, half a pass beyond the outer ones.</summary>
    public Polygon Shape(int first, int last, int from, int to)
    {
        List<Coordinate> ring = [];
        for (int j = from; j <= to; j++)
        {
            ring.Add(On(places[j], first - 0.5));
        }

        for (int j = to; j >= from; j--)
        {
            ring.Add(On(places[j], last + 0.5));
        }

        ring.Add(ring[0].Copy());
        return new Polygon(new LinearRing([.. ring]));
    }

    // Beyond the outer passes as far on as they lie apart.
    private static Coordinate On(Coordinate[] row, double pass)
    {
        int i = Math.Clamp((int)Math.Floor(pass), 0, row.Length - 2);
        double share = pass - i;
        return new Coordinate(row[i].X + (share * (row[i + 1].X - row[i].X)), row[i].Y + (share * (row[i + 1].Y - row[i].Y)));
    }
}

/// <summary>Finds neighbouring passes: cuts across them at right angles to one, and asks that the same ones are met in the same order at every cut.</summary>
internal sealed class PassStrips
{
    public const double CutStep = 5;
    private const double LeastGap = 0.6;
    private const double MostGap = 1.5;

    private readonly IReadOnlyList<WorkLine> _lines;
    private readonly double _spacing;
    private readonly STRtree<(int Line, Coordinate A, Coordinate B)> _pieces = new();

    public PassStrips(IReadOnlyList<WorkLine> lines, double spacing)
    {
        (_lines, _spacing) = (lines, spacing);
        for (int i = 0; i < lines.Count; i++)
        {
            Coordinate[] at = lines[i].Line.Coordinates;
            for (int k = 0; k + 1 < at.Length; k++)
            {
                _pieces.Insert(new Envelope(at[k], at[k + 1]), (i, at[k], at[k + 1]));
            }
        }

        _pieces.Build();
    }

    /// <summary>A strip of passes on one side of a line, +1 left and -1 right, from a station on; null where there is none.</summary>
    public PassStrip? From(int line, double station, double length, int passes, int side)
    {
        int cuts = (int)Math.Floor(length / CutStep) + 1;
        if (station + length > _lines[line].Line.Length)
        {
            return null;
        }

        int[]? order = null;
        Coordinate[][] places = new Coordinate[cuts][];

        // The ends and the middle first: most stretches fail there.
        foreach (int j in (int[])[0, cuts - 1, cuts / 2, .. Enumerable.Range(0, cuts)])
        {
            if (places[j] is null && !Cut(line, station + (j * CutStep), passes, side, ref order, out places[j]))
            {
                return null;
            }
        }

        return new PassStrip([.. order!.Select(i => _lines[i].Id)], places);
    }

    private bool Cut(int line, double station, int passes, int side, ref int[]? order, out Coordinate[] places)
    {
        (Coordinate at, double dx, double dy) = Along(_lines[line].Line, station);
        double reach = passes * _spacing * MostGap;
        (dx, dy) = (side * dx, side * dy);
        Coordinate end = new(at.X - (dy * reach), at.Y + (dx * reach));
        List<(double Distance, int Line)> met = [];
        foreach ((int other, Coordinate a, Coordinate b) in _pieces.Query(new Envelope(at, end)))
        {
            double ex = b.X - a.X, ey = b.Y - a.Y, cross = (-dy * ey) - (dx * ex);
            if (other == line || cross == 0)
            {
                continue;
            }

            double far = (((a.X - at.X) * ey) - ((a.Y - at.Y) * ex)) / cross, share = (((a.X - at.X) * dx) + ((a.Y - at.Y) * dy)) / cross;
            if (far > 0 && far <= reach && share is >= 0 and < 1)
            {
                met.Add((far, other));
            }
        }

        met.Sort();
        places = new Coordinate[passes];
        places[0] = at;
        int[] own = new int[passes];
        own[0] = line;
        double before = 0;
        for (int i = 1; i < passes; i++)
        {
            if (met.Count < i || !(met[i - 1].Distance - before >= LeastGap * _spacing && met[i - 1].Distance - before <= MostGap * _spacing))
            {
                return false;
            }

            (before, own[i]) = met[i - 1];
            places[i] = new Coordinate(at.X - (dy * before), at.Y + (dx * before));
        }

        if (order is not null && !order.SequenceEqual(own))
        {
            return false;
        }

        order ??= own;
        return own.Distinct().Count() == passes;
    }

    private static (Coordinate At, double Dx, double Dy) Along(LineString line, double station)
    {
        Coordinate[] at = line.Coordinates;
        double left = station;
        for (int k = 0; k + 1 < at.Length; k++)
        {
            double length = at[k].Distance(at[k + 1]);
            if (left <= length && length > 0 || k + 2 == at.Length)
            {
                double share = length > 0 ? Math.Min(1, left / length) : 0;
                // The direction over a few metres, so that one crooked piece does not turn the cut.
                return (new Coordinate(at[k].X + (share * (at[k + 1].X - at[k].X)), at[k].Y + (share * (at[k + 1].Y - at[k].Y))), (at[k + 1].X - at[k].X) / Math.Max(length, 1e-9), (at[k + 1].Y - at[k].Y) / Math.Max(length, 1e-9));
            }

            left -= length;
        }

        return (at[0], 1, 0);
    }
}
