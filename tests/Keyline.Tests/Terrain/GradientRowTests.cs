using Keyline.Elevation;
using Keyline.Terrain;
using Keyline.Tests.Support;

namespace Keyline.Tests.Terrain;

/// <summary>Vector rows against their scalar twins over lengths 0 to 256, and both against double arithmetic.</summary>
public sealed class GradientRowTests
{
    public static TheoryData<int> Lengths => [.. Enumerable.Range(0, 257)];

    private static float[] Heights(int count, int row, ulong seed) => [.. Enumerable.Range(0, count).Select(i =>
    {
        double u = Noise.At(row, i, seed);
        return u > 0.95 ? float.NaN : seed % 2 == 0 ? 1500 + (float)Math.Round(2 * u) : 800 + (float)(40 * u);
    })];

    private static void Check<TMeasure>(int length, SlopeMethod method, TMeasure measure)
        where TMeasure : struct, IGradientMeasure
    {
        for (ulong seed = 1; seed <= 4; seed++)
        {
            (float[] north, float[] here, float[] south) = (Heights(length + 2, 0, seed), Heights(length + 2, 1, seed), Heights(length + 2, 2, seed));
            float[] row = new float[length];
            GradientRows.Row(north, here, south, method, measure, row);
            for (int c = 0; c < length; c++)
            {
                float one = GradientRows.One(north.AsSpan(c, 3), here.AsSpan(c, 3), south.AsSpan(c, 3), method, measure);
                Assert.Equal(float.IsNaN(one), float.IsNaN(row[c]));
                Assert.True(float.IsNaN(one) || BitConverter.SingleToInt32Bits(one) == BitConverter.SingleToInt32Bits(row[c]));
            }
        }
    }

    [Theory]
    [MemberData(nameof(Lengths))]
    public void Row_EveryMeasure_MatchesScalar(int length)
    {
        foreach (SlopeMethod method in new[] { SlopeMethod.Horn, SlopeMethod.ZevenbergenThorne })
        {
            Check(length, method, new Slope.PercentMeasure(50));
            Check(length, method, default(Aspect.AzimuthMeasure));
            Check(length, method, new Hillshade.LightMeasure(0.7071f, -0.5f, 0.5f, 0.5f));
        }
    }

    [Theory]
    [InlineData(SlopeMethod.Horn)]
    [InlineData(SlopeMethod.ZevenbergenThorne)]
    public void Maps_RoughHighGround_AgreeWithDoubleArithmetic(SlopeMethod method)
    {
        ElevationGrid ground = Surfaces.Changed(
            Surfaces.Make(70, 91, 2, (x, y) => 2300 + (8 * Math.Sin(x / 17)) + (5 * Math.Cos(y / 11))),
            (r, c, z) => Noise.At(r / 3, c / 3, 4) > 0.9 ? float.NaN : z + (0.05f * (float)Noise.At(r, c, 11)));
        Grid<float> percent = Slope.Percent(ground, method);
        Grid<float> degrees = Aspect.Degrees(ground, method);
        int holes = 0;
        for (int r = 0; r < 70; r++)
        {
            for (int c = 0; c < 91; c++)
            {
                if (float.IsNaN(ground[r, c]))
                {
                    holes++;
                    Assert.True(float.IsNaN(percent[r, c]) && float.IsNaN(degrees[r, c]));
                    continue;
                }

                (double east, double north) = CellWindow.Read(ground, r, c).Rise(method);
                double steep = 100 * Math.Sqrt((east * east) + (north * north)) / 2;
                Assert.InRange(percent[r, c] - steep, -4e-7 * steep, 4e-7 * steep);
                if (steep > 0)
                {
                    double azimuth = Math.Atan2(-east, -north) * 180 / Math.PI;
                    Assert.InRange(Math.IEEERemainder(degrees[r, c] - azimuth, 360), -6e-5, 6e-5);
                    Assert.InRange(degrees[r, c], 0, 359.99999f);
                }
            }
        }

        Assert.True(holes > 100);
    }

    [Theory]
    [InlineData(1, 1)]
    [InlineData(1, 40)]
    [InlineData(40, 1)]
    [InlineData(2, 2)]
    [InlineData(40, 2)]
    public void Maps_NarrowGrids_OfAPlane_AreRight(int rows, int columns)
    {
        ElevationGrid plane = Surfaces.Make(rows, columns, 2, Surfaces.Plane(100, 0.25, 0.5));
        double east = columns > 1 ? 0.25 : 0;
        double north = rows > 1 ? 0.5 : 0;
        Assert.All(Slope.Percent(plane).Values.ToArray(), s => Assert.Equal(100 * Math.Sqrt((east * east) + (north * north)), s, 3));
        Assert.All(Slope.Percent(Surfaces.Make(rows, columns, 2, (_, _) => double.NaN)).Values.ToArray(), s => Assert.True(float.IsNaN(s)));
        Assert.All(Aspect.Degrees(Surfaces.Make(rows, columns, 2, (_, _) => 4)).Values.ToArray(), a => Assert.True(float.IsNaN(a)));
        Assert.All(Slope.Percent(Surfaces.Make(rows, columns, 2, (_, _) => 4)).Values.ToArray(), s => Assert.Equal(0, s));
    }

    [Fact]
    public void Maps_Cancelled_Stop()
    {
        ElevationGrid ground = Surfaces.Make(300, 300, 1, Surfaces.Cone(100, 0.1));
        CancellationToken stopped = new(true);
        Assert.ThrowsAny<OperationCanceledException>(() => Slope.Percent(ground, cancellationToken: stopped));
        Assert.ThrowsAny<OperationCanceledException>(() => Aspect.Degrees(ground, cancellationToken: stopped));
        Assert.ThrowsAny<OperationCanceledException>(() => Hillshade.Compute(ground, cancellationToken: stopped));
    }
}
