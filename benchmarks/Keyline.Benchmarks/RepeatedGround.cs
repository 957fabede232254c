using Keyline.Elevation;

namespace Keyline.Benchmarks;

/// <summary>One block of farmland over and over, mirrored so that it joins, on a slope: ground of any size, made as it is read.</summary>
internal sealed class RepeatedGround(int side) : IGridSource<float>
{
    private const int Block = 4000;
    private readonly ElevationGrid _block = MadeGround.Valleys(Math.Min(Block, side));

    public GridFrame Frame { get; } = new(side, side, 1, 0, side);

    public void Read(CellRange range, Span<float> values)
    {
        int block = _block.Frame.Rows;
        for (int i = 0; i < range.Rows; i++)
        {
            int r = range.Row + i;
            ReadOnlySpan<float> source = _block.Row((r / block % 2) == 0 ? r % block : block - 1 - (r % block));
            Span<float> row = values.Slice(i * range.Columns, range.Columns);
            for (int j = 0; j < row.Length; j++)
            {
                int c = range.Column + j;
                row[j] = source[(c / block % 2) == 0 ? c % block : block - 1 - (c % block)] - (0.05f * c) - (0.03f * r);
            }
        }
    }
}
