using NetTopologySuite.Geometries;

namespace Keyline.Planar;

/// <summary>An open or closed run of points, evenly spaced as far as <see cref="Resample"/> made it so.</summary>
/// <remarks>A closed path does not repeat its first point.</remarks>
internal sealed class LinePath
{
    public LinePath(XY[] points, bool closed)
    {
        Points = points;
        Closed = closed;
    }

    public XY[] Points { get; }

    public bool Closed { get; }

    public int Count => Points.Length;

    public int SegmentCount => Closed ? Points.Length : Points.Length - 1;

    public XY End(int segment) => Points[segment + 1 == Points.Length ? 0 : segment + 1];

    /// <summary>The points as coordinates; a closed path repeats its first.</summary>
    public Coordinate[] ToCoordinates()
    {
        Coordinate[] result = new Coordinate[Closed ? Count + 1 : Count];
        for (int i = 0; i < result.Length; i++)
        {
            XY p = Points[i % Count];
            result[i] = new Coordinate(p.X, p.Y);
        }

        return result;
    }

    public double Length()
    {
        double sum = 0;
        for (int i = 0; i < SegmentCount; i++)
        {
            sum += (End(i) - Points[i]).Norm;
        }

        return sum;
    }

    /// <summary>The same path with points at equal distances, as near <paramref name="step"/> metres as comes out even.</summary>
    public LinePath Resample(double step)
    {
        double length = Length();
        int pieces = Math.Max((int)Math.Round(length / step), Closed ? 8 : 1);
        XY[] result = new XY[Closed ? pieces : pieces + 1];
        int segment = 0;
        double before = 0;
        double here = (End(0) - Points[0]).Norm;
        for (int k = 0; k < result.Length; k++)
        {
            double target = length * k / pieces;
            while (before + here < target && segment < SegmentCount - 1)
            {
                before += here;
                segment++;
                here = (End(segment) - Points[segment]).Norm;
            }

            double share = here > 0 ? Math.Clamp((target - before) / here, 0, 1) : 0;
            result[k] = Points[segment] + ((End(segment) - Points[segment]) * share);
        }

        return new LinePath(result, Closed);
    }

    /// <summary>The point some places along, running past the ends by point reflection (open) or around (closed).</summary>
    public XY At(int index)
    {
        int n = Points.Length;
        if (Closed)
        {
            int m = index % n;
            return Points[m < 0 ? m + n : m];
        }

        if (index < 0)
        {
            return (Points[0] * 2) - Points[Math.Min(-index, n - 1)];
        }

        if (index >= n)
        {
            return (Points[n - 1] * 2) - Points[Math.Max((2 * (n - 1)) - index, 0)];
        }

        return Points[index];
    }

    /// <summary>Gaussian smoothing along the path, twice over ("twicing", Tukey 1977, Exploratory Data Analysis, ch. 16):
    /// what the first pass took away is smoothed and given back, so that bends are not pulled inward to second order.
    /// The standard deviation counts points.</summary>
    public LinePath Smooth(double deviation)
    {
        LinePath once = SmoothOnce(deviation);
        XY[] rest = new XY[Points.Length];
        for (int i = 0; i < rest.Length; i++)
        {
            rest[i] = Points[i] - once.Points[i];
        }

        XY[] back = new LinePath(rest, Closed).SmoothOnce(deviation).Points;
        for (int i = 0; i < rest.Length; i++)
        {
            back[i] += once.Points[i];
        }

        return new LinePath(back, Closed);
    }

    private LinePath SmoothOnce(double deviation)
    {
        int reach = (int)Math.Ceiling(3 * deviation);
        double[] weight = new double[reach + 1];
        double sum = 0;
        for (int k = 0; k <= reach; k++)
        {
            weight[k] = Math.Exp(-0.5 * k * k / (deviation * deviation));
            sum += k == 0 ? weight[k] : 2 * weight[k];
        }

        XY[] result = new XY[Points.Length];
        for (int i = 0; i < result.Length; i++)
        {
            XY mean = Points[i] * weight[0];
            for (int k = 1; k <= reach; k++)
            {
                mean += (At(i - k) + At(i + k)) * weight[k];
            }

            result[i] = mean * (1 / sum);
        }

        return new LinePath(result, Closed);
    }

    /// <summary>Unit direction of travel at a point.</summary>
    public XY Tangent(int index) => (At(index + 1) - At(index - 1)).Unit();

    /// <summary>Signed curvature at a point by the circle through it and the points <paramref name="arm"/> places either
    /// side, 1/m, positive turning left. 0 where the arms run past an open end.</summary>
    public double CurvatureAt(int index, int arm)
    {
        if (!Closed && (index < arm || index + arm >= Points.Length))
        {
            return 0;
        }

        XY a = At(index - arm);
        XY b = At(index);
        XY c = At(index + arm);
        double product = (b - a).Norm * (c - b).Norm * (c - a).Norm;
        return product > 0 ? 2 * (b - a).Cross(c - b) / product : 0;
    }
}
