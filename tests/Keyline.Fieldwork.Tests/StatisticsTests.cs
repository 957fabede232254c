using Keyline.Fieldwork;

namespace Keyline.Fieldwork.Tests;

/// <summary>Statistics of trials against R 4.2.2 (R Core Team 2022) on the same numbers; data sets of R's own are named beside them.</summary>
public sealed class StatisticsTests
{
    private static readonly double[] U = [12.1, 9.4, 15.2, 11.0, 13.7, 8.9];
    private static readonly double[] V = [21.5, 14.8, 30.2, 16.9, 26.4, 12.0];

    // R datasets: sleep (Student 1908, table I).
    private static readonly double[] SleepA = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2];
    private static readonly double[] SleepB = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4];

    private static void Is(Estimate e, double t, double df, double p, double low, double high, double digits = 1e-7)
    {
        Assert.Equal(t, e.T, Math.Abs(t) * digits);
        Assert.Equal(df, e.Freedom, df * digits);
        Assert.Equal(p, e.P, p * 1e-5);
        Assert.Equal(low, e.Between(0.95).Low, Math.Abs(low) * digits);
        Assert.Equal(high, e.Between(0.95).High, Math.Abs(high) * digits);
    }

    [Fact]
    public void TwoSamples() // t.test(V, U), var.equal, paired
    {
        Is(MeanDifference.Welch(U, V), 2.822750613, 6.196322692, 0.0292113069, 1.199611719, 15.967054948);
        Is(MeanDifference.Pooled(U, V), 2.822750613, 10, 0.018075235, 1.80807717, 15.35858949);
        Is(MeanDifference.Paired(U, V), 4.562240797, 5, 0.00604453305, 3.747078138, 13.419588528);
        Estimate log = MeanDifference.Welch(MeanDifference.Logs(U), MeanDifference.Logs(V));
        Assert.Equal(0.51659222834, log.Value, 1e-10);
        Assert.Equal((1.13993437900, 2.46505410912), (Math.Exp(log.Between(0.95).Low), Math.Exp(log.Between(0.95).High)), Near);
        Assert.Equal(8.12806597767, log.Freedom, 1e-9);
        Estimate pairs = MeanDifference.Paired(MeanDifference.Logs(U), MeanDifference.Logs(V));
        Assert.Equal((1.4340222139, 1.9595232890), (Math.Exp(pairs.Between(0.95).Low), Math.Exp(pairs.Between(0.95).High)), Near);
        Assert.Equal(0.0003692326727, pairs.P, 1e-12);
    }

    // R help of t.test; the fourth is a published output of R.
    [Fact]
    public void TwoSamples_AsPrintedElsewhere()
    {
        Is(MeanDifference.Welch(SleepB, SleepA), -1.8608135, 17.776474, 0.0793941, -3.3654832, 0.2054832, 3e-7);
        Assert.Equal(0.07919, MeanDifference.Pooled(SleepB, SleepA).P, 5e-6);
        Is(MeanDifference.Paired(SleepB, SleepA), -4.0621277, 9, 0.00283289, -2.4598858, -0.7001142);
        Is(MeanDifference.Welch([11, 13, 10, 13, 12, 9, 11, 12, 12, 11], [11, 9, 10, 11, 10, 12, 9, 11, 12, 9]), -1.8325417, 17.900310, 0.0835598, -2.1469104, 0.1469104, 3e-7);
        Is(MeanDifference.Welch([.. Enumerable.Range(7, 14).Select(i => (double)i)], [.. Enumerable.Range(1, 10).Select(i => (double)i)]), -5.4349298, 21.982212, 1.855282e-5, -11.0528017, -4.9471983);
    }

    // Hedges et al. 1999 (delta method); Zhou, Gao and Hui 1997: evaluated in R.
    [Fact]
    public void RatiosOfMeans()
    {
        Estimate delta = MeanDifference.LogRatioOfMeans(U, V);
        Assert.Equal((0.5496085565, 0.1652265760), (delta.Value, delta.StandardError), Near);
        Assert.Equal((0.2257704183, 0.8734466946), delta.Between(0.95), Near);
        Estimate means = MeanDifference.LogRatioOfLognormalMeans(U, V);
        Assert.Equal(1.74555678, Math.Exp(means.Value), 1e-8);
        Assert.Equal((1.24401191, 2.4493081), (Math.Exp(means.Between(0.95).Low), Math.Exp(means.Between(0.95).High)), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-6 && Math.Abs(a.Item2 - b.Item2) < 1e-6);
        Assert.Throws<ArgumentException>(() => MeanDifference.Logs([1, 0]));
    }

    [Fact]
    public void Randomised()
    {
        RandomisationResult all = Randomisation.Splits(U, V);
        Assert.Equal((924, true), (all.Arrangements, all.IsExact));
        Assert.Equal(16.0 / 924, all.P, 1e-12);
        Assert.Equal(8.0 / 924, all.POneSided, 1e-12);
        Assert.Equal(0.03125, Randomisation.SignFlips([.. U.Zip(V, (a, b) => b - a)]).P);
        Assert.Equal(0.0814479638, Randomisation.Splits(SleepA, SleepB).P, 1e-10);
        Assert.Equal(0.00390625, Randomisation.SignFlips([.. SleepA.Zip(SleepB, (a, b) => b - a)]).P);

        // Too many to look at: drawn, near the exact share, and the same for the same seed.
        double[] many = [.. Enumerable.Range(0, 30).Select(i => (i * 7 % 11) - 3.0)];
        RandomisationResult drawn = Randomisation.SignFlips(many, 5);
        Assert.False(drawn.IsExact);
        Assert.Equal(drawn, Randomisation.SignFlips(many, 5));
        Assert.Equal(MeanDifference.OfBlocks(many).P, drawn.P, 0.01);
        Assert.True(drawn.P >= drawn.LeastP);
    }

    [Fact]
    public void OnRanks()
    {
        IsRank(Ranks.Sum(U, V), 32, 0.02597402597, 7.65, 1.1, 17);
        IsRank(Ranks.Pairs([.. U.Zip(V, (a, b) => b - a)]), 21, 0.03125, 9.05, 3.1, 15);
        Assert.Equal(5.02564103, Ranks.Groups([U, V]).Statistic, 1e-8);
        Assert.Equal(0.0249746793, Ranks.Groups([U, V]).P, 1e-9);

        // R help of wilcox.test: permeability constants (Hollander and Wolfe 1973, 69f), depression scale factors (27f).
        IsRank(Ranks.Sum([1.15, 0.88, 0.90, 0.74, 1.21], [0.80, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46]), 35, 0.2544122544, 0.305, -0.15, 0.76);
        double[] before = [1.83, 0.50, 1.62, 2.48, 1.68, 1.88, 1.55, 3.06, 1.30], after = [0.878, 0.647, 0.598, 2.05, 1.06, 1.29, 1.06, 3.14, 1.29];
        IsRank(Ranks.Pairs([.. after.Zip(before, (a, b) => b - a)]), 40, 0.0390625, 0.46, 0.010, 0.786);

        static void IsRank(RankResult r, double statistic, double p, double shift, double low, double high)
        {
            Assert.Equal(statistic, r.Statistic, 1e-9);
            Assert.Equal(p, r.P, 1e-10);
            Assert.Equal(shift, r.Shift, 1e-9);
            Assert.Equal(low, r.Low, 1e-9);
            Assert.Equal(high, r.High, 1e-9);
        }
    }

    // R datasets: npk (Venables and Ripley 2002, section 6.7); summary(aov(yield ~ block + N*P*K, npk)).
    [Fact]
    public void AnalysisOfVariance_OfAFactorialInBlocks()
    {
        double[] y = [49.5, 62.8, 46.8, 57.0, 59.8, 58.5, 55.5, 56.0, 62.8, 55.8, 69.5, 55.0, 62.0, 48.8, 45.5, 44.2, 52.0, 51.5, 49.8, 48.8, 57.2, 59.0, 53.2, 56.0];
        ModelTerm F(string name, string levels) => ModelTerm.Factor(name, [.. levels.Select(c => c.ToString())]);
        ModelTerm block = ModelTerm.Factor("block", [.. Enumerable.Range(0, 24).Select(i => (i / 4).ToString(System.Globalization.CultureInfo.InvariantCulture))]);
        ModelTerm n = F("N", "010111000110110010101100"), p = F("P", "110001011100010110010110"), k = F("K", "100101100101011000111010");
        LeastSquaresFit fit = LeastSquaresFit.Of(y, block, n, p, k, n.Times(p), n.Times(k), p.Times(k), n.Times(p).Times(k));
        double[] sums = [343.295, 189.2816667, 8.4016667, 95.2016667, 21.2816667, 33.135, 0.4816667, 0];
        for (int i = 0; i < sums.Length; i++)
        {
            Assert.Equal(sums[i], fit.Rows[i].SumOfSquares, 1e-6);
        }

        Assert.Equal([5, 1, 1, 1, 1, 1, 1, 0], fit.Rows.Select(r => r.Freedom));
        Assert.Equal((185.2866667, 12), (fit.ResidualSum, fit.ResidualFreedom), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-6 && a.Item2 == b.Item2);
        Assert.Equal((12.258734, 0.0043718118), (fit.Rows[1].F, fit.Rows[1].P), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-6 && Math.Abs(a.Item2 - b.Item2) < 1e-9);
        Assert.Equal(0.0287950535, fit.Rows[3].P, 1e-9);
        Assert.Equal(0.0159387902, fit.Rows[0].P, 1e-9);
    }

    [Fact]
    public void AnalysisOfVariance_OfBlocks() // aov(y ~ block + trt); friedman.test
    {
        double[] y = [8, 21, 14, 11, 27, 17, 6, 16, 12, 9, 24, 18];
        string[] treatments = [.. Enumerable.Range(0, 12).Select(i => new[] { "C", "R3", "R6" }[i % 3])], blocks = [.. Enumerable.Range(0, 12).Select(i => "b" + (char)('1' + (i / 3)))];
        LeastSquaresFit fit = LeastSquaresFit.Of(y, ModelTerm.Factor("block", blocks), ModelTerm.Factor("trt", treatments));
        Assert.Equal([86.25, 364.5], fit.Rows.Select(r => Math.Round(r.SumOfSquares, 9)));
        Assert.Equal((15.5, 6), (Math.Round(fit.ResidualSum, 9), fit.ResidualFreedom));
        Assert.Equal(70.5483871, fit.Rows[1].F, 1e-7);
        Assert.Equal(0.000067864758, fit.Rows[1].P, 1e-12);
        Estimate r3 = fit.Estimates["trt R3"];
        Assert.Equal(13.5, r3.Value, 1e-9);
        Assert.Equal(2.78095237, (r3.Between(0.95).High - r3.Between(0.95).Low) / 2, 1e-8);

        // TukeyHSD: every pair of the three at once.
        (double low, double high) = StudentizedRange.Between(r3, 3, 0.95);
        Assert.Equal(10.01285965, low, 2e-7);
        Assert.Equal(16.98714035, high, 2e-7);
        Assert.Equal(0.000053155, StudentizedRange.P(r3, 3), 1e-7); // R's own sum stops near 1e-7
        Assert.Equal(0.002463823, StudentizedRange.P(fit.Estimates["trt R6"], 3), 1e-7);
        RankResult friedman = Ranks.Blocks([.. y.Chunk(3)]);
        Assert.Equal(8, friedman.Statistic, 1e-9);
        Assert.Equal(0.0183156389, friedman.P, 1e-9);
    }

    // Two means: Student's t. Known spread: table of H. L. Harter 1960, Annals of Mathematical Statistics 31, 1122-1147. One degree of freedom is Cauchy's.
    [Fact]
    public void StudentizedRange_AtItsEnds()
    {
        foreach (double freedom in (double[])[1, 2, 5, 12, 60, 400])
        {
            double t = Estimate.Quantile(0.975, freedom);
            Assert.Equal(0.05, StudentizedRange.Tail(t * Math.Sqrt(2), 2, freedom), freedom < 2 ? 1e-4 : 1e-8);
        }

        Assert.Equal(3.31449, StudentizedRange.Quantile(0.05, 3, double.PositiveInfinity), 1e-4);
        Assert.Equal(4.33920, StudentizedRange.Quantile(0.05, 3, 6), 1e-4);
        Assert.Equal(1, StudentizedRange.Tail(0, 4, 9), 1e-9);
        Assert.Equal(1, StudentizedRange.P(new Estimate(2, double.NaN, 5), 3));
        Assert.Equal((double.NegativeInfinity, double.PositiveInfinity), StudentizedRange.Between(new Estimate(2, double.NaN, 5), 3, 0.95));
    }

    [Fact]
    public void SeveralMeasures() // p.adjust
    {
        double[] p = [0.001, 0.008, 0.039, 0.041, 0.042, 0.06, 0.074, 0.205];
        Assert.Equal([0.008, 0.056, 0.234, 0.234, 0.234, 0.234, 0.234, 0.234], Multiplicity.Holm(p).Select(v => Math.Round(v, 12)));
        Assert.Equal([0.008, 0.032, 0.0672, 0.0672, 0.0672, 0.08, 0.084571428571, 0.205], Multiplicity.FalseDiscoveryRate(p).Select(v => Math.Round(v, 12)));
        Assert.Equal([0.008, 0.056, 0.148, 0.148, 0.148, 0.148, 0.148, 0.205], Multiplicity.Hochberg(p).Select(v => Math.Round(v, 12)));
        Assert.Equal([0.03, 0.06, 0.06, 0.02], Multiplicity.Holm([0.01, 0.04, 0.03, 0.005]).Select(v => Math.Round(v, 12)));
    }

    [Fact]
    public void Equivalent() // two t.test calls with alternative and mu = +-2
    {
        Estimate e = MeanDifference.Welch([49.8, 50.6, 48.7, 50.1, 49.9, 51.0], [50.2, 48.9, 51.1, 49.7, 50.5, 49.4]);
        Assert.Equal(0.0008208522, e.PEquivalent(-2, 2), 1e-9);
        Assert.Equal(9.9994836, e.Freedom, 1e-7);
        Assert.Equal((-0.8780476343, 0.7780476343), e.Between(0.9), Near);
        Assert.True(e.PEquivalent(-0.5, 0.5) > 0.05);
    }

    // power.t.test; the second is printed in its help page. Doubling on the log scale by the variance of a lognormal.
    [Fact]
    public void Power()
    {
        Assert.Equal(0.8689528017, TrialPower.TwoGroups(20, 1, 1), 1e-9);
        Assert.Equal(22.0210977, TrialPower.TwoGroupsFor(0.9, 1, 1), 1e-4);
        Assert.Equal(17.84712609, TrialPower.TwoGroupsFor(0.9, 1, 1, sides: 1), 1e-4);
        Assert.Equal(0.94908647, TrialPower.Blocks(15, 1, 1), 1e-8);
        Assert.Equal(0.9, TrialPower.TwoGroups(20, 1.051970169, 1), 2e-5);
        Assert.Equal(252.1281161, TrialPower.TwoGroupsFor(0.8, 0.5, 2), 0.002);
        Assert.Equal(0.9, TrialPower.Blocks(20, TrialPower.DifferenceFor(0.9, 20, 1), 1), 1e-9);
        double[] cv = [0.5, 1, 1.5, 2], singles = [8.369288, 23.646954, 39.493715, 53.562393], more = [10.817581, 31.310301, 52.533150, 71.370417], pairs = [5.837374, 13.370530, 21.255600, 28.273293];
        for (int i = 0; i < 4; i++)
        {
            double spread = TrialPower.LogSpread(cv[i]);
            Assert.Equal(singles[i], TrialPower.TwoGroupsFor(0.8, Math.Log(2), spread), 2e-5 * singles[i]);
            Assert.Equal(more[i], TrialPower.TwoGroupsFor(0.9, Math.Log(2), spread), 2e-5 * more[i]);
            Assert.Equal(pairs[i], TrialPower.BlocksFor(0.8, Math.Log(2), spread), 2e-5 * pairs[i]);
        }

        Assert.Equal(219.486142, TrialPower.TwoGroupsFor(0.8, Math.Log(1.25), TrialPower.LogSpread(1)), 0.005);
        Assert.Equal(67.158477, TrialPower.TwoGroupsFor(0.8, Math.Log(1.5), TrialPower.LogSpread(1)), 0.001);
        Assert.Equal(10.072328, TrialPower.TwoGroupsFor(0.8, Math.Log(3), TrialPower.LogSpread(1)), 0.0005);
    }

    [Fact]
    public void Decay_IsFound()
    {
        double[] times = [0.2, 1, 2, 3, 4.5];
        DecayFit fit = DecayFit.Of(times, [.. times.Select(t => 0.8 * Math.Exp(-0.45 * t))]);
        Assert.Equal((0.8, 0.45), (fit.Initial, fit.Rate), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-6 && Math.Abs(a.Item2 - b.Item2) < 1e-6);
        Assert.Equal(Math.Log(0.8 / 0.1) / 0.45, fit.GoneAt(0.1), 1e-5);
        Assert.Equal(0, DecayFit.Of(times, [0.1, 0.2, 0.3, 0.4, 0.5]).Rate);
        Assert.Equal(double.PositiveInfinity, DecayFit.Of(times, [0.5, 0.5, 0.5, 0.5, 0.5]).GoneAt(0.1));
        double[][] blocks = [.. new[] { 0.9, 1.0, 1.1, 1.05 }.Select(f => times.Select((t, i) => (f * 0.8 * Math.Exp(-0.45 * t)) + (0.02 * f * (i % 2))).ToArray())];
        (_, double gone, double low, double high) = DecayFit.OfBlocks(times, blocks, 0.1, 0.9);
        Assert.InRange(gone, low, high);
        Assert.InRange(high, gone, 3 * gone);

        // The jackknife by hand: standard error by the spread of what is left without each block, Student's t with three degrees of freedom.
        double[] left = [.. Enumerable.Range(0, 4).Select(b => Math.Log(DecayFit.Of(times, [.. times.Select((_, v) => blocks.Where((_, o) => o != b).Average(e => e[v]))]).GoneAt(0.1)))];
        double error = Math.Sqrt(0.75 * left.Sum(l => (l - left.Average()) * (l - left.Average())));
        Assert.Equal(Math.Log(gone) + (2.353363 * error), Math.Log(high), 1e-5);
        Assert.Equal(Math.Log(gone) - (2.353363 * error), Math.Log(low), 1e-5);
        Assert.Equal(double.PositiveInfinity, DecayFit.OfBlocks(times, blocks[..2], 0.1, 0.9).High);
    }

    private static bool Near((double, double) a, (double, double) b) => Math.Abs(a.Item1 - b.Item1) < 2e-9 && Math.Abs(a.Item2 - b.Item2) < 2e-9;
}
