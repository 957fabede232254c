using System.Text;
using Keyline.Fieldwork;

namespace Keyline.Fieldwork.Tests;

/// <summary>What is made of readings: the effect that was put in, at block level, and "cannot tell" where nothing can be told.</summary>
public sealed class TrialAnalysisTests
{
    private static readonly DateOnly Work = new(2027, 4, 10);
    private static readonly DateOnly[] Visits = [new(2027, 3, 20), new(2027, 7, 10), new(2028, 4, 8), new(2029, 4, 12), new(2030, 4, 10)];

    private static TrialPlan Plan(int blocks, TrialKind kind = TrialKind.Randomised) => new(kind, "Test", TrialTreatment.Usual,
        [.. Enumerable.Range(1, blocks).SelectMany(b => new[] { new TrialPlanPlot($"B{b}P1", b, b % 2 == 0 ? "unripped" : "ripped", ""), new TrialPlanPlot($"B{b}P2", b, b % 2 == 0 ? "ripped" : "unripped", "") })],
        new Dictionary<string, TrialPlanPoint>(), 2, 7);

    // Rings of a trial with a known truth: the log effect fades; blocks, plots, visits and rings vary.
    private static PlotReading[] Rings(TrialPlan plan, ulong seed, double effect, double rate, double plotSpread = 0.15, double ringSpread = 0.3, int visits = 5)
    {
        SeededDraws draws = new(seed);
        double[] block = [.. Enumerable.Range(0, 30).Select(_ => 0.5 * draws.Bell())];
        List<PlotReading> readings = [];
        foreach (TrialPlanPlot plot in plan.Plots)
        {
            double own = 3 + block[plot.Block] + (plotSpread * draws.Bell());
            foreach (DateOnly date in Visits.Take(visits))
            {
                double years = (date.DayNumber - Work.DayNumber) / 365.25, there = plot.Treatment == "ripped" && years > 0 ? effect * Math.Exp(-rate * years) : 0;
                readings.AddRange(Enumerable.Range(1, 6).Select(i => new PlotReading(date, plot.Id, $"{plot.Id}-R{i}", TrialMeasure.Of("infiltration"), Math.Exp(own + there + (0.3 * Math.Sin(date.DayNumber)) + (ringSpread * draws.Bell())))));
            }
        }

        return [.. readings];
    }

    [Fact]
    public void AnEffect_IsFound_WithItsFading()
    {
        TrialPlan plan = Plan(8);
        MeasureResult r = Assert.Single(TrialAnalysis.Of(plan, Rings(plan, 3, 1.1, 0.35), Work).Measures);
        Assert.Equal(TrialVerdict.More, r.Verdict);
        Assert.Equal(7, r.Overall.Freedom);
        Assert.True(r.HasBefore);
        Assert.Equal(5, r.Visits.Count);
        double truth = Visits.Skip(1).Average(d => 1.1 * Math.Exp(-0.35 * (d.DayNumber - Work.DayNumber) / 365.25));
        (double low, double high) = r.Overall.Between(0.99);
        Assert.InRange(truth, low, high);
        Assert.NotNull(r.Fading);
        double gone = Math.Log(1.1 / Math.Log(1.1)) / 0.35;
        Assert.InRange(gone, r.Fading.Low, r.Fading.High);
        Assert.Contains("times the control", r.Sentence, StringComparison.Ordinal);
        Assert.NotNull(r.Mixed);
        Assert.Equal(r.Overall.Value, r.Mixed.Value, 1e-6); // every plot at every visit: the model's estimate is the mean of block differences
        Assert.InRange(r.Mixed.Freedom, 5, 60);
        Assert.Equal(r.Overall.P, r.AdjustedP);
        Assert.Equal(2.0 / 256, r.Randomised!.P, 1e-12);
    }

    // The same differences by hand: t.test over blocks of (after - before) of log means, treated less control.
    [Fact]
    public void TheEffect_IsTheMeanOfBlockContrasts()
    {
        TrialPlan plan = Plan(4);
        PlotReading[] readings = Rings(plan, 9, 0.7, 0, visits: 3);
        double Mean(string plot, DateOnly date) => readings.Where(x => x.Plot == plot && x.Date == date).Average(x => Math.Log(x.Value));
        double[] byHand = [.. plan.Plots.GroupBy(p => p.Block).Select(b =>
        {
            string t = b.Single(p => p.Treatment == "ripped").Id, c = b.Single(p => p.Treatment == "unripped").Id;
            double Difference(DateOnly d) => Mean(t, d) - Mean(c, d);
            return ((Difference(Visits[1]) + Difference(Visits[2])) / 2) - Difference(Visits[0]);
        })];
        MeasureResult r = Assert.Single(TrialAnalysis.Of(plan, readings, Work).Measures);
        Assert.Equal(MeanDifference.OfBlocks(byHand).Value, r.Overall.Value, 1e-12);
        Assert.Equal(MeanDifference.OfBlocks(byHand).StandardError, r.Overall.StandardError, 1e-12);

        // Ten times the rings make no more blocks.
        PlotReading[] many = [.. Enumerable.Range(0, 10).SelectMany(k => readings.Select(x => x with { Point = $"{x.Point}-{k}" }))];
        Assert.Equal(r.Overall.StandardError, TrialAnalysis.Of(plan, many, Work).Measures[0].Overall.StandardError, 1e-9);
    }

