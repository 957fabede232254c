using System.Globalization;

namespace Keyline.Fieldwork.Tests;

/// <summary>The rules of a trial's analysis one by one, on readings small enough to reckon by hand.</summary>
public sealed class TrialRulesTests
{
    private static readonly DateOnly Work = new(2027, 4, 10);
    private static readonly FormReadings None = new([], [], [], [], 0);

    private static TrialPlan Plan(int blocks, params string[] split) => new(TrialKind.Randomised, "Test", TrialTreatment.Usual,
        [.. Enumerable.Range(1, blocks).SelectMany(b => new[] { "unripped", "ripped" }.SelectMany((t, k) => (split.Length == 0 ? [""] : split).Select((s, i) => new TrialPlanPlot($"B{b}P{k + 1}{(s.Length > 0 ? ((char)('a' + i)).ToString() : "")}", b, t, s))))],
        new Dictionary<string, TrialPlanPoint>(), 2, 7);

    private static PlotReading At(string plot, DateOnly date, double value, string measure = "obstruction", string point = "1") => new(date, plot, $"{plot}-{point}", TrialMeasure.Of(measure), value);

    private static MeasureResult One(TrialPlan plan, params IEnumerable<PlotReading> readings) => Assert.Single(TrialAnalysis.Of(plan, [.. readings], Work).Measures);

