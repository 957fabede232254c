using Keyline.Fieldwork;

namespace Keyline.Fieldwork.Tests;

/// <summary>Forms with faults planted in them: a sentence for each, and nothing lost; and the sums behind the measures.</summary>
public sealed class FormTests
{
    internal static readonly TrialPlan Plan = new(TrialKind.Randomised, "Test", TrialTreatment.Usual,
        [.. Enumerable.Range(1, 4).SelectMany(b => new[] { new TrialPlanPlot($"B{b}P1", b, "unripped", ""), new TrialPlanPlot($"B{b}P2", b, "ripped", "") })],
        Enumerable.Range(1, 4).SelectMany(b => new[] { "P1", "P2" }.SelectMany(p => new[] { ("R", "ring"), ("P", "penetrometer"), ("Q", "quadrat"), ("V", "pole"), ("C", "clip"), ("S", "core") }
            .SelectMany(k => Enumerable.Range(1, 6).Select(i => (Id: $"B{b}{p}-{k.Item1}{i}", Point: new TrialPlanPoint($"B{b}{p}", k.Item2, false)))))).ToDictionary(p => p.Id, p => p.Point), 2, 7);

    private const string RingHead = "date,plot,point,radius_cm,depth_cm,head_cm,soil,time_min,infiltrated_mm,note\r\n";

    private static FormReadings Read(string name, string text) => FormReader.Read(Plan, [(name, text)]);

    // Reynolds and Elrick 1990: their shape factor evaluated by hand for two rings and four soils.
    [Theory]
    [InlineData(7.5, 5, 5, 0.544544, 0.410875, 0.236624, 0.0813577)]
    [InlineData(5, 3, 10, 0.314728, 0.242481, 0.143595, 0.0506479)]
    public void Ring_ShapeFactor(double radius, double depth, double head, double coarse, double loam, double clay, double tight)
    {
        string[] soils = ["coarse", "loam", "clay", "tight"];
        double[] expected = [coarse, loam, clay, tight];
        for (int i = 0; i < 4; i++)
        {
            Assert.Equal(expected[i], RingInfiltration.ConductivityShare(radius / 100, depth / 100, head / 100, RingInfiltration.Alpha(soils[i])), 6e-7);
        }
    }

    // Soil Survey Manual (USDA 2017), classes of saturated conductivity; in/h by 25400/3600.
    [Fact]
    public void Ring_Classes()
    {
        Assert.Equal(["very high", "high", "moderately high", "moderately low", "low", "very low"], ((double[])[1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 9e-9]).Select(RingInfiltration.ClassOf));
        Assert.Equal("high", RingInfiltration.ClassOf(1.42 * 7.055556e-6));
    }

    [Fact]
    public void Ring_OfTwoTerms_IsReadBack() // I = S root t + A t, made here
    {
        double[] t = [300, 600, 1200, 1800, 2700, 3600, 5400];
        RingReading r = RingInfiltration.Read(t, [.. t.Select(s => (2e-4 * Math.Sqrt(s)) + (5e-6 * s))]);
        Assert.Equal(2e-4, r.Sorptivity, 1e-12);
        Assert.Equal(5e-6, r.TwoTermRate, 1e-14);
        Assert.InRange(r.SteadyRate, 5e-6, 8e-6);
    }

    // Exact by the pound and the acre; hoop factors as range extension guides print them, within 0.04 %.
    [Fact]
    public void Forage_Units()
    {
        Assert.Equal(10, Forage.KilogramsAHectare(1, 1));
        Assert.Equal(8.92179122, Forage.PoundsAnAcre(10), 1e-8);
        Assert.Equal(35.687160, Forage.PoundsAnAcre(Forage.KilogramsAHectare(1, 0.25)), 1e-5);
        foreach ((double feet, double factor) in ((double, double)[])[(0.96, 100), (1.92, 50), (2.4, 40), (4.8, 20), (9.6, 10)])
        {
            Assert.Equal(factor, Forage.PoundsAnAcre(Forage.KilogramsAHectare(1, feet * 0.09290304)), 4e-4 * factor);
        }

        // A square of 37 3/16 inches: 9.6035 square feet, ten pounds an acre a gram.
        Assert.Equal(9.99978, Forage.PoundsAnAcre(Forage.KilogramsAHectare(1, Math.Pow(37.1875 * 0.0254, 2))), 2e-4);
    }

