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

    // Islands of known ground, near and far, with holes in them: what is smoothed island by island has the bits of the whole
    // grid, which a level strip along the edges makes of it (it is too far off to have a say).
    [Theory]
    [InlineData(2.0)]
    [InlineData(9.0)]
    public void Apply_FarApartPieces_HaveTheBitsOfTheWholeGrid(double deviation)
    {
        const int side = 700;
        (int Row, int Column, int Rows, int Columns)[] islands = [(100, 110, 90, 70), (100, 200, 40, 55), (420, 480, 83, 101)];
        ElevationGrid relief = Surfaces.Make(side, side, 1, Surfaces.Saddle(0.002));
        bool Known(int r, int c) => Array.Exists(islands, i => r >= i.Row && r < i.Row + i.Rows && c >= i.Column && c < i.Column + i.Columns) && ((r * 31) + (c * 17)) % 53 != 0;
        ElevationGrid apart = Surfaces.Changed(relief, (r, c, z) => Known(r, c) ? z + (float)Noise.At(r, c, 5) : float.NaN);
        float datum = apart.Heights.ToArray().First(z => !float.IsNaN(z));
        ElevationGrid whole = Surfaces.Changed(apart, (r, c, z) => r < 20 || r >= side - 20 || c < 20 || c >= side - 20 ? datum : z);
        ElevationGrid split = GaussianSmoothing.ApplyTwice(apart, deviation), together = GaussianSmoothing.ApplyTwice(whole, deviation);
        Assert.True(KnownWindows.Of(apart.Array, apart.Frame, 40, TestContext.Current.CancellationToken).Count == 2);
        Assert.Single(KnownWindows.Of(whole.Array, whole.Frame, 40, TestContext.Current.CancellationToken));
        for (int i = 0; i < split.Heights.Length; i++)
        {
            if (float.IsNaN(apart.Heights[i]))
            {
                Assert.True(float.IsNaN(split.Heights[i]));
            }
            else
            {
                Assert.Equal(BitConverter.SingleToInt32Bits(together.Heights[i]), BitConverter.SingleToInt32Bits(split.Heights[i]));
            }
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
