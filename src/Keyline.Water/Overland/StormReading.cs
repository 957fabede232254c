using Keyline.Elevation;
using NetTopologySuite.Geometries;
using NetTopologySuite.LinearReferencing;

namespace Keyline.Water;

/// <summary>Reads what a storm did from the state it ended in.</summary>
internal static class StormReading
{
    // Water gone at a low place spreads over some metres: the place told is the middle of the busiest such stretch.
    private const double Stretch = 5;

    public static StormResult Of(Hyetograph storm, FlowField field, SoilMap soils, RipNodes? nodes, double left, IReadOnlyList<GaugeReading> gauges, long steps)
    {
        double area = field.Frame.CellArea;
        double standing = FlowField.Sum(field.Depth) * area;
        double rips = 0;
        double[] all = (double[])field.Taken.Clone();
        DamReading[] dams = [.. soils.Dams.Select(d => Dam(d.Name, d.Soil))];
        double inSoil = FlowField.Sum(all) * area;
        for (int i = 0; nodes is not null && i < nodes.Count; i++)
        {
            if (nodes.Cell[i] >= 0)
            {
                double holds = (nodes.Furrow[i] + nodes.Slot[i] + nodes.Soaked[i]) * nodes.Length[i];
                rips += holds;
                all[nodes.Cell[i]] += holds / area;
            }
        }

        double[] taken = nodes?.TakenByLine() ?? [];
        WaterBalance balance = new(storm.Depth * field.Known * area, inSoil, rips, standing, left) { Dams = dams.Sum(d => d.Stored) };
        return new StormResult(storm, balance, field.Map(all, 1), field.Map(field.Deepest, 1), field.Map(field.Depth, 1), gauges, nodes is null ? [] : [.. Enumerable.Range(0, nodes.Lines.Count).Select(k => Line(nodes, k, taken[k]))], steps)
        {
            Along = nodes is null ? [] : [.. Enumerable.Range(0, nodes.Lines.Count).Select(k => Along(nodes, k, field.Base))],
            Deliveries = nodes is null ? [] : [.. nodes.Ends.Where(e => e.Outlet is not null).Select(e => new OutletDelivery(nodes.Lines[e.Line].Id, e.IsStart, e.Outlet!, e.Volume))],
            Dams = dams,
        };

        // What a dam stores is no water in the soil.
        DamReading Dam(string name, int soil)
        {
            GridFrame f = field.Frame;
            double stored = 0;
            int cells = 0;
            for (int i = 0; i < f.CellCount; i++)
            {
                int padded = field.Index(i / f.Columns, i % f.Columns);
                if (soils.IndexOf(i) == soil && field.Bed[padded] < FlowRows.NoGround)
                {
                    stored += all[padded];
                    all[padded] = 0;
                    cells++;
                }
            }

            return new DamReading(name, cells * area, stored * area);
        }
    }

    private static RipPlace[] Along(RipNodes n, int line, double lowest) =>
        [.. Enumerable.Range(n.Starts[line], n.Starts[line + 1] - n.Starts[line]).Select(i => new RipPlace((i - n.Starts[line] + 0.5) * n.Length[i], n.Cell[i] < 0 ? double.NaN : n.Bed[i] + lowest, Math.CopySign(n.MostFlow[i], n.Carried[i]), n.Fastest[i], n.Strongest[i], n.Spilled[i]))];

    private static LineWater Line(RipNodes n, int line, double taken)
    {
        int first = n.Starts[line];
        int behind = n.Starts[line + 1];
        double soaked = 0, held = 0, spilled = 0, led = 0, fastest = 0;
        for (int i = first; i < behind; i++)
        {
            soaked += n.Soaked[i] * n.Length[i];
            held += (n.Furrow[i] + n.Slot[i]) * n.Length[i];
            spilled += n.Spilled[i];
            led = Math.Max(led, Math.Abs(n.Carried[i]));
            fastest = Math.Max(fastest, n.Fastest[i]);
        }

        LineString shape = n.Lines[line].Line;
        int last = behind - 1;
        double ends = behind > first ? n.Spilled[first] + (last > first ? n.Spilled[last] : 0) : 0;
        (double x, double y) = Place(n, first, behind, shape, spilled);
        int end = behind - first < 2 ? -1 : n.MostFlow[first] > n.MostFlow[last - 1] ? first : last - 1;
        return new LineWater(n.Lines[line].Id, shape.Length, taken, soaked, held, spilled, ends, led, x, y, end < 0 ? 0 : n.MostFlow[end], end < 0 ? 0 : n.Fastest[end], end < 0 ? 0 : n.Strongest[end], fastest);
    }

    private static (double X, double Y) Place(RipNodes n, int first, int behind, LineString shape, double spilled)
    {
        if (!(spilled > 0))
        {
            return (double.NaN, double.NaN);
        }

        int reach = Math.Max(1, (int)(Stretch / n.Length[first]));
        double sum = 0;
        double most = -1;
        int where = first;
        for (int i = first; i < behind; i++)
        {
            sum += n.Spilled[i] - (i - reach >= first ? n.Spilled[i - reach] : 0);
            if (sum > most)
            {
                (most, where) = (sum, Math.Max(first, i - (reach / 2)));
            }
        }

        Coordinate at = new LengthIndexedLine(shape).ExtractPoint((where - first + 0.5) * n.Length[first]);
        return (at.X, at.Y);
    }
}