    // BLM Technical Reference 1734-4: inch bands, the mean of four sides; Uresk: half inches; Robel et al. 1970: half decimetres.
    [Fact]
    public void Pole_OfBothVariants()
    {
        Assert.Equal(5, Forage.Station([4, 5, 6, 5]));
        FormReadings r = Read("pole.csv", "date,plot,point,bands,distance_m,eye_m,north,east,south,west,note\n2027-05-01,B1P1,B1P1-V1,inch,4,1,4,5,6,5,\n2027-05-01,B1P1,B1P1-V2,half-inch,,,8,10,12,10,\n2027-05-01,B1P2,B1P2-V1,half-decimetre,4,1,2,3,2,,\n2027-05-01,B1P2,B1P2-V2,inch,13.1,1,4,5,6,5,\n");
        Assert.Equal([12.7, 12.7, 5 * 7 / 3.0], r.Readings.Select(v => Math.Round(v.Value, 9)), (a, b) => Math.Abs(a - b) < 1e-8);
        Assert.Contains(r.Findings, f => !f.IsSetAside && f.Sentence.Contains("three", StringComparison.Ordinal) || f.Sentence.Contains("3 of four sides", StringComparison.Ordinal));
        Assert.Contains(r.Findings, f => f.IsSetAside && f.Line == 5 && f.Sentence.Contains("in feet it would be 3.99 m", StringComparison.Ordinal));
    }

    [Fact]
    public void Rings_GiveConductivity_AndTellWhatIsWrong()
    {
        string ring(string date, string plot, string point, params double[] mm) => string.Concat(mm.Select((v, i) => FormattableString.Invariant($"{date},{plot},{point},7.5,5,5,loam,{10 * (i + 1)},{v},\r\n")));
        FormReadings r = Read("rings.csv", RingHead + ring("2027-05-01", "B1P1", "B1P1-R1", 30, 50, 65, 80, 95) + ring("2027-05-01", "B1P1", "B1P1-R2", 30, 50, 45, 60, 70)
            + ring("2027-05-01", "B1P2", "B1P2-R1", 30, 50) + ring("2027-05-01", "B1P2", "B1P1-R3", 30, 50, 70) + "2027-05-01,B9P1,B9P1-R1,7.5,5,5,loam,10,30,\r\n,B1P2,B1P2-R4,,,,,,,\r\n,B1P2,B1P2-R5,7.5,5,5,loam,10,20,\r\n");
        PlotReading one = Assert.Single(r.Readings);
        Assert.Equal(("infiltration", "B1P1"), (one.Measure.Id, one.Plot));
        Assert.Equal(90 * 0.410875, one.Value, 1e-3);
        Says(2 + 5, "gains water: 50 mm had gone in after 20 min and 45 mm after 30 min");
        Says(2 + 10, "has 2 readings after the start");
        Says(2 + 12, "point B1P1-R3 lies in plot B1P1 and the row says B1P2: plots may be swapped");
        Says(2 + 15, "there is no plot B9P1 in the design");
        Says(2 + 17, "values and no date");
        Assert.Equal(5 + 2 + 3 + 1 + 1, r.Findings.Count(f => f.IsSetAside));
        Assert.All(r.Findings, f => Assert.NotEmpty(f.Row));

        void Says(int line, string what) => Assert.Contains(r.Findings, f => f.IsSetAside && f.Line == line && f.Sentence.StartsWith($"rings.csv, line {line}:", StringComparison.Ordinal) && f.Sentence.Contains(what, StringComparison.Ordinal));
    }

