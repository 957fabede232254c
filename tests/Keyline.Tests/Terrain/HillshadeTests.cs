using Keyline.Elevation;
using Keyline.Terrain;
using Keyline.Tests.Support;

namespace Keyline.Tests.Terrain;

/// <summary>Relief against Lambert's cosine law.</summary>
public sealed class HillshadeTests
{
    [Theory]
    [InlineData(45)]
    [InlineData(30)]
    public void Compute_LevelGround_IsTheSineOfTheSunsAltitude(double altitude) =>
        Assert.Equal(Math.Sin(altitude * Math.PI / 180), Hillshade.Compute(Surfaces.Make(3, 3, 1, Surfaces.Plane(5, 0, 0)), 315, altitude)[0, 0], 6);

    // A plane that falls east at 45 degrees faces an eastern sun at 45 degrees squarely and lies level with a western one.
    [Theory]
    [InlineData(90, 1)]
    [InlineData(270, 0)]
    [InlineData(0, 0.5)]
    public void Compute_PlaneFallingEast_FollowsTheCosineLaw(double azimuth, double expected)
    {
        ElevationGrid plane = Surfaces.Make(4, 5, 2, Surfaces.Plane(0, -1, 0));
        Assert.All(Hillshade.Compute(plane, azimuth).Values.ToArray(), shade => Assert.Equal(expected, shade, 6));
        ElevationGrid half = Surfaces.Make(4, 5, 2, Surfaces.Plane(0, -0.5, 0));
        Assert.Equal(expected, Hillshade.Compute(half, azimuth, 45, 2)[2, 2], 6);
    }

    [Fact]
    public void Compute_MissingCell_StaysMissingAlone()
    {
        ElevationGrid ground = Surfaces.Changed(Surfaces.Make(5, 5, 1, Surfaces.Plane(0, -0.5, 0.25)), (r, c, z) => r == 2 && c == 2 ? float.NaN : z);
        Assert.Equal(1, Hillshade.Compute(ground).Values.ToArray().Count(float.IsNaN));
    }

    [Theory]
    [InlineData(double.NaN, 45, 1)]
    [InlineData(0, -1, 1)]
    [InlineData(0, 91, 1)]
    [InlineData(0, 45, 0)]
    public void Compute_BadSun_IsRefused(double azimuth, double altitude, double factor) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Hillshade.Compute(Surfaces.Listed(1, 1, 1, 0), azimuth, altitude, factor));
}
