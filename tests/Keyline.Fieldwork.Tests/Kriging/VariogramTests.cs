using System.Xml.Linq;
using Keyline.Elevation;

namespace Keyline.Fieldwork.Tests;

public sealed class VariogramTests
{
    // Four points of a unit square with values 1 2 4 8, by hand: sides (1,2) 1/2, (1,4) 9/2, (2,8) 36/2, (4,8) 16/2, mean 7.75 at distance 1;
    // diagonals (1,8) 49/2, (2,4) 4/2, mean 13.25 at 1.414.
    [Fact]
    public void Square_ByHand()
    {
        IReadOnlyList<VariogramLag> lags = SampleVariogram.Of([new(0, 0, 1), new(1, 0, 2), new(0, 1, 4), new(1, 1, 8)], cutoff: 1.5, width: 0.5);
        Assert.Equal(2, lags.Count);
        Assert.Equal(new VariogramLag(4, 1, 7.75), lags[0]);
        Assert.Equal((2L, 13.25), (lags[1].Pairs, lags[1].Semivariance));
        Assert.Equal(Math.Sqrt(2), lags[1].Distance, 1e-15);
    }

    [Theory]
    [InlineData(KrigingTrend.None)]
    [InlineData(KrigingTrend.Plane)]
    public void Classes_AreThoseOfEveryPairLookedAtSingly(KrigingTrend trend)
    {
        SoilPoint[] points = MadePoints.Scattered(120, 6);
        double diagonal = Math.Sqrt(Math.Pow(points.Max(p => p.X) - points.Min(p => p.X), 2) + Math.Pow(points.Max(p => p.Y) - points.Min(p => p.Y), 2));
        double cutoff = diagonal / 3, width = cutoff / 15;
        double[] values = [.. points.Select(p => p.Value)];
        if (trend == KrigingTrend.Plane)
        {
            double[] plane = MathNet.Numerics.Fit.MultiDim([.. points.Select(p => new[] { p.X, p.Y })], values, intercept: true);
            values = [.. points.Select(p => p.Value - plane[0] - (plane[1] * p.X) - (plane[2] * p.Y))];
        }

        var pairs = from i in Enumerable.Range(0, 120)
                    from j in Enumerable.Range(0, i)
                    let d = Math.Sqrt(Math.Pow(points[i].X - points[j].X, 2) + Math.Pow(points[i].Y - points[j].Y, 2))
                    where d <= cutoff
                    group (d, g: Math.Pow(values[i] - values[j], 2) / 2) by (int)Math.Ceiling(d / width) into c
                    orderby c.Key
                    select new VariogramLag(c.Count(), c.Average(p => p.d), c.Average(p => p.g));
        VariogramLag[] expected = [.. pairs];
        IReadOnlyList<VariogramLag> lags = SampleVariogram.Of(points, trend);
        Assert.Equal(15, lags.Count);
        Assert.All(expected.Zip(lags), l =>
        {
            Assert.Equal(l.First.Pairs, l.Second.Pairs);
            Assert.Equal(l.First.Distance, l.Second.Distance, 1e-9);
            Assert.Equal(l.First.Semivariance, l.Second.Semivariance, 1e-9);
        });
    }

    // The shapes at points that can be reckoned in the head: a sphere's at half its range 0.6875, the others' 1 - 1/e at their range.
    [Theory]
    [InlineData(VariogramKind.Spherical, 50, 0.1 + (2 * 0.6875))]
    [InlineData(VariogramKind.Spherical, 100, 2.1)]
    [InlineData(VariogramKind.Spherical, 1e9, 2.1)]
    [InlineData(VariogramKind.Exponential, 100, 0.1 + (2 * 0.63212055882855767))]
    [InlineData(VariogramKind.Gaussian, 100, 0.1 + (2 * 0.63212055882855767))]
    [InlineData(VariogramKind.Linear, 7, 14.1)]
    [InlineData(VariogramKind.Nugget, 7, 0.1)]
    [InlineData(VariogramKind.Exponential, 0, 0)]
    public void Models_AtKnownDistances(VariogramKind kind, double distance, double value) =>
        Assert.Equal(value, new VariogramModel(kind, 0.1, 2, 100).At(distance), 1e-12);

    [Theory]
    [InlineData(VariogramKind.Spherical)]
    [InlineData(VariogramKind.Exponential)]
    [InlineData(VariogramKind.Gaussian)]
    public void Reach_Is95PercentOfTheSill(VariogramKind kind)
    {
        VariogramModel model = new(kind, 0, 1, 100);
        Assert.Equal(kind == VariogramKind.Spherical ? 1 : 0.95, model.At(model.Reach), 0.001);
    }

    [Theory]
    [InlineData(VariogramKind.Spherical, 0.2, 1.5, 300)]
    [InlineData(VariogramKind.Exponential, 0, 2, 90)]
    [InlineData(VariogramKind.Gaussian, 0.3, 1, 150)]
    [InlineData(VariogramKind.Linear, 0.2, 0.004, 0)]
    public void Fit_FindsTheModelThatMadeTheClasses(VariogramKind kind, double nugget, double sill, double range)
    {
        VariogramModel made = new(kind, nugget, sill, range);
        VariogramLag[] lags = [.. Enumerable.Range(1, 15).Select(i => new VariogramLag(50 + (10 * i), 30.0 * i, made.At(30.0 * i)))];
        FittedVariogram best = VariogramFit.All(lags)[0];
        Assert.Equal(kind, best.Model.Kind);
        Assert.Equal(nugget, best.Model.Nugget, 1e-6);
        Assert.Equal(sill, best.Model.Sill, 1e-6);
        Assert.Equal(made.Range, best.Model.Range, 1e-3);
        Assert.False(best.IsAtLimit);
    }

