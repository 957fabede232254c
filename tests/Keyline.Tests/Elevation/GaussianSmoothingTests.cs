using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Elevation;

/// <summary>Smoothing against what a Gaussian bell does to planes, parabolas and noise on paper.</summary>
public sealed class GaussianSmoothingTests
{
    [Fact]
    public void Apply_PlaneWithHoles_StaysThePlaneToItsEdges()
    {
        ElevationGrid plane = Surfaces.Changed(
            Surfaces.Make(31, 41, 2, Surfaces.Plane(200, 0.125, -0.25)),
            (r, c, z) => (r is > 10 and < 15 && c is > 7 and < 20) || (r == 0 && c > 30) ? float.NaN : z);
        foreach (ElevationGrid smooth in new[] { GaussianSmoothing.Apply(plane, 5), GaussianSmoothing.ApplyTwice(plane, 5) })
        {
            for (int i = 0; i < plane.Heights.Length; i++)
            {
                Assert.Equal((double)plane.Heights[i], smooth.Heights[i], 4);
            }
        }
    }

    [Theory]
    [InlineData(40, 61, 2.0, 0)]
    [InlineData(40, 61, 2.0, 1)]
    [InlineData(40, 61, 2.0, 25)]
    [InlineData(9, 70, 1.5, 2)]
    [InlineData(70, 9, 1.5, 2)]
    [InlineData(1, 30, 2.5, 3)]
    [InlineData(30, 1, 2.5, 3)]
    [InlineData(33, 47, 0.4, 10)]
    public void Apply_AgreesWithThePlainTwin(int rows, int columns, double deviation, int holesPerHundred)
    {
        ElevationGrid ground = Surfaces.Changed(
            Surfaces.Make(rows, columns, 1, Surfaces.Saddle(0.02)),
            (r, c, z) => (((r * 7919) + (c * 104_729)) % 1009) * 100 < holesPerHundred * 1009 ? float.NaN : z + (float)Noise.At(r, c, 5));
        ElevationGrid fast = GaussianSmoothing.Apply(ground, deviation);
        double[] plain = PlainGaussianSmoothing.Apply(ground, deviation);
        for (int i = 0; i < plain.Length; i++)
        {
            Assert.Equal(double.IsNaN(plain[i]), float.IsNaN(fast.Heights[i]));
            Assert.False(Math.Abs(plain[i] - fast.Heights[i]) > 2e-6 * Math.Max(1, Math.Abs(plain[i])), $"Cell {i}: {plain[i]} and {fast.Heights[i]}.");
        }
    }

    // White noise through a bell of s cells keeps 1 / (4 pi s^2) of its variance: the integral of the squared bell.
    [Fact]
    public void Apply_Noise_LosesTheShareOfVarianceTheBellTakes()
    {
        const double cell = 2;
        const double deviation = 5;
        ElevationGrid noise = Surfaces.Changed(Surfaces.Make(300, 300, cell, (_, _) => 0), (r, c, _) => (float)Noise.At(r, c, 7));
        double share = Variance(GaussianSmoothing.Apply(noise, deviation)) / Variance(noise);
        double expected = 1 / (4 * Math.PI * (deviation / cell) * (deviation / cell));
        Assert.InRange(share / expected, 0.85, 1.15);
    }

    // A parabola of curvature k loses k s^2 / 2 in one pass, and nothing to second order when what was lost is given back
    // (twicing, Tukey 1977).
    [Fact]
    public void ApplyTwice_ParabolicRidge_KeepsTheHeightOnePassTakes()
    {
        const double k = 0.01;
        const double deviation = 6;
        ElevationGrid ridge = Surfaces.Make(81, 81, 1, (x, _) => -k * x * x / 2);
        double lost = k * deviation * deviation / 2;
        Assert.InRange(-GaussianSmoothing.Apply(ridge, deviation)[40, 40] / lost, 0.98, 1.001);
        Assert.InRange(Math.Abs(GaussianSmoothing.ApplyTwice(ridge, deviation)[40, 40]) / lost, 0, 0.01);
    }

    [Fact]
    public void Apply_RaisedGround_IsTheSameRaised()
    {
        ElevationGrid ground = Surfaces.Changed(Surfaces.Make(20, 20, 1, Surfaces.Saddle(0.05)), (r, c, z) => z + (float)Noise.At(r, c, 3));
        ElevationGrid low = GaussianSmoothing.Apply(ground, 2);
        ElevationGrid high = GaussianSmoothing.Apply(Surfaces.Changed(ground, (_, _, z) => z + 1024), 2);
        for (int i = 0; i < low.Heights.Length; i++)
        {
            // Heights near 1024 are held to an eighth of a millimetre.
            Assert.InRange(high.Heights[i] - 1024.0 - low.Heights[i], -2.5e-4, 2.5e-4);
        }
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    public void Apply_BadDeviation_IsRefused(double deviation) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => GaussianSmoothing.Apply(Surfaces.Listed(1, 1, 1, 0), deviation));

    private static double Variance(ElevationGrid grid)
    {
        List<double> inner = [];
        for (int r = 30; r < grid.Frame.Rows - 30; r++)
        {
            for (int c = 30; c < grid.Frame.Columns - 30; c++)
            {
                inner.Add(grid[r, c]);
            }
        }

        double mean = inner.Average();
        return inner.Average(z => (z - mean) * (z - mean));
    }
}
