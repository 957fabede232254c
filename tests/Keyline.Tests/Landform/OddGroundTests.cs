using Keyline.Elevation;
using Keyline.Landform;

namespace Keyline.Tests.Landform;

public sealed class OddGroundTests
{
    [Theory]
    [InlineData(1, 1)]
    [InlineData(1, 200)]
    [InlineData(200, 1)]
    [InlineData(2, 2)]
    [InlineData(3, 40)]
    [InlineData(60, 60)]
    public void Read_FlatGround_HasNoLinesAndPositionOneHalf(int rows, int columns)
    {
        LandformReading reading = LandformReader.Read(MadeGround.Make(rows, columns, 2, (_, _) => 100));

        Assert.Empty(reading.Valleys);
        Assert.Empty(reading.Ridges);
        Assert.Empty(reading.Keypoints);
        Assert.Empty(reading.Keylines);
        Assert.All(reading.Position.Values.ToArray(), p => Assert.Equal(0.5f, p, 1e-6f));
    }

    [Theory]
    [InlineData(0.03, 0.04)]
    [InlineData(-0.2, 0.01)]
    [InlineData(0.002, -0.001)]
    public void Read_Plane_HasNoLines(double east, double north)
    {
        LandformReading reading = LandformReader.Read(MadeGround.Make(150, 170, 2, (x, y) => (east * x) + (north * y)));

        Assert.Empty(reading.Valleys);
        Assert.Empty(reading.Ridges);
        Assert.Empty(reading.Keypoints);
    }

    [Fact]
    public void Read_Cone_HasNoValleys()
    {
        LandformReading reading = LandformReader.Read(MadeGround.Make(201, 201, 2, (x, y) => 50 - (0.1 * Math.Sqrt((x * x) + (y * y)))));

        Assert.Empty(reading.Valleys);
        Assert.Empty(reading.Keypoints);
    }

    [Fact]
    public void Read_AllMissing_IsEmptyAndMissing()
    {
        LandformReading reading = LandformReader.Read(MadeGround.Make(30, 40, 5, (_, _) => double.NaN));

        Assert.Empty(reading.Valleys);
        Assert.Empty(reading.Ridges);
        Assert.All(reading.Position.Values.ToArray(), p => Assert.True(float.IsNaN(p)));
    }

    [Fact]
    public void Read_ValleyWithMissingParts_StaysOnTheGroundThereIs()
    {
        // A diagonal half is missing, and a pond in the middle of the valley floor.
        ElevationGrid ground = MadeGround.Make(
            300, 300, 2, (x, y) => x > y + 150 || Math.Abs(x) + Math.Abs(y) < 20 ? double.NaN : (0.002 * x * x) + (0.05 * y));
        LandformReading reading = LandformReader.Read(ground);

        Assert.NotEmpty(reading.Valleys);
        for (int i = 0; i < ground.Heights.Length; i++)
        {
            Assert.Equal(float.IsNaN(ground.Heights[i]), float.IsNaN(reading.Position.Values[i]));
        }
    }

    [Fact]
    public void Read_Potholes_EndsValleysInThem()
    {
        // Egg-box ground: closed hollows 12 m deep every 200 m.
        LandformReading reading = LandformReader.Read(
            MadeGround.Make(300, 300, 2, (x, y) => 6 * (Math.Sin(x * Math.PI / 100) + Math.Sin(y * Math.PI / 100))));

        Assert.All(reading.Valleys, v => Assert.True(v.Line.StartPoint.Coordinate.Z >= v.Line.EndPoint.Coordinate.Z - 0.01));
    }

    [Fact]
    public void Read_NoGround_IsRefused() => Assert.Throws<ArgumentNullException>(() => LandformReader.Read(null!));

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(0)]
    [InlineData(-5)]
    public void Read_ImpossibleScale_IsRefused(double scale) => Assert.Throws<ArgumentOutOfRangeException>(
        () => LandformReader.Read(MadeGround.Make(5, 5, 2, (x, _) => x), new LandformOptions { ShapeScale = scale }));

    [Fact]
    public void Read_Cancelled_Stops()
    {
        using CancellationTokenSource source = new();
        source.Cancel();
        Assert.ThrowsAny<OperationCanceledException>(
            () => LandformReader.Read(MadeGround.Make(50, 50, 2, (x, _) => x), cancellationToken: source.Token));
    }
}