    // Dates up to three weeks apart are one visit; the work parts visits however near they lie.
    [Fact]
    public void Visits_AreThreeWeeks_AndTheWorkPartsThem()
    {
        Assert.Equal(["2027-03-01", "2027-04-10", "2027-05-02", "2027-08-01"], Starts("2027-03-01", "2027-03-22", "2027-04-10", "2027-04-12", "2027-05-02", "2027-05-23", "2027-08-01"));
        Assert.Equal(["2027-04-09", "2027-04-11"], Starts("2027-04-09", "2027-04-11"));

        static string[] Starts(params string[] dates) => [.. One(Plan(2), dates.SelectMany((d, i) => ((string[])["B1P1", "B1P2", "B2P1", "B2P2"]).Select(p => At(p, DateOnly.Parse(d, CultureInfo.InvariantCulture), 10 + i, point: $"{i}"))))
            .Visits.Select(v => v.Date.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture))];
    }

    // Parts of a plot count the same, however many points were read in each; the split is told second against first.
    [Fact]
    public void Parts_CountTheSame()
    {
        TrialPlan plan = Plan(3, "grazed", "rested");
        List<PlotReading> readings = [];
        for (int b = 1; b <= 3; b++)
        {
            foreach (int p in (int[])[1, 2])
            {
                readings.AddRange(Enumerable.Range(0, 6).Select(i => At($"B{b}P{p}a", Work.AddDays(30), 10, point: $"{i}")));
                readings.Add(At($"B{b}P{p}b", Work.AddDays(30), 20 + b + (p == 2 ? b : 0)));
            }
        }

        TrialResults results = TrialAnalysis.Of(plan, readings, Work);
        Assert.Equal([15.5, 16, 16, 17, 16.5, 18], results.Measures[0].Means.Select(m => m.Mean));
        Assert.Contains("Visual obstruction, rested against grazed within plots: 13.0 cm more", Assert.Single(results.Notes), StringComparison.Ordinal);
    }

    // What counts as no difference: a tenth of the ratio, or of the control's mean.
    [Fact]
    public void Margin_IsATenth()
    {
        PlotReading[] Of(string measure) => [.. Enumerable.Range(1, 3).SelectMany(b => (PlotReading[])[At($"B{b}P1", Work.AddDays(30), 40 + b, measure), At($"B{b}P2", Work.AddDays(30), 50 + (2 * b), measure)])];
        Assert.Equal(Math.Log(1.1), One(Plan(3), Of("infiltration")).Margin, 1e-12);
        Assert.Equal(4.2, One(Plan(3), Of("obstruction")).Margin, 1e-12);
        Assert.Equal(12, One(Plan(3), Of("obstruction")).Overall.Value, 1e-12);
    }

    // Alike is claimed where "more different than a tenth" is refused at 5 %, and not before.
    [Theory]
    [InlineData(2, -2, 3, -1, TrialVerdict.Alike)]
    [InlineData(4, -4, 5, -3, TrialVerdict.CannotTell)]
    public void Alike_IsAClaimToo(double a, double b, double c, double d, TrialVerdict verdict)
    {
        MeasureResult r = One(Plan(4), ((double[])[a, b, c, d]).SelectMany((by, i) => (PlotReading[])[At($"B{i + 1}P1", Work.AddDays(30), 40), At($"B{i + 1}P2", Work.AddDays(30), 40 + by)]));
        Assert.Equal(verdict, r.Verdict);
        Assert.InRange(r.PEquivalent, verdict == TrialVerdict.Alike ? 0 : 0.05, verdict == TrialVerdict.Alike ? 0.05 : 0.5);
    }

    // Of three measures the least p is made up threefold (Holm 1979); a watched place has none.
    [Fact]
    public void Claims_AreMadeUpForTheNumberOfMeasures()
    {
        PlotReading[] Of(string measure, double by) => [.. Enumerable.Range(1, 4).SelectMany(b => (PlotReading[])[At($"B{b}P1", Work.AddDays(30), 40 + b, measure), At($"B{b}P2", Work.AddDays(30), 40 + b + by + (0.5 * b * b), measure)])];
        TrialResults results = TrialAnalysis.Of(Plan(4), [.. Of("obstruction", 2.85), .. Of("cover-bare", 1), .. Of("cover-plant", 0.1)], Work);
        MeasureResult sure = results.Measures.MinBy(m => m.Overall.P)!;
        Assert.Equal("obstruction", sure.Measure.Id);
        Assert.Equal(3 * sure.Overall.P, sure.AdjustedP, 1e-12);
        MeasureResult worst = results.Measures.MaxBy(m => m.Overall.P)!;
        Assert.True(worst.AdjustedP >= results.Measures.Max(m => m.Overall.P));

        // Alone it could be claimed, among three it cannot.
        Assert.True(sure.Overall.P is > 0.05 / 3 and < 0.05, $"{sure.Overall.P}");
        Assert.Equal(TrialVerdict.CannotTell, sure.Verdict);
        Assert.Equal(TrialVerdict.More, Assert.Single(TrialAnalysis.Of(Plan(4), Of("obstruction", 2.85), Work).Measures).Verdict);
    }

    // Fading is told of a claim with three visits or more, and of nothing else.
    [Theory]
    [InlineData(2, 20, false)]
    [InlineData(3, 20, true)]
    [InlineData(4, 0.3, false)]
    public void Fading_NeedsAnEffectAndThreeVisits(int visits, double effect, bool told)
    {
        TrialPlan plan = Plan(6);
        SeededDraws draws = new(5);
        PlotReading[] readings = [.. Enumerable.Range(1, visits).SelectMany(v => Enumerable.Range(1, 6).SelectMany(b => (PlotReading[])
            [At($"B{b}P1", Work.AddDays(200 * v), 50 + draws.Bell(), point: $"{v}"), At($"B{b}P2", Work.AddDays(200 * v), 50 + (effect * Math.Exp(-0.3 * v)) + draws.Bell(), point: $"{v}")]))];
        Assert.Equal(told, One(plan, readings).Fading is not null);
    }

    // Watched places: what it is now over what it was.
    [Fact]
    public void Watching_TellsLastOverFirst()
    {
        TrialPlan plan = new(TrialKind.Monitored, "Test", TrialTreatment.Usual, [.. Enumerable.Range(1, 3).Select(b => new TrialPlanPlot($"B{b}P1", b, "ripped", ""))], new Dictionary<string, TrialPlanPoint>(), 2, 7);
        MeasureResult r = One(plan, Enumerable.Range(1, 3).SelectMany(b => (PlotReading[])[At($"B{b}P1", Work.AddDays(-20), 10 * b, "infiltration"), At($"B{b}P1", Work.AddDays(300), 20 * b * (b == 2 ? 1.1 : 1), "infiltration")]));
        Assert.Equal(Math.Log(2) + (Math.Log(1.1) / 3), r.Overall.Value, 1e-12);
        Assert.Equal(1, r.AdjustedP);
        Assert.StartsWith("Infiltration since the first visit: 2.06 times what it was (95 % sure: ", r.Sentence, StringComparison.Ordinal);
    }

    // The sentence has the 95 % interval, the way of the difference, and the blocks it would take.
    [Fact]
    public void Sentence_SaysIntervalWayAndBlocks()
    {
        double[] differences = [-3, -15, 7, -5];
        MeasureResult r = One(Plan(4), differences.SelectMany((d, i) => (PlotReading[])[At($"B{i + 1}P1", Work.AddDays(30), 40), At($"B{i + 1}P2", Work.AddDays(30), 40 + d)]));
        (double low, double high) = r.Overall.Between(0.95);
        Assert.Contains($"4.0 cm less (95 % sure: {ResultWords.Number(low)} to +{ResultWords.Number(high)} cm)", r.Sentence, StringComparison.Ordinal);
        double spread = Math.Sqrt(differences.Sum(d => (d + 4) * (d + 4)) / 3);
        int needed = (int)Math.Ceiling(TrialPower.BlocksFor(0.8, 2.5 * 4, spread));
        Assert.Contains($"showing a difference of 10 cm takes about {needed} blocks; there are 4", r.Sentence, StringComparison.Ordinal);
        Assert.Contains("nothing was read before the work", r.Sentence, StringComparison.Ordinal);
    }

    // The first ripping counts, not a later one; what is due follows from the last reading.
    [Fact]
    public void Record_TellsTheFirstRipping_AndWhatIsDue()
    {
        FieldRecord record = new("Test", [new FieldWork(Work, "ripped", 0.4, "", ""), new FieldWork(Work.AddYears(2), "Ripped again", 0.5, "", ""), new FieldWork(new DateOnly(2026, 1, 1), "grazed", double.NaN, "", "")]);
        Assert.Equal(Work, record.FirstRipped);
        Assert.Equal([(Work.AddMonths(3), "first visit after the work, once the ground has settled")], Due(Work.AddDays(-30)));
        Assert.Equal(new DateOnly(2028, 4, 10), Due(Work.AddDays(90))[0].Date);

        // Two months before the anniversary or nearer, that of the next year.
        Assert.Equal(new DateOnly(2028, 4, 10), Due(new DateOnly(2028, 2, 9))[0].Date);
        Assert.Equal(new DateOnly(2029, 4, 10), Due(new DateOnly(2028, 2, 11))[0].Date);
        Assert.Equal("measure every plot before the work", Assert.Single(record.Due(new TrialResults(Plan(2), null, [], []), None)).What);

        IReadOnlyList<(DateOnly Date, string What)> Due(DateOnly last) => record.Due(new TrialResults(Plan(2), Work, [], []), None with { Readings = [At("B1P1", last, 1)] });
    }

    // An effect of 1 that halves in two years comes down to a tenth in two years times the binary logarithm of ten.
    [Fact]
    public void Decay_IsCountedFromTheWork()
    {
        double rate = Math.Log(2) / 2;
        DecayFit fit = DecayFit.Of([1, 2.5, 4], [Math.Exp(-rate), Math.Exp(-2.5 * rate), Math.Exp(-4 * rate)]);
        Assert.Equal(1, fit.Initial, 1e-6);
        Assert.Equal(2 * Math.Log2(10), fit.GoneAt(0.1), 1e-4);

        // The jackknife by hand: blocks that differ in size and rate.
        double[][] blocks = [.. Enumerable.Range(0, 4).Select(b => ((double[])[1, 2.5, 4]).Select(t => (1 + (0.1 * b)) * Math.Exp(-(0.3 + (0.05 * b)) * t)).ToArray())];
        (DecayFit whole, double gone, double low, double high) = DecayFit.OfBlocks([1, 2.5, 4], blocks, 0.1, 0.9);
        double[] pseudo = [.. Enumerable.Range(0, 4).Select(left => (4 * Math.Log(gone)) - (3 * Math.Log(DecayFit.Of([1, 2.5, 4], [.. Enumerable.Range(0, 3).Select(v => blocks.Where((_, b) => b != left).Average(b => b[v]))]).GoneAt(0.1))))];
        double error = Math.Sqrt(pseudo.Sum(p => Math.Pow(p - pseudo.Average(), 2)) / 3 / 4);
        Assert.Equal(Math.Log(gone) - (2.353363 * error), Math.Log(low), 1e-5);
        Assert.Equal(Math.Log(gone) + (2.353363 * error), Math.Log(high), 1e-5);
        Assert.Equal(whole.GoneAt(0.1), gone);
    }

    [Fact]
    public void Options_OfNoSense_AreRefused()
    {
        Assert.Throws<GroundDataException>(() => new TrialOptions { Effect = 0.8 }.Validate());
        Assert.Throws<GroundDataException>(() => new TrialOptions { Effect = 1 }.Validate());
        Assert.Throws<GroundDataException>(() => TrialTreatment.Checked([TrialTreatment.Parse("ripped"), TrialTreatment.Parse("deep")]));
        Assert.Equal(["unripped", "ripped"], TrialTreatment.Checked([TrialTreatment.Parse("ripped"), TrialTreatment.Parse("unripped")]).Select(t => t.Id));
        Assert.Equal(Math.Sqrt(2 * (Math.Log(1.09) + (Math.Log(2) / 6))), new TrialOptions().SpreadOfDifferences, 1e-12);
    }
}
