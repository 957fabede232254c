using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Elevation;

/// <summary>What is promised of smoothing that keeps crests and valley floors, measured on ground whose truth is known.</summary>
public sealed class FaceSmoothingTests
{
    private const int Side = 121;
    private const double Deviation = 0.05;

    // A bell of the given deviation from four even numbers. Seeds this far apart share no cell's number.
    private static float Lidar(int r, int c, ulong seed) =>
        (float)(Enumerable.Range(0, 4).Sum(k => Noise.At(r, c, seed + ((ulong)k * 1_000_000))) * Deviation / Math.Sqrt(4.0 / 3));

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

    // A valley and a crest with sides of 12 %, falling by 3 %: a Gaussian of 1 m, which calms the flanks no more, rounds them off.
    [Theory]
    [InlineData(1)]
    [InlineData(-1)]
    public void Apply_ValleyAndCrest_KeepTheirLineWhereAGaussianDoesNot(int sign)
    {
        ElevationGrid truth = Surfaces.Make(Side, Side, 1, (x, y) => 100 + (sign * 0.12 * Math.Abs(x)) - (0.03 * y));
        ElevationGrid noisy = Noisy(truth, 40);
        ElevationGrid smooth = FaceSmoothing.Apply(noisy);
        ElevationGrid bell = GaussianSmoothing.Apply(noisy, 1);
        bool Line(int r, int c) => c == Side / 2;
        bool Flank(int r, int c) => Math.Abs(c - (Side / 2)) > 10;

        (double bias, _) = Errors(smooth, truth, Line);
        (double bellBias, _) = Errors(bell, truth, Line);
        (_, double calm) = Errors(smooth, truth, Flank);
        Assert.InRange(bias, -0.01, 0.01);
        Assert.True(sign * bellBias > 8 * 0.01, $"the bell moved the line by {bellBias}");
        Assert.InRange(calm, 0, Deviation / 4);
    }

    // By hand: noise / cell = .05 asks for a window of (.05 / .0015)^(2/3) = 10.4 cells, so five to each side, and an angle of
    // atan(5 x .05 / sqrt 6) = 5.83 degrees; next to no noise for the smallest window, very much for the largest and 60 degrees.
    [Theory]
    [InlineData(0.05, 5, 5.827)]
    [InlineData(0.0125, 2, 1.462)]
    [InlineData(1e-6, 1, 1.17e-4)]
    [InlineData(9, 15, 60)]
    public void Controls_FollowFromTheNoise(double noisePerCell, int half, double angle)
    {
        Assert.Equal(half, FaceSmoothing.HalfFor(noisePerCell));
        Assert.Equal(angle, FaceSmoothing.AngleFor(noisePerCell), 0.01);
    }

    [Fact]
    public void Apply_NoNoise_GivesTheGroundBack()
    {
        ElevationGrid ground = Noisy(Surfaces.Make(30, 30, 1, Surfaces.Cone(5, 0.1)), 8);
        Assert.Same(ground, FaceSmoothing.Apply(ground, new FaceSmoothingOptions { Noise = 0 }));
        Assert.NotEqual(ground.Heights.ToArray(), FaceSmoothing.Apply(ground).Heights.ToArray());
    }

    // Heights in steps of 10 cm on a slope of 2 % lie in terraces five cells wide: the scatter from cell to cell is nothing, and
    // yet they are smoothed.
    [Fact]
    public void Apply_HeightsInSteps_SmoothsTheTerraces()
    {
        ElevationGrid truth = Surfaces.Make(60, 60, 1, Surfaces.Plane(100, 0.02, 0));
        ElevationGrid steps = Surfaces.Changed(truth, (_, _, z) => MathF.Round(z * 10) / 10);
        ElevationGrid smooth = FaceSmoothing.Apply(steps);
        double before = 0, after = 0;
        for (int c = 10; c < 50; c++)
        {
            before += Math.Abs(steps[30, c] - truth[30, c]);
            after += Math.Abs(smooth[30, c] - truth[30, c]);
        }

        Assert.InRange(after / before, 0, 0.8);
    }