    // Three treatments in blocks: pairs as of a model with blocks and treatments, fitted by least squares, and Tukey's range over its error.
    [Fact]
    public void PairsOfTreatments_AreThoseOfBlocksAndTreatments()
    {
        TrialTreatment[] treatments = [.. TrialTreatment.Usual, TrialTreatment.Parse("deep")];
        TrialPlan plan = new(TrialKind.Randomised, "Test", treatments,
            [.. Enumerable.Range(1, 5).SelectMany(b => treatments.Select((t, k) => new TrialPlanPlot($"B{b}P{k + 1}", b, t.Id, "")))], new Dictionary<string, TrialPlanPoint>(), 2, 7);
        PlotReading[] readings = [.. Rings(plan, 4, 0.8, 0.2).Select(r => r.Plot.EndsWith('3') && r.Date > Work ? r with { Value = 1.3 * r.Value } : r)];
        TrialResults results = TrialAnalysis.Of(plan, readings, Work);
        List<double> values = [];
        List<string> blocks = [], kinds = [];
        foreach (TrialPlanPlot plot in plan.Plots)
        {
            double Mean(DateOnly day) => readings.Where(r => r.Plot == plot.Id && r.Date == day).Average(r => Math.Log(r.Value));
            values.Add(Visits.Skip(1).Average(Mean) - Mean(Visits[0]));
            blocks.Add($"b{plot.Block}");
            kinds.Add(plot.Treatment);
        }

        LeastSquaresFit fit = LeastSquaresFit.Of(values, ModelTerm.Factor("block", blocks), ModelTerm.Factor("kind", kinds));
        Assert.Equal([("unripped", "ripped"), ("unripped", "deep"), ("ripped", "deep")], results.Pairs.Select(p => (p.First, p.Second)));
        foreach (TreatmentPair pair in results.Pairs.Where(p => p.First == "unripped"))
        {
            Estimate twin = fit.Estimates[$"kind {pair.Second}"];
            Assert.Equal(twin.Value, pair.Difference.Value, 1e-10);
            Assert.Equal(twin.StandardError, pair.Difference.StandardError, 1e-10);
            Assert.Equal(8, pair.Difference.Freedom);
            Assert.Equal(StudentizedRange.P(twin, 3), pair.P, 1e-10);

            // Wider than one comparison alone.
            Assert.True(pair.Between(0.95).High > pair.Difference.Between(0.95).High);
        }

        Assert.Equal(results.Pairs[1].Difference.Value - results.Pairs[0].Difference.Value, results.Pairs[2].Difference.Value, 1e-12);
        Assert.Contains("for all 3 pairs together (Tukey)", results.Pairs[2].Sentence, StringComparison.Ordinal);
        Assert.StartsWith("Infiltration, deep against ripped: ", results.Pairs[2].Sentence, StringComparison.Ordinal);

        // A block in which a plot was not read after the work counts for nothing here; and with two treatments there are no pairs.
        TrialResults fewer = TrialAnalysis.Of(plan, [.. readings.Where(r => r.Plot != "B5P3" || r.Date < Work)], Work);
        Assert.All(fewer.Pairs, p => Assert.Equal(6, p.Difference.Freedom));
        Assert.Empty(TrialAnalysis.Of(Plan(4), Rings(Plan(4), 3, 1, 0), Work).Pairs);
    }

