using Keyline.Elevation;
using Keyline.Terrain;
using Keyline.Tests.Drainage;

namespace Keyline.Tests.Terrain;

/// <summary>Some rows measured by themselves have the bits they have in the whole.</summary>
public sealed class TerrainRowsTests
{
    // Its first row is missing, so that the first height of the grid lies in none of the later bands.
    private static readonly ElevationGrid Ground = Surfaces(FastAgainstPlainTests.Lakes(150, 137, 8));

    private static ElevationGrid Surfaces(ElevationGrid lakes)
    {
        float[] z = lakes.Heights.ToArray();
        Array.Fill(z, float.NaN, 0, lakes.Frame.Columns);
        z[lakes.Frame.Columns] = 812.375f;
        return ElevationGrid.Copy(lakes.Frame, z);
    }

    private static void Check(Grid<float> whole, int first, int rows, Action<float[]> measure)
    {
        float[] some = new float[(rows * whole.Frame.Columns) + 3];
        some[^1] = -7;
        measure(some);
        Assert.Equal(whole.Values.Slice(first * whole.Frame.Columns, rows * whole.Frame.Columns).ToArray(), some[..^3]);
        Assert.Equal(-7, some[^1]);
    }

    [Theory]
    [InlineData(0, 150)]
    [InlineData(0, 1)]
    [InlineData(149, 1)]
    [InlineData(31, 100)]
    [InlineData(64, 64)]
    public void Rows_OfEveryMeasure_AreThoseOfTheWhole(int first, int rows)
    {
        Check(Slope.Percent(Ground), first, rows, to => Slope.Percent(Ground, first, rows, to));
        Check(Slope.Percent(Ground, SlopeMethod.ZevenbergenThorne), first, rows, to => Slope.Percent(Ground, first, rows, to, SlopeMethod.ZevenbergenThorne));
        Check(Aspect.Degrees(Ground), first, rows, to => Aspect.Degrees(Ground, first, rows, to));
        Check(Hillshade.Compute(Ground, 200, 30, 2), first, rows, to => Hillshade.Compute(Ground, first, rows, to, 200, 30, 2));
        CurvatureKind[] kinds = Enum.GetValues<CurvatureKind>();
        foreach (int window in (int[])[3, 9])
        {
            IReadOnlyList<Grid<float>> whole = Curvature.Measure(Ground, kinds, window);
            for (int k = 0; k < kinds.Length; k++)
            {
                Check(whole[k], first, rows, to =>
                {
                    float[][] all = [.. kinds.Select(_ => new float[to.Length])];
                    all[k] = to;
                    Curvature.Measure(Ground, kinds, first, rows, all, window);
                });
            }
        }
    }

    [Fact]
    public void Rows_NotThereOrWithoutRoom_AreRefused()
    {
        float[] room = new float[137 * 2];
        Assert.Throws<ArgumentOutOfRangeException>(() => Slope.Percent(Ground, -1, 2, room));
        Assert.Throws<ArgumentOutOfRangeException>(() => Slope.Percent(Ground, 149, 2, room));
        Assert.Throws<ArgumentOutOfRangeException>(() => Aspect.Degrees(Ground, 3, 0, room));
        Assert.Throws<ArgumentException>(() => Hillshade.Compute(Ground, 3, 3, room));
        Assert.Throws<ArgumentOutOfRangeException>(() => Hillshade.Compute(Ground, 3, 2, room, altitude: 91));
        Assert.Throws<ArgumentOutOfRangeException>(() => Curvature.Measure(Ground, [CurvatureKind.Mean], 3, 2, [room, room]));
        Assert.Throws<ArgumentOutOfRangeException>(() => Curvature.Measure(Ground, [CurvatureKind.Mean], 3, 2, [room], 4));
    }
}
