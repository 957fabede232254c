using Keyline.Tests.Support;
using Keyline.Check;
using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Check;

/// <summary>Simulated errors against the probabilities that follow from their formula.</summary>
public sealed class DriftCertaintyTests
{
    private static readonly LineString[] Lines = [.. Enumerable.Range(0, 30).Select(i => FieldGround.Line((10, 10 + (6 * i)), (190, 10 + (6 * i))))];

    // A plane that falls g along the lines: a stretch of b = 10 m keeps its sense with probability Phi(g b / sqrt(2 s^2 (1 - r))),
    // r = exp(-(b / l)^2), the normal distribution of the difference of two related errors.
    [Theory]
    [InlineData(0.005, 0.05, 5)]
    [InlineData(0.004, 0.02, 3)]
    [InlineData(0.01, 0.1, 12)]
    public void Agreement_IsTheNormalProbability(double fall, double noise, double length)
    {
        ElevationGrid ground = FieldGround.Of((x, _) => -fall * x, 200, 200);
        DriftCertainty sure = DriftCertainty.Simulate(Lines, ground, noise, length, 400, 7, TestContext.Current.CancellationToken);
        double related = Math.Exp(-(10 / length) * (10 / length));
        double expected = Normal(fall * 10 / Math.Sqrt(2 * noise * noise * (1 - related)));
        Assert.InRange(sure.LineAgreement.Average(), expected - 0.015, expected + 0.015);
    }

    [Fact]
    public void WithoutNoise_EverythingIsSure_AndLevelLinesSayNothing()
    {
        ElevationGrid ground = FieldGround.Of((x, _) => -0.01 * x, 200, 200);
        DriftCertainty sure = DriftCertainty.Simulate(Lines, ground, 0, cancellationToken: TestContext.Current.CancellationToken);
        Assert.Equal(1, sure.SureLengthShare);
        Assert.Equal(1, sure.SureLineShare);
        DriftCertainty level = DriftCertainty.Simulate(Lines, FieldGround.Of((_, y) => 0.05 * y, 200, 200), 0.05, cancellationToken: TestContext.Current.CancellationToken);
        Assert.Equal(double.NaN, level.SureLengthShare);
    }

    [Fact]
    public void MoreNoise_IsLessSure_AndTheSameSeedGivesTheSame()
    {
        ElevationGrid ground = FieldGround.Of((x, _) => -0.006 * x, 200, 200);
        double[] shares = [.. new[] { 0.005, 0.03, 0.1 }.Select(n => DriftCertainty.Simulate(Lines, ground, n, 4, 60, 3, TestContext.Current.CancellationToken).SureLengthShare)];
        Assert.True(shares[0] > shares[1] && shares[1] > shares[2]);
        Assert.Equal(shares[1], DriftCertainty.Simulate(Lines, ground, 0.03, 4, 60, 3, TestContext.Current.CancellationToken).SureLengthShare);
        Assert.NotEqual(
            DriftCertainty.Simulate(Lines, ground, 0.1, 4, 60, 3, TestContext.Current.CancellationToken).LineAgreement,
            DriftCertainty.Simulate(Lines, ground, 0.1, 4, 60, 4, TestContext.Current.CancellationToken).LineAgreement);
    }

    [Fact]
    public void RandomField_HasTheDeviationAndCorrelationAskedFor()
    {
        GridFrame frame = new(400, 400, 1, 0, 400);
        double[] field = RandomField.Draw(frame, 4, 0.05, 9);
        double mean = field.Average();
        double variance = field.Select(v => (v - mean) * (v - mean)).Average();
        double along = 0;
        for (int r = 0; r < 400; r++)
        {
            for (int c = 0; c < 396; c++)
            {
                along += (field[(r * 400) + c] - mean) * (field[(r * 400) + c + 4] - mean) / (400 * 396);
            }
        }

        Assert.InRange(Math.Sqrt(variance), 0.0485, 0.0515);
        Assert.InRange(along / variance, Math.Exp(-1) - 0.03, Math.Exp(-1) + 0.03);
    }

    private static double Normal(double x) => MathNet.Numerics.Distributions.Normal.CDF(0, 1, x);
}
