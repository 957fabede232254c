using Keyline.Check;
using Keyline.Elevation;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Check;

/// <summary>The closed form against errors drawn by lot, many times over, and against tabled chances.</summary>
public sealed class DriftCertaintyTests
{
    private static readonly LineString[] Lines = [.. Enumerable.Range(0, 30).Select(i => FieldGround.Line((10, 10 + (6 * i)), (190, 10 + (6 * i))))];

    private static DriftCertainty Of(ElevationGrid ground, double noise = double.NaN, double length = double.NaN) =>
        DriftCertainty.Of(Lines, ground, noise, length, TestContext.Current.CancellationToken);

    // Computed here: the plain way, errors drawn as a random field on cells of a quarter of the correlation length, trial after trial.
    [Theory]
    [InlineData(0.005, 0.05, 5)]
    [InlineData(0.004, 0.02, 3)]
    [InlineData(0.01, 0.1, 12)]
    [InlineData(0.004, 0.08, 20)]
    public void Agreement_IsWhatDrawnErrorsGive(double fall, double noise, double length)
    {
        const int Trials = 200;
        ElevationGrid ground = FieldGround.Of((x, _) => -fall * x, 200, 200);
        GridFrame frame = new((int)(210 / (length / 4)), (int)(210 / (length / 4)), length / 4, -5, 205);
        int held = 0;
        int all = 0;
        for (int trial = 0; trial < Trials; trial++)
        {
            double[] error = RandomField.Draw(frame, length, noise, RandomField.Seed(7, trial));
            foreach (LineString line in Lines)
            {
                for (double x = 10; x <= 180; x += 10, all++)
                {
                    double y = line.StartPoint.Y;
                    double rise = (-fall * 10) + GridSampling.Bilinear(error, frame, x + 10, y) - GridSampling.Bilinear(error, frame, x, y);
                    held += rise < 0 ? 1 : 0;
                }
            }
        }

        // Interpolation evens out some of the error between cells, so that drawn stretches hold a little more often.
        Assert.InRange(Of(ground, noise, length).LineAgreement.Average(), ((double)held / all) - 0.02, ((double)held / all) + 0.01);
    }

    // Every stretch of 10 m rises alike, so that all are sure or none: nine in ten is 1.2816 deviations (as below); 1.31 give 0.905, 1.25 give 0.894.
    [Theory]
    [InlineData(1.31, 1)]
    [InlineData(1.25, 0)]
    public void NineInTen_IsSure(double deviations, double share)
    {
        double noise = 0.1 / deviations / Math.Sqrt(2 * (1 - Math.Exp(-4)));
        DriftCertainty found = Of(FieldGround.Of((x, _) => -0.01 * x, 200, 200), noise, 5);
        Assert.Equal((share, share), (found.SureLengthShare, found.SureLineShare));
        Assert.All(found.LineAgreement, a => Assert.Equal(share > 0.5 ? 0.905 : 0.894, a, 0.001));
    }

    // Lines from 10 to 190 m have 86 stretches of 10 m. One with s m before the break rises by 0.01 s + 0.003 (10 - s), and is sure from 0.065 m on, so
    // where it begins 5 m or more before it: with the break at 166 m those from 10 to 160 m, 76, with it at 148 m those to 142 m, 67.
    [Theory]
    [InlineData(166, 1)]
    [InlineData(148, 0)]
    public void ALineIsSure_WhereFourFifthsOfItAre(double breaks, double share)
    {
        ElevationGrid ground = FieldGround.Of((x, _) => (-0.01 * Math.Min(x, breaks)) - (0.003 * Math.Max(x - breaks, 0)), 200, 200);
        DriftCertainty found = Of(ground, 0.065 / 1.2816 / Math.Sqrt(2 * (1 - Math.Exp(-4))), 5);
        Assert.Equal(share, found.SureLineShare);
        Assert.Equal((share > 0.5 ? 76 : 67) / 86.0, found.SureLengthShare, 1e-9);
    }