    [Fact]
    public void Apply_PlaneWithAHole_StaysAPlane()
    {
        ElevationGrid plane = Surfaces.Changed(
            Surfaces.Make(40, 50, 2, Surfaces.Plane(1200, 0.125, -0.25)), (r, c, z) => r is > 10 and < 15 && c is > 20 and < 29 ? float.NaN : z);
        ElevationGrid smooth = FaceSmoothing.Apply(plane);
        for (int i = 0; i < plane.Heights.Length; i++)
        {
            Assert.Equal(float.IsNaN(plane.Heights[i]), float.IsNaN(smooth.Heights[i]));
            Assert.False(Math.Abs(plane.Heights[i] - smooth.Heights[i]) > 5e-4);
        }
    }

    [Fact]
    public void Apply_Anywhere_MovesNoHeightByMoreThanFourTimesTheNoise()
    {
        ElevationGrid ground = Surfaces.Changed(
            Surfaces.Make(60, 60, 1, Surfaces.Cone(50, 0.1)), (r, c, z) => z + (3 * (float)Noise.At(r, c, 9)));
        ElevationGrid smooth = FaceSmoothing.Apply(ground, new FaceSmoothingOptions { Noise = 0.3 });
        double greatest = 0;
        for (int i = 0; i < ground.Heights.Length; i++)
        {
            greatest = Math.Max(greatest, Math.Abs(smooth.Heights[i] - ground.Heights[i]));
        }

        Assert.InRange(greatest, 1.19, 1.2001);
    }

    [Theory]
    [InlineData(1, 1)]
    [InlineData(1, 20)]
    [InlineData(20, 1)]
    public void Apply_NarrowAndEmptyGrids_GiveClearAnswers(int rows, int columns)
    {
        ElevationGrid plane = Surfaces.Make(rows, columns, 1, Surfaces.Plane(10, 0.1, 0.1));
        float[] smooth = FaceSmoothing.Apply(plane).Heights.ToArray();
        Assert.All(plane.Heights.ToArray().Zip(smooth), pair => Assert.Equal(pair.First, pair.Second, 4));
        Assert.All(FaceSmoothing.Apply(Surfaces.Make(rows, columns, 1, (_, _) => double.NaN)).Heights.ToArray(), z => Assert.True(float.IsNaN(z)));
    }

    [Fact]
    public void Apply_TurnedGround_TurnsWithIt()
    {
        ElevationGrid ground = Noisy(Surfaces.Make(40, 40, 1, Surfaces.VValley(0.1, 0.02)), 3);
        float[] z = ground.Heights.ToArray();
        Array.Reverse(z);
        float[] turned = FaceSmoothing.Apply(ElevationGrid.Copy(ground.Frame, z)).Heights.ToArray();
        Array.Reverse(turned);
        float[] smooth = FaceSmoothing.Apply(ground).Heights.ToArray();
        Assert.All(smooth.Zip(turned), pair => Assert.Equal(pair.First, pair.Second, 4));
    }

    [Fact]
    public void Apply_WrongCalls_AreRefused()
    {
        ElevationGrid ground = Surfaces.Make(3, 3, 1, Surfaces.Cone(1, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => FaceSmoothing.Apply(ground, new FaceSmoothingOptions { Reach = 0 }));
        Assert.Throws<ArgumentOutOfRangeException>(() => FaceSmoothing.Apply(ground, new FaceSmoothingOptions { Reach = double.PositiveInfinity }));
        Assert.Throws<ArgumentOutOfRangeException>(() => FaceSmoothing.Apply(ground, new FaceSmoothingOptions { Noise = -1 }));
        Assert.Throws<ArgumentOutOfRangeException>(() => FaceSmoothing.Apply(ground, new FaceSmoothingOptions { Noise = double.NaN }));
        Assert.ThrowsAny<OperationCanceledException>(() => FaceSmoothing.Apply(ground, null, new CancellationToken(true)));
    }
}
