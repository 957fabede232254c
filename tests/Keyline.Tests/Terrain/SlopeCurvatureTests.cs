using Keyline.Elevation;
using Keyline.Terrain;
using Keyline.Tests.Support;

namespace Keyline.Tests.Terrain;

/// <summary>Slope, aspect and curvature on windows and surfaces whose answers are known in closed form.</summary>
public sealed class SlopeCurvatureTests
{
    private static readonly SlopeMethod[] Methods = [SlopeMethod.Horn, SlopeMethod.ZevenbergenThorne];

    private static double Degrees(double percent) => Math.Atan(percent / 100) * 180 / Math.PI;

    private static CellWindow Window(Func<double, double, double> z, double x, double y, double cell) => new(
        z(x - cell, y + cell), z(x, y + cell), z(x + cell, y + cell),
        z(x - cell, y), z(x, y), z(x + cell, y),
        z(x - cell, y - cell), z(x, y - cell), z(x + cell, y - cell));

    // S-3: a made window; computed here by B. K. P. Horn, Hill shading and the reflectance map, Proceedings of the IEEE 69(1), 1981,
    // 14-47: rises of .3875 eastward and -.1625 northward.
    [Fact]
    public void Horn_MadeWindow_GivesItsSlopeAndAspect()
    {
        ElevationGrid ground = Surfaces.Listed(3, 3, 10, 42, 45, 47, 40, 44, 49, 44, 48, 52);
        Assert.Equal(22.791825, Degrees(Slope.Percent(ground)[1, 1]), 5);
        Assert.Equal(292.750976, Aspect.Degrees(ground)[1, 1], 4);
    }

    // S-4: a plane is exact for every method, at edges and beside holes too, in one row and in one column.
    [Theory]
    [InlineData(7, 9)]
    [InlineData(1, 6)]
    [InlineData(6, 1)]
    public void Plane_AnyCell_IsExact(int rows, int columns)
    {
        ElevationGrid whole = Surfaces.Make(rows, columns, 2, Surfaces.Plane(100, 0.125, -0.25));
        ElevationGrid ground = rows * columns < 9 ? whole : Surfaces.Changed(whole, (r, c, z) => (r, c) is (3, 4) or (4, 6) ? float.NaN : z);
        double east = columns == 1 ? 0 : 0.125;
        double north = rows == 1 ? 0 : -0.25;
        double azimuth = ((Math.Atan2(-east, -north) * 180 / Math.PI) + 360) % 360;
        foreach (SlopeMethod method in Methods)
        {
            Grid<float> slope = Slope.Percent(ground, method);
            Grid<float> aspect = Aspect.Degrees(ground, method);
            for (int i = 0; i < ground.Heights.Length; i++)
            {
                bool missing = float.IsNaN(ground.Heights[i]);
                Assert.Equal(missing ? double.NaN : 100 * Math.Sqrt((east * east) + (north * north)), slope.Values[i], 5);
                Assert.Equal(missing ? double.NaN : azimuth, aspect.Values[i], 4);
            }
        }
    }

    [Fact]
    public void Plane_Inside_HasNoCurvatureAndEdgesHaveNone()
    {
        ElevationGrid ground = Surfaces.Make(5, 5, 2, Surfaces.Plane(100, 0.125, -0.25));
        foreach (Grid<float> bend in new[] { Curvature.Profile(ground), Curvature.Plan(ground), Curvature.Contour(ground), Curvature.Mean(ground) })
        {
            Assert.Equal(0, bend[2, 2]);
            Assert.Equal(float.NaN, bend[0, 2]);
        }
    }

    [Theory]
    [InlineData(0, 1, 180)]
    [InlineData(0, -1, 0)]
    [InlineData(1, 0, 270)]
    [InlineData(-1, 0, 90)]
    [InlineData(-1, -1, 45)]
    public void Aspect_PlaneTowardAQuarter_PointsDownhill(double east, double north, double expected) =>
        Assert.Equal(expected, Aspect.Degrees(Surfaces.Make(3, 3, 1, Surfaces.Plane(0, east, north)))[1, 1], 4);

    [Fact]
    public void LevelGround_HasNoAspectAndNoSlope()
    {
        ElevationGrid ground = Surfaces.Make(3, 3, 1, Surfaces.Plane(7, 0, 0));
        Assert.Equal(0, Slope.Percent(ground)[1, 1]);
        Assert.Equal(float.NaN, Aspect.Degrees(ground)[1, 1]);
        Assert.Equal(float.NaN, Curvature.Contour(ground)[1, 1]);
        Assert.Equal(0, Curvature.Mean(ground)[1, 1]);
    }

