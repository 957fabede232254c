using System.Numerics;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Drainage;

/// <summary>Every vector row against its scalar twin, over lengths 0 to 256, with ties and missing heights. CI runs these again
/// with DOTNET_EnableHWIntrinsic=0, where both are scalar.</summary>
public sealed class VectorRowTests
{
    public static TheoryData<int> Lengths => [.. Enumerable.Range(0, 257)];

    private static float[] Heights(int count, int row, ulong seed) => [.. Enumerable.Range(0, count).Select(i =>
    {
        double u = Noise.At(row, i, seed);
        return u > 0.9 ? float.NaN : (float)Math.Round(4 * u, seed % 2 == 0 ? 0 : 3);
    })];

    [Theory]
    [MemberData(nameof(Lengths))]
    public void LowerNeighbours_VectorRow_MatchesScalar(int length)
    {
        for (ulong seed = 1; seed <= 4; seed++)
        {
            (float[] north, float[] here, float[] south) = (Heights(length + 2, 0, seed), Heights(length + 2, 1, seed), Heights(length + 2, 2, seed));
            byte[] row = new byte[length];
            NeighbourRows.OfRow<LowerNeighbours>(north, here, south, row);
            for (int c = 0; c < length; c++)
            {
                Assert.Equal(LowerNeighbours.OfCell(north.AsSpan(c, 3), here.AsSpan(c, 3), south.AsSpan(c, 3)), row[c]);
            }
        }
    }

    [Theory]
    [MemberData(nameof(Lengths))]
    public void SteepestDrop_VectorRow_MatchesScalar(int length)
    {
        for (ulong seed = 1; seed <= 4; seed++)
        {
            (float[] north, float[] here, float[] south) = (Heights(length + 2, 0, seed), Heights(length + 2, 1, seed), Heights(length + 2, 2, seed));
            byte[] row = new byte[length];
            NeighbourRows.OfRow<SteepestDrop>(north, here, south, row);
            for (int c = 0; c < length; c++)
            {
                Assert.Equal(SteepestDrop.OfCell(north.AsSpan(c, 3), here.AsSpan(c, 3), south.AsSpan(c, 3)), row[c]);
            }
        }
    }

    [Theory]
    [MemberData(nameof(Lengths))]
    public void DonorCounts_VectorRow_CountsWhoPointsHere(int length)
    {
        byte[][] rows = [.. Enumerable.Range(0, 3).Select(r => Enumerable.Range(0, length + 2)
            .Select(i => (int)((Noise.At(r, i, 7) + 1) * 4.5)).Select(code => code == 8 ? D8Directions.NoFlow : (byte)code).ToArray())];
        byte[] donors = new byte[length];
        DonorCounts.OfRow(rows[0], rows[1], rows[2], donors);
        for (int c = 0; c < length; c++)
        {
            int count = 0;
            for (int r = 0; r < 3; r++)
            {
                for (int k = 0; k < 3; k++)
                {
                    byte code = rows[r][c + k];
                    count += code < 8 && Neighbours.RowStep(code) == 1 - r && Neighbours.ColumnStep(code) == 1 - k ? 1 : 0;
                }
            }

            Assert.Equal(count, donors[c] & DonorCounts.Count);
            Assert.Equal(rows[1][c + 1] == D8Directions.NoFlow, (donors[c] & DonorCounts.Ends) != 0);
        }
    }

    [Theory]
    [MemberData(nameof(Lengths))]
    public void HaveFlow_VectorRow_MatchesScalar(int length)
    {
        byte[] codes = [.. Enumerable.Range(0, length).Select(i => Noise.At(0, i, 3) > 0.5 ? D8Directions.NoFlow : (byte)(i % 8))];
        bool[] flows = new bool[length];
        DonorCounts.HaveFlow(codes, flows);
        Assert.Equal(codes.Select(code => code != D8Directions.NoFlow), flows);
    }

    [Theory]
    [MemberData(nameof(Lengths))]
    public void Finish_VectorRow_MatchesScalar(int length)
    {
        double[] cells = [.. Enumerable.Range(0, length).Select(i => (double)(i * i))];
        bool[] ground = [.. Enumerable.Range(0, length).Select(i => Noise.At(1, i / 3, 3) < 0.4)];
        double[] expected = [.. cells.Zip(ground, (n, has) => has ? n * 6.25 : double.NaN)];
        D8Accumulation.Finish(cells, ground, 6.25);
        Assert.Equal(expected, cells);
    }

    // Over all 256 sets the runs are counted by walking the ring of neighbours that touch.
    [Fact]
    public void PitsAndSaddles_EverySet_AgreesWithTheNeighboursThatTouch()
    {
        byte[] sets = [.. Enumerable.Range(0, 256).Select(i => (byte)i)];
        for (int block = 0; block < 256; block += 32)
        {
            uint marks = LowerNeighbours.PitsAndSaddles(sets.AsSpan(block, 32));
            for (int i = 0; i < 32; i++)
            {
                int runs = Pieces(block + i);

                // With all four sides lower the run closes on itself and has no start.
                bool closed = ((block + i) & 0b0101_0101) == 0b0101_0101;
                Assert.Equal(runs, BitOperations.PopCount((uint)LowerNeighbours.RunStarts(block + i)) + (closed ? 1 : 0));
                Assert.Equal(runs != 1, (marks & (1u << i)) != 0);
                Assert.Equal(0, LowerNeighbours.RunStarts(block + i) & ~(block + i));
            }
        }
    }

    private static int Pieces(int set)
    {
        int[] piece = [.. Enumerable.Range(0, 8)];
        for (int round = 0; round < 8; round++)
        {
            for (int a = 0; a < 8; a++)
            {
                for (int b = 0; b < 8; b++)
                {
                    int rows = Math.Abs(Neighbours.RowStep(a) - Neighbours.RowStep(b));
                    int columns = Math.Abs(Neighbours.ColumnStep(a) - Neighbours.ColumnStep(b));
                    if ((set >> a & 1) == 1 && (set >> b & 1) == 1 && Math.Max(rows, columns) == 1)
                    {
                        piece[a] = piece[b] = Math.Min(piece[a], piece[b]);
                    }
                }
            }
        }

        return Enumerable.Range(0, 8).Where(k => (set >> k & 1) == 1).Select(k => piece[k]).Distinct().Count();
    }
}
