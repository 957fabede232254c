using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Elevation;

/// <summary>What is promised of smoothing that keeps crests and valley floors, measured on ground whose truth is known.</summary>
public sealed class FeaturePreservingSmoothingTests
{
    private const int Side = 121;
    private const double Deviation = 0.05;

    // A bell of the given deviation from four even numbers.
    private static float Lidar(int r, int c, ulong seed) =>
        (float)((Noise.At(r, c, seed) + Noise.At(r, c, seed + 1) + Noise.At(r, c, seed + 2) + Noise.At(r, c, seed + 3)) * Deviation / Math.Sqrt(4.0 / 3));

    private static ElevationGrid Noisy(ElevationGrid truth, ulong seed) => Surfaces.Changed(truth, (r, c, z) => z + Lidar(r, c, seed));

    private static (double Bias, double Deviation) Errors(ElevationGrid smooth, ElevationGrid truth, Func<int, int, bool> where)
    {
        List<double> errors = [];
        for (int r = 10; r < Side - 10; r++)
        {
            for (int c = 10; c < Side - 10; c++)
            {
                if (where(r, c))
                {
                    errors.Add(smooth[r, c] - truth[r, c]);
                }
            }
        }

        double mean = errors.Average();
        return (mean, Math.Sqrt(errors.Average(e => (e - mean) * (e - mean))));
    }

    // A valley and a crest with sides of 12 %, falling by 3 %: a Gaussian of 1 m, which calms the flanks about as much, rounds them off.
    [Theory]
    [InlineData(1)]
    [InlineData(-1)]
    public void Apply_ValleyAndCrest_KeepTheirLineWhereAGaussianDoesNot(int sign)
    {
        ElevationGrid truth = Surfaces.Make(Side, Side, 1, (x, y) => 100 + (sign * 0.12 * Math.Abs(x)) - (0.03 * y));
        ElevationGrid noisy = Noisy(truth, 40);
        ElevationGrid smooth = FeaturePreservingSmoothing.Apply(noisy);
        ElevationGrid bell = GaussianSmoothing.Apply(noisy, 1);
        bool Line(int r, int c) => c == Side / 2;
        bool Flank(int r, int c) => Math.Abs(c - (Side / 2)) > 10;

        (double bias, _) = Errors(smooth, truth, Line);
        (double bellBias, _) = Errors(bell, truth, Line);
        (_, double calm) = Errors(smooth, truth, Flank);
        Assert.InRange(bias, -0.02, 0.02);
        Assert.True(sign * bellBias > 4 * 0.02, $"the bell moved the line by {bellBias}");
        Assert.InRange(calm, 0, Deviation / 2.5);
    }

    [Fact]
    public void Apply_PlaneWithAHole_StaysAPlane()
    {
        ElevationGrid plane = Surfaces.Changed(
            Surfaces.Make(40, 50, 2, Surfaces.Plane(1200, 0.125, -0.25)), (r, c, z) => r is > 10 and < 15 && c is > 20 and < 29 ? float.NaN : z);
        ElevationGrid smooth = FeaturePreservingSmoothing.Apply(plane);
        for (int i = 0; i < plane.Heights.Length; i++)
        {
            Assert.Equal(float.IsNaN(plane.Heights[i]), float.IsNaN(smooth.Heights[i]));
            Assert.False(Math.Abs(plane.Heights[i] - smooth.Heights[i]) > 5e-4);
        }
    }

    [Fact]
    public void Apply_Anywhere_ChangesNoHeightByMoreThanAsked()
    {
        ElevationGrid ground = Surfaces.Changed(
            Surfaces.Make(60, 60, 1, Surfaces.Cone(50, 0.1)), (r, c, z) => z + (3 * (float)Noise.At(r, c, 9)));
        ElevationGrid smooth = FeaturePreservingSmoothing.Apply(ground, new FeatureSmoothingOptions { Threshold = 60, MaximumChange = 0.25 });
        double greatest = 0;
        for (int i = 0; i < ground.Heights.Length; i++)
        {
            greatest = Math.Max(greatest, Math.Abs(smooth.Heights[i] - ground.Heights[i]));
        }

        Assert.InRange(greatest, 0.24, 0.2501);
    }

    [Theory]
    [InlineData(1, 1)]
    [InlineData(1, 20)]
    [InlineData(20, 1)]
    public void Apply_NarrowAndEmptyGrids_GiveClearAnswers(int rows, int columns)
    {
        ElevationGrid plane = Surfaces.Make(rows, columns, 1, Surfaces.Plane(10, 0.1, 0.1));
        float[] smooth = FeaturePreservingSmoothing.Apply(plane).Heights.ToArray();
        Assert.All(plane.Heights.ToArray().Zip(smooth), pair => Assert.Equal(pair.First, pair.Second, 4));
        Assert.All(FeaturePreservingSmoothing.Apply(Surfaces.Make(rows, columns, 1, (_, _) => double.NaN)).Heights.ToArray(), z => Assert.True(float.IsNaN(z)));
    }

    [Fact]
    public void Apply_TurnedGround_TurnsWithIt()
    {
        ElevationGrid ground = Noisy(Surfaces.Make(40, 40, 1, Surfaces.VValley(0.1, 0.02)), 3);
        float[] z = ground.Heights.ToArray();
        Array.Reverse(z);
        float[] turned = FeaturePreservingSmoothing.Apply(ElevationGrid.Copy(ground.Frame, z)).Heights.ToArray();
        Array.Reverse(turned);
        float[] smooth = FeaturePreservingSmoothing.Apply(ground).Heights.ToArray();
        Assert.All(smooth.Zip(turned), pair => Assert.Equal(pair.First, pair.Second, 4));
    }

    [Fact]
    public void Apply_WrongCalls_AreRefused()
    {
        ElevationGrid ground = Surfaces.Make(3, 3, 1, Surfaces.Cone(1, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => FeaturePreservingSmoothing.Apply(ground, new FeatureSmoothingOptions { Radius = 0 }));
        Assert.Throws<ArgumentOutOfRangeException>(() => FeaturePreservingSmoothing.Apply(ground, new FeatureSmoothingOptions { Threshold = 90 }));
        Assert.Throws<ArgumentOutOfRangeException>(() => FeaturePreservingSmoothing.Apply(ground, new FeatureSmoothingOptions { Rounds = 0 }));
        Assert.Throws<ArgumentOutOfRangeException>(() => FeaturePreservingSmoothing.Apply(ground, new FeatureSmoothingOptions { MaximumChange = double.NaN }));
        Assert.ThrowsAny<OperationCanceledException>(() => FeaturePreservingSmoothing.Apply(ground, null, new CancellationToken(true)));
    }
}
