using Keyline.Field;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Layout;

/// <summary>Rounds in the headland: where they run, how tight they turn, and what they keep out of.</summary>
public sealed class HeadlandLinesTests
{
    private static readonly GeometryFactory Factory = GeometryFactory.Default;
    private static readonly Geometry Square = Factory.ToGeometry(new Envelope(0, 200, 0, 100));

    // Ten metres of headland, rounds 2 m apart: the innermost 9 m from the fence, then 7, 5 and 3; 1.4 m from the fence asked, so none at 1. Each is a rectangle with its corners
    // rounded at 6 m: 2 (a + b) - 8 r + 2 pi r (geometry, computed here).
    [Fact]
    public void Rounds_RunASpacingApart_WithCornersAtTheRadius()
    {
        IReadOnlyList<LineString> rounds = HeadlandLines.Of(new FieldArea(Square), 10, 2, 1.4, 6);
        double[] off = [9, 7, 5, 3];
        Assert.Equal(off.Length, rounds.Count);
        for (int k = 0; k < off.Length; k++)
        {
            Assert.True(rounds[k].IsClosed);
            Assert.Equal((2 * (200 - (2 * off[k]) + 100 - (2 * off[k]))) - 48 + (12 * Math.PI), rounds[k].Length, 0.3);
            Assert.Equal(off[k], Square.Boundary.Distance(rounds[k]), 0.06);
            Assert.True(TightestBend(rounds[k]) > 5.5, $"{TightestBend(rounds[k])}");
        }
    }

    // A yard of 40 by 20 m in the field has a headland of its own: a round 5 m and one 3 m from it, each in four sides, for nothing that turns on 6 m goes round its corners.
    [Fact]
    public void Rounds_RunAroundAYardInside()
    {
        Geometry yard = Factory.ToGeometry(new Envelope(80, 120, 40, 60));
        IReadOnlyList<LineString> rounds = HeadlandLines.Of(new FieldArea(Square.Difference(yard)), 6, 2, 1.4, 6);
        LineString[] around = [.. rounds.Where(r => r.Distance(yard) < 6)];
        Assert.Equal(2 + 8, rounds.Count);
        Assert.Equal([3.0, 3, 3, 3, 5, 5, 5, 5], around.Select(r => Math.Round(r.Distance(yard))).Order());
    }

    [Fact]
    public void Rounds_KeepOutOfWhatIsAvoided_AndOfSteepLand()
    {
        FieldArea field = new(Square, [new AvoidedArea(new Point(100, 2), 4, "trough")]);
        Geometry steep = Factory.ToGeometry(new Envelope(180, 210, 40, 70));
        IReadOnlyList<LineString> rounds = HeadlandLines.Of(field, 6, 2, 1.4, 6, steep);
        Assert.NotEmpty(rounds);
        Assert.All(rounds, r => Assert.True(r.Intersection(field.Avoided[0].KeptClear).Length < 0.01 && r.Intersection(steep).Length < 0.01));
        Assert.All(rounds, r => Assert.True(r.Length >= LayoutRevision.LeastPiece - 0.1));
    }

    // A corner of the fence that reaches into the field is gone round at the distance from the fence, which is tighter than the radius: the round stops there.
    [Fact]
    public void WhereAReentrantCornerIsTighterThanTheMachine_TheRoundIsCut()
    {
        Geometry bent = Square.Difference(Factory.ToGeometry(new Envelope(90, 210, 50, 110)));
        IReadOnlyList<LineString> rounds = HeadlandLines.Of(new FieldArea(bent), 4, 2, 1.4, 8);
        Assert.NotEmpty(rounds);
        Assert.All(rounds, r => Assert.True(TightestBend(r) > 7));
        Assert.All(rounds, r => Assert.True(bent.Boundary.Distance(r) > 2.9));
    }

    [Fact]
    public void ANarrowHeadland_GivesNone_AndWrongNumbersAreRefused()
    {
        Assert.Empty(HeadlandLines.Of(new FieldArea(Square), 2, 2, 1.4, 6));
        Assert.Empty(HeadlandLines.Of(new FieldArea(Square), 0, 2, 1.4, 6));
        Assert.Throws<ArgumentOutOfRangeException>(() => HeadlandLines.Of(new FieldArea(Square), 10, 0, 1.4, 6));
        Assert.Throws<ArgumentOutOfRangeException>(() => HeadlandLines.Of(new FieldArea(Square), -1, 2, 1.4, 6));
    }

    // The least radius of the circle through points some 3 m apart along the line.
    private static double TightestBend(LineString line)
    {
        NetTopologySuite.LinearReferencing.LengthIndexedLine along = new(line);
        double least = double.PositiveInfinity;
        for (double at = 3; at < line.Length - 3; at += 0.5)
        {
            Coordinate a = along.ExtractPoint(at - 3), b = along.ExtractPoint(at), c = along.ExtractPoint(at + 3);
            double twice = Math.Abs(((b.X - a.X) * (c.Y - a.Y)) - ((c.X - a.X) * (b.Y - a.Y)));
            least = Math.Min(least, twice < 1e-9 ? double.PositiveInfinity : a.Distance(b) * b.Distance(c) * a.Distance(c) / (2 * twice));
        }

        return least;
    }
}
