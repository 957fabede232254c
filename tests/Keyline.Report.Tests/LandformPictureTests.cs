using Keyline.Elevation;
using Keyline.Landform;
using Keyline.Layout;
using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report.Tests;

/// <summary>Long profiles as pictures, and the land in sentences.</summary>
public sealed class LandformPictureTests
{
    // Three combes 200 m apart that fall 10 % to a break at y = 0 and 4 % below it.
    private static readonly LandformReading Combes = Read((x, y) => (3 * (1 - Math.Cos(2 * Math.PI * x / 200))) + (y > 0 ? 0.10 * y : 0.04 * y));

    [Fact]
    public void Profile_ShowsTheKeypointWhereItIs()
    {
        Keypoint k = Combes.Keypoints[0];
        ValleyLine valley = Combes.Valleys[k.ValleyNumber - 1];
        using SKBitmap picture = SKBitmap.Decode(Bytes(valley, [k]));
        Assert.Equal((1500, 760), (picture.Width, picture.Height));

        // The axis runs from 110 to 1450 dots; a clear keypoint is filled with yellow.
        int x = (int)Math.Round(110 + (k.DistanceFromHead / valley.Profile!.Distance[^1] * 1340));
        int[] yellow = [.. Enumerable.Range(130, 530).Where(y => IsYellow(picture.GetPixel(x, y)))];
        Assert.InRange(yellow.Length, 8, 30);
        Assert.DoesNotContain(Enumerable.Range(130, 530), y => IsYellow(picture.GetPixel(x + 60, y)));

        // The floor is blue all along, and falls.
        int[] floor = [.. new[] { 150, 500, 900, 1400 }.Select(c => Enumerable.Range(130, 530).First(y => picture.GetPixel(c, y) is { Blue: > 150, Red: < 60 }))];
        Assert.Equal(floor.Order(), floor);
    }

    [Fact]
    public void Profile_Twice_GivesTheSameBytes() => Assert.Equal(Bytes(Combes.Valleys[0], Combes.Keypoints), Bytes(Combes.Valleys[0], Combes.Keypoints));

    [Fact]
    public void Profile_OfAValleyTooShort_IsRefused() => Assert.Throws<ArgumentException>(() =>
        ProfilePicture.Write(new MemoryStream(), new ValleyLine(1, new LineString([new CoordinateZ(0, 0, 2), new CoordinateZ(1, 0, 1)]), 1, 1, ValleyKind.Minor, 0, ValleyEnd.Edge, null), []));

    [Fact]
    public void Words_SayWhatWasRead()
    {
        IReadOnlyList<string> said = LandformWords.Describe(Combes, null);
        Assert.StartsWith("The land is cut by valleys with keypoints; it slopes ", said[0], StringComparison.Ordinal);
        Assert.Contains("There are 3 primary valleys, and ", said[1], StringComparison.Ordinal);
        Assert.All(Combes.Keypoints, k => Assert.Contains(said, s => s.StartsWith(FormattableString.Invariant($"Valley {k.ValleyNumber} has a clear keypoint {k.DistanceFromHead:0} m down from the head"), StringComparison.Ordinal)
            && s.Contains("the floor falls 10.0 % above and 4.0 % below", StringComparison.Ordinal)));
        Assert.Contains(said, s => s.Contains("can share one keyline at ", StringComparison.Ordinal));
        Assert.StartsWith("All this is read from elevation alone.", said[^1], StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0.0, -0.05, "one slope that falls to the north, 5.0 % on average")]
    [InlineData(0.03, -0.03, "one slope that falls to the north-west, 4.2 % on average")]
    [InlineData(-0.001, 0.0, "nearly level, 0.1 % on average")]
    public void Words_NameTheSlopeAndTheGuide(double east, double north, string words)
    {
        LandformReading plane = Read((x, y) => (east * x) + (north * y));
        IReadOnlyList<string> said = LandformWords.Describe(plane, plane.GeneralGuide);
        Assert.Contains(words, said[0], StringComparison.Ordinal);
        Assert.Equal("There is no valley and no ridge.", said[1]);
        Assert.StartsWith("With no keypoint to start from, begin at the contour of ", said[2], StringComparison.Ordinal);
    }

    private static bool IsYellow(SKColor c) => c is { Red: > 225, Green: > 175, Blue: < 60 };

    private static byte[] Bytes(ValleyLine valley, IReadOnlyList<Keypoint> breaks)
    {
        using MemoryStream png = new();
        ProfilePicture.Write(png, valley, [.. breaks.Where(k => k.ValleyNumber == valley.Number)]);
        return png.ToArray();
    }

    private static LandformReading Read(Func<double, double, double> height)
    {
        GridFrame frame = new(300, 300, 2, -300, 300);
        float[] z = new float[300 * 300];
        for (int i = 0; i < z.Length; i++)
        {
            z[i] = (float)height(frame.CentreX(i % 300), frame.CentreY(i / 300));
        }

        return GroundReading.Of(ElevationGrid.TakeOver(frame, z), 3.048).Landform;
    }
}
