using CsCheck;
using Keyline.Elevation;
using Keyline.Terrain;
using Keyline.Tests.Support;

namespace Keyline.Tests.Terrain;

/// <summary>Turned, mirrored and raised ground has turned, mirrored and the same slopes and bends. Heights are quarters of a
/// metre, so that sums are exact and no rounding depends on the side they are taken from.</summary>
public sealed class InvarianceTests
{
    private static readonly Gen<ElevationGrid> Ground = Gen.Select(Gen.Int[1, 9], Gen.Int[1, 40]).SelectMany(
        size => Gen.Frequency((12, Gen.Int[0, 40].Select(i => i / 4f)), (1, Gen.Const(float.NaN))).Array[size.Item1 * size.Item2]
            .Select(z => Surfaces.Listed(size.Item1, size.Item2, 2, z)));

    // A quarter turn clockwise: what was west is north.
    private static float[] Turn(ReadOnlySpan<float> values, int rows, int columns)
    {
        float[] turned = new float[values.Length];
        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < columns; c++)
            {
                turned[(c * rows) + rows - 1 - r] = values[(r * columns) + c];
            }
        }

        return turned;
    }

    private static ElevationGrid Turn(ElevationGrid ground) =>
        Surfaces.Listed(ground.Frame.Columns, ground.Frame.Rows, 2, Turn(ground.Heights, ground.Frame.Rows, ground.Frame.Columns));

    private static ElevationGrid Mirror(ElevationGrid ground) =>
        Surfaces.Changed(ground, (r, c, _) => ground[r, ground.Frame.Columns - 1 - c]);

    [Fact]
    public void Slope_TurnedAndMirrored_TurnsAndMirrors() => Ground.Sample(
        ground =>
        {
            (int rows, int columns) = (ground.Frame.Rows, ground.Frame.Columns);
            foreach (SlopeMethod method in new[] { SlopeMethod.Horn, SlopeMethod.ZevenbergenThorne })
            {
                Grid<float> slope = Slope.Percent(ground, method);
                Assert.Equal(Turn(slope.Values, rows, columns), Slope.Percent(Turn(ground), method).Values.ToArray());
                Grid<float> mirrored = Slope.Percent(Mirror(ground), method);
                Grid<float> aspect = Aspect.Degrees(ground, method);
                Grid<float> turnedAspect = Aspect.Degrees(Turn(ground), method);
                for (int r = 0; r < rows; r++)
                {
                    for (int c = 0; c < columns; c++)
                    {
                        Assert.Equal(slope[r, c], mirrored[r, columns - 1 - c]);
                        float turned = turnedAspect[c, rows - 1 - r];
                        Assert.Equal(float.IsNaN(aspect[r, c]), float.IsNaN(turned));
                        Assert.True(float.IsNaN(turned) || Math.Abs(Math.IEEERemainder(aspect[r, c] + 90 - turned, 360)) < 1e-4);
                    }
                }
            }
        },
        iter: 1000);

    [Fact]
    public void Curvature_TurnedAndRaised_TurnsAndStays() => Ground.Sample(
        ground =>
        {
            CurvatureKind[] all = Enum.GetValues<CurvatureKind>();
            IReadOnlyList<Grid<float>> bends = Curvature.Measure(ground, all);
            IReadOnlyList<Grid<float>> turned = Curvature.Measure(Turn(ground), all);
            IReadOnlyList<Grid<float>> raised = Curvature.Measure(Surfaces.Changed(ground, (_, _, z) => z + 512), all);
            for (int k = 0; k < all.Length; k++)
            {
                Assert.Equal(bends[k].Values.ToArray(), raised[k].Values.ToArray());
                float[] expected = Turn(bends[k].Values, ground.Frame.Rows, ground.Frame.Columns);
                float[] found = turned[k].Values.ToArray();
                for (int i = 0; i < found.Length; i++)
                {
                    Assert.Equal(float.IsNaN(expected[i]), float.IsNaN(found[i]));
                    Assert.True(float.IsNaN(found[i]) || Math.Abs(expected[i] - found[i]) <= 1e-5 * (1 + Math.Abs(expected[i])));
                }
            }
        },
        iter: 500);

    [Fact]
    public void SlopeAndLight_Raised_Stay() => Ground.Sample(
        ground =>
        {
            ElevationGrid raised = Surfaces.Changed(ground, (_, _, z) => z + 512);
            Assert.Equal(Slope.Percent(ground).Values.ToArray(), Slope.Percent(raised).Values.ToArray());
            Assert.Equal(Aspect.Degrees(ground).Values.ToArray(), Aspect.Degrees(raised).Values.ToArray());
            Assert.Equal(Hillshade.Compute(ground).Values.ToArray(), Hillshade.Compute(raised).Values.ToArray());
        },
        iter: 500);
}
