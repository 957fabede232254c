using Keyline.Elevation;
using NetTopologySuite.Geometries;
using NetTopologySuite.LinearReferencing;

namespace Keyline.Tests.Landform;

/// <summary>Ground whose valley floors, crests and breaks of slope are known, turned by any angle, with noise or furrows.</summary>
internal sealed class KnownGround
{
    private const double Width = 600;
    private const double EdgeWidth = 60;
    private const double HeadLength = 140;
    private readonly double _sin;
    private readonly double _cos;

    private KnownGround(double degrees) => (_sin, _cos) = Math.SinCos(degrees * Math.PI / 180);

    public required Func<double, double, double> Height { get; init; }

    /// <summary>Floors before turning; they fall toward smaller y.</summary>
    public required IReadOnlyList<LineString> Floors { get; init; }

    /// <summary>Crests before turning.</summary>
    public IReadOnlyList<LineString> Crests { get; init; } = [];

    /// <summary>Valleys 200 m apart with crests between, z = 3 (1 - cos(2 pi x / 200)) + floor(y).</summary>
    public static KnownGround Straight(double degrees, Func<double, double> floor) => new(degrees)
    {
        Height = (x, y) => (3 * (1 - Math.Cos(2 * Math.PI * x / 200))) + floor(y),
        Floors = [.. Enumerable.Range(-4, 9).Select(k => Along(200 * k))],
        Crests = [.. Enumerable.Range(-4, 9).Select(k => Along((200 * k) + 100))],
    };

    /// <summary>A valley that winds by 25 m either side over 300 m, with its floor exactly along the winding line: height is a
    /// function of the distance from the line and of the distance along it, so the line is a fall line.</summary>
    public static KnownGround Winding(double degrees, Func<double, double> floor)
    {
        const double step = 0.25;
        Coordinate[] line = [.. Enumerable.Range(-2400, 4801).Select(i => new Coordinate(25 * Math.Sin(i * step * 2 * Math.PI / 300), i * step))];
        double[] along = new double[line.Length];
        for (int i = 1; i < line.Length; i++)
        {
            along[i] = along[i - 1] + line[i].Distance(line[i - 1]);
        }

        double middle = along[2400];
        return new(degrees)
        {
            Height = (x, y) =>
            {
                int at = Nearest(line, x, y, step);
                int j = Math.Clamp(at, 1, line.Length - 2);
                double tx = line[j + 1].X - line[j - 1].X, ty = line[j + 1].Y - line[j - 1].Y, length = Math.Sqrt((tx * tx) + (ty * ty));
                double ahead = (((x - line[at].X) * tx) + ((y - line[at].Y) * ty)) / length, aside = (((y - line[at].Y) * tx) - ((x - line[at].X) * ty)) / length;
                return (8 * (1 - Math.Exp(-aside * aside / 3200))) + floor(along[at] - middle + ahead);
            },
            Floors = [new LineString(line)],
        };
    }

    /// <summary>A main valley that falls 4 % and two side valleys that fall 8 % and join it aslant at (0, -60): the lowest of three
    /// troughs, with sharp crests between.</summary>
    public static KnownGround Nested(double degrees)
    {
        const double foot = -60;
        (double sin, double cos) = Math.SinCos(55 * Math.PI / 180);
        double Trough(double across) => 0.15 * Math.Sqrt((across * across) + 64);
        double Side(double x, double y)
        {
            double along = (x * sin) + ((y - foot) * cos), across = (x * cos) - ((y - foot) * sin);
            return along < 0 ? double.PositiveInfinity : (0.04 * foot) + (0.08 * along) + Trough(across);
        }

        return new(degrees)
        {
            Height = (x, y) => Math.Min((0.04 * y) + Trough(x), Math.Min(Side(x, y), Side(-x, y))),
            Floors = [Along(0), new([new(0, foot), new(500 * sin, foot + (500 * cos))]), new([new(0, foot), new(-500 * sin, foot + (500 * cos))])],
        };
    }