    // Green and Ampt 1911: made from their equation and found again; Philip's two terms over an hour lie near it.
    [Theory]
    [InlineData(1e-6, 0.05)]
    [InlineData(2e-5, 0.01)]
    [InlineData(5e-6, 2)]
    public void GreenAmpt_FindsWhatWasPutIn(double conductivity, double pull)
    {
        double[] depths = [.. Enumerable.Range(1, 9).Select(i => 0.008 * i)];
        double[] times = [.. depths.Select(d => (d - (pull * Math.Log(1 + (d / pull)))) / conductivity)];
        GreenAmptReading read = GreenAmptRing.Read(times, depths);
        Assert.Equal(1, read.Conductivity / conductivity, 1e-3);
        Assert.Equal(1, read.Pull / pull, 1e-3);
        Assert.InRange(read.Misfit, 0, 1e-7);
        RingReading ring = RingInfiltration.Read(times, depths);
        Assert.Equal(read, ring.GreenAmpt);
        Assert.True(ring.SteadyRate > read.Conductivity);
    }

    [Fact]
    public void GreenAmpt_OfAnEvenRate_HasNoPull()
    {
        GreenAmptReading even = GreenAmptRing.Read([100, 200, 300, 400], [0.01, 0.02, 0.03, 0.04]);
        Assert.Equal((1e-4, 0), (even.Conductivity, even.Pull));
        Assert.Equal(new GreenAmptReading(0, 0, 0), GreenAmptRing.Read([1, 2, 3], [0, 0, 0]));
        Assert.True(GreenAmptRing.Read([100, 200, 300], [0.01, 0.03, 0.06]).Misfit > 0.001);
    }

    // ASAE S313.3 and EP542 by the United States Forest Service's summary: 0.5 and 0.2 square inches.
    [Fact]
    public void Cones_AreThoseOfTheStandard()
    {
        Assert.Equal(322.699, 1e6 * PenetrometerCone.Area(PenetrometerCone.SoftBase), 1e-3);
        Assert.Equal(129.284, 1e6 * PenetrometerCone.Area(PenetrometerCone.HardBase), 1e-3);
        Assert.Equal(0.5002, PenetrometerCone.Area(PenetrometerCone.SoftBase) / (0.0254 * 0.0254), 1e-4);
        Assert.Equal(0.2004, PenetrometerCone.Area(PenetrometerCone.HardBase) / (0.0254 * 0.0254), 1e-4);
        Assert.Equal(300 * 6894.757, PenetrometerCone.Pressure(300 * 4.4482216 * 0.5002, PenetrometerCone.SoftBase), 400.0);
        Assert.Equal([false, true, false, true], new[] { 0.01967, 0.01966, 0.01245, 0.01244 }.Select(PenetrometerCone.IsWorn));
        Assert.Equal(0.030, PenetrometerCone.Speed);
    }

    // BLM Technical Reference 1734-4 (1996): half-inch bands go with 20 stations of four readings on a transect; inch bands and half decimetres have no such number.
    [Theory]
    [InlineData("half-inch", 19, true)]
    [InlineData("half-inch", 20, false)]
    [InlineData("inch", 3, false)]
    public void Pole_InHalfInches_TellsOfFewStations(string bands, int stations, bool told)
    {
        TrialPlan plan = new(TrialKind.Randomised, "", TrialTreatment.Usual, [new("B1P1", 1, "unripped", ""), new("B1P2", 1, "ripped", "")], Enumerable.Range(1, 20).ToDictionary(i => $"V{i}", _ => new TrialPlanPoint("B1P1", "pole", false)), 2, 7);
        FormReadings r = FormReader.Read(plan, [("pole.csv", "date,plot,point,bands,distance_m,eye_m,north,east,south,west,note\n" + string.Concat(Enumerable.Range(1, stations).Select(i => $"2027-05-01,B1P1,V{i},{bands},4,1,4,5,6,5,\n")))]);
        Assert.Equal(stations, r.Readings.Count);
        Assert.Equal(told, r.Findings.Any(f => !f.IsSetAside && f.Sentence.Contains($"has {stations} stations read in half-inch bands", StringComparison.Ordinal)));
        Assert.DoesNotContain(r.Findings, f => f.IsSetAside);
    }

