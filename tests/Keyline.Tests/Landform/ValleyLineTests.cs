using Keyline.Elevation;
using Keyline.Landform;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Landform;

/// <summary>Valley and ridge lines on ground whose floor and crest are known on paper.</summary>
public sealed class ValleyLineTests
{
    // D-13: trough z = 0.002 x^2 - 0.05 y, contour curvature 2a/b = 0.08 1/m on the axis; the floor is x = 0. Computed by hand.
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(5)]
    [InlineData(10)]
    public void Trough_HasOneValleyOnItsAxis(double cell)
    {
        int side = (int)(600 / cell);
        LandformReading reading = LandformReader.Read(MadeGround.Make(side, side, cell, (x, y) => (0.002 * x * x) - (0.05 * y)));

        ValleyLine valley = Assert.Single(reading.Valleys);
        Assert.All(valley.Line.Coordinates, p => Assert.InRange(p.X, -0.5 * cell, 0.5 * cell));
        Assert.True(valley.Line.StartPoint.Y < valley.Line.EndPoint.Y, "It runs from its head down to its foot.");
        Assert.True(valley.Length > 400);
        Assert.Equal(1, valley.Order);
        Assert.Empty(reading.Ridges);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(5)]
    public void TroughUpsideDown_HasOneRidgeAndNoValley(double cell)
    {
        int side = (int)(600 / cell);
        LandformReading reading = LandformReader.Read(MadeGround.Make(side, side, cell, (x, y) => (-0.002 * x * x) - (0.05 * y)));

        Assert.Empty(reading.Valleys);
        RidgeLine ridge = Assert.Single(reading.Ridges);
        Assert.All(ridge.Line.Coordinates, p => Assert.InRange(p.X, -0.5 * cell, 0.5 * cell));
        Assert.True(ridge.Line.StartPoint.Coordinate.Z > ridge.Line.EndPoint.Coordinate.Z, "It runs from its higher end.");
    }

    [Theory]
    [InlineData(10)]
    [InlineData(27)]
    [InlineData(45)]
    [InlineData(120)]
    public void TurnedTrough_HasOneValleyOnItsAxis(double degrees)
    {
        LandformReading reading = LandformReader.Read(MadeGround.MakeTurned(300, 300, 2, degrees, (x, y) => (0.002 * x * x) - (0.05 * y)));

        ValleyLine valley = Assert.Single(reading.Valleys);
        (double sin, double cos) = Math.SinCos(degrees * Math.PI / 180);
        // The grid's edge cuts the trough off aslant, so its first stretch is no true head and is left out.
        Assert.All(
            valley.Line.Coordinates.Where(p => p.Distance(valley.Line.StartPoint.Coordinate) > 30),
            p => Assert.InRange((p.X * cos) + (p.Y * sin), -2, 2));
    }

    [Theory]
    [InlineData(1, 1)]
    [InlineData(2, 0.2)]
    [InlineData(2, 5)]
    [InlineData(5, 1)]
    public void WindingValley_IsFollowed(double cell, double heights)
    {
        // Floor x = 40 sin(2 pi y / 400) between sides 20 m high, falling 4 % along y. The line stays within a cell and a half
        // of it, as promised, and a metre for the true floor, which cuts the bends a little.
        static double Floor(double y) => 40 * Math.Sin(2 * Math.PI * y / 400);
        int side = (int)(800 / cell);
        LandformReading reading = LandformReader.Read(MadeGround.Make(
            side, side, cell, (x, y) => heights * ((20 * (1 - Math.Exp(-(x - Floor(y)) * (x - Floor(y)) / 3200))) - (0.04 * y))));

        ValleyLine valley = reading.Valleys[0];
        LineString floor = new([.. Enumerable.Range(-450, 901).Select(y => new Coordinate(Floor(y), y))]);
        Assert.All(valley.Line.Coordinates, p => Assert.InRange(floor.Distance(new Point(p)), 0, (1.5 * cell) + 1));
        Assert.True(valley.Length > 650);
    }

    [Fact]
    public void ParallelValleys_HaveRidgesBetween()
    {
        // z = 4 cos(2 pi x / 200) + 0.05 y: floors at x = -300, -100, 100, 300 and crests at x = -200, 0, 200.
        LandformReading reading = LandformReader.Read(MadeGround.Make(300, 400, 2, (x, y) => (4 * Math.Cos(2 * Math.PI * x / 200)) + (0.05 * y)));

        Assert.Equal([-300, -100, 100, 300], reading.Valleys.Select(v => Math.Round(v.Line.Centroid.X)).Order());
        Assert.Equal([-200, 0, 200], reading.Ridges.Select(r => Math.Round(r.Line.Centroid.X)).Order());
        Assert.All(reading.Valleys, v => Assert.InRange(v.CatchmentArea, 0.8 * 200 * 600, 1.05 * 200 * 600));
    }

    [Fact]
    public void JoiningValleys_MakeOrderTwo()
    {
        // Two floors at 40 degrees to a stem meet at (0, 0); the ground is the lowest of three troughs.
        static double Trough(double x, double y, double degrees)
        {
            (double sin, double cos) = Math.SinCos(degrees * Math.PI / 180);
            double along = (x * sin) + (y * cos);
            double across = (x * cos) - (y * sin);
            return along < 0 ? double.PositiveInfinity : (0.06 * along) + (0.15 * Math.Sqrt((across * across) + 25));
        }

        ElevationGrid ground = MadeGround.Make(300, 300, 2, (x, y) => Math.Min(
            Math.Min(Trough(x, y, 40), Trough(x, y, -40)),
            y > 0 ? double.PositiveInfinity : (0.03 * y) + (0.15 * Math.Sqrt((x * x) + 25))));
        LandformReading reading = LandformReader.Read(GaussianSmoothing.Apply(ground, 6));

        Assert.Equal(2, reading.Valleys.Count);
        Assert.Equal(2, reading.Valleys[0].Order);
        Assert.Equal(1, reading.Valleys[1].Order);
        Assert.True(reading.Valleys[0].CatchmentArea > reading.Valleys[1].CatchmentArea);
        Assert.InRange(reading.Valleys[1].Line.EndPoint.Distance(new Point(0, 0)), 0, 30);
        Assert.Contains(reading.Valleys[1].Line.EndPoint.Coordinate, reading.Valleys[0].Line.Coordinates);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void RoughGround_LinesNeverCrossAndRunDownhill(int seed)
    {
        ElevationGrid ground = MadeGround.WithBumps(MadeGround.Make(250, 250, 4, (x, y) => (0.02 * x) + (0.03 * y)), 50, 5, seed);
        LandformReading reading = LandformReader.Read(ground);

        Assert.NotEmpty(reading.Valleys);
        Assert.NotEmpty(reading.Ridges);
        foreach (ValleyLine v in reading.Valleys)
        {
            Assert.All(reading.Ridges, r => Assert.False(r.Line.Intersects(v.Line)));
            Assert.True(v.Line.StartPoint.Coordinate.Z > v.Line.EndPoint.Coordinate.Z);
        }

        Assert.Equal(Enumerable.Range(1, reading.Valleys.Count), reading.Valleys.Select(v => v.Number));
        Assert.Equal(Enumerable.Range(1, reading.Ridges.Count), reading.Ridges.Select(r => r.Number));
        LandformReading again = LandformReader.Read(ground);
        Assert.Equal(reading.Position.Values.ToArray(), again.Position.Values.ToArray());
        Assert.True(reading.Valleys.Zip(again.Valleys).All(p => p.First.Line.EqualsExact(p.Second.Line)));
    }

    // A swelling in a valley's side has the same valley on either hand: no ridge (a primary ridge lies between two primary valleys
    // or a valley and the edge: P. A. Yeomans, The City Forest, 1971, ch. 3, our wording).
    [Fact]
    public void SwellingWithinOneValleysGround_IsNoRidge()
    {
        static double Swelling(double x, double y) => 3 * Math.Exp(-(Math.Pow(x - 90, 2) / 800) - (Math.Pow((y - 0) / 60, 6)));
        ElevationGrid plain = MadeGround.Make(250, 200, 2, (x, y) => (0.0008 * x * x) + (0.05 * y));
        LandformReading without = LandformReader.Read(plain);
        LandformReading with = LandformReader.Read(MadeGround.Make(250, 200, 2, (x, y) => (0.0008 * x * x) + (0.05 * y) + Swelling(x, y)));
        Assert.Single(without.Valleys);
        Assert.Empty(without.Ridges);
        Assert.Equal(with.Valleys.Count > 1, with.Ridges.Count > 0);
    }

    [Theory]
    [InlineData(0.3)]
    [InlineData(3)]
    public void HeightsMultiplied_GiveTheSameValleys(double factor)
    {
        // Contours keep their shape when all heights are multiplied, so the valleys stay where they were.
        ElevationGrid ground = MadeGround.WithBumps(MadeGround.Make(250, 250, 4, (x, y) => (0.02 * x) + (0.03 * y)), 50, 5, 11);
        ElevationGrid steeper = ElevationGrid.Copy(ground.Frame, Array.ConvertAll(ground.Heights.ToArray(), z => (float)(factor * z)));
        LandformOptions options = new() { MinimumDepth = 0, MaximumSill = 1000 };

        IReadOnlyList<ValleyLine> a = LandformReader.Read(ground, options).Valleys;
        IReadOnlyList<ValleyLine> b = LandformReader.Read(steeper, options).Valleys;

        Assert.InRange(b.Count, a.Count - 1, a.Count + 1);
        Assert.Equal(a[0].CatchmentArea, b[0].CatchmentArea, 0.02 * a[0].CatchmentArea);
    }
}
