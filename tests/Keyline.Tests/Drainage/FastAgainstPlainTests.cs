using CsCheck;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Drainage;

/// <summary>Routing and adding up against plain, slow twins.</summary>
public sealed class FastAgainstPlainTests
{
    /// <summary>Rough ground of several bands and tiles, with lakes that reach over their borders and holes.</summary>
    internal static ElevationGrid Lakes(int rows, int columns, ulong seed) => Surfaces.Changed(
        Surfaces.Make(rows, columns, 2, (x, y) => 50 + (6 * Math.Sin(x / 37)) + (5 * Math.Cos(y / 29)) + (0.01 * x)),
        (r, c, z) => Noise.At(r / 9, c / 9, seed + 1) > 0.93 ? float.NaN
            : z < 46 ? 46
            : Noise.At(r / 3, c / 3, seed + 2) > 0.5 ? MathF.Round(z)
            : z + (0.3f * (float)Noise.At(r, c, seed)));

    private static byte[] PlainRoute(ElevationGrid filled)
    {
        GridFrame f = filled.Frame;
        float[] z = filled.Heights.ToArray();
        byte[] codes = new byte[z.Length];
        for (int i = 0; i < z.Length; i++)
        {
            codes[i] = D8Directions.NoFlow;
            float steepest = 0;
            for (byte direction = 0; direction < 8 && !float.IsNaN(z[i]); direction++)
            {
                int next = Neighbours.At(f, i, direction);
                float drop = next < 0 ? float.NaN : (z[i] - z[next]) * (direction % 2 == 0 ? 1 : 0.70710678f);
                if (drop > steepest)
                {
                    (steepest, codes[i]) = (drop, direction);
                }
            }

            if (codes[i] == D8Directions.NoFlow && !float.IsNaN(z[i]) && Neighbours.WayOut(z, f, i) is >= 0 and int way)
            {
                codes[i] = (byte)way;
            }
        }

        PlainFlatDrainage.Resolve(z, f, codes, CancellationToken.None);
        return codes;
    }

    // Every cell walks down to its end and counts itself in each cell on the way.
    private static double[] PlainArea(D8Directions directions, ElevationGrid ground)
    {
        GridFrame f = directions.Frame;
        double[] area = Array.ConvertAll(ground.Heights.ToArray(), z => float.IsNaN(z) ? double.NaN : 0);
        for (int i = 0; i < area.Length; i++)
        {
            for (int at = double.IsNaN(area[i]) ? -1 : i; at >= 0;)
            {
                area[at] += f.CellArea;
                byte code = directions.Codes[at];
                at = code == D8Directions.NoFlow ? -1 : Neighbours.At(f, at, code);
                at = at >= 0 && double.IsNaN(area[at]) ? -1 : at;
            }
        }

        return area;
    }

    [Fact]
    public void Route_AnyGrid_EqualsPlain() => DepressionFillingTests.Ground.Sample(
        ground =>
        {
            Assert.Equal(PlainRoute(ground), D8Directions.Route(ground).Codes.ToArray());
            ElevationGrid filled = DepressionFilling.Fill(ground);
            Assert.Equal(PlainRoute(filled), D8Directions.Route(filled).Codes.ToArray());
        },
        iter: 2000);

    [Fact]
    public void Compute_AnyGrid_EqualsPlain() => DepressionFillingTests.Ground.Sample(
        ground =>
        {
            D8Directions directions = D8Directions.Route(DepressionFilling.Fill(ground));
            Assert.Equal(PlainArea(directions, ground), FlowAccumulation.Compute(directions).Values.ToArray());
        },
        iter: 2000);

    [Theory]
    [InlineData(300, 310, 5)]
    [InlineData(257, 90, 6)]
    [InlineData(64, 700, 7)]
    [InlineData(600, 40, 8)]
    public void Chain_LakesOverBandBorders_EqualsPlain(int rows, int columns, ulong seed)
    {
        ElevationGrid ground = Lakes(rows, columns, seed);
        ElevationGrid filled = DepressionFilling.Fill(ground);
        Assert.Equal(filled.Heights.ToArray(), DepressionFilling.Fill(ground, 1 << 20, CancellationToken.None).Heights.ToArray());
        D8Directions directions = D8Directions.Route(filled);
        Assert.Equal(PlainRoute(filled), directions.Codes.ToArray());
        Assert.Equal(PlainArea(directions, ground), FlowAccumulation.Compute(directions).Values.ToArray());

        // Unfilled, level floors without a way out keep no flow.
        Assert.Equal(PlainRoute(ground), D8Directions.Route(ground).Codes.ToArray());
    }

    [Fact]
    public void Compute_LoopOverABandBorder_IsRefusedWithItsPlace()
    {
        GridFrame frame = new(300, 3, 1, 0, 300);
        byte[] codes = new byte[900];
        Array.Fill(codes, (byte)4);
        codes[(128 * 3) + 1] = 0;
        FlowLoopException error = Assert.Throws<FlowLoopException>(() => FlowAccumulation.Compute(D8Directions.Copy(frame, codes)));
        Assert.InRange(error.Row, 127, 128);
        Assert.Equal(1, error.Column);
    }
}