    [Fact]
    public void DecimalCommas_FeetAndDates()
    {
        string text = RingHead.Replace(',', ';') + string.Concat(((string[])["10;30,5", "20;50,5", "30;65,5"]).Select(v => $"1.5.2027;B1P1;B1P1-R1;7,5;5;5;loam;{v};\r\n"))
            + string.Concat(((string[])["10;30", "20;50", "30;70"]).Select(v => $"3/4/2027;B1P1;B1P1-R2;7.5;5;5;loam;{v};\r\n"))
            + string.Concat(((string[])["10;30", "20;50", "30;70"]).Select(v => $"2027-05-01;B1P1;B1P1-R3;3 in;2 in;5;loam;{v};\r\n"));
        FormReadings r = Read("rings-2027.csv", text);
        Assert.Equal(2, r.Readings.Count);
        Assert.Contains(r.Findings, f => !f.IsSetAside && f.Sentence.Contains("decimal comma and was read as 30.5", StringComparison.Ordinal));
        Assert.Equal(3, r.Findings.Count(f => f.IsSetAside && f.Sentence.Contains("no date that can be read one way only", StringComparison.Ordinal)));
        Assert.Contains(r.Findings, f => !f.IsSetAside && f.Sentence.Contains("\"3 in\" and was taken for in", StringComparison.Ordinal));
        Assert.Equal(2000.0 / 1000 * 60 * RingInfiltration.ConductivityShare(0.0762, 0.0508, 0.05, 12), r.Readings.Single(v => v.Point == "B1P1-R3").Value, 1e-3);

        // A comma that parts cells where a decimal was meant makes a row too long.
        FormReadings shifted = Read("rain.csv", "date,rain_mm,note\n2027-05-01,12,5,wet,\n2027-05-02,7,\n");
        Assert.Equal(7, Assert.Single(shifted.Rain).Millimetres);
        Assert.Contains(shifted.Findings, f => f.IsSetAside && f.Line == 2 && f.Sentence.Contains("decimal comma", StringComparison.Ordinal));
    }

    [Fact]
    public void Penetrometer_FindsTheDepthOfTwoMegapascals() // ASAE S313.3 and EP542: 300 psi is 2.07 MPa; between two readings on a straight line
    {
        Assert.Equal(2068.427, 300 * 6.894757, 1e-3);
        string rows(string point, params int[] kpa) => string.Concat(kpa.Select((v, i) => $"2027-05-01,B1P1,{point},{5 * (i + 1)},{v},moist,\n"));
        FormReadings r = Read("penetrometer.csv", "date,plot,point,depth_cm,strength_kpa,moisture,note\n" + rows("B1P1-P1", 800, 1500, 2500, 2600) + rows("B1P1-P2", 800, 900, 1000) + "2027-05-01,B1P1,B1P1-P2,5,700,moist,\n");
        Assert.Equal([12.5, 15], r.Readings.Select(v => Math.Round(v.Value, 9)));
        Assert.Contains(r.Findings, f => !f.IsSetAside && f.Sentence.Contains("meets no 2 MPa down to 15 cm", StringComparison.Ordinal));
        Assert.Contains(r.Findings, f => f.IsSetAside && f.Line == 9 && f.Sentence.Contains("repeats line 6", StringComparison.Ordinal));
    }

