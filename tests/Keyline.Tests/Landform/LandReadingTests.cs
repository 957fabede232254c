using Keyline.Elevation;
using Keyline.Landform;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Landform;

/// <summary>What is read from several valleys together, and from land that has none.</summary>
public sealed class LandReadingTests
{
    // Valleys 200 m apart whose breaks lie at a height each; floors fall 10 % above and 4 % below.
    private static ElevationGrid Combes(params double[] breaks) => MadeGround.Make(300, 100 * breaks.Length, 2, (x, y) =>
    {
        double at = (x / 200) + (breaks.Length / 2.0) - 0.5;
        int i = Math.Clamp((int)Math.Floor(at), 0, breaks.Length - 2);
        double t = Math.Clamp(at - i, 0, 1), shift = breaks[i] + ((breaks[i + 1] - breaks[i]) * t * t * (3 - (2 * t)));
        return (3 * (1 - Math.Cos(2 * Math.PI * (x + (breaks.Length % 2 == 0 ? 100 : 0)) / 200))) + MadeGround.TwoSlopes(y - shift, 0.10, 0.04) + (shift * 0.04);
    });

    private static LandformReading Read(ElevationGrid ground, LandformOptions? options = null) => LandformReader.Read(GaussianSmoothing.ApplyTwice(ground, 6), options);

    [Fact]
    public void KeypointsOfOneHeight_ShareAKeyline()
    {
        LandformReading reading = Read(Combes(0, 0, 0));
        CommonKeyline common = Assert.Single(reading.CommonKeylines);
        Assert.Equal([1, 2, 3], common.ValleyNumbers.Order());
        Assert.InRange(common.Spread, 0, 0.05);
        Assert.All(reading.Keypoints, k => Assert.InRange(common.Line.Distance(k.Location), 0, 2));

        // Higher ground, here the north, is on its left.
        Assert.True(common.Line.StartPoint.X < -150 && common.Line.EndPoint.X > 150);
        Assert.Equal(common.ValleyNumbers, common.ValleyNumbers.OrderBy(v => reading.Valleys[v - 1].Line.Centroid.X));
    }

    // K-2: one keyline for the first three valleys and another for the next two, 40 feet (12.2 m) higher (P. A. Yeomans, The
    // Keyline Plan, 1954, ch. 6). Here the step is 60 m up a floor of 4 %, 2.4 m.
    [Fact]
    public void KeypointsOfTwoHeights_HaveAKeylineEach()
    {
        LandformReading reading = Read(Combes(0, 0, 0, 60, 60));
        Assert.Equal([2, 3], reading.CommonKeylines.Select(c => c.ValleyNumbers.Count).Order());
        Assert.InRange(Math.Abs(reading.CommonKeylines[0].Height - reading.CommonKeylines[1].Height), 1.9, 2.9);
        Assert.Empty(Read(Combes(0, 20, 40), new LandformOptions { CommonHeight = 0.5 }).CommonKeylines);
    }

    [Fact]
    public void Pin_TakesThePlaceOfWhatWasFound()
    {
        ElevationGrid ground = Combes(0, 0, 0);
        LandformReading reading = Read(ground, new LandformOptions { PinnedKeypoints = [new Coordinate(6, -70), new Coordinate(110, 150)], PinReach = 30 });
        Keypoint pinned = Assert.Single(reading.Keypoints, k => k.IsPinned);
        Assert.Equal(6, pinned.PinDistance, 0.5);
        Assert.Equal(-70, pinned.Location.Y, 0.5);
        Assert.Equal(KeypointClass.Weak, pinned.Class);
        Assert.True(pinned.SlopeAbove > pinned.SlopeBelow);
        Keypoint found = Assert.Single(reading.LesserBreaks, k => k.ValleyNumber == pinned.ValleyNumber);
        Assert.Equal((1, 2), (pinned.Rank, found.Rank));
        Assert.Equal(0, found.Location.Y, 2.0);
        Assert.Equal([new Coordinate(110, 150)], reading.UnplacedPins);
        Assert.Contains(reading.Keylines, k => k.ValleyNumber == pinned.ValleyNumber && k.Line.Distance(pinned.Location) < 1);
    }

