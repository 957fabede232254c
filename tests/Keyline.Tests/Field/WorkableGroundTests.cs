using Keyline.Elevation;
using Keyline.Field;
using Keyline.Layout;
using Keyline.Tests.Support;

namespace Keyline.Tests.Field;

/// <summary>What of a field can be worked, on slopes given cell by cell.</summary>
public sealed class WorkableGroundTests
{
    private static readonly GridFrame Frame = new(100, 100, 2, 0, 200);

    private static WorkableGround With(Func<double, double, double> slope) => WorkableGround.Create(
        Frame, [.. Enumerable.Range(0, 10_000).Select(i => slope(Frame.CentreX(i % 100), Frame.CentreY(i / 100)))], FieldGround.Box(10, 10, 190, 190), [], 0, 15);

    // A disc's radius for an area, in metres; the limit runs where the slope crosses it, a cone's side.
    private static double Disc(double x, double y, double area) => 15 + (Math.Sqrt(area / Math.PI) - Math.Sqrt(((x - 100) * (x - 100)) + ((y - 100) * (y - 100))));

    [Theory]
    [InlineData(300, false)]
    [InlineData(500, true)]
    [InlineData(3000, true)]
    public void ASteepPatch_IsLeftOut_FromFourHundredSquareMetres(double area, bool leftOut)
    {
        WorkableGround ground = With((x, y) => Disc(x, y, area));
        Assert.InRange(ground.Steep.Area, leftOut ? 0.95 * area : 0, leftOut ? 1.05 * area : 0);
        Assert.InRange(ground.SmallSteepArea, leftOut ? 0 : 0.95 * area, leftOut ? 0 : 1.05 * area);
        Assert.Equal((180 * 180) - ground.Steep.Area, ground.Workable.Area, 3);
    }

    [Fact]
    public void AGentlePatch_InsideSteepLand_IsLeftOutWithIt_WhereItIsSmall()
    {
        Assert.InRange(With((x, y) => 30 - Disc(x, y, 300)).Workable.Area, 0, 1);
        Assert.InRange(With((x, y) => 30 - Disc(x, y, 2000)).Workable.Area, 0.95 * 2000, 1.05 * 2000);
    }

    // A furrow is no slope of the land: a wave 8 m long keeps exp(-2 pi^2 s^2 / L^2) of its height under a Gaussian of s = 6 m, which
    // is nothing (0.00002); under 2 m it would keep 29 %, and its sides would be steeper than the limit.
    [Fact]
    public void Furrows_AreNoSlopeOfTheLand()
    {
        ElevationGrid furrowed = FieldGround.Of((x, y) => (0.05 * y) + (0.35 * Math.Sin(2 * Math.PI * x / 8)), 300, 300);
        FieldSurvey survey = FieldSurvey.Prepare(furrowed, new FieldArea(FieldGround.Box(60, 60, 240, 240)), new LayoutOptions { Spacing = 3, Headland = 0 });
        Assert.True(survey.Work.Steep.IsEmpty);
        LayoutRaster raster = survey.Rasters[0];
        int middle = (raster.Frame.Rows / 2 * raster.Frame.Columns) + (raster.Frame.Columns / 2);
        Assert.All(Enumerable.Range(middle - 10, 20), i => Assert.InRange(raster.LandSlope[i], 4.9, 5.1));
    }
}
