using Keyline.Elevation;
using Keyline.Field;
using Keyline.Planar;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Field;

/// <summary>A field, what of it can be worked, and how far its outlets are.</summary>
public sealed class FieldTests
{
    private static readonly GridFrame Frame = new(60, 60, 5, 0, 300);

    private static WorkableGround Work(Func<int, int, double> slope, double limit = 15)
    {
        double[] land = [.. Enumerable.Range(0, 3600).Select(i => slope(i / 60, i % 60))];
        Polygon boundary = FieldGround.Box(0, 0, 300, 300);
        return WorkableGround.Create(Frame, land, boundary, [], 0, limit);
    }

    [Fact]
    public void SteepLand_IsTakenOut()
    {
        WorkableGround work = Work((r, c) => r is >= 20 and < 40 && c is >= 20 and < 40 ? 25 : 5);
        Assert.InRange(work.Steep.Area, 9500, 10_500);
        Assert.Equal(90_000, work.Steep.Area + work.Workable.Area, 1.0);
    }

    // The outline of two blocks that meet in one cell touches itself there when that cell is exactly at the limit.
    [Theory]
    [InlineData(15.0)]
    [InlineData(15.0001)]
    [InlineData(14.9999)]
    [InlineData(25.0)]
    public void TwoBlocksJoinedByOneCell_StayWhole(double joint)
    {
        WorkableGround work = Work((r, c) => r is >= 10 and < 30 && (c is >= 10 and < 30 || c is > 30 and <= 50) ? 25 : r == 20 && c == 30 ? joint : 5);
        Assert.InRange(work.Steep.Area, 19_000, 21_000);
        Assert.Equal(90_000, work.Steep.Area + work.Workable.Area, 1.0);
        Assert.True(work.Workable.IsValid);
    }

    // Blocks side by side whose only link is one cell at the limit, with the limit all around on one side.
    [Fact]
    public void ABlockWithAHoleThatTouchesItsOutline_StaysWhole()
    {
        WorkableGround work = Work((r, c) => r == 10 && c == 20 ? 15 : r is >= 10 and < 40 && c is >= 10 and < 40 && !(r is > 10 and < 22 && c is > 14 and < 26) ? 25 : 5);
        Assert.InRange(work.Steep.Area, (900 - 121) * 25 * 0.95, (900 - 121) * 25 * 1.08);
        Assert.Equal(90_000, work.Steep.Area + work.Workable.Area, 1.0);
    }

    [Fact]
    public void SteepLandBesideMissingGround_StaysSteep()
    {
        WorkableGround work = Work((r, c) => c >= 50 ? double.NaN : c >= 30 ? 25 : 5);
        Assert.InRange(work.Steep.Area, 18 * 5 * 290, 21 * 5 * 300);
    }

    [Fact]
    public void SmallSteepPatches_AreWorkedOverAndTold()
    {
        WorkableGround work = Work((r, c) => r is >= 20 and < 23 && c is >= 20 and < 23 ? 25 : 5);
        Assert.True(work.Steep.IsEmpty);
        Assert.InRange(work.SmallSteepArea, 150, 300);
    }

    // The plain way: the distance to the whole shape.
    [Fact]
    public void OutletDistance_IsThatOfThePlainSearch()
    {
        Geometry outlets = FieldGround.Factory.CreateGeometryCollection([
            FieldGround.Line([.. Enumerable.Range(0, 200).Select(i => (i * 1.5, 100 + (20 * Math.Sin(i / 9.0))))]), FieldGround.Box(50, 200, 90, 240), FieldGround.Factory.CreatePoint(new Coordinate(250, 30))]);
        FieldArea field = new(FieldGround.Box(0, 0, 300, 300)) { Outlets = outlets };
        Random random = new(4);
        for (int i = 0; i < 300; i++)
        {
            XY p = new(random.NextDouble() * 300, random.NextDouble() * 300);
            Assert.Equal(outlets.Distance(FieldGround.Factory.CreatePoint(new Coordinate(p.X, p.Y))), field.OutletDistance(p), 1e-9);
        }

        Assert.Equal(0, field.OutletDistance(new XY(70, 220)));
        Assert.Equal(double.PositiveInfinity, new FieldArea(field.Boundary).OutletDistance(new XY(1, 1)));
    }

    [Fact]
    public void AFieldBetweenCellCentres_IsToldSo()
    {
        ElevationGrid ground = FieldGround.Of((x, _) => x, 300, 300, 30);
        GroundDataException told = Assert.Throws<GroundDataException>(() => FieldFit.Check(ground, new FieldArea(FieldGround.Box(122, 122, 133, 133)), 8));
        Assert.Contains("too coarse", told.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("one and the same height", told.Message, StringComparison.Ordinal);
    }
}