    [Fact]
    public void CoverClipsAndSoil()
    {
        FormReadings cover = Read("cover.csv", "date,plot,point,method,group,hits,of,class,percent,note\n2027-05-01,B1P1,B1P1-Q1,points,plant,12,40,,,\n2027-05-01,B1P1,B1P1-Q1,class,bare,,,3,,\n2027-05-01,B1P1,B1P1-Q1,photo,litter,,,,33,\n2027-05-01,B1P1,B1P1-Q2,points,plant,50,40,,,\n2027-05-01,B1P1,B1P1-Q2,guess,plant,5,40,,,\n");
        Assert.Equal([("cover-bare", 37.5), ("cover-litter", 33), ("cover-plant", 30)], cover.Readings.Select(r => (r.Measure.Id, r.Value)));
        Assert.Equal(2, cover.Findings.Count(f => f.IsSetAside));
        FormReadings clips = Read("clips.csv", "date,plot,point,frame_m2,wet_g,dry_g,dry_share,note\n2027-05-01,B1P1,B1P1-C1,0.25,120,40,,\n2027-05-01,B1P1,B1P1-C2,0.25,100,,0.3,\n2027-05-01,B1P1,B1P1-C3,0.25,30,40,,\n2027-05-01,B1P1,B1P1-C4,0.25,30,,,\n");
        Assert.Equal([1600, 1200], clips.Readings.Select(r => r.Value));
        Assert.Equal(2, clips.Findings.Count(f => f.IsSetAside));
        PlotReading soil = Assert.Single(Read("soil.csv", "date,plot,point,test,depth_cm,value,unit,note\n2027-05-01,B1P1,B1P1-S1,Organic carbon,10,1.8,%,\n").Readings);
        Assert.Equal(("soil-organic-carbon-10-cm", 1.8, "%"), (soil.Measure.Id, soil.Value, soil.Measure.Unit));
    }

    [Theory]
    [InlineData("notes.csv", "a,b\n", "is no table of readings")]
    [InlineData("rings.csv", "", "is empty")]
    [InlineData("rings.csv", "date,plot\n", "has no column point")]
    public void NoForm_IsRefusedInASentence(string name, string text, string because) =>
        Assert.Contains(because, Assert.Throws<GroundDataException>(() => Read(name, text)).Message, StringComparison.Ordinal);

    // The examples that docs/trials.md prints, one a form, are read without a word.
    [Fact]
    public void DocumentedExamples_AreRead()
    {
        string? at = AppContext.BaseDirectory;
        while (at is not null && !File.Exists(Path.Combine(at, "Keyline.sln")))
        {
            at = Path.GetDirectoryName(at);
        }

        string[] examples = [.. File.ReadAllText(Path.Combine(at!, "docs", "trials.md")).Split("```csv\n").Skip(1).Select(e => e.Split("```")[0])];
        string[] read = [.. examples.Select(e =>
        {
            TrialForm form = TrialForm.All.Single(f => e.StartsWith(string.Join(',', f.Columns.Select(c => c.Name)) + "\n", StringComparison.Ordinal));
            FormReadings r = Read(form.Id + ".csv", e);
            Assert.DoesNotContain(r.Findings, f => f.IsSetAside);
            Assert.NotEmpty(r.Readings);
            return form.Id;
        })];
        Assert.Equal(["rings", "penetrometer", "cover", "pole", "clips", "soil"], read);
    }

