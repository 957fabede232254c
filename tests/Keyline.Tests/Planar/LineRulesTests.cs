using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Planar;

/// <summary>Lines that nothing can be measured along are refused, and no others.</summary>
public sealed class LineRulesTests
{
    private static LineString Line(params (double X, double Y)[] points) => new([.. points.Select(p => new Coordinate(p.X, p.Y))]);

    [Fact]
    public void NoPointsNoLengthNoNumber_AreRefusedInWords()
    {
        Assert.Equal("Line R3 has no points: draw it again, or leave it out.", Refusal(Line()));
        Assert.Equal("Line R3 has no length, since all its points are one and the same: draw it again, or leave it out.", Refusal(Line((4, 5), (4, 5), (4, 5))));
        Assert.Equal("Line R3 has a coordinate that is no number, at point 1 of 2: mend the line, or leave it out.", Refusal(Line((double.NaN, 0), (4, 5))));
        Assert.Equal("Line R3 has a coordinate that is no number, at point 3 of 3: mend the line, or leave it out.", Refusal(Line((0, 0), (4, 5), (4, double.PositiveInfinity))));
        Assert.Throws<ArgumentNullException>(() => LineRules.Check(null!, "Line R3"));

        static string Refusal(LineString line) => Assert.Throws<GroundDataException>(() => LineRules.Check(line, "Line R3")).Message;
    }

    [Fact]
    public void LinesWithLength_Pass()
    {
        LineRules.Check(Line((4, 5), (4, 5.001)), "a");
        LineRules.Check(Line((4, 5), (4.001, 5)), "a");
        LineRules.Check(Line((4, 5), (9, 5), (4, 5)), "a");
        LineRules.Check(new LineString([new CoordinateZ(0, 0, double.NaN), new CoordinateZ(1, 0, double.NaN)]), "a");
    }
}
