using Keyline.Elevation;
using MathNet.Numerics.LinearAlgebra;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork.Tests;

/// <summary>Kriging. Values of the five points: computed with R 4.2.2 and gstat 2.1-0, krige(z~1, d, p, model), as in E. J. Pebesma,
/// "Multivariable geostatistics in S: the gstat package", Computers and Geosciences 30 (2004) 683-691.</summary>
public sealed class PointKrigingTests
{
    private static readonly SoilPoint[] Five = [new(0, 0, 1), new(10, 0, 3), new(0, 10, 2), new(10, 10, 5), new(5, 12, 4)];

    private static readonly KrigingOptions All = new() { Neighbours = int.MaxValue };

    public static TheoryData<VariogramKind, double> Kinds => new()
    {
        { VariogramKind.Spherical, 0.1 }, { VariogramKind.Spherical, 0 }, { VariogramKind.Exponential, 0.1 }, { VariogramKind.Exponential, 0 },
        { VariogramKind.Gaussian, 0.1 }, { VariogramKind.Linear, 0.1 }, { VariogramKind.Linear, 0 }, { VariogramKind.Nugget, 0.1 },
    };

    [Theory]
    [InlineData(VariogramKind.Spherical, 20, 5, 5, 2.820811706, 1.010481074)]
    [InlineData(VariogramKind.Spherical, 20, 3, 7, 2.616658748, 0.8842011852)]
    [InlineData(VariogramKind.Exponential, 8, 5, 5, 2.853811890, 1.315554600)]
    [InlineData(VariogramKind.Exponential, 8, 3, 7, 2.685870843, 1.179342211)]
    public void FivePoints_AsGstat(VariogramKind kind, double range, double x, double y, double value, double variance)
    {
        (double got, double spread) = PointKriging.Of(Five, new VariogramModel(kind, 0.1, 2, range), All).At(x, y);
        Assert.Equal(value, got, 1e-9 * value);
        Assert.Equal(variance, spread, 1e-9 * variance);
    }

    [Theory, MemberData(nameof(Kinds))]
    public void FivePoints_AsTheWholeSystemSolvedAtOnce(VariogramKind kind, double nugget)
    {
        VariogramModel model = new(kind, nugget, kind == VariogramKind.Linear ? 0.15 : 2, 12);
        foreach (KrigingTrend trend in new[] { KrigingTrend.None, KrigingTrend.Plane })
        {
            PointKriging kriging = PointKriging.Of(Five, model, All with { Trend = trend });
            foreach ((double x, double y) in new[] { (5.0, 5.0), (3, 7), (-4, 2), (30, 30), (9.999, 0.001) })
            {
                (double value, double variance) = Whole(Five, model, trend, x, y);
                (double got, double spread) = kriging.At(x, y);
                Assert.Equal(value, got, 1e-9 * Math.Max(Math.Abs(value), 1));
                Assert.Equal(variance, spread, 1e-9 * Math.Max(variance, 1));
            }
        }
    }

    [Theory, MemberData(nameof(Kinds))]
    public void APoint_KeepsItsValueAndHasNoVariance(VariogramKind kind, double nugget)
    {
        SoilPoint[] points = MadePoints.Scattered(60);
        PointKriging kriging = PointKriging.Of(points, new VariogramModel(kind, nugget, 1, 200), new KrigingOptions { Neighbours = 12 });
        Assert.All(points, p => Assert.Equal((p.Value, 0), kriging.At(p.X, p.Y)));

        // Beside it the value is near, but for the nugget.
        (double beside, double variance) = kriging.At(points[7].X + 1e-7, points[7].Y);
        Assert.True(nugget > 0 || Math.Abs(beside - points[7].Value) < 1e-3);
        Assert.True(nugget > 0 ? variance > nugget : variance < 1e-5);
    }

    [Fact]
    public void Variance_IsNeverNegativeAndGrowsAwayFromPoints()
    {
        PointKriging kriging = PointKriging.Of(MadePoints.Scattered(200), new VariogramModel(VariogramKind.Spherical, 0.02, 1, 300));
        GridFrame frame = new(60, 60, 20, -100, 1100);
        KrigedMap map = kriging.Map(frame);
        foreach (double v in map.Variance.Values)
        {
            Assert.True(v >= 0);
        }

        Assert.True(kriging.At(-5000, -5000).Variance > 1.02);
        Assert.True(map.Variance[30, 30] < 0.5 * kriging.At(-5000, -5000).Variance);
    }

