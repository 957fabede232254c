using System.Diagnostics;
using System.Globalization;

namespace Keyline.Fieldwork.Tests;

/// <summary>What R's gstat makes of the same points: E. J. Pebesma, "Multivariable geostatistics in S: the gstat package", Computers and
/// Geosciences 30 (2004) 683-691. Skipped where R, or its packages gstat and sp, are not installed. The figures of the points along the
/// Meuse that stand here as numbers were made with R 4.2.2 and gstat 2.1-0.</summary>
public sealed class KrigingAgainstGstatTests(KrigingAgainstGstatTests.Gstat gstat) : IClassFixture<KrigingAgainstGstatTests.Gstat>
{
    private const double Near = 1e-6;

    [Theory, InlineData("made"), InlineData("meuse")]
    public void SampleVariogram_IsGstats(string set)
    {
        foreach ((string word, KrigingTrend trend) in new[] { ("none", KrigingTrend.None), ("plane", KrigingTrend.Plane) })
        {
            string[][] expected = [.. gstat.Of(set, "lag").Where(l => l[0] == word)];
            IReadOnlyList<VariogramLag> lags = SampleVariogram.Of(gstat.Points(set), trend);
            Assert.Equal(expected.Length, lags.Count);
            Assert.All(expected.Zip(lags), l =>
            {
                Assert.Equal(Number(l.First[1]), l.Second.Pairs);
                Assert.Equal(Number(l.First[2]), l.Second.Distance, Near);
                Assert.Equal(Number(l.First[3]), l.Second.Semivariance, Near);
            });
        }
    }

    [Theory, InlineData("made"), InlineData("meuse")]
    public void Kriging_IsGstats(string set)
    {
        string[][] expected = [.. gstat.Of(set, "krige")];
        Assert.True(expected.Length >= 20);
        foreach (string[] k in expected)
        {
            KrigingOptions options = new() { Trend = k[0] == "none" ? KrigingTrend.None : KrigingTrend.Plane, Neighbours = k[5] == "0" ? int.MaxValue : int.Parse(k[5], CultureInfo.InvariantCulture) };
            (double value, double variance) = PointKriging.Of(gstat.Points(set), new VariogramModel(Kind(k[1]), Number(k[2]), Number(k[3]), Number(k[4])), options).At(Number(k[6]), Number(k[7]));
            Assert.True(Math.Abs(Number(k[8]) - value) < Near * Math.Max(1, Math.Abs(value)), string.Join(',', k) + $" {value:G12}");
            Assert.True(Math.Abs(Number(k[9]) - variance) < Near * Math.Max(1, variance), string.Join(',', k) + $" {variance:G12}");
        }
    }

    // gstat stops its search sooner than ours, so ours may only be nearer to the classes; where both stop, the models agree to half a hundredth.
    [Theory, InlineData("made"), InlineData("meuse")]
    public void Fits_AreGstatsOrNearer(string set)
    {
        IReadOnlyList<VariogramLag> lags = SampleVariogram.Of(gstat.Points(set));
        int alike = 0;
        foreach (string[] f in gstat.Of(set, "fit"))
        {
            FittedVariogram fit = VariogramFit.All(lags, [Kind(f[0])])[0];
            Assert.True(fit.SumOfSquares <= Number(f[4]) * (1 + 1e-6), $"{string.Join(',', f)} {fit}");
            if (fit.SumOfSquares > Number(f[4]) * (1 - 1e-4) && !fit.IsAtLimit)
            {
                alike++;
                Assert.Equal(1, fit.Model.Sill / Number(f[2]), 5e-3);
                Assert.Equal(1, fit.Model.Range / Number(f[3]), 5e-3);
            }
        }

        Assert.True(alike >= 2);
    }

    [Theory, InlineData("made"), InlineData("meuse")]
    public void ErrorsOfPointsLeftOut_AreGstats(string set)
    {
        string[] expected = gstat.Of(set, "left-out").Single();
        KrigingErrors errors = KrigingCheck.Of(gstat.Points(set), new VariogramModel(Kind(expected[0]), Number(expected[1]), Number(expected[2]), Number(expected[3])), new KrigingOptions { Neighbours = int.MaxValue });
        Assert.Equal(Number(expected[4]), errors.MeanError, Near);
        Assert.Equal(Number(expected[5]), errors.RootMeanSquare, Near);
        Assert.Equal(Number(expected[6]), errors.SpreadOfScores, Near);
    }