    // S-5: closed forms of Florinsky 2016, ch. 2, on a quadratic surface, which Evans's fit meets exactly. The published
    // heights (99.15 99.4 100.05 / 99.9 100 100.5 / 100.45 100.4 100.75 on cells of 10 m) are taken from 100 and the whole is
    // drawn 20 times as large, so that they are whole numbers; bends are then 20 times as gentle.
    [Theory]
    [InlineData(CurvatureKind.Profile, 0.00172648158)]
    [InlineData(CurvatureKind.Plan, -0.00372896026)]
    [InlineData(CurvatureKind.Contour, -0.06405976563)]
    [InlineData(CurvatureKind.Mean, -0.00100123934)]
    [InlineData(CurvatureKind.Minimum, -0.00434535867)]
    [InlineData(CurvatureKind.Maximum, 0.00234287999)]
    public void Measure_Quadratic_MeetsTheClosedForms(CurvatureKind kind, double expected)
    {
        ElevationGrid ground = Surfaces.Listed(3, 3, 200, -17, -12, 1, -2, 0, 10, 9, 8, 15);
        float bend = Curvature.Measure(ground, [kind])[0][1, 1];
        Assert.InRange((20 * bend) - expected, -1e-7 * Math.Abs(expected), 1e-7 * Math.Abs(expected));
    }

    // S-6: the same window with the four nearest neighbours, G = .03 and H = -.05 (Zevenbergen and Thorne 1987).
    [Fact]
    public void Quadratic_FourNeighbours_GiveTheExactGradient()
    {
        CellWindow w = new(99.15, 99.4, 100.05, 99.9, 100, 100.5, 100.45, 100.4, 100.75);
        (double east, double north) = w.Rise(SlopeMethod.ZevenbergenThorne);
        Assert.Equal(0.03, east / 10, 12);
        Assert.Equal(-0.05, north / 10, 12);
        ElevationGrid ground = Surfaces.Listed(3, 3, 10, 99.15f, 99.4f, 100.05f, 99.9f, 100, 100.5f, 100.45f, 100.4f, 100.75f);
        Assert.Equal(3.337110705, Degrees(Slope.Percent(ground, SlopeMethod.ZevenbergenThorne)[1, 1]), 4);
        Assert.Equal(329.036243468, Aspect.Degrees(ground, SlopeMethod.ZevenbergenThorne)[1, 1], 2);
    }

    // S-7: a dome of radius 100 at (30, -20): every section bends by .01, the contour by 1 over its own radius. The fit's own
    // published values are met to what single precision leaves of the heights.
    [Fact]
    public void Measure_Sphere_IsCloseToTheTruth()
    {
        Func<double, double, double> dome = Surfaces.Sphere(100);
        ElevationGrid ground = Surfaces.Make(3, 3, 1, (x, y) => dome(x + 30, y - 20) - dome(30, -20));
        IReadOnlyList<Grid<float>> bends = Curvature.Measure(ground, [CurvatureKind.Profile, CurvatureKind.Plan, CurvatureKind.Contour]);
        Assert.Equal(0.0100006888, bends[0][1, 1], 7);
        Assert.Equal(0.0100005990, bends[1][1, 1], 7);
        Assert.Equal(0.0277340639, bends[2][1, 1], 7);
        Assert.InRange(bends[0][1, 1], 0.01 - 2e-6, 0.01 + 2e-6);
        Assert.InRange(bends[2][1, 1], 0.02773501 - 2e-6, 0.02773501 + 2e-6);
    }

    // D-13: on the axis of the trough z = .002 x^2 - .05 y the contour's radius is 12.5 m, and it bends as a valley.
    [Fact]
    public void Contour_TroughAndItsMirror_HaveOppositeSigns()
    {
        Assert.Equal(-0.08, Curvature.Contour(Surfaces.Make(5, 5, 1, Surfaces.Trough(0.002, 0.05)))[2, 2], 4);
        Assert.Equal(0.08, Curvature.Contour(Surfaces.Make(5, 5, 1, Surfaces.Trough(-0.002, 0.05)))[2, 2], 4);
    }

    [Fact]
    public void Curvature_BesideAMissingCell_IsMissing()
    {
        ElevationGrid ground = Surfaces.Changed(Surfaces.Make(7, 7, 1, Surfaces.Trough(0.002, 0.05)), (r, c, z) => r == 2 && c == 2 ? float.NaN : z);
        Assert.Equal(float.NaN, Curvature.Mean(ground)[3, 3]);
        Assert.False(float.IsNaN(Curvature.Mean(ground)[4, 4]));
    }

    [Fact]
    public void Slope_NoSuchMethod_IsRefused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Slope.Percent(Surfaces.Listed(1, 1, 1, 0), (SlopeMethod)9));
}