    [Fact]
    public void TooLittle_CannotTell()
    {
        TrialPlan one = Plan(1);
        MeasureResult r = Assert.Single(TrialAnalysis.Of(one, Rings(one, 3, 3, 0), Work).Measures);
        Assert.Equal(TrialVerdict.CannotTell, r.Verdict);
        Assert.Contains("never more than an anecdote", r.Sentence, StringComparison.Ordinal);

        TrialPlan few = Plan(3);
        MeasureResult wide = Assert.Single(TrialAnalysis.Of(few, Rings(few, 8, 0.4, 0, 0.8, 1, 2), Work).Measures);
        Assert.Equal(TrialVerdict.CannotTell, wide.Verdict);
        Assert.Contains("cannot tell", wide.Sentence, StringComparison.Ordinal);
        Assert.Contains("takes about", wide.Sentence, StringComparison.Ordinal);

        TrialPlan watched = Plan(4, TrialKind.Monitored);
        MeasureResult change = Assert.Single(TrialAnalysis.Of(watched, Rings(watched, 3, 2, 0), Work).Measures);
        Assert.Equal(TrialVerdict.CannotTell, change.Verdict);
        Assert.Contains("cannot tell why", change.Sentence, StringComparison.Ordinal);

        MeasureResult before = Assert.Single(TrialAnalysis.Of(few, Rings(few, 8, 3, 0, visits: 1), Work).Measures);
        Assert.Equal(TrialVerdict.CannotTell, before.Verdict);
        Assert.Contains("before the work only", before.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void NothingThere_IsShownToBeAlike()
    {
        TrialPlan plan = Plan(10);
        MeasureResult r = Assert.Single(TrialAnalysis.Of(plan, Rings(plan, 5, 0, 0, 0.02, 0.05), Work).Measures);
        Assert.Equal(TrialVerdict.Alike, r.Verdict);
        Assert.True(r.PEquivalent < 0.05);
        Assert.Contains("no more than 10 % different", r.Sentence, StringComparison.Ordinal);
    }

    // With nothing there, one trial in twenty may claim something; with Holm over four measures no more.
    [Fact]
    public void Claims_WhereNothingIs_AreRare()
    {
        TrialPlan plan = Plan(5);
        int claims = 0;
        const int Trials = 150;
        for (int i = 0; i < Trials; i++)
        {
            PlotReading[] readings = [.. ((string[])["infiltration", "forage", "obstruction", "cover-bare"]).SelectMany((m, k) => Rings(plan, (ulong)((1000 * i) + k), 0, 0, visits: 2).Select(r => r with { Measure = TrialMeasure.Of(m) }))];
            claims += TrialAnalysis.Of(plan, readings, Work).Measures.Any(r => r.Verdict is TrialVerdict.More or TrialVerdict.Less) ? 1 : 0;
        }

        // 150 draws of a share of 0.05 lie below 0.11 nine hundred and ninety-nine times in a thousand.
        Assert.InRange(claims / (double)Trials, 0, 0.11);
    }

    [Fact]
    public void Pages_SayWhatTheRecordSays_AndNothingOfLaterYears()
    {
        TrialPlan plan = Plan(6);
        FormReadings readings = new(Rings(plan, 3, 1.1, 0.35), [new FormFinding("rings.csv", 7, "rings.csv, line 7: no <date>.", true, "a<b")], [(new DateOnly(2027, 5, 1), 12.5), (new DateOnly(2028, 5, 1), 20)], [(new DateOnly(2028, 4, 8), "B1P1-F1", "https://example.org/a.jpg")], 3);
        FieldRecord record = new("Test", [new FieldWork(Work, "ripped", 0.4, "crumbles", "")]);
        using MemoryStream kept = new();
        record.Write(kept);
        kept.Position = 0;
        FieldRecord back = FieldRecord.Read(kept, "record.json");
        Assert.Equal(record.Work, back.Work);
        TrialResults results = TrialAnalysis.Of(plan, readings.Readings, back.FirstRipped);
        Assert.Contains(back.Due(results, readings), d => d.Date == new DateOnly(2031, 4, 10));
        Assert.Contains(back.Due(results, readings), d => d.What.Contains("likely gone", StringComparison.Ordinal));
        string page = Written(s => ResultsPage.Write(s, results, readings, record, "test"));
        Assert.Contains(System.Net.WebUtility.HtmlEncode(results.Measures[0].Sentence), page, StringComparison.Ordinal);
        Assert.Contains("no &lt;date&gt;", page, StringComparison.Ordinal);
        Assert.Contains("a&lt;b", page, StringComparison.Ordinal);
        Assert.Equal([2027, 2028, 2029, 2030], YearPage.Years(record, readings));
        string year = Written(s => YearPage.Write(s, 2028, plan, readings, record, Work, "test"));
        Assert.Contains("2028-04-08", year, StringComparison.Ordinal);
        Assert.DoesNotContain("2029-04-12", year, StringComparison.Ordinal);
        Assert.Contains("20 mm of rain", year, StringComparison.Ordinal);

        static string Written(Action<Stream> write)
        {
            using MemoryStream stream = new();
            write(stream);
            return Encoding.UTF8.GetString(stream.ToArray());
        }
    }

    [Theory]
    [InlineData("{}", "not a record")]
    [InlineData("""{"work":[{"date":"10.4.2027","what":"ripped"}]}""", "write it as 2027-04-10")]
    [InlineData("""{"work":[{"date":"2027-04-10"}]}""", "does not say what was done")]
    [InlineData("""{"work":[{"date":"2027-04-10","what":"ripped","depth_cm":400}]}""", "centimetres from 0 to 200")]
    public void Record_OfNoSense_IsRefused(string text, string because) =>
        Assert.Contains(because, Assert.Throws<GroundDataException>(() => FieldRecord.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "record.json")).Message, StringComparison.Ordinal);
}