    [Fact]
    public void Fit_IsNoWorseThanAnyOfManyTried()
    {
        IReadOnlyList<VariogramLag> lags = SampleVariogram.Of(MadePoints.Scattered(150, 8), cutoff: 600);
        FittedVariogram[] fits = [.. VariogramFit.All(lags, [VariogramKind.Spherical, VariogramKind.Exponential, VariogramKind.Gaussian]).Where(f => !f.IsAtLimit)];
        Assert.NotEmpty(fits);
        foreach (FittedVariogram fit in fits)
        {
            double Misses(double nugget, double sill, double range)
            {
                VariogramModel m = new(fit.Model.Kind, nugget, sill, range);
                return lags.Sum(l => l.Pairs / (l.Distance * l.Distance) * Math.Pow(l.Semivariance - m.At(l.Distance), 2));
            }

            Assert.Equal(fit.SumOfSquares, Misses(fit.Model.Nugget, fit.Model.Sill, fit.Model.Range), 1e-12);
            foreach (double n in new[] { 0.9, 0.99, 1, 1.01, 1.1 })
            {
                foreach (double s in new[] { 0.9, 0.99, 1, 1.01, 1.1 })
                {
                    foreach (double r in new[] { 0.3, 0.9, 0.99, 1, 1.01, 1.1, 3 })
                    {
                        double nugget = Math.Max((n * fit.Model.Nugget) + ((n - 1) / 100), 0);
                        Assert.True(Misses(nugget, s * fit.Model.Sill, r * fit.Model.Range) >= fit.SumOfSquares * (1 - 1e-9), $"{fit} {nugget} {s} {r}");
                    }
                }
            }
        }
    }

    [Fact]
    public void Fit_NoLikeness_IsANuggetAlone()
    {
        VariogramLag[] lags = [.. Enumerable.Range(1, 10).Select(i => new VariogramLag(100, 20.0 * i, 3 - (0.05 * i)))];
        FittedVariogram best = VariogramFit.All(lags)[0];
        Assert.Equal(VariogramKind.Nugget, best.Model.Kind);
        double expected = lags.Sum(l => l.Semivariance / (l.Distance * l.Distance)) / lags.Sum(l => 1 / (l.Distance * l.Distance));
        Assert.Equal(expected, best.Model.Nugget, 1e-12);
    }

    [Fact]
    public void TooFewPlaces_GiveMeanAndRangeAndNoMap()
    {
        GridFrame frame = new(20, 20, 50, 0, 1000);
        PointMap map = PointMap.Of("pan depth", "cm", MadePoints.Scattered(29), frame);
        Assert.Null(map.Map);
        Assert.Contains("29 places are too few for a map (30 are asked for)", map.Sentences[^1], StringComparison.Ordinal);
        Assert.Contains(FormattableString.Invariant($"mean {map.Mean:G4} cm, from {map.Least:G4} to {map.Greatest:G4} cm"), map.Sentences[^1], StringComparison.Ordinal);
        Assert.NotNull(PointMap.Of("pan depth", "cm", MadePoints.Scattered(30), frame).Map);
        Assert.Null(PointMap.Of("pan depth", "cm", MadePoints.Scattered(40).Select(p => p with { Value = 3 }), frame).Map);
        Assert.Contains("too few for a map", PointMap.Of("x", "", MadePoints.Scattered(31).Select((p, i) => i < 4 ? p : p with { X = 1, Y = 2 }), frame).Sentences[^1], StringComparison.Ordinal);
    }

    [Fact]
    public void AMap_SaysHowFarOffItIs()
    {
        PointMap map = PointMap.Of("clay", "%", MadePoints.Scattered(80), new GridFrame(20, 20, 50, 0, 1000));
        Assert.InRange(map.Errors!.Explained, 0.7, 1);
        Assert.Contains(map.Sentences, s => s.Contains("are missed by", StringComparison.Ordinal));
        Assert.Contains(map.Sentences, s => s.Contains("Webster and Oliver 1992", StringComparison.Ordinal));
        SoilPoint[] chance = [.. MadePoints.Scattered(60, 12).Select((p, i) => p with { Value = (i * 7919 % 101) })];
        PointMap none = PointMap.Of("noise", "", chance, new GridFrame(20, 20, 50, 0, 1000));
        Assert.True(none.Map is null || none.Errors!.Explained < 0.2);
    }

    [Fact]
    public void Picture_ShowsEveryClassAndModel()
    {
        PointMap map = PointMap.Of("clay & silt", "%", MadePoints.Scattered(80), new GridFrame(20, 20, 50, 0, 1000));
        XElement svg = XElement.Parse(VariogramPicture.Draw(map));
        XNamespace ns = "http://www.w3.org/2000/svg";
        Assert.Equal(map.Lags.Count, svg.Elements(ns + "circle").Count());
        Assert.Equal(map.Fits.Count, svg.Elements(ns + "path").Count(p => p.Attribute("fill")?.Value == "none"));
        double[] heights = [.. svg.Elements(ns + "circle").Select(c => double.Parse(c.Attribute("cy")!.Value, System.Globalization.CultureInfo.InvariantCulture))];
        Assert.Equal(map.Lags.Select((l, i) => (l.Semivariance, i)).OrderBy(l => l.Semivariance).Select(l => l.i), heights.Select((h, i) => (h, i)).OrderByDescending(h => h.h).Select(h => h.i));
    }
}