    [Theory]
    [InlineData(KrigingTrend.None)]
    [InlineData(KrigingTrend.Plane)]
    [InlineData(KrigingTrend.Curved)]
    public void Estimates_AreLinearInTheValues(KrigingTrend trend)
    {
        SoilPoint[] a = MadePoints.Scattered(80, 3), b = [.. a.Select((p, i) => p with { Value = Math.Sin(i) })];
        SoilPoint[] mixed = [.. a.Zip(b, (p, q) => p with { Value = (2 * p.Value) - (3 * q.Value) + 7 })];
        VariogramModel model = new(VariogramKind.Exponential, 0.1, 1, 120);
        KrigingOptions options = new() { Neighbours = 20, Trend = trend };
        (double av, double variance) = PointKriging.Of(a, model, options).At(412, 388);
        double bv = PointKriging.Of(b, model, options).At(412, 388).Value;
        (double both, double same) = PointKriging.Of(mixed, model, options).At(412, 388);
        Assert.Equal((2 * av) - (3 * bv) + 7, both, 1e-9);
        Assert.Equal(variance, same, 1e-12);
    }

    [Fact]
    public void ATrend_GivesThePlaneBackThatMadeTheValues()
    {
        SoilPoint[] plane = [.. MadePoints.Scattered(50, 9).Select(p => p with { Value = 3 + (0.01 * p.X) - (0.02 * p.Y) })];
        VariogramModel model = new(VariogramKind.Spherical, 0.1, 1, 300);
        Assert.Equal(3 + 20 - 60, PointKriging.Of(plane, model, new KrigingOptions { Trend = KrigingTrend.Plane }).At(2000, 3000).Value, 1e-8);
        Assert.Equal(3 + 20 - 60, PointKriging.Of(plane, model, new KrigingOptions { Trend = KrigingTrend.Curved, Neighbours = 50 }).At(2000, 3000).Value, 1e-6);
        Assert.True(Math.Abs(PointKriging.Of(plane, model).At(2000, 3000).Value + 37) > 5);
    }

    [Fact]
    public void PointsInALine_TellNoPlaneAcrossIt()
    {
        SoilPoint[] line = [.. Enumerable.Range(0, 8).Select(i => new SoilPoint(10 * i, 20 * i, i))];
        (double value, double variance) = PointKriging.Of(line, new VariogramModel(VariogramKind.Spherical, 0, 1, 30), new KrigingOptions { Trend = KrigingTrend.Plane }).At(35, 70);
        Assert.Equal(3.5, value, 1e-9);
        Assert.True(double.IsFinite(variance));
    }

    [Fact]
    public void PlacesMirroredTurnedAndFarAway_GiveTheSame()
    {
        SoilPoint[] points = MadePoints.Scattered(90, 5);
        VariogramModel model = new(VariogramKind.Exponential, 0.05, 1, 150);
        (double value, double variance) = PointKriging.Of(points, model).At(300, 700);
        (double mirrored, double v1) = PointKriging.Of(points.Select(p => p with { X = -p.X }), model).At(-300, 700);
        (double turned, double v2) = PointKriging.Of(points.Select(p => new SoilPoint(p.Y, -p.X, p.Value)), model).At(700, -300);
        (double away, double v3) = PointKriging.Of(points.Select(p => p with { X = p.X + 500_000, Y = p.Y + 7_000_000 }), model).At(500_300, 7_000_700);
        Assert.All([mirrored, turned, away], v => Assert.Equal(value, v, 1e-7));
        Assert.All([v1, v2, v3], v => Assert.Equal(variance, v, 1e-7));
    }

    [Fact]
    public void Neighbours_AreTheNearest()
    {
        SoilPoint[] points = MadePoints.Scattered(700, 11);
        VariogramModel model = new(VariogramKind.Spherical, 0.02, 1, 250);
        PointKriging kriging = PointKriging.Of(points, model, new KrigingOptions { Neighbours = 9 });
        foreach ((double x, double y) in new[] { (500.0, 500.0), (3, 990), (-700, 400), (1500, 1500), (250.5, 100.25), (999, 1) })
        {
            SoilPoint[] nearest = [.. points.OrderBy(p => ((p.X - x) * (p.X - x)) + ((p.Y - y) * (p.Y - y))).Take(9)];
            (double value, double variance) = Whole(nearest, model, KrigingTrend.None, x, y);
            (double got, double spread) = kriging.At(x, y);
            Assert.Equal(value, got, 1e-9);
            Assert.Equal(variance, spread, 1e-9);
        }
    }

    [Fact]
    public void AMap_IsTheSameOnAnyNumberOfThreadsAndAsPlaceByPlace()
    {
        SoilPoint[] points = MadePoints.Scattered(150, 2);
        PointKriging kriging = PointKriging.Of(points, new VariogramModel(VariogramKind.Exponential, 0.05, 1, 100), new KrigingOptions { Neighbours = 10 });
        GridFrame frame = new(50, 70, 15, 0, 900);
        Polygon within = new(new LinearRing([new(100, 100), new(900.1, 150), new(600, 850.3), new(100, 100)]));
        KrigedMap one;
        using (WorkThreads.Limit(1))
        {
            one = kriging.Map(frame, within);
        }

        using (WorkThreads.Limit(5))
        {
            KrigedMap five = kriging.Map(frame, within);
            Assert.True(one.Values.Values.SequenceEqual(five.Values.Values) && one.Variance.Values.SequenceEqual(five.Variance.Values));
        }

        int inside = 0;
        for (int r = 0; r < frame.Rows; r++)
        {
            for (int c = 0; c < frame.Columns; c++)
            {
                bool there = within.Covers(new Point(frame.CentreX(c), frame.CentreY(r)));
                Assert.True(there == !double.IsNaN(one.Values[r, c]), $"{frame.CentreX(c)} {frame.CentreY(r)} {there}");
                inside += there ? 1 : 0;
                if (there && (r + c) % 9 == 0)
                {
                    Assert.Equal(kriging.At(frame.CentreX(c), frame.CentreY(r)), (one.Values[r, c], one.Variance[r, c]));
                }
            }
        }

        Assert.InRange(inside, 500, 2500);
    }

