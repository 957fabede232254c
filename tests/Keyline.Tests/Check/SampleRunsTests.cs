using CsCheck;
using Keyline.Check;

namespace Keyline.Tests.Check;

/// <summary>Runs against the same counted one by one.</summary>
public sealed class SampleRunsTests
{
    [Fact]
    public void Of_AnyKeys_CoversEachKeyOnce_InStretchesAsLongAsTheyGo() =>
        Gen.Int[0, 2].Array[0, 30].Select(Gen.Bool).Sample((keys, closed) =>
        {
            List<(int Start, int Count, int Key)> runs = SampleRuns.Of(keys, closed);
            int[] told = new int[keys.Length];
            foreach ((int start, int count, int key) in runs)
            {
                for (int i = start; i < start + count; i++)
                {
                    Assert.Equal(0, told[i % keys.Length]);
                    told[i % keys.Length] = key;
                }

                // Longest possible: what stands before and after is another key, or the line ends there.
                bool ring = count == keys.Length;
                Assert.True(ring || ((closed || start > 0) ? keys[(start + keys.Length - 1) % keys.Length] != key : start == 0));
                Assert.True(ring || ((closed || start + count < keys.Length) ? keys[(start + count) % keys.Length] != key : start + count == keys.Length));
            }

            Assert.Equal(keys, told);
        });

    [Fact]
    public void Worst_OfAPeakIsThePeak_OfAPlateauItsMiddle()
    {
        Assert.Equal(4, SampleRuns.Worst((0, 9, 1), 20, i => i == 4 ? 2 : 1));
        Assert.Equal(5, SampleRuns.Worst((1, 9, 1), 20, _ => 1));
        Assert.Equal(1, SampleRuns.Worst((17, 9, 1), 20, _ => 1));
    }
}
