using System.Globalization;
using Keyline.Fieldwork;

namespace Keyline.Fieldwork.Tests;

/// <summary>Mixed models against nlme and lme4 (Pinheiro and Bates 2000; Bates et al. 2015) on the same data.</summary>
public sealed class MixedFitTests
{
    // A made-up trial: four blocks, control and ripped, two years before and two after.
    private static readonly double[][] Control = [[102, 95, 110, 99], [88, 81, 97, 86], [120, 111, 131, 118], [95, 93, 101, 97]];
    private static readonly double[][] Ripped = [[100, 97, 131, 118], [90, 80, 116, 104], [118, 114, 149, 133], [97, 91, 124, 113]];

    [Fact]
    public void BeforeAfter_AtBlockLevel() // t.test(dd), on the log scale too
    {
        double[] dd = [.. Control.Zip(Ripped, (c, r) => Contrast(r) - Contrast(c))];
        Assert.Equal([20, 18, 16, 19.5], dd);
        Estimate e = MeanDifference.OfBlocks(dd);
        Assert.Equal((15.5155907, 21.2344093), e.Between(0.95), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-6 && Math.Abs(a.Item2 - b.Item2) < 1e-6);
        Assert.Equal(0.000255628, e.P, 1e-9);
        Estimate plots = MeanDifference.Pooled([.. Control.Select(Contrast)], [.. Ripped.Select(Contrast)]);
        Assert.Equal((16.1482766, 20.6017234), plots.Between(0.95), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-6 && Math.Abs(a.Item2 - b.Item2) < 1e-6);
        Estimate log = MeanDifference.OfBlocks([.. Control.Zip(Ripped, (c, r) => Contrast([.. r.Select(v => Math.Log(v))]) - Contrast([.. c.Select(v => Math.Log(v))]))]);
        Assert.Equal(1.17724547, Math.Exp(log.Value), 1e-6);
        Assert.Equal(0.00155918862, log.P, 1e-6);

        static double Contrast(double[] v) => ((v[2] + v[3]) - (v[0] + v[1])) / 2;
    }

    [Fact]
    public void BeforeAfter_ByModels() // lm(y ~ trt*period + block); lmer(... + (1|block) + (1|block:trt) [+ (1|yr)])
    {
        List<double> y = [];
        List<string> trt = [], period = [], block = [], plot = [], year = [];
        for (int b = 0; b < 4; b++)
        {
            for (int t = 0; t < 2; t++)
            {
                for (int v = 0; v < 4; v++)
                {
                    y.Add((t == 0 ? Control : Ripped)[b][v]);
                    (string T, string P) = (t == 0 ? "C" : "R", v < 2 ? "before" : "after");
                    trt.Add(T);
                    period.Add(P);
                    block.Add("b" + b);
                    plot.Add($"b{b}{T}");
                    year.Add("y" + v);
                }
            }
        }

        ModelTerm treatment = ModelTerm.Factor("trt", trt), when = ModelTerm.Factor("period", period);
        Estimate naive = LeastSquaresFit.Of(y, ModelTerm.Factor("block", block), treatment, when, treatment.Times(when)).Estimates["trt R x period after"];
        Assert.Equal((18.375, 3.8549481), (naive.Value, naive.StandardError), (a, c) => Math.Abs(a.Item1 - c.Item1) < 1e-7 && Math.Abs(a.Item2 - c.Item2) < 1e-6);
        Assert.Equal((10.4355857, 26.3144143), naive.Between(0.95), (a, c) => Math.Abs(a.Item1 - c.Item1) < 1e-6 && Math.Abs(a.Item2 - c.Item2) < 1e-6);

        MixedFit two = MixedFit.Of(y, [treatment, when, treatment.Times(when)], [block, plot]);
        Assert.Equal(172.97625, two.Variances[0], 0.01);
        Assert.Equal(0, two.Variances[1]);
        Assert.Equal(29.72125, two.ResidualVariance, 1e-3);
        Assert.Equal(3.8549481, two.Estimates["trt R x period after"].StandardError, 1e-4);
        Assert.Equal(25, two.Estimates["trt R x period after"].Freedom, 0.05);

        MixedFit three = MixedFit.Of(y, [treatment, when, treatment.Times(when)], [block, plot, year]);
        Estimate effect = three.Estimates["trt R x period after"];
        Assert.Equal((18.375, 1.33081166), (effect.Value, effect.StandardError), (a, c) => Math.Abs(a.Item1 - c.Item1) < 1e-5 && Math.Abs(a.Item2 - c.Item2) < 1e-4);
        Assert.Equal([13.27587, 0, 6.39569], three.Variances.Select(v => Math.Round(Math.Sqrt(v), 5)), (a, c) => Math.Abs(a - c) < 2e-3);
        Assert.Equal(1.88205, Math.Sqrt(three.ResidualVariance), 1e-4);
    }