    [Fact]
    public void Pin_OnTheBreak_IsBornOut()
    {
        LandformReading reading = Read(Combes(0, 0, 0), new LandformOptions { PinnedKeypoints = [new Coordinate(3, 5)] });
        Assert.Equal(KeypointClass.Clear, Assert.Single(reading.Keypoints, k => k.IsPinned).Class);
    }

    [Fact]
    public void Pin_AtNoPlace_IsRefused() => Assert.Throws<ArgumentOutOfRangeException>(
        () => Read(Combes(0, 0, 0), new LandformOptions { PinnedKeypoints = [new Coordinate(double.NaN, 0)] }));

    // K-8: keypoints of successive valleys rise with the rising main ridge (P. A. Yeomans, The City Forest, 1971, ch. 3). A ridge
    // along x rises eastward by 2 % and carries valleys on its south side.
    [Fact]
    public void Keypoints_RiseWithTheRisingMainRidge()
    {
        LandformReading reading = Read(MadeGround.Make(250, 500, 2, (x, y) =>
        {
            double down = Math.Sqrt(((y - 180) * (y - 180)) + 400), side = Math.Min(1, down / 120);
            return (0.02 * x) - (down < 160 ? 0.12 * down : 19.2 + (0.04 * (down - 160))) + (3 * side * (1 - Math.Cos(2 * Math.PI * x / 200)));
        }));
        KeypointSequence sequence = reading.Sequences.MaxBy(s => s.ValleyNumbers.Count)!;
        Assert.True(sequence.ValleyNumbers.Count >= 3, $"{sequence.ValleyNumbers.Count} valleys.");
        Assert.True(sequence.Rises, string.Join(" ", sequence.Heights));
        Assert.True(reading.Ridges[sequence.RidgeNumber - 1].IsMain);
        double[] xs = [.. sequence.ValleyNumbers.Select(v => reading.Valleys[v - 1].Line.StartPoint.X)];
        Assert.Equal(xs.Order(), xs);
    }

    [Fact]
    public void Valleys_SayWhatTheyAre()
    {
        LandformReading reading = Read(Combes(0, 0, 0));
        Assert.All(reading.Valleys, v =>
        {
            Assert.Equal((ValleyEnd.Edge, 0, ValleyKind.Primary), (v.End, v.Joins, v.Kind));
            Assert.Equal(v.Line.StartPoint.Coordinate.Z - v.Line.EndPoint.Coordinate.Z, v.Fall);
            Assert.NotNull(v.Profile);
            Assert.Equal(v.Length, v.Profile.Distance[^1], 1e-6);
            Assert.Equal(v.Fall, v.Profile.Height[0] - v.Profile.Height[^1], 1e-6);
            Assert.InRange(v.Profile.Noise, 0, 0.05);
            Assert.All(v.Profile.Falling.Zip(v.Profile.Falling.Skip(1)), p => Assert.True(p.Second <= p.First));
        });
        Assert.Equal(LandShapeKind.Valleys, reading.Shape.Kind);
        Assert.Null(reading.GeneralGuide);
    }

    [Fact]
    public void ShiftedGround_GivesShiftedLines()
    {
        ElevationGrid ground = Combes(0, 20, -30);
        GridFrame f = ground.Frame;
        ElevationGrid shifted = ElevationGrid.Copy(new GridFrame(f.Rows, f.Columns, f.CellSize, f.West + 1024, f.North - 512), ground.Heights);
        LandformReading here = Read(ground), there = Read(shifted);
        Assert.Equal(here.Valleys.Count, there.Valleys.Count);
        foreach ((ValleyLine a, ValleyLine b) in here.Valleys.Zip(there.Valleys))
        {
            Assert.All(a.Line.Coordinates.Zip(b.Line.Coordinates), p => Assert.InRange(p.First.Distance(new Coordinate(p.Second.X - 1024, p.Second.Y + 512)), 0, 1e-3));
        }

        Assert.All(here.Keypoints.Zip(there.Keypoints), p => Assert.Equal(p.First.DistanceFromHead, p.Second.DistanceFromHead, 0.01));
    }

