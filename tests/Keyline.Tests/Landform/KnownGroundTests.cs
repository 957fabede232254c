using Keyline.Elevation;
using Keyline.Landform;

namespace Keyline.Tests.Landform;

/// <summary>Lines and keypoints against ground whose floors, crests and breaks are known, by Hausdorff distance both ways.</summary>
public sealed class KnownGroundTests
{
    private static double TwoSlopes(double y) => MadeGround.TwoSlopes(y, 0.10, 0.04);

    private static LandformReading Read(ElevationGrid ground) => LandformReader.Read(GaussianSmoothing.ApplyTwice(ground, Math.Max(6, 1.2 * ground.Frame.CellSize)));

    [Theory]
    [InlineData(0.5, 17, 0.0, 1.5)]
    [InlineData(1, 0, 0.0, 1.5)]
    [InlineData(1, 73, 0.0, 1.5)]
    [InlineData(2, 45, 0.0, 1.5)]
    [InlineData(2, 130, 0.0, 1.5)]
    [InlineData(5, 17, 0.0, 1.5)]
    [InlineData(0.5, 30, 0.05, 3)]
    [InlineData(1, 17, 0.05, 3)]
    [InlineData(2, 73, 0.05, 3)]
    [InlineData(5, 17, 0.05, 3)]
    [InlineData(1, 45, 0.03, 3)]
    [InlineData(1, 17, 0.10, 3)]
    public void StraightValleys_LinesLieOnTheirFloorsAndCrests(double cell, double degrees, double noise, double cells)
    {
        KnownGround ground = KnownGround.Straight(degrees, TwoSlopes);
        LandformReading reading = Read(ground.Grid(cell, noise, seed: 3));
        Assert.InRange(ground.Hausdorff(reading.Valleys.Select(v => v.Line), ground.Floors), 0, cells * cell);
        Assert.InRange(ground.Hausdorff(reading.Ridges.Select(r => r.Line), ground.Crests), 0, cells * cell);
    }

    [Theory]
    [InlineData(1, 0, 0.0, 1.5)]
    [InlineData(2, 45, 0.0, 1.5)]
    [InlineData(5, 73, 0.0, 1.5)]
    [InlineData(1, 17, 0.05, 3)]
    [InlineData(2, 73, 0.05, 3)]
    public void WindingValley_LineLiesOnItsFloor(double cell, double degrees, double noise, double cells)
    {
        KnownGround ground = KnownGround.Winding(degrees, TwoSlopes);
        LandformReading reading = Read(ground.Grid(cell, noise));
        Assert.InRange(ground.Hausdorff(reading.Valleys.Select(v => v.Line), ground.Floors), 0, cells * cell);
    }

    [Theory]
    [InlineData(1, 0, 0.0, 1.5)]
    [InlineData(2, 30, 0.0, 1.5)]
    [InlineData(5, 100, 0.0, 1.5)]
    [InlineData(2, 200, 0.05, 3)]
    public void NestedValleys_LinesLieOnTheirFloorsAndJoin(double cell, double degrees, double noise, double cells)
    {
        KnownGround ground = KnownGround.Nested(degrees);
        LandformReading reading = Read(ground.Grid(cell, noise));
        Assert.Equal(3, reading.Valleys.Count);
        ValleyLine main = Assert.Single(reading.Valleys, v => v.Joins == 0);
        Assert.All(reading.Valleys.Where(v => v != main), v => Assert.Equal((main.Number, ValleyEnd.Confluence), (v.Joins, v.End)));
        Assert.Equal(2, main.Order);

        // Where floors meet, smoothing makes one of them; heads of side valleys at the edge are nobody's.
        Assert.InRange(ground.Hausdorff(reading.Valleys.Select(v => v.Line), ground.Floors, (0, -60), (0, -20), (0, -100)), 0, cells * cell);
    }

    [Theory]
    [InlineData(1, 17)]
    [InlineData(2, 45)]
    public void FurrowsOf10Centimetres_DoNotMoveTheLines(double cell, double degrees)
    {
        // Furrows 3 m apart, 20 cm from top to bottom, aslant to the valleys.
        KnownGround ground = KnownGround.Straight(degrees, TwoSlopes);
        LandformReading reading = Read(ground.Grid(cell, furrows: 0.1));
        Assert.InRange(ground.Hausdorff(reading.Valleys.Select(v => v.Line), ground.Floors), 0, 1.5 * cell);
        Assert.InRange(ground.Hausdorff(reading.Ridges.Select(r => r.Line), ground.Crests), 0, 1.5 * cell);
    }

