using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Tests.Support;

namespace Keyline.Tests.Drainage;

/// <summary>D-2: ranks worked out by hand from Strahler's 1957 rule on the directions of the teaching grid.</summary>
public sealed class StrahlerOrderTests
{
    private static Grid<byte> Ranks(double channelArea)
    {
        D8Directions directions = D8Directions.Route(D8Tests.Teaching);
        return StrahlerOrder.Compute(directions, FlowAccumulation.Compute(directions), channelArea);
    }

    [Theory]
    [InlineData(1, 3)]
    [InlineData(2, 3)]
    [InlineData(3, 2)]
    public void Compute_TeachingGrid_RanksTheOutlet(double channelArea, int expected) => Assert.Equal(expected, Ranks(channelArea)[5, 4]);

    [Fact]
    public void Compute_TeachingGridFromThreeCells_RanksEveryChannel()
    {
        byte[] expected =
        [
            0, 0, 0, 0, 0, 0,
            0, 0, 0, 1, 1, 0,
            0, 1, 1, 1, 1, 0,
            0, 0, 0, 2, 0, 0,
            0, 0, 0, 0, 2, 0,
            0, 1, 1, 1, 2, 0,
        ];
        Assert.Equal(expected, Ranks(3).Values.ToArray());
    }

    // Strahler 1957: (1,1) makes 2, (2,1) stays 2, (2,2) makes 3. Four heads in the north, two and two meet, then both.
    [Theory]
    [InlineData(5, 2, 3)]
    [InlineData(D8Directions.NoFlow, 1, 2)]
    public void Compute_Meetings_FollowTheRule(byte easternmost, int easternBranch, int outlet)
    {
        const byte No = D8Directions.NoFlow;
        D8Directions directions = D8Directions.Copy(
            new GridFrame(3, 5, 1, 0, 3),
            [3, 4, No, 4, easternmost, No, 3, No, 5, No, No, No, No, No, No]);
        Grid<byte> rank = StrahlerOrder.Compute(directions, FlowAccumulation.Compute(directions), 1);
        Assert.Equal(1, rank[0, 0]);
        Assert.Equal(2, rank[1, 1]);
        Assert.Equal(easternBranch, rank[1, 3]);
        Assert.Equal(outlet, rank[2, 2]);
    }

    [Fact]
    public void Compute_WrongCalls_AreRefused()
    {
        D8Directions directions = D8Directions.Route(D8Tests.Teaching);
        Grid<double> other = Grid.Copy<double>(new GridFrame(1, 1, 1, 0, 0), [1]);
        Assert.Throws<ArgumentException>(() => StrahlerOrder.Compute(directions, other, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => StrahlerOrder.Compute(directions, FlowAccumulation.Compute(directions), 0));
    }
}
