using NetTopologySuite.Geometries;
using NetTopologySuite.IO;

namespace Keyline.Report.Tests;

/// <summary>Metres to paper, round steps, and paths in SVG. Expected values: computed here by hand from the definitions.</summary>
public sealed class PaperTests
{
    // 1 : 2000 is half a millimetre a metre: 100 m east and 60 m south of the corner lie 50 mm right and 30 mm down of it.
    [Fact]
    public void Frame_PutsNorthUpAndWestLeft()
    {
        PaperFrame frame = new(west: 500_000, north: 4_000_000, left: 8, top: 12, scale: 0.5);
        Assert.Equal((8, 12), frame.At(500_000, 4_000_000));
        Assert.Equal((58, 42), frame.At(500_100, 3_999_940));
    }

    [Theory]
    [InlineData("POLYGON ((0 0, 9 0, 9 9, 0 0), (2 1, 3 1, 3 2, 2 1))", 2, 2)]
    [InlineData("LINESTRING (0 0, 1 1)", 1, 0)]
    [InlineData("LINESTRING (0 0, 1 1, 1 0, 0 0)", 1, 1)]
    [InlineData("GEOMETRYCOLLECTION (POINT (1 1), LINESTRING (0 0, 1 1), POLYGON ((0 0, 9 0, 9 9, 0 0)), MULTILINESTRING ((0 0, 1 1), (2 2, 3 3)))", 4, 1)]
    [InlineData("POLYGON EMPTY", 0, 0)]
    [InlineData("POINT (1 1)", 0, 0)]
    public void Courses_AreOutlinesHolesAndLines(string shape, int courses, int closed)
    {
        (LineString Course, bool IsClosed)[] found = [.. PaperFrame.Courses(new WKTReader().Read(shape))];
        Assert.Equal((courses, closed), (found.Length, found.Count(c => c.IsClosed)));
    }

    [Fact]
    public void Path_InSvg_HasAMoveForEveryCourse() => Assert.Equal(
        "M1 7L1.5 7M2.25 6.33L3 6",
        Svg.Path(new PaperFrame(0, 4, 1, 5, 0.5), new WKTReader().Read("MULTILINESTRING ((0 0, 1 0), (2.5 1.34, 4 2))")));

    [Theory]
    [InlineData(1, 1)]
    [InlineData(1.99, 1)]
    [InlineData(2, 2)]
    [InlineData(4.99, 2)]
    [InlineData(5, 5)]
    [InlineData(9.99, 5)]
    [InlineData(10, 10)]
    [InlineData(0.3, 0.2)]
    [InlineData(4321, 2000)]
    public void AtMost_IsTheLargestRoundStepNotAbove(double most, double step) => Assert.Equal(step, RoundStep.AtMost(most), 1e-12);

    [Theory]
    [InlineData(1.49, 1, 1)]
    [InlineData(1.5, 2, 2)]
    [InlineData(3.49, 2, 2)]
    [InlineData(3.5, 5, 5)]
    [InlineData(7.49, 5, 5)]
    [InlineData(7.5, 10, 5)]
    [InlineData(0.08, 0.1, 0.05)]
    public void Near_IsTheNearestRoundStep(double length, double step, double held)
    {
        Assert.Equal(step, RoundStep.Near(length), 1e-12);
        Assert.Equal(held, RoundStep.Near(length, upToNext: false), 1e-12);
    }
}
