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
        Assert.Equal((3.29863403, 1.92205480), Variances(MixedFit.Of(y, [age, sex, age.Times(sex)], [subjects])), Near);
        Assert.True(double.IsNaN(fit.Correlation));

        // The same with correlation = corAR1(): residuals of one child go with the one before.
        MixedFit series = MixedFit.OfSeries(y, [age, sex, age.Times(sex)], subjects);
        Assert.Equal(-0.0375331, series.Correlation, 1e-5);
        Assert.Equal((-0.30618853, 0.119052695), (series.Estimates["age x Sex Female"].Value, series.Estimates["age x Sex Female"].StandardError), Near);
        Assert.True(series.LogLikelihood > MixedFit.Of(y, [age, sex, age.Times(sex)], [subjects]).LogLikelihood);

        static (double, double) Variances(MixedFit of) => (of.Variances[0], of.ResidualVariance);

        static bool Near((double, double) a, (double, double) b) => Math.Abs(a.Item1 - b.Item1) < 1e-5 && Math.Abs(a.Item2 - b.Item2) < 1e-5;
    }

    // lme4: sleepstudy (Belenky and others 2003, Journal of Sleep Research 12, 1-12; Bates and others 2015), lmer(Reaction ~ Days + (Days | Subject)).
    private const string Reactions = """
        249.56 258.7047 250.8006 321.4398 356.8519 414.6901 382.2038 290.1486 430.5853 466.3535
        222.7339 205.2658 202.9778 204.707 207.7161 215.9618 213.6303 217.7272 224.2957 237.3142
        199.0539 194.3322 234.32 232.8416 229.3074 220.4579 235.4208 255.7511 261.0125 247.5153
        321.5426 300.4002 283.8565 285.133 285.7973 297.5855 280.2396 318.2613 305.3495 354.0487
        287.6079 285 301.8206 320.1153 316.2773 293.3187 290.075 334.8177 293.7469 371.5811
        234.8606 242.8118 272.9613 309.7688 317.4629 309.9976 454.1619 346.8311 330.3003 253.8644
        283.8424 289.555 276.7693 299.8097 297.171 338.1665 332.0265 348.8399 333.36 362.0428
        265.4731 276.2012 243.3647 254.6723 279.0244 284.1912 305.5248 331.5229 335.7469 377.299
        241.6083 273.9472 254.4907 270.8021 251.4519 254.6362 245.4523 235.311 235.7541 237.2466
        312.3666 313.8058 291.6112 346.1222 365.7324 391.8385 404.2601 416.6923 455.8643 458.9167
        236.1032 230.3167 238.9256 254.922 250.7103 269.7744 281.5648 308.102 336.2806 351.6451
        256.2968 243.4543 256.2046 255.5271 268.9165 329.7247 379.4445 362.9184 394.4872 389.0527
        250.5265 300.0576 269.8939 280.5891 271.8274 304.6336 287.7466 266.5955 321.5418 347.5655
        221.6771 298.1939 326.8785 346.8555 348.7402 352.8287 354.4266 360.4326 375.6406 388.5417
        271.9235 268.4369 257.2424 277.6566 314.8222 317.2135 298.1353 348.1229 340.28 366.5131
        225.264 234.5235 238.9008 240.473 267.5373 344.1937 281.1481 347.5855 365.163 372.2288
        269.8804 272.4428 277.8989 281.7895 279.1705 284.512 259.2658 304.6306 350.7807 369.4692
        269.4117 273.474 297.5968 310.6316 287.1726 329.6076 334.4818 343.2199 369.1417 364.1236
        """;

    [Fact]
    public void Sleepless_EachWithASlopeOfItsOwn()
    {
        double[] y = [.. Reactions.Split([' ', '\n', '\r'], StringSplitOptions.RemoveEmptyEntries).Select(v => double.Parse(v, CultureInfo.InvariantCulture))];
        double[] days = [.. Enumerable.Range(0, 180).Select(i => (double)(i % 10))];
        string[] subjects = [.. Enumerable.Range(0, 180).Select(i => "s" + (i / 10))];
        ModelTerm day = ModelTerm.Number("Days", days);
        MixedFit fit = MixedFit.OfSlopes(y, [day], subjects, days);
        Estimate constant = fit.Estimates["constant"], slope = fit.Estimates["Days"];
        Assert.Equal((251.405105, 6.8245967), (constant.Value, constant.StandardError), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-5 && Math.Abs(a.Item2 - b.Item2) < 1e-3);
        Assert.Equal((10.467286, 1.5457896), (slope.Value, slope.StandardError), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-5 && Math.Abs(a.Item2 - b.Item2) < 1e-4);
        Assert.Equal(612.100158, fit.Variances[0], 0.2);
        Assert.Equal(35.071714, fit.Variances[1], 0.01);
        Assert.Equal(0.065551, fit.Correlation, 5e-4);
        Assert.Equal(654.940008, fit.ResidualVariance, 0.05);
        Assert.Equal(1743.62827, -2 * fit.LogLikelihood, 1e-4);
        Assert.Equal(17, slope.Freedom, 0.05); // as many subjects less one: each has a whole line of its own

        // One slope for all: lmer(Reaction ~ Days + (1 | Subject)); its error is half as large, and wrong.
        MixedFit one = MixedFit.Of(y, [day], [subjects]);
        Assert.Equal((9.74671627, 0.80422143), (one.Estimates["constant"].StandardError, one.Estimates["Days"].StandardError), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-3 && Math.Abs(a.Item2 - b.Item2) < 1e-5);
        Assert.Throws<ArgumentException>(() => MixedFit.OfSlopes(y, [day], subjects, [.. days.Select(_ => 1.0)]));
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
