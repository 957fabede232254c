using Keyline.Elevation;
using Keyline.Landform;

namespace Keyline.Tests.Landform;

/// <summary>Keypoints on made valleys whose break of slope is at (0, 0).</summary>
public sealed class KeypointTests
{
    private const double Smoothing = 6;

    private static ElevationGrid BrokenValley(double cell, double degrees, double above, double below, double sides = 0.002) => MadeGround.MakeTurned(
        (int)(600 / cell), (int)(600 / cell), cell, degrees, (x, y) => MadeGround.TwoSlopes(y, above, below) + (sides * x * x));

    [Theory]
    [InlineData(1, 0, 0.12, 0.04)]
    [InlineData(2, 0, 0.12, 0.04)]
    [InlineData(2, 25, 0.12, 0.04)]
    [InlineData(2, 63, 0.10, 0.02)]
    [InlineData(2, 90, 0.03, 0.01)]
    [InlineData(5, 30, 0.12, 0.04)]
    [InlineData(10, 0, 0.12, 0.04)]
    public void TwoSlopeFloor_HasItsKeypointAtTheBreak(double cell, double degrees, double above, double below)
    {
        ElevationGrid ground = GaussianSmoothing.Apply(BrokenValley(cell, degrees, above, below), Math.Max(Smoothing, 1.5 * cell));
        LandformReading reading = LandformReader.Read(ground);

        Keypoint k = Assert.Single(reading.Keypoints);
        Assert.InRange(Math.Sqrt((k.Location.X * k.Location.X) + (k.Location.Y * k.Location.Y)), 0, Math.Max(2 * cell, 4));
        Assert.Equal(KeypointClass.Clear, k.Class);
        Assert.Equal(100 * above, k.SlopeAbove, 0.06 * 100 * above);
        Assert.Equal(100 * below, k.SlopeBelow, 0.06 * 100 * above);
        Assert.Equal(above / below, k.SlopeRatio, 0.25 * above / below);
        Assert.InRange(k.ConcavityDistance - k.DistanceFromHead, -25, 25);
        Assert.Equal(ground.HeightAt(k.Location.X, k.Location.Y), k.Location.Coordinate.Z, 0.05);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(33)]
    public void TwoSlopeFloor_WithSurveyNoise_HasItsKeypointAtTheBreak(double degrees)
    {
        // 5 cm, the order of the height error of airborne lidar on bare ground (common practice, no source).
        ElevationGrid ground = MadeGround.WithNoise(BrokenValley(2, degrees, 0.10, 0.04), 0.05, 7);
        LandformReading reading = LandformReader.Read(GaussianSmoothing.Apply(ground, Smoothing));

        Keypoint k = Assert.Single(reading.Keypoints);
        Assert.InRange(Math.Sqrt((k.Location.X * k.Location.X) + (k.Location.Y * k.Location.Y)), 0, Math.Max(4, k.PositionTolerance));
    }

    // K-1: above the keypoint the valley is steeper, below it flatter (P. A. Yeomans, The Keyline Plan, 1954, ch. 1).
    [Fact]
    public void Keypoint_IsSteeperAboveThanBelow()
    {
        ElevationGrid rough = MadeGround.WithBumps(BrokenValley(4, 20, 0.10, 0.03), 40, 0.3, 3);
        LandformReading reading = LandformReader.Read(GaussianSmoothing.Apply(rough, Smoothing));

        Assert.NotEmpty(reading.Keypoints);
        Assert.All(reading.Keypoints, k =>
        {
            Assert.True(k.SlopeAbove >= LandformOptions.DefaultMinimumSlopeRatio * k.SlopeBelow);
            Assert.True(k.SlopeBelow > 0);
            Assert.InRange(k.DistanceFromHead, 0, reading.Valleys[k.ValleyNumber - 1].Length);
        });
    }

    [Theory]
    [InlineData(0.05, 0.05)]
    [InlineData(0.05, 0.045)]
    [InlineData(0.04, 0.12)]
    public void OneSlopeOrSteeperBelow_HasNoKeypoint(double above, double below)
    {
        LandformReading reading = LandformReader.Read(GaussianSmoothing.Apply(BrokenValley(2, 15, above, below), Smoothing));

        Assert.Single(reading.Valleys);
        Assert.Empty(reading.Keypoints);
        Assert.Empty(reading.Keylines);
    }

    [Fact]
    public void OneSlope_WithSurveyNoise_SeldomHasAKeypoint() =>
        Assert.InRange(FalseKeypoints(seed => MadeGround.WithNoise(BrokenValley(4, seed * 7, 0.03, 0.03), 0.05, seed)), 0, 2);

    [Fact]
    public void OneSlope_OnRoughGround_SeldomHasAKeypoint() =>
        Assert.InRange(FalseKeypoints(seed => MadeGround.WithBumps(BrokenValley(4, seed * 7, 0.05, 0.05), 25, 0.15, seed)), 0, 2);

    private static int FalseKeypoints(Func<int, ElevationGrid> ground)
    {
        int found = 0;
        for (int seed = 1; seed <= 40; seed++)
        {
            found += LandformReader.Read(GaussianSmoothing.Apply(ground(seed), Smoothing)).Keypoints.Any(k => k.ValleyNumber == 1) ? 1 : 0;
        }

        return found;
    }

    // K-11: the keyline stops where the contour turns from valley to ridge shape. On z = 4 cos(2 pi x / 200) + floor(y) the
    // floor is at x = 100 and contours turn where cos changes sign, at x = 50 and x = 150, by hand.
    [Fact]
    public void Keyline_EndsWhereTheContourTurnsToRidgeShape()
    {
        ElevationGrid ground = MadeGround.Make(300, 300, 2, (x, y) => (4 * Math.Cos(2 * Math.PI * (x + 100) / 200)) + MadeGround.TwoSlopes(y, 0.15, 0.06));
        LandformReading reading = LandformReader.Read(GaussianSmoothing.Apply(ground, Smoothing));

        Keypoint k = Assert.Single(reading.Keypoints, p => Math.Abs(p.Location.X) < 5);
        ContourKeyline line = Assert.Single(reading.Keylines, l => l.ValleyNumber == k.ValleyNumber);
        double[] xs = [.. line.Line.Coordinates.Select(p => p.X)];
        Assert.InRange(xs.Min(), -65, -42);
        Assert.InRange(xs.Max(), 42, 65);
        Assert.True(line.Line.Distance(k.Location) < 2);
        Assert.All(line.Line.Coordinates, p => Assert.Equal(line.Height, ground.HeightAt(p.X, p.Y), 0.5));
        Assert.Equal(line.Height, k.Location.Coordinate.Z, 0.02);

        // Higher ground, here the north, is on its left, so it runs eastward.
        Assert.True(line.Line.StartPoint.X < line.Line.EndPoint.X);
    }
}