    // nlme: ergoStool (Pinheiro and Bates 2000, section 1.2), lme(effort ~ Type, ergoStool, ~1 | Subject).
    [Fact]
    public void Stools()
    {
        double[] y = [12, 15, 12, 10, 10, 14, 13, 12, 7, 14, 13, 9, 7, 11, 10, 9, 8, 11, 8, 7, 9, 11, 11, 10, 8, 12, 12, 11, 7, 11, 8, 7, 9, 13, 10, 8];
        ModelTerm type = ModelTerm.Factor("Type", [.. Enumerable.Range(0, 36).Select(i => "T" + ((i % 4) + 1))]);
        MixedFit fit = MixedFit.Of(y, [type], [[.. Enumerable.Range(0, 36).Select(i => "s" + (i / 4))]]);
        Assert.Equal(0.57601226, fit.Estimates["constant"].StandardError, 1e-5);
        Assert.Equal([3.88888889, 2.22222222, 0.66666667], fit.Estimates.Skip(1).Select(e => Math.Round(e.Value.Value, 8)));
        Assert.Equal(0.51868384, fit.Estimates["Type T2"].StandardError, 1e-6);
        Assert.Equal(24, fit.Estimates["Type T2"].Freedom, 0.01);
        Assert.Equal((1.77546298, 1.21064815), (fit.Variances[0], fit.ResidualVariance), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-4 && Math.Abs(a.Item2 - b.Item2) < 1e-5);
    }

    // nlme: Orthodont (Potthoff and Roy 1964), lme(distance ~ age + Sex, Orthodont, ~1 | Subject), then age * Sex.
    [Fact]
    public void Growth()
    {
        string file = Path.Combine(Root(), "..", "shared", "data", "reference", "orthodont.csv");
        Assert.SkipUnless(File.Exists(file), "The growth data are not beside the checkout.");
        string[][] rows = [.. File.ReadAllLines(file).Skip(1).Select(l => l.Replace("\"", "", StringComparison.Ordinal).Split(','))];
        double[] y = [.. rows.Select(r => double.Parse(r[0], CultureInfo.InvariantCulture))];
        ModelTerm age = ModelTerm.Number("age", [.. rows.Select(r => double.Parse(r[1], CultureInfo.InvariantCulture))]), sex = ModelTerm.Factor("Sex", [.. rows.Select(r => r[3])]);
        string[] subjects = [.. rows.Select(r => r[2])];
        MixedFit fit = MixedFit.Of(y, [age, sex], [subjects]);
        Assert.Equal((17.70671296, 0.833922474), (fit.Estimates["constant"].Value, fit.Estimates["constant"].StandardError), Near);
        Assert.Equal((0.66018519, 0.061605916), (fit.Estimates["age"].Value, fit.Estimates["age"].StandardError), Near);
        Assert.Equal((-2.32102273, 0.761416849), (fit.Estimates["Sex Female"].Value, fit.Estimates["Sex Female"].StandardError), Near);
        Assert.Equal(25, fit.Estimates["Sex Female"].Freedom, 0.01);
        Assert.Equal(0.0053750559, fit.Estimates["Sex Female"].P, 1e-5);
        Assert.Equal((3.26678372, 2.04945602), (fit.Variances[0], fit.ResidualVariance), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-4 && Math.Abs(a.Item2 - b.Item2) < 1e-5);
        Assert.Equal(-218.756254, fit.LogLikelihood, 1e-6);

        Estimate both = MixedFit.Of(y, [age, sex, age.Times(sex)], [subjects]).Estimates["age x Sex Female"];
        Assert.Equal((-0.30482955, 0.121420896), (both.Value, both.StandardError), Near);
        Assert.Equal(79, both.Freedom, 0.05);
        Assert.Equal(0.01409745, both.P, 1e-5);

        static bool Near((double, double) a, (double, double) b) => Math.Abs(a.Item1 - b.Item1) < 1e-5 && Math.Abs(a.Item2 - b.Item2) < 1e-5;
    }

    private static string Root()
    {
        string? at = AppContext.BaseDirectory;
        while (at is not null && !File.Exists(Path.Combine(at, "Keyline.sln")))
        {
            at = Path.GetDirectoryName(at);
        }

        return at ?? ".";
    }
}