    // Quantiles of the standard normal distribution as tabled: 0.9 at 1.281552, 0.975 at 1.959964 (NIST/SEMATECH e-Handbook of
    // Statistical Methods, section 1.3.6.7.1; digits from memory).
    [Theory]
    [InlineData(1.281552, 0.9)]
    [InlineData(1.959964, 0.975)]
    [InlineData(0, 0.5)]
    public void Chance_OfARise_IsThatOfTheTable(double deviations, double chance)
    {
        // Far apart errors have nothing in common: the difference has the square root of two times the deviation of one.
        Assert.Equal(chance, DriftCertainty.Chance(deviations * 0.05 * Math.Sqrt(2), 1000, 0.05, 5), 6);

        // At one length apart, what is left is 1 - 1/e of that variance; either way of the rise is the same.
        double spread = 0.05 * Math.Sqrt(2 * (1 - (1 / Math.E)));
        Assert.Equal(chance, DriftCertainty.Chance(-deviations * spread, 5, 0.05, 5), 6);
    }

    [Fact]
    public void SureShares_CountStretchesOfNineInTen_AndLinesOfFourFifths()
    {
        // Falls steep enough to be sure west of x = 100, so that the lines, from 10 to 190, are sure along about half; those from
        // 10 to 100 alone along nearly all.
        ElevationGrid ground = FieldGround.Of((x, _) => x < 100 ? -0.012 * x : -1.2 - (0.004 * (x - 100)), 200, 200);
        DriftCertainty half = Of(ground, 0.05, 4);
        Assert.InRange(half.SureLengthShare, 0.47, 0.56);
        Assert.Equal(0, half.SureLineShare);
        LineString[] mixed = [.. Lines.Take(3), FieldGround.Line((10, 50), (106, 50))];
        Assert.Equal(0.25, DriftCertainty.Of(mixed, ground, 0.05, 4, TestContext.Current.CancellationToken).SureLineShare);
    }

    [Fact]
    public void WithoutNoise_EverythingIsSure_AndLevelLinesSayNothing()
    {
        DriftCertainty sure = Of(FieldGround.Of((x, _) => -0.01 * x, 200, 200), 0);
        Assert.Equal((1.0, 1.0), (sure.SureLengthShare, sure.SureLineShare));
        DriftCertainty level = Of(FieldGround.Of((_, y) => 0.05 * y, 200, 200), 0.05);
        Assert.Equal((double.NaN, double.NaN), (level.SureLengthShare, level.SureLineShare));
        Assert.All(level.LineAgreement, a => Assert.True(double.IsNaN(a)));
    }

    [Fact]
    public void MoreNoise_IsLessSure()
    {
        ElevationGrid ground = FieldGround.Of((x, _) => -0.006 * x, 200, 200);
        double[] agreed = [.. new[] { 0.005, 0.03, 0.1, 3 }.Select(n => Of(ground, n, 4).LineAgreement[0])];
        Assert.Equal(agreed.OrderDescending(), agreed);
        Assert.InRange(agreed[3], 0.5, 0.51);
    }

    [Theory]
    [InlineData(-0.01, 4)]
    [InlineData(double.PositiveInfinity, 4)]
    [InlineData(0.05, 0)]
    [InlineData(0.05, double.PositiveInfinity)]
    public void NoiseOrLengthThatCannotBe_IsRefused(double noise, double length) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Of(FieldGround.Of((x, _) => x, 20, 20), noise, length));

    [Fact]
    public void RandomField_HasTheDeviationAndCorrelationAskedFor()
    {
        double[] field = RandomField.Draw(new GridFrame(400, 400, 1, 0, 400), 4, 0.05, 9);
        Assert.InRange(Math.Sqrt(Related(field, field, 0)), 0.0485, 0.0515);
        Assert.InRange(Related(field, field, 4) / Related(field, field, 0), Math.Exp(-1) - 0.03, Math.Exp(-1) + 0.03);
    }

    [Fact]
    public void RandomField_OfNeighbouringTrials_HasNothingInCommon()
    {
        GridFrame frame = new(400, 400, 1, 0, 400);
        double[][] fields = [.. Enumerable.Range(0, 4).Select(t => RandomField.Draw(frame, 4, 1, RandomField.Seed(1, t)))];
        for (int a = 0; a < 4; a++)
        {
            for (int b = a + 1; b < 4; b++)
            {
                Assert.All(Enumerable.Range(0, 8), lag => Assert.InRange(Related(fields[a], fields[b], lag), -0.05, 0.05));
            }
        }
    }

    // Mean product of two fields, one some cells on along the rows.
    private static double Related(double[] a, double[] b, int lag)
    {
        double sum = 0;
        for (int r = 0; r < 400; r++)
        {
            for (int c = 0; c < 400 - lag; c++)
            {
                sum += a[(r * 400) + c] * b[(r * 400) + c + lag];
            }
        }

        return sum / (400 * (400 - lag));
    }
}
