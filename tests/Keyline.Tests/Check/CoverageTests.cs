using System.Diagnostics;
using Keyline.Check;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Check;

/// <summary>Coverage against areas worked out by hand and by the overlay of a reference library.</summary>
public sealed class CoverageTests
{
    private static double Share(Geometry area, double spacing, params LineString[] lines) =>
        Coverage.Share([.. lines.Select((l, i) => new CheckedLine("L" + i, "", l))], area, spacing, TestContext.Current.CancellationToken);

    // A line at a slant along a box covers half a spacing and 5 % of it on either side: 2 x 0.525 x 6 m of a box 30 m wide.
    [Fact]
    public void OneLine_CoversHalfASpacingAndFivePercentOnEitherSide() =>
        Assert.Equal(2 * 0.525 * 6 * Math.Sqrt((14.0 * 14) + (220 * 220)) / 220 / 30, Share(FieldGround.Box(0, 0, 200, 30), 6, FieldGround.Line((-10, 8), (210, 22))), 0.004);

    [Fact]
    public void AnyAreaAndLines_AreCoveredAsTheOverlayHasIt()
    {
        Geometry area = FieldGround.Box(0, 0, 100, 80)
            .Difference(FieldGround.Factory.CreatePoint(new Coordinate(40, 40)).Buffer(12))
            .Union(FieldGround.Box(120, 10, 150, 60));
        LineString[] lines = [FieldGround.Line((5, 5), (90, 70)), FieldGround.Line((10, 70), (140, 20)), FieldGround.Line((125, 0), (130, 80))];
        Geometry near = FieldGround.Factory.CreateGeometryCollection([.. lines]).Buffer(0.525 * 6, 32);
        Assert.Equal(near.Intersection(area).Area / area.Area, Share(area, 6, lines), 0.005);
    }

    [Fact]
    public void PiecesFarApart_CostNoMoreThanPiecesSideBySide()
    {
        LineString[] lines = [.. Enumerable.Range(0, 60).Select(i => FieldGround.Line((0, 3 * i), (200, 3 * i)))];
        Geometry Pair(double apart) => FieldGround.Factory.CreateMultiPolygon([FieldGround.Box(0, 0, 200, 200), FieldGround.Box(apart, apart, apart + 200, apart + 200)]);
        double near = Seconds(Pair(210));
        double far = Seconds(Pair(5000));
        Assert.True(far < (4 * near) + 0.25, FormattableString.Invariant($"{near} s side by side, {far} s far apart"));
        double Seconds(Geometry area)
        {
            double[] seconds = new double[5];
            for (int k = 0; k < seconds.Length; k++)
            {
                Stopwatch watch = Stopwatch.StartNew();
                Share(area, 3, lines);
                seconds[k] = watch.Elapsed.TotalSeconds;
            }

            return seconds.Order().ElementAt(2);
        }
    }
}