    [Theory]
    [InlineData(0.5, 17)]
    [InlineData(1, 0)]
    [InlineData(1, 45)]
    [InlineData(2, 73)]
    [InlineData(5, 17)]
    public void TwoSlopeFloor_KeypointLiesWithinACellOfTheBreak(double cell, double degrees)
    {
        KnownGround ground = KnownGround.Straight(degrees, TwoSlopes);
        LandformReading reading = Read(ground.Grid(cell));
        Keypoint[] middle = [.. reading.Keypoints.Where(k => Math.Abs(ground.Unturned(k.Location.X, k.Location.Y).X) < 20)];
        Keypoint keypoint = Assert.Single(middle);
        Assert.Equal(KeypointClass.Clear, keypoint.Class);
        Assert.InRange(ground.Unturned(keypoint.Location.X, keypoint.Location.Y).Y, -cell, cell);
        Assert.InRange(keypoint.PlaceTo - keypoint.PlaceFrom, 1.99 * cell, Math.Max(2.01 * cell, 8));
    }

    // Floors that bend all along: the keypoint is where two slopes fit the true floor best, here found by trying every
    // millimetre-exact knot on the formula itself over the same stretch.
    [Theory]
    [InlineData(1, false)]
    [InlineData(2, false)]
    [InlineData(1, true)]
    [InlineData(2, true)]
    public void CurvedFloor_KeypointIsTheBestTwoSlopeBreakOfTheFormula(double cell, bool exponential)
    {
        double Floor(double y) => exponential
            ? 24 * Math.Exp((y - 300) / 160)
            : (0.04 * y) + (0.06 * 25 * Math.Log(1 + Math.Exp(y / 25)));
        KnownGround ground = KnownGround.Straight(0, Floor);
        LandformReading reading = Read(ground.Grid(cell));
        Keypoint keypoint = Assert.Single(reading.Keypoints, k => Math.Abs(k.Location.X) < 20);
        ValleyLine valley = reading.Valleys[keypoint.ValleyNumber - 1];

        // y at a distance from the head is the head's y less the distance, the floor being straight.
        double head = valley.Line.StartPoint.Y, foot = valley.Line.EndPoint.Y;
        double[] s = [.. Enumerable.Range(0, 2001).Select(i => i * (head - foot) / 2000)], z = [.. s.Select(d => Floor(head - d))];
        double best = 0, least = double.PositiveInfinity;
        for (double knot = 30; knot < s[^1] - 30; knot += 0.5)
        {
            double squares = Squares(s, z, knot);
            (best, least) = squares < least ? (knot, squares) : (best, least);
        }

        Assert.InRange(keypoint.DistanceFromHead - best, -2 * cell, 2 * cell);
    }

    [Theory]
    [InlineData(0.05)]
    [InlineData(0.10)]
    [InlineData(0.40)]
    public void NoisyTwoSlopeFloor_KeypointLiesInItsOwnIntervalInAtLeast85Of100(double noise)
    {
        int inside = 0, found = 0;
        for (int seed = 1; seed <= 100; seed++)
        {
            KnownGround ground = KnownGround.Straight(seed * 7, TwoSlopes);
            foreach (Keypoint k in Read(ground.Grid(3, noise, seed)).Keypoints)
            {
                // The break lies at y = 0; the floor is straight, so distance along it is difference of y.
                double y = ground.Unturned(k.Location.X, k.Location.Y).Y;
                found++;
                inside += k.DistanceFromHead + y >= k.PlaceFrom && k.DistanceFromHead + y <= k.PlaceTo ? 1 : 0;
            }
        }

        Assert.True(found >= 200, $"{found} keypoints.");
        Assert.True(inside >= 0.85 * found, $"{inside} of {found} lie in their interval.");
    }

    [Fact]
    public void NoisyOneSlopeFloor_HasAKeypointInAtMost5Of100()
    {
        int keypoints = 0, valleys = 0;
        for (int seed = 1; seed <= 100; seed++)
        {
            LandformReading reading = Read(KnownGround.Straight(seed * 7, y => 0.06 * y).Grid(3, 0.05, seed));
            keypoints += reading.Keypoints.Count;
            valleys += reading.Valleys.Count;
        }

        Assert.True(valleys >= 200, $"{valleys} valleys.");
        Assert.True(keypoints <= 0.05 * valleys, $"{keypoints} keypoints in {valleys} valleys.");
    }

    private static double Squares(double[] s, double[] z, double knot)
    {
        // Constant, slope and change of slope by the normal equations.
        MathNet.Numerics.LinearAlgebra.Matrix<double> a = MathNet.Numerics.LinearAlgebra.Matrix<double>.Build.Dense(s.Length, 3, (i, j) => j == 0 ? 1 : j == 1 ? s[i] : Math.Max(0, s[i] - knot));
        MathNet.Numerics.LinearAlgebra.Vector<double> b = MathNet.Numerics.LinearAlgebra.Vector<double>.Build.Dense(z);
        MathNet.Numerics.LinearAlgebra.Vector<double> x = a.TransposeThisAndMultiply(a).Solve(a.TransposeThisAndMultiply(b));
        return (b - (a * x)).DotProduct(b - (a * x));
    }
}
