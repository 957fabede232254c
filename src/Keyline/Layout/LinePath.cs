namespace Keyline.Layout;

/// <summary>A point on the map, metres.</summary>
internal readonly record struct XY(double X, double Y)
{
    public static XY operator +(XY a, XY b) => new(a.X + b.X, a.Y + b.Y);

    public static XY operator -(XY a, XY b) => new(a.X - b.X, a.Y - b.Y);

    public static XY operator *(XY a, double k) => new(a.X * k, a.Y * k);

    /// <summary>A quarter turn to the left.</summary>
    public XY Left => new(-Y, X);

    public double Norm => Math.Sqrt((X * X) + (Y * Y));

    public double Dot(XY other) => (X * other.X) + (Y * other.Y);

    public double Cross(XY other) => (X * other.Y) - (Y * other.X);

    public XY Unit()
    {
        double n = Norm;
        return n > 0 ? new XY(X / n, Y / n) : new XY(1, 0);
    }
}

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
    public double Curvature(int index, int arm)
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

    /// <summary>Pulls in the places that turn tighter than a radius until none is left or nothing more is gained.</summary>
    /// <remarks>Works on a path resampled near 1 m; moves only the neighbourhood of a tight place.</remarks>
    public LinePath Fair(double minimumRadius)
    {
        if (minimumRadius <= 0 || Points.Length < 5)
        {
            return this;
        }

        const int Arm = 3;
        const int MostRounds = 160;
        double limit = 1 / (minimumRadius * 1.03);
        XY[] points = (XY[])Points.Clone();
        LinePath path = new(points, Closed);
        int reach = Math.Max((int)Math.Ceiling(minimumRadius * 0.7), Arm);
        bool[] move = new bool[points.Length];
        int[] watched = [.. Enumerable.Range(0, points.Length)];
        XY[] next = new XY[points.Length];
        for (int round = 0; round < MostRounds; round++)
        {
            // After the first round only the neighbourhood of what moved can have changed.
            Array.Clear(move);
            bool any = false;
            foreach (int i in watched)
            {
                if (Math.Abs(path.Curvature(i, Arm)) <= limit)
                {
                    continue;
                }

                any = true;
                for (int k = -reach; k <= reach; k++)
                {
                    int j = Closed ? ((i + k) % points.Length + points.Length) % points.Length : i + k;
                    if (j >= 0 && j < points.Length)
                    {
                        move[j] = true;
                    }
                }
            }

            if (!any)
            {
                break;
            }

            int[] moved = [.. watched.Where(i => move[i] && (Closed || (i >= 2 && i < points.Length - 2)))];
            foreach (int i in moved)
            {
                next[i] = (points[i] * 0.4) + ((path.At(i - 2) + path.At(i + 2)) * 0.15) + ((path.At(i - 1) + path.At(i + 1)) * 0.15);
            }

            foreach (int i in moved)
            {
                points[i] = next[i];
            }

            if (round == 0)
            {
                bool[] near = new bool[points.Length];
                foreach (int i in moved)
                {
                    for (int k = -4 * reach; k <= 4 * reach; k++)
                    {
                        int j = Closed ? ((i + k) % points.Length + points.Length) % points.Length : i + k;
                        if (j >= 0 && j < points.Length)
                        {
                            near[j] = true;
                        }
                    }
                }

                watched = [.. watched.Where(i => near[i])];
            }
        }

        return path;
    }

    /// <summary>The stretches that turn no tighter than a radius: what <see cref="Fair"/> could not mend is cut out.</summary>
    /// <remarks>Works on a path resampled near 1 m.</remarks>
    public List<LinePath> Drivable(double minimumRadius)
    {
        const int Arm = 3;
        const double Slack = 1.01;
        if (minimumRadius <= 0 || Points.Length < 5)
        {
            return [this];
        }

        bool[] keep = new bool[Points.Length];
        Array.Fill(keep, true);
        for (int i = 0; i < keep.Length; i++)
        {
            if (Math.Abs(Curvature(i, Arm)) * minimumRadius > Slack)
            {
                for (int k = -1; k <= 1; k++)
                {
                    int j = Closed ? (i + k + keep.Length) % keep.Length : Math.Clamp(i + k, 0, keep.Length - 1);
                    keep[j] = false;
                }
            }
        }

        return PathRuns.Where(this, keep);
    }
}
