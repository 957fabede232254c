using Keyline.Elevation;
using Keyline.Landform;

namespace Keyline.Tests.Landform;

public sealed class LandformProgressTests
{
    private static readonly string[] Stages =
        ["shape of the ground", "drainage", "valley lines", "ridge lines", "landform position", "keypoints", "keylines"];

    [Fact]
    public void Read_EveryStage_TellsSharesThatGrowToOne()
    {
        ElevationGrid ground = MadeGround.WithBumps(MadeGround.Make(400, 400, 3, (x, y) => (0.02 * x) + (0.03 * y)), 40, 4, 3);
        Teller told = new();
        LandformReader.Read(GaussianSmoothing.Apply(ground, 6), null, told);
        Assert.Equal(Stages, told.All.Select(p => p.Stage).Distinct());
        foreach (string stage in Stages)
        {
            double[] shares = [.. told.All.Where(p => p.Stage == stage).Select(p => p.Share)];
            Assert.Equal(0, shares[0]);
            Assert.Equal(1, shares[^1]);
            Assert.Equal(shares.Order().Distinct(), shares);
            Assert.True(shares.Length >= 3, $"{stage} told {shares.Length} shares");
        }

        Assert.InRange(told.All.Count(p => p.Stage == "landform position"), 6, 102);
    }

    private sealed class Teller : IProgress<PlanProgress>
    {
        public List<PlanProgress> All { get; } = [];

        public void Report(PlanProgress value) => All.Add(value);
    }
}