    // Every form's example, with the design's own names, is read whole; what it comes to by hand where there is a value.
    [Fact]
    public void EveryForm_HasAnExampleThatIsRead()
    {
        TrialPlan plan = Plan with { Points = new Dictionary<string, TrialPlanPoint>(Plan.Points) { ["B1P1-F1"] = new("B1P1", "photo", false) } };
        Dictionary<string, double> values = [];
        foreach (TrialForm form in TrialForm.All)
        {
            string point = plan.Points.FirstOrDefault(p => p.Value.Kind == form.Kind).Key ?? "", plot = point.Length > 0 ? plan.Points[point].Plot : "";
            IReadOnlyList<string> lines = FormExample.Of(form, plot, point);
            FormReadings read = FormReader.Read(plan, [(form.Id + ".csv", string.Join("\r\n", lines) + "\r\n")]);
            Assert.True(read.Findings.Count == 0, string.Join(' ', read.Findings.Select(f => f.Sentence)));
            Assert.Equal(lines.Count - 1, read.Rows);
            Assert.Equal(form.Id == "photos" ? 1 : 0, read.Photos.Count);
            Assert.Equal(form.Id == "rain" ? 3 : 0, read.Rain.Count);
            read.Readings.ToList().ForEach(r => values[r.Measure.Id] = r.Value);
        }

        // The slope through the last four ring readings is 1.52 mm a minute (1710 over 1125), 91.2 mm/h, of which the ring's shape leaves a share.
        Assert.Equal(91.2 * RingInfiltration.ConductivityShare(0.075, 0.05, 0.05, 12), values["infiltration"], 1e-6);
        Assert.Equal(15 + (5 * 600.0 / 900), values["depth-to-2-mpa"], 1e-9);
        Assert.Equal((55, 22.5, 22.5), (values["cover-plant"], values["cover-litter"], values["cover-bare"]));
        Assert.Equal((12.7, 1540, 1.8), (values["obstruction"], values["forage"], values["soil-organic-carbon-10-cm"]), (a, b) => Math.Abs(a.Item1 - b.Item1) + Math.Abs(a.Item2 - b.Item2) + Math.Abs(a.Item3 - b.Item3) < 1e-9);
    }

    // Random damage to good tables: no fault of ours, and every row with something in it is used or told of.
    [Fact]
    public void DamagedTables_LoseNoRow()
    {
        SeededDraws draws = new(77);
        string[] junk = ["", "x", "-5", "1e9", "3,5", "12 ft", "NaN", "B9P9", "B1P2", "2027-02-30", "9999-12-31", "=1+1", "\"", "\"\"", "é", "0", "1/2/2027", "moist", "photo"];
        for (int round = 0; round < 400; round++)
        {
            List<string> lines = ["date,plot,point,frame_m2,wet_g,dry_g,dry_share,note"];
            for (int i = 0; i < 6; i++)
            {
                string[] cells = ["2027-05-01", "B1P1", $"B1P1-C{i + 1}", "0.25", "120", "40", "0.4", ""];
                for (int k = 0; k < 2; k++)
                {
                    cells[draws.Whole(7)] = junk[draws.Whole(junk.Length)];
                }

                lines.Add(string.Join(',', cells));
            }

            FormReadings r = Read("clips.csv", string.Join('\n', lines));
            HashSet<int> aside = [.. r.Findings.Where(f => f.IsSetAside).Select(f => f.Line)];

            // A lone quotation mark swallows the lines up to the next; what it swallowed stands in the row that is told of.
            int told = aside.Sum(l => r.Findings.First(f => f.Line == l && f.IsSetAside).Row.Count(c => c == '\n') + 1);
            if (lines.Skip(1).All(l => l.Count(c => c == '"') % 2 == 0))
            {
                Assert.Equal(6, r.Readings.Count + told);
            }

            Assert.All(r.Readings, v => Assert.True(double.IsFinite(v.Value)));
        }
    }

    [Fact]
    public void TheSameTimeWrittenTwice_IsARepeat()
    {
        FormReadings r = Read("rings.csv", RingHead + string.Concat(((string[])["10,30", "20,50", "30,65", "30.0,70"]).Select(v => $"2027-05-01,B1P1,B1P1-R1,7.5,5,5,loam,{v},\n")) + "9999-12-31,B1P1,B1P1-R1,7.5,5,5,loam,10,5,\n");
        Assert.True(double.IsFinite(Assert.Single(r.Readings).Value));
        Assert.Contains(r.Findings, f => f.Line == 5 && f.Sentence.Contains("repeats line 4", StringComparison.Ordinal));
        Assert.Contains(r.Findings, f => f.Line == 6 && f.Sentence.Contains("its year is 9999", StringComparison.Ordinal));
    }
}