    /// <summary>The ground on a grid of square cells.</summary>
    public ElevationGrid Grid(double cell, double noise = 0, int seed = 1, double furrows = 0)
    {
        int n = (int)(Width / cell);
        GridFrame frame = new(n, n, cell, -Width / 2, Width / 2);
        float[] z = new float[n * n];
        Parallel.For(0, n, r =>
        {
            Random random = new((seed * 100_003) + r);
            for (int c = 0; c < n; c++)
            {
                (double x, double y) = Unturned(frame.CentreX(c), frame.CentreY(r));
                double u = 1 - random.NextDouble(), normal = Math.Sqrt(-2 * Math.Log(u)) * Math.Cos(2 * Math.PI * random.NextDouble());
                z[(r * n) + c] = (float)(Height(x, y) + (noise * normal) + (furrows * Math.Sin(2 * Math.PI * ((0.8 * x) + (0.6 * y)) / 3)));
            }
        });
        return ElevationGrid.TakeOver(frame, z);
    }

    /// <summary>A place before turning.</summary>
    public (double X, double Y) Unturned(double x, double y) => ((x * _cos) + (y * _sin), (y * _cos) - (x * _sin));

    /// <summary>Furthest that lines made lie from true ones and true ones from those made, metres, away from the grid's edge and
    /// where 140 m of the valley lie uphill within the grid: what is above may be no valley yet.</summary>
    /// <param name="made">Lines made.</param>
    /// <param name="truth">True lines, before turning.</param>
    /// <param name="spared">Places, before turning, about which nothing is judged within 60 m.</param>
    public double Hausdorff(IEnumerable<LineString> made, IReadOnlyList<LineString> truth, params (double X, double Y)[] spared)
    {
        bool Judged(Coordinate p) => IsJudged(p) && spared.All(s => Turned(s.X, s.Y).Distance(p) > 60);
        LineString[] turned = [.. truth.Select(l => new LineString([.. l.Coordinates.Select(p => Turned(p.X, p.Y))]))];
        MultiLineString all = new([.. made]), real = new(turned);
        double furthest = 0;
        foreach (Coordinate p in all.Coordinates.Where(Judged))
        {
            furthest = Math.Max(furthest, real.Distance(new Point(p)));
        }

        int judged = 0;
        foreach (LineString line in turned)
        {
            LengthIndexedLine index = new(line);
            for (double s = 0; s <= line.Length; s += 2)
            {
                Coordinate p = index.ExtractPoint(s);
                if (Judged(p))
                {
                    judged++;
                    furthest = Math.Max(furthest, all.IsEmpty ? double.PositiveInfinity : all.Distance(new Point(p)));
                }
            }
        }

        Assert.True(judged > 100, "Some of the true lines must be judged.");
        return furthest;
    }

    private bool IsJudged(Coordinate p)
    {
        (double x, double y) = Unturned(p.X, p.Y);
        return Within(p, EdgeWidth) && Within(Turned(x, y + HeadLength), 0) && Within(Turned(x - 90, y), 0) && Within(Turned(x + 90, y), 0);
    }

    private static bool Within(Coordinate p, double edge) => Math.Max(Math.Abs(p.X), Math.Abs(p.Y)) < (Width / 2) - edge;

    private Coordinate Turned(double x, double y) => new((x * _cos) - (y * _sin), (x * _sin) + (y * _cos));

    private static LineString Along(double x) => new([new(x, -600), new(x, 600)]);

    private static int Nearest(Coordinate[] line, double x, double y, double step)
    {
        int middle = Math.Clamp((int)Math.Round(y / step) + (line.Length / 2), 0, line.Length - 1), best = middle;
        foreach (int stride in (int[])[20, 1])
        {
            int about = best, reach = stride == 1 ? 20 : 600;
            double least = double.PositiveInfinity;
            for (int i = Math.Max(0, about - reach); i <= Math.Min(line.Length - 1, about + reach); i += stride)
            {
                double d = ((line[i].X - x) * (line[i].X - x)) + ((line[i].Y - y) * (line[i].Y - y));
                (least, best) = d < least ? (d, i) : (least, best);
            }
        }

        return best;
    }
}