    [Fact]
    public void ZincAlongTheMeuse_AsKnown()
    {
        SoilPoint[] points = gstat.Points("meuse");
        IReadOnlyList<VariogramLag> lags = SampleVariogram.Of(points);
        Assert.Equal(15, lags.Count);
        Assert.Equal([57, 299, 419, 457, 547], lags.Take(5).Select(l => l.Pairs));
        Assert.Equal(0.12344793, lags[0].Semivariance, 1e-8);
        Assert.Equal(478.476695, lags[4].Distance, 1e-6);
        FittedVariogram fit = VariogramFit.All(lags, [VariogramKind.Spherical])[0];
        Assert.Equal(0.05066242682, fit.Model.Nugget, 1e-4);
        Assert.Equal(0.5906078018, fit.Model.Sill, 1e-4);
        Assert.Equal(897.0209098, fit.Model.Range, 0.1);
        Assert.Equal(9.0112e-6, fit.SumOfSquares, 1e-9);
        FittedVariogram exponential = VariogramFit.All(lags, [VariogramKind.Exponential])[0];
        Assert.Equal((0, 1.6283e-5), (exponential.Model.Nugget, Math.Round(exponential.SumOfSquares, 9)));
        Assert.Equal(449.7580025, exponential.Model.Range, 0.1);
        VariogramModel model = new(VariogramKind.Spherical, 0.05, 0.59, 897);
        (double value, double variance) = PointKriging.Of(points, model, new KrigingOptions { Neighbours = int.MaxValue }).At(181180, 333740);
        Assert.Equal(6.499876613, value, 1e-9);
        Assert.Equal(0.3186776128, variance, 1e-9);
        Assert.Equal(5.206806846, PointKriging.Of(points, model, new KrigingOptions { Neighbours = 8 }).At(179500, 330500).Value, 1e-9);
        (double there, double none) = PointKriging.Of(points, model).At(181072, 333611);
        Assert.Equal(6.929516771, there, 1e-9);
        Assert.Equal(0, none);
        KrigingErrors errors = KrigingCheck.Of(points, model, new KrigingOptions { Neighbours = int.MaxValue });
        Assert.Equal(0.3917494741, errors.RootMeanSquare, 1e-9);
        Assert.Equal(0.9100032, errors.SpreadOfScores, 1e-6);

        // krige(..., block = c(40, 40)) and idw(..., idp = 2) at the five places.
        (double X, double Y)[] places = [(181180, 333740), (179500, 330500), (179700, 331500), (180380, 332220), (179220, 330060)];
        double[] means = [6.499410318, 5.175212578, 5.135239151, 6.061324564, 5.298719660], variances = [0.2488628834, 0.0996720306, 0.0910170295, 0.0689333572, 0.0465369847];
        double[] plain = [6.257013513, 5.488865130, 5.463143760, 6.060280314, 5.296671600];
        PointKriging squares = PointKriging.Of(points, model, new KrigingOptions { Neighbours = int.MaxValue, Block = 40 });
        for (int i = 0; i < places.Length; i++)
        {
            (double mean, double surer) = squares.At(places[i].X, places[i].Y);
            Assert.Equal(means[i], mean, 1e-8);
            Assert.Equal(variances[i], surer, 1e-8);
            Assert.Equal(plain[i], InverseDistance.At(points, places[i].X, places[i].Y), 1e-8);
        }
    }

    [Theory, InlineData("made"), InlineData("meuse")]
    public void Squares_AndInverseDistance_AreGstats(string set)
    {
        foreach (string[] k in gstat.Of(set, "block"))
        {
            KrigingOptions options = new() { Trend = k[0] == "none" ? KrigingTrend.None : KrigingTrend.Plane, Neighbours = k[5] == "0" ? int.MaxValue : int.Parse(k[5], CultureInfo.InvariantCulture), Block = 40 };
            (double value, double variance) = PointKriging.Of(gstat.Points(set), new VariogramModel(Kind(k[1]), Number(k[2]), Number(k[3]), Number(k[4])), options).At(Number(k[6]), Number(k[7]));
            Assert.True(Math.Abs(Number(k[8]) - value) < Near * Math.Max(1, Math.Abs(value)), string.Join(',', k) + $" {value:G12}");
            Assert.True(Math.Abs(Number(k[9]) - variance) < Near * Math.Max(1, variance), string.Join(',', k) + $" {variance:G12}");
        }

        foreach (string[] k in gstat.Of(set, "idw"))
        {
            Assert.Equal(Number(k[3]), InverseDistance.At(gstat.Points(set), Number(k[1]), Number(k[2]), Number(k[0])), 1e-9 * Math.Abs(Number(k[3])));
        }
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    private static VariogramKind Kind(string word) => word switch { "Sph" => VariogramKind.Spherical, "Exp" => VariogramKind.Exponential, "Gau" => VariogramKind.Gaussian, _ => throw new ArgumentOutOfRangeException(nameof(word)) };

    /// <summary>One run of the script.</summary>
    public sealed class Gstat
    {
        private readonly string[][] _lines = [];
        private readonly string _absent = "";

        public Gstat()
        {
            string? root = AppContext.BaseDirectory;
            while (root is not null && !File.Exists(Path.Combine(root, "Keyline.sln")))
            {
                root = Path.GetDirectoryName(root);
            }

            try
            {
                ProcessStartInfo start = new("Rscript", ["--vanilla", Path.Combine(root!, ".ci", "check-kriging.R")]) { RedirectStandardOutput = true, RedirectStandardError = true };
                using Process r = Process.Start(start)!;
                Task<string> fault = r.StandardError.ReadToEndAsync();
                string text = r.StandardOutput.ReadToEnd();
                r.WaitForExit();
                _absent = r.ExitCode == 0 ? "" : "R could not run the comparison, most likely for want of its packages gstat and sp: " + fault.GetAwaiter().GetResult().ReplaceLineEndings(" ");
                _lines = [.. text.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(l => l.Split(','))];
            }
            catch (System.ComponentModel.Win32Exception)
            {
                _absent = "Rscript, whose package gstat this compares with, is not installed.";
            }
        }

        public IEnumerable<string[]> Of(string set, string what)
        {
            Assert.SkipWhen(_absent.Length > 0, _absent);
            string[][] found = [.. _lines.Where(l => l[0] == set && l[1] == what).Select(l => l[2..])];
            Assert.NotEmpty(found);
            return found;
        }

        public SoilPoint[] Points(string set) => [.. Of(set, "point").Select(p => new SoilPoint(Number(p[0]), Number(p[1]), Number(p[2])))];
    }
}
