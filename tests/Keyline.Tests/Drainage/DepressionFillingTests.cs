using CsCheck;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Drainage;

/// <summary>
/// Filling against its definition: the least, over all ways out, of the highest height met on the way (Barnes, Lehman and
/// Mulla 2014, Priority-flood, section 2). The oracle finds it by sweeping until nothing changes, as Planchon and Darboux
/// 2001 (Catena 46, 159-176) do, which shares no step with the tested method.
/// </summary>
public sealed class DepressionFillingTests
{
    private static readonly Gen<float> Height = Gen.OneOf(
        Gen.Int[0, 3].Select(i => (float)i),
        Gen.Int[0, 60].Select(i => i / 4f),
        Gen.Frequency((6, Gen.Int[-5, 5].Select(i => (float)i)), (1, Gen.Const(float.NaN))));

    /// <summary>Small grids with flats, pits within pits, holes, and single rows, columns and cells.</summary>
    public static readonly Gen<ElevationGrid> Ground =
        Gen.Select(Gen.Int[1, 9], Gen.Int[1, 9]).SelectMany(
            size => Height.Array[size.Item1 * size.Item2].Select(z => Surfaces.Listed(size.Item1, size.Item2, 2, z)));

    private static float[] SweepUntilStill(ElevationGrid ground)
    {
        GridFrame f = ground.Frame;
        float[] w = new float[f.CellCount];
        Array.Fill(w, float.PositiveInfinity);
        bool changed = true;
        while (changed)
        {
            changed = false;
            for (int i = 0; i < w.Length; i++)
            {
                (int r, int c) = (i / f.Columns, i % f.Columns);
                float z = ground[r, c];
                float spill = float.PositiveInfinity;
                for (int dr = -1; dr <= 1; dr++)
                {
                    for (int dc = -1; dc <= 1; dc++)
                    {
                        bool off = !f.Contains(r + dr, c + dc) || float.IsNaN(ground[r + dr, c + dc]);
                        spill = Math.Min(spill, off ? float.NegativeInfinity : w[((r + dr) * f.Columns) + c + dc]);
                    }
                }

                float level = float.IsNaN(z) ? float.NaN : Math.Max(z, spill);
                changed |= !level.Equals(w[i]);
                w[i] = level;
            }
        }

        return w;
    }

    [Fact]
    public void Fill_AnyGrid_IsLowestSpillHeight() =>
        Ground.Sample(ground => Assert.Equal(SweepUntilStill(ground), DepressionFilling.Fill(ground).Heights.ToArray()), iter: 3000);

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(5)]
    public void Fill_AnyGridInTilesOfAnySide_IsLowestSpillHeight(int side) => Ground.Sample(
        ground => Assert.Equal(SweepUntilStill(ground), DepressionFilling.Fill(ground, side, CancellationToken.None).Heights.ToArray()),
        iter: 2000);

    [Fact]
    public void Fill_AnyGrid_NowhereLowerAndStillWhenFilledAgain() => Ground.Sample(
        ground =>
        {
            ElevationGrid filled = DepressionFilling.Fill(ground);
            for (int i = 0; i < ground.Heights.Length; i++)
            {
                Assert.False(filled.Heights[i] < ground.Heights[i]);
                Assert.Equal(float.IsNaN(ground.Heights[i]), float.IsNaN(filled.Heights[i]));
            }

            Assert.Equal(filled.Heights.ToArray(), DepressionFilling.Fill(filled).Heights.ToArray());
        },
        iter: 1000);

    [Fact]
    public void Fill_TurnedAndMirroredGrid_GivesTheSameGround() => Ground.Sample(
        ground =>
        {
            float[] filled = DepressionFilling.Fill(ground).Heights.ToArray();
            GridFrame f = ground.Frame;
            Array.Reverse(filled);
            float[] halfTurned = ground.Heights.ToArray();
            Array.Reverse(halfTurned);
            Assert.Equal(filled, DepressionFilling.Fill(ElevationGrid.Copy(f, halfTurned)).Heights.ToArray());

            Array.Reverse(filled);
            ElevationGrid transposed = ElevationGrid.Copy(new GridFrame(f.Columns, f.Rows, 2, 0, 0), Transpose(ground.Heights, f.Rows, f.Columns));
            Assert.Equal(Transpose(filled, f.Rows, f.Columns), DepressionFilling.Fill(transposed).Heights.ToArray());
        },
        iter: 1000);

    [Fact]
    public void Fill_AddedConstant_IsAddedToTheResult() => Ground.Sample(
        ground =>
        {
            float[] expected = Array.ConvertAll(DepressionFilling.Fill(ground).Heights.ToArray(), z => z + 512);
            ElevationGrid raised = Surfaces.Changed(ground, (_, _, z) => z + 512);
            Assert.Equal(expected, DepressionFilling.Fill(raised).Heights.ToArray());
        },
        iter: 500);

    // D-9: a 10 by 10 zero floor with a ring of height 2; computed here by the definition of filling.
    [Fact]
    public void Fill_RingOnLevelFloor_FillsToTheRing()
    {
        ElevationGrid ground = Surfaces.Changed(
            Surfaces.Make(10, 10, 1, (_, _) => 0),
            (r, c, _) => r is >= 2 and <= 7 && c is >= 2 and <= 7 && (r is 2 or 7 || c is 2 or 7) ? 2 : 0);
        ElevationGrid filled = DepressionFilling.Fill(ground);
        for (int r = 0; r < 10; r++)
        {
            for (int c = 0; c < 10; c++)
            {
                Assert.Equal(r is >= 2 and <= 7 && c is >= 2 and <= 7 ? 2 : 0, filled[r, c]);
            }
        }
    }

    [Fact]
    public void Fill_HoleInTheHollow_LetsTheWaterOut()
    {
        ElevationGrid ground = Surfaces.Listed(5, 5, 1,
            9, 9, 9, 9, 9,
            9, 1, 1, 1, 9,
            9, 1, float.NaN, 1, 9,
            9, 1, 1, 1, 9,
            9, 9, 9, 9, 9);
        Assert.Equal(ground.Heights.ToArray(), DepressionFilling.Fill(ground).Heights.ToArray());
    }

    [Fact]
    public void Fill_Cancelled_Stops()
    {
        ElevationGrid ground = Surfaces.Make(400, 400, 1, Surfaces.Cone(100, 0.1));
        Assert.Throws<OperationCanceledException>(() => DepressionFilling.Fill(ground, new CancellationToken(true)));
    }

    private static float[] Transpose(ReadOnlySpan<float> z, int rows, int columns)
    {
        float[] t = new float[z.Length];
        for (int i = 0; i < z.Length; i++)
        {
            t[(i % columns * rows) + (i / columns)] = z[i];
        }

        return t;
    }
}