    [Fact]
    public void PointsAtOnePlaceCountAsTheirMean_AndPointsAlmostThereDoNoHarm()
    {
        SoilPoint[] twice = [.. Five, new(10, 10, 9)];
        VariogramModel model = new(VariogramKind.Gaussian, 0, 2, 20);
        Assert.Equal(7, PointKriging.Of(twice, model, All).At(10, 10).Value);
        SoilPoint[] near = [.. Five, new(10 + 1e-7, 10, 5)];
        Assert.Equal(PointKriging.Of(Five, model, All).At(4, 4).Value, PointKriging.Of(near, model, All).At(4, 4).Value, 1e-5);
    }

    [Fact]
    public void LeavingOut_IsKrigingWithoutThatPoint()
    {
        SoilPoint[] points = MadePoints.Scattered(40, 4);
        VariogramModel model = new(VariogramKind.Spherical, 0.05, 1, 300);
        foreach (int neighbours in new[] { 8, 100 })
        {
            KrigingErrors errors = KrigingCheck.Of(points, model, new KrigingOptions { Neighbours = neighbours });
            double[] expected = [.. points.Select((p, i) =>
            {
                SoilPoint[] others = [.. points.Where((_, j) => j != i).OrderBy(q => Math.Pow(q.X - p.X, 2) + Math.Pow(q.Y - p.Y, 2)).Take(neighbours)];
                (double value, double variance) = Whole(others, model, KrigingTrend.None, p.X, p.Y);
                return p.Value - value;
            })];
            Assert.All(expected.Zip(errors.Errors), e => Assert.Equal(e.First, e.Second, 1e-8));
            Assert.Equal(Math.Sqrt(expected.Average(e => e * e)), errors.RootMeanSquare, 1e-8);
            Assert.Equal(expected.Average(), errors.MeanError, 1e-8);
        }
    }

    [Fact]
    public void WhatCannotBe_IsRefused()
    {
        VariogramModel model = new(VariogramKind.Spherical, 0, 1, 10);
        Assert.Throws<GroundDataException>(() => PointKriging.Of([], model));
        Assert.Contains("Point 2", Assert.Throws<GroundDataException>(() => PointKriging.Of([Five[0], new(1, double.NaN, 2)], model)).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => PointKriging.Of(Five, new VariogramModel(VariogramKind.Nugget, 0, 0, 0)));
        Assert.Throws<ArgumentOutOfRangeException>(() => new VariogramModel(VariogramKind.Spherical, 0, 1, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => new VariogramModel(VariogramKind.Spherical, -1, 1, 10));
        using CancellationTokenSource stop = new();
        stop.Cancel();
        Assert.ThrowsAny<OperationCanceledException>(() => PointKriging.Of(Five, model).Map(new GridFrame(10, 10, 1, 0, 10), cancellationToken: stop.Token));
    }

    // The plain slow twin: semivariances, the trend's terms and their multipliers in one system, solved by MathNet's pivoting.
    private static (double Value, double Variance) Whole(SoilPoint[] points, VariogramModel model, KrigingTrend trend, double x, double y)
    {
        int n = points.Length, terms = trend == KrigingTrend.None ? 1 : 3;
        double[] Terms(double px, double py) => terms == 1 ? [1] : [1, px / 100, py / 100];
        double Far(double ax, double ay, double bx, double by) => Math.Sqrt(((ax - bx) * (ax - bx)) + ((ay - by) * (ay - by)));
        Matrix<double> a = Matrix<double>.Build.Dense(n + terms, n + terms);
        Vector<double> b = Vector<double>.Build.Dense(n + terms);
        for (int i = 0; i < n; i++)
        {
            for (int j = 0; j < n; j++)
            {
                a[i, j] = model.At(Far(points[i].X, points[i].Y, points[j].X, points[j].Y));
            }

            for (int k = 0; k < terms; k++)
            {
                a[i, n + k] = a[n + k, i] = Terms(points[i].X, points[i].Y)[k];
            }

            b[i] = model.At(Far(points[i].X, points[i].Y, x, y));
        }

        for (int k = 0; k < terms; k++)
        {
            b[n + k] = Terms(x, y)[k];
        }

        Vector<double> weights = a.Solve(b);
        return (Enumerable.Range(0, n).Sum(i => weights[i] * points[i].Value), weights * b);
    }
}
