using Keyline.Elevation;
using Keyline.Terrain;

namespace Keyline.Tests.Terrain;

public sealed class StreamedRowTests
{
    [Fact]
    public void Copy_IsAPlainCopy_OfEveryLengthAtEveryPlace()
    {
        float[] from = [.. Enumerable.Range(0, 300).Select(i => i % 7 == 3 ? float.NaN : i + 0.5f)];
        for (int length = 0; length <= 256; length++)
        {
            for (int offset = 0; offset < 9; offset++)
            {
                float[] to = new float[300], plain = new float[300];
                StreamedRow.Copy(from.AsSpan(5, length), to.AsSpan(offset, length));
                from.AsSpan(5, length).CopyTo(plain.AsSpan(offset));
                Assert.Equal(plain, to);
            }
        }

        Assert.Throws<ArgumentOutOfRangeException>(() => StreamedRow.Copy(from, new float[299]));
    }

    [Fact]
    public void LargeGround_IsMeasuredAsItsParts()
    {
        // Just past where rows are streamed, with holes; its windows of a few rows are below it.
        const int columns = 4099, rows = (StreamedRow.LeastCells / columns) + 2;
        Random random = new(4);
        float[] z = [.. Enumerable.Range(0, rows * columns).Select(_ => random.Next(50) == 0 ? float.NaN : random.NextSingle())];
        GridFrame frame = new(rows, columns, 2, 0, rows * 2);
        Grid<float> whole = Slope.Percent(ElevationGrid.Copy(frame, z), cancellationToken: TestContext.Current.CancellationToken);
        foreach (int top in new[] { 0, 500, rows - 40 })
        {
            Grid<float> part = Slope.Percent(ElevationGrid.Copy(new GridFrame(40, columns, 2, 0, 80), z.AsSpan(top * columns, 40 * columns)), cancellationToken: TestContext.Current.CancellationToken);
            for (int r = top == 0 ? 0 : 1; r < (top == rows - 40 ? 40 : 39); r++)
            {
                Assert.True(part.Row(r).SequenceEqual(whole.Row(top + r)) || part.Row(r).ToArray().Zip(whole.Row(top + r).ToArray()).All(p => p.First.Equals(p.Second)), $"row {top + r}");
            }
        }
    }
}