    [Fact]
    public void ProfileNoise_IsThatOfTheHeights()
    {
        // Heights along the line alone, with normal errors of 10 cm: the curve must leave just them.
        Random random = new(4);
        Coordinate[] line = [.. Enumerable.Range(0, 300).Select(i => (Coordinate)new CoordinateZ(2 * i, 0, 40 * Math.Exp(-i / 100.0)
            + (0.1 * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble()))))];
        ValleyProfile profile = ValleyProfile.Sample(line, 2, double.PositiveInfinity)!;
        Assert.InRange(profile.Noise, 0.085, 0.115);
        Assert.All(profile.Distance.Zip(profile.Curve), p => Assert.Equal(40 * Math.Exp(-p.First / 200), p.Second, 0.15));
    }

    [Fact]
    public void ClosedHollow_EndsItsValleys()
    {
        LandformReading reading = Read(MadeGround.Make(200, 200, 2, (x, y) => (0.06 * Math.Sqrt((x * x) + (y * y) + 900)) + (2 * Math.Cos(3 * Math.Atan2(y, x)) * Math.Min(1, Math.Sqrt((x * x) + (y * y)) / 60))));
        Assert.NotEmpty(reading.Valleys);
        Assert.Contains(reading.Valleys, v => v.End == ValleyEnd.Hollow);
        Assert.All(reading.Valleys, v => Assert.NotEqual(ValleyEnd.Edge, v.End));
    }

    [Theory]
    [InlineData("plain", LandShapeKind.Plain)]
    [InlineData("slope", LandShapeKind.Slope)]
    [InlineData("dome", LandShapeKind.Dome)]
    [InlineData("fan", LandShapeKind.Fan)]
    [InlineData("hollow", LandShapeKind.Hollow)]
    public void LandWithoutKeypoint_IsNamed(string land, LandShapeKind kind)
    {
        LandformReading reading = Read(MadeGround.Make(200, 200, 3, Land(land)), land == "hollow" ? new LandformOptions { MinimumConvergence = 50 } : null);
        Assert.Empty(reading.Keypoints);
        Assert.Equal(kind, reading.Shape.Kind);
    }

    [Fact]
    public void SlopeFallsWhereItSays()
    {
        LandShape shape = Read(MadeGround.Make(120, 120, 3, (x, y) => (-0.03 * x) + (0.04 * y))).Shape;
        Assert.Equal(5.0, shape.MeanSlope, 0.01);
        Assert.Equal(180 - (Math.Atan2(0.03, 0.04) * 180 / Math.PI), shape.FallDirection, 0.1);
        Assert.Equal(1, shape.OneWay, 1e-6);
    }

    // As high as the area allows: on a plane every level crosses the square alike, so it is the topmost of the forty levels; in a
    // triangle that narrows upward it is the one that is six tenths as long as the lowest. By hand.
    [Fact]
    public void GeneralGuide_LiesAsHighAsTheAreaAllows()
    {
        ElevationGrid plane = MadeGround.Make(200, 200, 3, (_, y) => 0.05 * y);
        LineString square = GeneralGuide.Place(plane)!;
        Assert.Equal(0.05 * 298.5 * (1 - (1 / 40.0)), square.Coordinate.Z, 0.1);
        Assert.True(square.StartPoint.X < square.EndPoint.X);

        Polygon triangle = new(new LinearRing([new(-200, -200), new(200, -200), new(0, 200), new(-200, -200)]));
        LineString guide = GeneralGuide.Place(plane, triangle)!;
        double y = guide.Coordinate.Z / 0.05;
        Assert.InRange(y, -200 + (0.38 * 400) - 12, -200 + (0.42 * 400) + 12);
        Assert.All(guide.Coordinates, p => Assert.Equal(guide.Coordinate.Z, 0.05 * p.Y, 1e-4));
        Assert.Null(GeneralGuide.Place(MadeGround.Make(20, 20, 3, (_, _) => 7)));
    }

    private static Func<double, double, double> Land(string land) => land switch
    {
        "plain" => (x, y) => 0.001 * x,
        "slope" => (x, y) => 0.05 * y,
        "dome" => (x, y) => -0.05 * Math.Sqrt((x * x) + (y * y) + 2500),
        "fan" => (x, y) => -0.05 * Math.Sqrt((x * x) + ((y - 350) * (y - 350))),
        _ => (x, y) => 0.05 * Math.Sqrt((x * x) + ((y - 350) * (y - 350))),
    };
}
