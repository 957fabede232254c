using Keyline.Fieldwork;

namespace Keyline.Fieldwork.Tests;

/// <summary>Trials drawn from a known truth, thousands of them: whether intervals hold it and power is as promised.</summary>
public sealed class SimulatedTrialTests
{
    private const int Trials = 5000;
    private const double BlockSpread = 0.6;
    private const double PlotSpread = 0.3;

    // One trial of pairs of plots: log values of every ring. Blocks differ, plots in a block differ, rings in a plot differ.
    private static (double[] Differences, double[] Control, double[] Ripped) Draw(SeededDraws draws, int blocks, int rings, double effect)
    {
        double ringSpread = TrialPower.LogSpread(1);
        double[] control = new double[blocks * rings], ripped = new double[blocks * rings], differences = new double[blocks];
        for (int b = 0; b < blocks; b++)
        {
            double block = BlockSpread * draws.Bell(), c = block + (PlotSpread * draws.Bell()), r = block + effect + (PlotSpread * draws.Bell());
            for (int i = 0; i < rings; i++)
            {
                control[(b * rings) + i] = c + (ringSpread * draws.Bell());
                ripped[(b * rings) + i] = r + (ringSpread * draws.Bell());
            }

            differences[b] = ripped.Skip(b * rings).Take(rings).Average() - control.Skip(b * rings).Take(rings).Average();
        }

        return (differences, control, ripped);
    }

    private static double SpreadOfDifferences(int rings) => Math.Sqrt(2 * ((PlotSpread * PlotSpread) + (Math.Pow(TrialPower.LogSpread(1), 2) / rings)));

    [Theory]
    [InlineData(3, 5, 11)]
    [InlineData(4, 5, 12)]
    [InlineData(8, 3, 13)]
    public void Intervals_OfBlocks_HoldTheirLevel(int blocks, int rings, int seed)
    {
        SeededDraws draws = new((ulong)seed);
        double truth = Math.Log(2);
        int held95 = 0, held90 = 0;
        for (int i = 0; i < Trials; i++)
        {
            Estimate e = MeanDifference.OfBlocks(Draw(draws, blocks, rings, truth).Differences);
            held95 += e.Between(0.95) is var (low, high) && low <= truth && truth <= high ? 1 : 0;
            held90 += e.Between(0.90) is var (low9, high9) && low9 <= truth && truth <= high9 ? 1 : 0;
        }

        Assert.InRange(held95 / (double)Trials, 0.94, 0.96);
        Assert.InRange(held90 / (double)Trials, 0.89, 0.91);
    }

    [Fact]
    public void Power_IsAsPromised()
    {
        SeededDraws draws = new(21);
        double promised = TrialPower.Blocks(6, Math.Log(2), SpreadOfDifferences(5));
        int found = Enumerable.Range(0, Trials).Count(_ => MeanDifference.OfBlocks(Draw(draws, 6, 5, Math.Log(2)).Differences).P < 0.05);
        Assert.InRange(promised, 0.5, 0.9);
        Assert.Equal(promised, found / (double)Trials, 0.02);
    }

    // Hurlbert 1984, "Pseudoreplication and the design of ecological field experiments": rings taken as replicates claim too much.
    [Fact]
    public void Rings_TakenAsReplicates_ClaimWhatIsNotThere()
    {
        SeededDraws draws = new(31);
        int blocks = 0, rings = 0, flips = 0;
        for (int i = 0; i < Trials; i++)
        {
            (double[] differences, double[] control, double[] ripped) = Draw(draws, 6, 10, 0);
            blocks += MeanDifference.OfBlocks(differences).P < 0.05 ? 1 : 0;
            flips += Randomisation.SignFlips(differences).P < 0.05 ? 1 : 0;

            // The blocks' differences taken off, as the naive analysis with blocks would; its error is that of rings.
            double[] centred = [.. control.Concat(ripped)];
            for (int b = 0; b < 6; b++)
            {
                double mean = control.Skip(b * 10).Take(10).Concat(ripped.Skip(b * 10).Take(10)).Average();
                for (int k = 0; k < 10; k++)
                {
                    centred[(b * 10) + k] -= mean;
                    centred[60 + (b * 10) + k] -= mean;
                }
            }

            rings += MeanDifference.Pooled(centred[..60], centred[60..]).P < 0.05 ? 1 : 0;
        }

        Assert.InRange(blocks / (double)Trials, 0.04, 0.06);
        Assert.InRange(flips / (double)Trials, 0.01, 0.06);
        Assert.InRange(rings / (double)Trials, 0.12, 0.4);
    }

    [Fact]
    public void MixedModel_OfRepeatedVisits_KeepsItsLevel()
    {
        SeededDraws draws = new(41);
        const int Models = 250;
        int held = 0;
        for (int i = 0; i < Models; i++)
        {
            List<double> y = [];
            List<string> block = [], plot = [], treatment = [], visit = [];
            for (int b = 0; b < 5; b++)
            {
                double own = BlockSpread * draws.Bell();
                for (int t = 0; t < 2; t++)
                {
                    double p = own + (PlotSpread * draws.Bell()) + (0.5 * t);
                    for (int v = 0; v < 3; v++)
                    {
                        y.Add(p + (0.3 * draws.Bell()));
                        block.Add("b" + b);
                        plot.Add($"b{b}p{t}");
                        treatment.Add("t" + t);
                        visit.Add("v" + v);
                    }
                }
            }

            Estimate e = MixedFit.Of(y, [ModelTerm.Factor("treatment", treatment), ModelTerm.Factor("visit", visit)], [block, plot]).Estimates["treatment t1"];
            held += e.Between(0.95) is var (low, high) && low <= 0.5 && 0.5 <= high ? 1 : 0;
        }

        // 250 draws of a share of 0.95 lie within 0.91 and 0.98 nine hundred and ninety-nine times in a thousand.
        Assert.InRange(held / (double)Models, 0.90, 0.99);
    }
}
